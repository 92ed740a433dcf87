// Package logbook keeps a kitchen's log book: what came in, was cooked, sold, binned and counted, which temperatures were read, what
// was struck off, lost or offered; and answers from it what is on hand, what batches really give, what it all cost, and where a lot
// went.
//
// # The file
//
// One SQLite file beside the kitchen file ([Path]), by modernc.org/sqlite, without cgo: WAL, synchronous=FULL, foreign keys, STRICT
// tables, a busy timeout of ten seconds, transactions that begin with the write lock. It only grows: triggers refuse UPDATE, DELETE
// and REPLACE, and what was wrong is put right by a later entry that names the earlier one (Corrects). Entries that take back others
// are judged from the last to the first: one that is itself taken back counts as never written.
//
// Each entry has a digest of all that it says (SHA-256, [digestOf]) and a link made of that digest and the link before; table "head" says
// where the chain ends. What is read for an answer is held against its digest. Which entries an answer needs is found in the
// register (register.go), which opening a log book reads from sealed leaves of 256 entries each, and from the entries behind them:
// an index of the database that is damaged would hide an entry, so none is gone by. [Check] goes through all of it, [Book.Backup] and
// [Restore] too. What was played (below) is sealed as well, and played again where it is damaged. Before the database is asked, the
// file is held against the length that it gives itself, and the -wal against its checksums (whole.go). A new log book is put in its
// place whole (create.go), so a file that is empty was emptied.
//
// A log book that can't be written is read as it lies there or, with what lies beside it, in a copy (readonly.go).
//
// PRAGMA application_id marks the file as ours, user_version its tables. schema.go has a step from each version to the next, and
// testdata/vN.sql a log book of every earlier version: add one with each new step, and never change a step that has been in use.
// Names stand in it as text, and amounts in base units beside the words that were typed, so a log book can be read without the
// kitchen file and outlives changes of it: what no longer fits is said, not guessed.
//
// Times are the kitchen's wall clock, held as if they were UTC, in whole seconds, with the zone of the clock that they were read from.
// This package never asks what time it is. An entry without a time of its own happened when it was written, and those were written
// in the order of their numbers: where clocks say otherwise, they count at the time of what was written after them (moment.go).
//
// [Parse] reads an entry as a cook writes it, [Book.Append] keeps it.
//
// # Lists of others
//
// [Read] reads lists of deliveries, sales and counts, text or workbook, and [Book.Import] takes them over, whole or not at all. A file
// is a stream of rows ([sheet]) that is gone through for its header, for the habits of whoever wrote it ([habits]), and for its entries,
// so that memory does not grow with it. A workbook is unzipped and decoded here, by archive/zip and encoding/xml: the library for
// workbooks does not tell a number from a text that looks like one, which would make 1.234 ambiguous, and fills rows up to their last
// cell (1.2 GB for 7 kB). A date or number with two readings is settled by those of the file with one, or by what was said, and
// else asked ([Question]). Names are the kitchen's, the till's in its file ("also sold as"), those that were said and kept in a file
// beside the log book ([Names]), or like one of the kitchen's and no other: these are listed, to be agreed to.
//
// A row that is taken over leaves a digest of its used columns, dates and numbers as they are written plainly, and of its place among
// equal rows of its file; rows of files without dates have the file's digest in theirs, with the day where another was said or it is
// a count. So a row is known again in whatever way the next office writes it. A text that an import writes can be typed as it stands.
//
// # What is on hand
//
// The entries that stand are played in the order in which they happened, those of one moment in the order of writing ([Book.OnHand]).
// Received and cooked add lots; cooked, sold and binned take the oldest first. What a dish needs is found by
// [kettletree/graph/flow.Taker], the service's own explosion with nothing to be bought: what is on hand is taken before a step to
// order is asked, and each line stays on its first choice until that is used up. What happened happened: what there was not is taken
// on first choices beyond it and told ([Stock.Odd]), and nothing is left. A count above the book adds to the oldest lot on hand, or to
// the day of the lot that was used up last, or, of what was never logged, to the day of the last batch that was to be out by then: the
// careful choice for its keeping. A bought item is not on the book before it is first
// received or counted. What nobody wrote down as binned stands until a count.
//
// What an entry about a batch does not name is by the card at the batch's size, item by item, with an empty "typed", so that learned
// yields can tell what was measured; "0 kg" says that there was none. More weight out than in is refused; selling what the book does
// not have is not.
//
// # Batches that live
//
// A batch is known by its step and the day on which it was to begin ([Entry.Begins]), settled when an entry about it is written
// ([Book.Settle]). lit and put in take off the shelves, out brings lots with the date of the moment and their marks, done ends it, and
// cooked is all of that at once. The entry that lit it keeps the card as it then was ([Entry.Card]), so a batch under way survives
// changes of the file. While the entries are played, what went in lies in a pot ([pot]): all of it goes into whatever comes out later,
// as lots and as money. A pot of which nothing was heard for two days after it was to be empty is given up.
//
// Every lot has its day 1 with it ([Lot.Since]), found as the entries are played, by the rules of [kitchen.DayOnes]: the earliest that
// anything ready in it carries, through pots too, with the days left out that it lay frozen; what a count finds is as old as the lot that
// it joins or, where there is none, as the kitchen file lets it be at most ([kitchen.Presumed]). It is never typed and never stored but with what was played, so it follows a correction of an entry. On hand, trace, labels
// and what is to be used up all read it.
//
// # The present
//
// There is one present, and every answer stands on it ([Book.Present], [Present.Continue]). It is played from two midnights before
// the kitchen's day on, which goes on past midnight until its last service has ended ([kitchen.Kitchen.DayAt]): what was written, at its time, and between two entries what was planned and not written, by the walk that
// plays any week (asplanned.go, segment.go), so that the two can't come apart. What was written of a batch or a service is all that happened to
// it: of a batch of which something was written nothing begins as planned, and a service of which something was written down as
// sold sold just that. A batch is known by its step and the day on which it was to begin ([Life]); its entries mean the one that is
// due ([Lives.Meant]) and keep which one that was ([Entry.Begins]), with the card as it was when it was lit ([Entry.Card]), so it
// outlives changes of the kitchen file.
//
// What nobody wrote down counts until the end of the day after: batches that were to be out, services that are over, and what was to
// come for the days behind. With nothing in their place, an answer would jump at every hour that passes, and a kitchen that never logs
// its cooking would have nothing to sell. The answer says so ([Present.Told]). What was due before the log book began, with its first entry,
// does not count: nobody could have logged it, and food that was never there would stand on hand (begins.go). A batch
// that could not begin for lack of what it takes is tried again after the next entry, and not again by itself. What goes into a pot
// later lies on its shelf until then, and is held back for it.
//
// Of what came on a day no more comes on it, nor of what did not come, nor, from the count on, of what can come every day and was
// counted in the daytime: the cook who counts it sees what there is. Bought items of which no book is kept are taken to be there until
// they can next be delivered ([Present.Stores]). What was struck, lost or offered is part of the week before it goes on
// ([Book.Decisions]); a batch that was lost when it had begun loses what was still to come of it.
//
// A week that begins on a later day goes on from the walk of the days until then. The law that holds all this: where nothing
// unplanned happened, a week asked from a moment serves what it serves asked from its beginning (presentlaw_test.go); but food that
// comes while a service goes on of which nothing was written can be sold at it too.
//
// # What was played is kept
//
// Of every 4,096 entries or so, cut at a moment, a row keeps what was told, the movements and, of few rows, what was on hand after
// (tables "played" and "playing"). The next command goes on from the last such row before which nothing was written, corrected or
// undone since, and plays the rest. That holds for one kitchen file (its digest) and one edition of the play: raise edition
// (played.go) when play.go plays differently. It is a copy: what can't be read is played again, what can't be written stays in memory,
// and nobody waits for it. It lies in the log book's file, the one place that is backed up, moved and locked with the entries.
//
// # Lots
//
// The play tells every movement as it goes ([Move]). From each lot that lies with others, a link leads to every entry that takes of
// the item without naming a lot ([May]); by name, or from a lot that lies alone, the link is sure ([Is]). First in, first out decides
// amounts only: it is a rule of accounting and no proof. A lot lies there until it was used up by name, or nothing was left: by a
// count, or by the book when the next lot comes, unless more was taken than the book had, for then the book is wrong. [Trace] walks
// the movements once in each direction, so its time is linear; "sure" is the best over all ways of the weakest link on each. A lot
// that may be in something is reached, however unlikely: a recall that misses a plate is worse than one that is too wide. What a
// record has follows 21 CFR 1.1320 and 1.1345 (FSMA 204).
//
// A named lot that was not left is said and the oldest taken, for what happened happened; a mark that never was is refused, for it
// is a slip of the pen. A mark goes before an entry's number where both fit.
//
// # Learned yields
//
// A batch's yield is what was measured, divided by how many times the main input's amount of the file went in ([Book.Yields]). The
// main input is the first line that is neither optional nor carried; its substitutes count for it; where it was not weighed, the
// batches that were said stand in, and the answer says of how many. An output that an entry does not name was not measured, and
// what nobody kept ("0 kg") is no yield. A batch that came out bit by bit counts once all of it is out; one that lost some teaches nothing. Figures are the mean, the sample standard deviation, and the least-squares slope per batch, told beyond two of its standard
// errors. Limits are those of individuals and moving range (NIST/SEMATECH e-Handbook 6.3.2.2). A batch out of line counts in the mean
// all the same, and is named: which to leave out is for the cook to say. What [Propose] writes behind "±" is one sample standard
// deviation, as chance takes it. A published range is a note in the file, for only the cook knows which food, cut and way of cooking
// of a table an item is.
//
// # What it cost
//
// Lots carry what was paid; what leaves takes its lots' cost along, the oldest first (perpetual first in, first out: OpenStax,
// Principles of Accounting 1, 10.3), and batches share what went in as the file's costing shares a bill ([Book.AsItWas]). By final
// value and even margin, a real batch is shared by the file's cost of a unit: the rule itself would need that day's prices. What a count
// finds beyond the book comes in at the file's cost of a unit, for a bought item its price, whatever was paid for the lots it joins. Beside it
// all is valued at the file's unit costs U, and variances are taken where they come about (Horngren, Datar and Rajan, Cost Accounting,
// chapters 7 and 14):
//
//   - price: paid less U times the amount, of each delivery, used or not, so that none hides in what is left;
//   - yield, of an output: n times what the file's batch lets it bear, less U times what came; n is by how much of the main input went
//     in, as for learned yields, so that both expect the same of a batch;
//   - usage: U times what was binned or missing, less what was found, what went into a batch less n times the card, and what a dish
//     really took, at U, less what it asked for. With the main input as budgeted, this is Horngren's mix variance.
//
// They add up to the cent, for each entry's change of what is on hand and in pots at U is money in, less the dishes' U, less exactly
// one of these. What comes out of a pot bears the part that the file has it bear of all that is still to come; later inputs are borne
// by later outputs. Portions given away or dropped are no sales, and no variance: they have lines of their own.
//
// # How much to have ready
//
// The critical ratio is brings / (brings + wastes), at most 0.99: a portion brings price less plate cost; it wastes, of each item that
// stands ready for it, (unit cost + disposal) / days it keeps, in a straight line, for a lot's real age is not known when it is decided
// how much to prepare. The amount is the least k with chance(demand <= k) at least that ([ToHave]): the empirical quantile from 20
// services on; below, a negative binomial by moments, or a Poisson where the variance is no larger than the mean, for portions are
// counts and often few; with fewer than 2, a Poisson with the typed forecast as mean, for one quiet evening would say "prepare none".
// Sales at which a dish ran out are said and not corrected.
package logbook
