package kitchen

// Every key of the kitchen file: what it takes and what it means. The reader checks a file's shape against this table,
// and the JSON Schema is printed from it, so that the two cannot drift apart.

import (
	"slices"
	"strings"

	"kettletree/graph/measure"
)

// shape is what kind of value stands in a place.
type shape uint8

const (
	text    shape = iota // words, or a number with a unit
	number               // a plain number, zero or more
	whole                // a plain whole number
	halved               // a plain number of whole things and halves
	list                 // any number of values
	fields               // a mapping with keys that are listed here
	entries              // a mapping from names of the user's own
)

// form says what may stand in a place.
type form struct {
	shape   shape
	what    string   // ends the sentence "... takes"
	pattern string   // regular expression of a whole text, or of the names of a mapping; "" for any
	words   []string // the only texts allowed; nil for any
	least   int      // smallest whole number
	of      *form    // values of a list or of a mapping from names
	filled  bool     // a list must not be empty
	keys    []key    // of fields
	or      *form    // what else may stand here
}

// Whether a key must stand, or may.
const must, may = true, false

// key is one key of a mapping.
type key struct {
	name   string
	takes  *form
	needed bool
	doc    string
}

var (
	anyText   = &form{shape: text, what: "text"}
	plainSum  = &form{shape: number, what: "a plain number such as 15.50"}
	priceForm = &form{shape: text, what: "a price such as 4.20/kg or 42.00 for 10 kg",
		pattern: measure.NumberPattern + "(?: */ *" + anyUnit + "| +for +" + anyQuantity + ")"}
	worthForm   = &form{shape: text, what: "a worth such as 3.10/L", pattern: priceForm.pattern}
	keepsForm   = &form{shape: text, what: "whole days or weeks such as 3 days", pattern: keepsPattern}
	daysForm    = &form{shape: text, what: "days such as tue-sun or tue fri", pattern: daysPattern}
	eachForm    = &form{shape: text, what: "a weight such as 1.9 kg, or a volume such as 750 mL", pattern: quantityOf(measure.Weight, measure.Volume)}
	densityForm = &form{shape: text, what: "a density such as 1.01 kg/L",
		pattern: quantityOf(measure.Weight) + " */ *" + measure.UnitPattern(measure.Volume)}
	yesNo     = &form{shape: text, what: "yes or no", words: []string{"yes", "no"}}
	clockForm = &form{shape: text, what: `a time such as "22:30"`, pattern: "(?:" + measure.ClockPattern + ")"}
)

var (
	anyUnit     = measure.UnitPattern(measure.Weight, measure.Volume, measure.Count)
	anyQuantity = quantityOf(measure.Weight, measure.Volume, measure.Count)
)

func quantityOf(kinds ...measure.Kind) string {
	return "(?:" + inFiguresOf(kinds...) + "|" + measure.WordedPattern(kinds...) + ")"
}

func inFiguresOf(kinds ...measure.Kind) string {
	pattern := measure.NumberPattern + " *" + measure.UnitPattern(kinds...)
	if more := slices.DeleteFunc(slices.Clone(kinds), func(k measure.Kind) bool { return k == measure.Count }); len(more) > 0 { // 3 lb 4 oz
		pattern += "(?: +" + measure.NumberPattern + " *" + measure.UnitPattern(more...) + ")?"
	}
	return pattern
}

// lines is a list of recipe lines.
func lines(in place, what string) *form {
	return &form{shape: list, filled: true, what: "a list of lines such as " + what,
		of: &form{shape: text, what: "a line such as " + what, pattern: linePattern(in)}}
}

// linePattern is a regular expression for what [parseLine] reads.
func linePattern(in place) string {
	all := []measure.Kind{measure.Weight, measure.Volume, measure.Count}
	ration := "(?:" + inFiguresOf(all...) + " +|" + measure.WordedPattern(all...) + " *)" + namePattern
	unsaid := func(kinds ...measure.Kind) string {
		return unweighedWord + " +" + measure.UnitPattern(kinds...) + " +" + namePattern
	}
	pattern := ration
	if in == given {
		pattern = "(?:" + ration + "|" + unsaid(measure.Weight, measure.Volume) + ")"
		pattern += "(?: *(?:±|[+]-) *" + anyQuantity + ")?"
	} else {
		pattern = "(?:" + ration + "(?: or +" + ration + ")*|" + eitherWord + " +" + ration + "(?: or +" + ration + ")+|" +
			unsaid(measure.Weight, measure.Volume, measure.Count) + ")"
	}
	var tails []string
	for _, n := range remarks {
		if !slices.Contains(n.in, in) {
			continue
		}
		tail := n.words
		if n.form != "" {
			tail += " +" + n.form
		}
		tails = append(tails, tail)
	}
	return "(?:" + pattern + "(?: *, *(?:" + strings.Join(tails, "|") + "))*|" + somethingWord + ")"
}

// shareWords are the words behind "share cost by", in the order of flow.Rule.
var shareWords = []string{"worth", "weight", "final value", "even margin", "main"}

// The words behind "batches".
const (
	allOfWord   = "all of it"
	toOrderWord = "to order"
	neededWord  = "as needed"
)

// phasePattern is a regular expression for what [parsePhase] reads.
const phasePattern = namePattern

var phasesForm = &form{shape: list, filled: true, what: "a list such as [to the boil 1 h 15 min, rolling boil 3 h, simmer]",
	of: &form{shape: text, what: "a phase such as rolling boil 3 h", pattern: phasePattern}}

// timesPattern is a regular expression for a time from and to.
const timesPattern = "(?:" + measure.ClockPattern + ") *- *(?:" + measure.ClockPattern + ")"

// languagePattern is a regular expression for a BCP 47 tag, as far as one can tell it.
const languagePattern = "[A-Za-z]{2,8}(?:[-_][A-Za-z0-9]{1,8})*"

// formerKeys are keys of older kitchen files, by what they are called now.
var formerKeys = map[string]string{"uses": "takes", "runs": "batches"}

// alsoKey stands on all that has a name of its own.
var alsoKey = key{"also", &form{shape: entries, what: "names by language such as {es: caldo}", pattern: languagePattern,
	of: &form{shape: text, what: "a name", pattern: namePattern}}, may,
	"What it is called in other languages, by BCP 47 tags: the guide for staff uses it."}

// guessedKey says which values beside it nobody has confirmed.
func guessedKey(names ...string) key {
	one := &form{shape: text, what: "one of " + strings.Join(names, ", "), words: names}
	return key{guessedWord, &form{shape: list, filled: true, what: "a list such as [" + names[0] + "]", of: one, or: one}, may,
		"Which of the values beside it are guesses: answers that rest on them say so, until the word is taken out."}
}

// pluralKey stands on what is counted.
var pluralKey = key{"plural", &form{shape: text, what: "a name", pattern: namePattern}, may,
	"What several of it are called, for what is counted; by the rules of English when not written, in a file in English."}

// allergensForm is a list of allergens, of which some have a kind.
var allergensForm = &form{shape: list, what: "a list such as [milk, fish: cod], or [] for none",
	of: &form{shape: text, what: "a code such as milk",
		or: &form{shape: entries, what: "a code with its kind such as fish: cod", pattern: namePattern, of: anyText}}}

const mayDoc = "The allergens that what comes of it may contain, by what is shared with other food: a fryer, a board, a grill."

var boughtKeys = []key{
	{"price", priceForm, may,
		"What it costs: 4.20/kg, 9.50/each, or 42.00 for 10 kg. Its unit is the one that the item is counted in. Not written, it counts as " +
			"nothing, and answers about money say so."},
	{"pack", &form{shape: text, what: "a quantity such as 10 kg", pattern: anyQuantity}, may,
		"The smallest amount that is sold: whole packs are bought. Counted things without one are bought by the piece."},
	{"arrives", daysForm, may, "The days on which it can be delivered; every day when not written."},
	{"keeps", keepsForm, may,
		"How many days it keeps, the day of delivery being the first; for ever when not written."},
	{"each", eachForm, may, "What one of it weighs, or holds: the bridge from the piece, the bunch or the bottle to weight or volume."},
	{"density", densityForm, may, "What a volume of it weighs: the bridge between volume and weight."},
	{"par", parForm, may, parDoc},
	{"kept in", anyText, may, keptInDoc},
	{"strength", strengthForm, may, strengthDoc},
	{"allergens", allergensForm, may,
		"The allergens in it, by the codes of the allergen list, fish, crustaceans and tree nuts with their kind; [] states that it " +
			"has none of the list, and leaving the key out states nothing."},
	{"may contain", allergensForm, may, "The allergens that it may contain by its package, such as of a shared line."},
	{"raw", yesNo, may, "yes: it is raw food of an animal. What is made of it is raw too until a step cooks it through, and carries no date mark until then; " +
		"a dish that is raw when it is served says so."},
	{"pasteurised", yesNo, may, "yes: of raw eggs, that they are pasteurised, and so not raw."},
	{"parasite letter", anyText, may, "Of fish that is served raw: what the supplier's letter says of parasites (frozen how cold and how long, or why it needs none), and its date."},
	{"from", anyText, may, "Who supplies it; what is known of a supplier stands under suppliers."},
	alsoFromKey,
	pluralKey,
	guessedKey("price", "pack", "keeps", "each", "density"),
	alsoKey, wasKey,
}

var madeKeys = []key{
	{"keeps", keepsForm, may, "How many days it keeps, the day made being the first; for ever when not written."},
	{"worth", worthForm, may, "What it would cost to buy in: a bill can be shared by it."},
	{"density", densityForm, may, "What a volume of it weighs: the bridge between volume and weight."},
	{"each", eachForm, may, "What one of it weighs, or holds: the bridge from the piece, the bunch or the bottle to weight or volume."},
	{"par", parForm, may, parDoc},
	{"kept in", anyText, may, keptInDoc},
	{"strength", strengthForm, may, strengthDoc},
	{"date mark", yesNo, may,
		"no: the rule on date marks does not bind it, as it needs no time and temperature control; yes when not written."},
	{approvedKey, anyText, may, "Who has approved, in writing, that what is carried on from yesterday begins a new day 1 each time that it is cooked through: " +
		"the authority and its letter. It stands on labels and answers. Without it a perpetual stock carries the day 1 of its oldest part."},
	{measuresKey, measuresForm, may, measuresDoc},
	{"frozen", yesNo, may, "yes: it is held frozen, and the time that it is frozen does not count for its date mark."},
	sourceKey,
	pluralKey,
	guessedKey("keeps", "worth", "each", "density"),
	alsoKey, wasKey,
}

var (
	parForm      = &form{shape: text, what: "a quantity such as 10 L", pattern: anyQuantity}
	keptInDoc    = "Where it is kept, such as walk-in or dry store: lists to count by go place by place."
	strengthForm = &form{shape: number, what: "a number such as 0.5"}
	strengthDoc  = "How strong it tastes by weight beside things of its kind: 1 when not written, 0.5 for half as strong. Bounds of a line " +
		"go by it."
	parDoc = "What a plan leaves on hand when its last day ends, at least."
)

var runsForm = &form{shape: entries, what: "batches by day such as {tue: 2, fri: 1}", pattern: daysPattern,
	of: &form{shape: halved, what: "a number of batches such as 1, 2 or 0.5"},
	or: &form{shape: text, what: `"as needed", "to order" or "all of it"`, words: []string{neededWord, toOrderWord, allOfWord}}}

var stepKeys = append([]key{
	{"takes", lines(used, "12 kg bones"), must,
		"What one batch takes: QUANTITY ITEM [or QUANTITY ITEM] [, note]. " +
			"Notes are: in at 1 h; optional; to taste (goes on without it); give or take 20% (goes on with 80%); from yesterday; at least 2%; at most 6% (of the batch, by weight); at most 120 g h/L (grams, " +
			"times strength, times the hours that it is in, per litre that the batch gives). \"some g ITEM\" is what goes in as long as nobody has said how much: it counts as one of the unit. A line \"something\" says that more goes in than is said yet: the step is left out until then."},
	{"gives", lines(given, "55 L stock ± 4 L"), must,
		"What one batch gives: QUANTITY ITEM [± QUANTITY] [, out at 9 h, or at some time, which is not said yet] [, guessed], or \"some kg ITEM\" as long as nobody has weighed it. " +
			"What is not said to be out earlier is out when the last of the batch is. The first line is the main product. A line \"something\" says that more comes out than is said yet: the step is left out until then."},
	{"batches", runsForm, may,
		`The days on which it starts, with the number of batches; "all of it": each day it takes ` +
			`all there is of its first line; "as needed": whole batches, when what is on hand would not do, and what is over is used first next ` +
			`time; "to order": as much as is asked for. No batches when not written.`},
	{"halves", yesNo, may, `yes: it can be made in half batches too, such as {tue: 1, sat: 0.5}.`},
	{"vessel", &form{shape: text, what: "the name of a vessel", pattern: namePattern}, may,
		"The vessel that a batch must fit in."},
	{"starts", &form{shape: text, what: `a time such as "22:30"`, pattern: "(?:" + measure.ClockPattern + "|" + someTimeWords + ")"}, may,
		"When it starts. Without it the step is done before the first service of its day. \"some time\": it has a time of its own that is not said yet."},
	{"phases", phasesForm, may, "What happens meanwhile, from its start on, one after another: NAME TIME; the last one without " +
		"a time lasts until the step ends."},
	{offHeatKey, &form{shape: text, what: "a time such as 30 min", pattern: measure.DurationPattern}, may,
		"How long after its start it leaves the heat, where it sets, steeps or cools before it is out: limits on cooling count from then, not from when it is out."},
	{"boils off", &form{shape: text, what: "a volume an hour such as 3 L an hour", pattern: quantityOf(measure.Volume) + " +an hour"}, may,
		"What goes off as steam of one batch from its second phase on, or from its start where there are no phases. When not " +
			"written: what goes in by volume and does not come out so, evenly, of a step that gives something by volume."},
	{"may contain", allergensForm, may, mayDoc},
	{"station", anyText, may, "Where it is done; its vessel, or the bench, when not written."},
	{"costs", plainSum, may, "Labour and fuel for one batch, in money."},
	workKey,
	{measuresKey, measuresForm, may, measuresDoc},
	{handlingKey, measuresForm, may, handlingDoc},
	{cooksKey, yesNo, may,
		"yes: it cooks its contents through, and what was raw begins a day 1; no: what is raw stays raw. What is ready to eat keeps the " +
			"earliest day 1 of what it is made of, cooked again or not."},
	{"reheats", yesNo, may, "yes: it heats what was cooked before, which keeps its day 1."},
	{"share cost by", &form{shape: text, what: "one of worth, weight, final value, even margin, main",
		words: shareWords}, may,
		"How the bill is shared among what the step gives: by worth (what each would cost to buy in), by weight, by " +
			"final value (what the dishes bring, less what it costs to finish them), by even margin (each earns the " +
			"same), or main (the first line of gives bears it all, less the worth of the others). When not written: " +
			"worth if all have one, else weight."},
	guessedKey("batches", "starts", "costs"),
}, tellingKeys...)

// guestsForm is a forecast: a number of portions, or one with its spread.
var guestsForm = &form{shape: whole, what: "a whole number of portions",
	or: &form{shape: text, what: "one with its spread such as 40 ± 6", pattern: guestsPattern}}

var (
	seatsForm = &form{shape: whole, what: "a whole number of seats from 1", least: 1}
	turnsForm = &form{shape: number, what: "a number such as 2 or 1.5"}
)

var dishKeys = append([]key{
	{"price", plainSum, may, "The menu price of one portion. Not written, it counts as the mean of the others, and answers about money say so."},
	{"takes", lines(plated, "450 mL stock"), must,
		"What one portion takes: QUANTITY ITEM [or QUANTITY ITEM] [, optional] [, to taste], or \"some g ITEM\" as long as nobody has said how much. With a line \"something\" the dish is left out until more is said."},
	{"sells", &form{shape: entries, what: "portions by service such as {lunch: 22, fri dinner: 60}",
		pattern: namePattern,
		of:      guestsForm,
		or:      guestsForm}, may,
		"The forecast, with how far it strays if that is known: 40 ± 6. Of a special, what it sells where it is offered. Keys are a service (dinner), days (fri-sat: each service of those days), or both (fri dinner). " +
			"What names days and service goes before what names days, and that before what names a service; of two " +
			"alike, the one with fewer days. A plain number counts for every service of every open day."},
	{"in place of", &form{shape: list, filled: true, what: "a list such as [green enchiladas 30%]",
		of: &form{shape: text, what: "a dish and a share such as green enchiladas 30%", pattern: namePattern + " +" + percentPattern}}, may,
		"Whose guests it takes when it is offered: of ten portions, three are then ordered in place of the dish that stands here with 30%, which " +
			"sells so many fewer. What is missing to 100% are guests who come for it alone."},
	{"beside", yesNo, may, "yes: it goes beside another dish, as sides, starters and desserts do, and brings no guest of its own: it takes no seat."},
	{"rank", &form{shape: whole, what: "a whole number from 1", least: 1}, may,
		`Its place when scarce things are given out "first" come: 1 is served first; those without a rank come last.`},
	{"at most", &form{shape: whole, what: "a whole number from 1", least: 1}, may,
		"The most portions offered at one service."},
	{"at least", &form{shape: whole, what: "a whole number from 1", least: 1}, may,
		"The fewest portions that make a special worth offering at a service."},
	{"never out", yesNo, may,
		"yes: a plan sells all that is forecast of it."},
	{"smallest portion", &form{shape: text, what: "a share such as 85%", pattern: percentPattern}, may,
		"How small a portion may be cut to save a night; the whole portion when not written."},
	{"may contain", allergensForm, may, mayDoc},
	{cooksKey, yesNo, may, "yes: what is raw in it is cooked through for each order; no: it is served raw or undercooked, and says so."},
	{"also sold as", &form{shape: list, filled: true, what: "a list of names such as [Ch Soup LG, Soup of hen]", of: anyText}, may,
		"What the till calls it: sales are imported under these names too."},
	guessedKey("price", "sells"),
}, tellingKeys...)

func eachNamed(what string, keys []key) *form {
	return &form{shape: entries, what: what, pattern: namePattern, of: &form{shape: fields,
		what: "keys and values in {} or indented below", keys: keys}}
}

// kitchenForm is the whole file.
var kitchenForm = &form{shape: fields, what: `keys and values such as "kitchen: NAME"`, keys: []key{
	{"kitchen", anyText, may, "The name of the kitchen."},
	{"language", &form{shape: text, what: "a language tag such as es", pattern: languagePattern}, may,
		"The language of the names in the file, as a BCP 47 tag; en when not written."},
	{"also", &form{shape: entries, what: "words by language such as {es: {simmer: a fuego lento}}", pattern: languagePattern,
		of: &form{shape: entries, what: "words such as {simmer: a fuego lento}", pattern: namePattern, of: &form{shape: text, what: "a name", pattern: namePattern}}}, may,
		"What phases, stations, acts, people, services, suppliers and who approves a date mark are called in other languages, by BCP 47 tags: the guide for staff uses it."},
	{"money", &form{shape: text, what: "a currency code such as USD", pattern: "[A-Z]{3}"}, may,
		"The currency of all prices, as an ISO 4217 code."},
	{"units", &form{shape: text, what: "one of " + strings.Join(unitSystems, ", "), words: unitSystems}, may,
		"In which units the clock and the guide show amounts of cards: as written, in metric units, or in US ones; as written when not written."},
	{"food cost", &form{shape: text, what: "a share such as 30%", pattern: percentPattern}, may,
		"What the kitchen wants plate cost to be of price: specials are priced by it. 30% when not written."},
	{"disposal", &form{shape: text, what: "a price such as 0.15/kg", pattern: priceForm.pattern}, may,
		"What it costs to have waste taken away; what is binned or lost pays it."},
	{"food code", &form{shape: text, what: "one of " + strings.Join(codeNames(), ", "), words: codeNames()}, may,
		"The code whose limits on cooling, holding and date marks are cited; " + Codes[0].Name + " when not written."},
	{"allergen list", &form{shape: text, what: "us or eu", words: []string{usList, euList},
		or: &form{shape: list, filled: true, what: "a list such as [us, pork]", of: anyText}}, may,
		"Whose codes stand behind \"allergens\": us (nine), eu (fourteen), or a list of the kitchen's own codes, in which us and " +
			"eu stand for all of theirs. Both us and eu when not written."},
	{"open", daysForm, may, "The days on which there are guests; every day when not written."},
	{"services", &form{shape: entries, what: "services such as {lunch: 11:30-14:30, sun lunch: 12:00-16:00, sun dinner: closed}", pattern: namePattern,
		of: &form{shape: text, what: "times such as 11:30-14:30, or closed", pattern: "(?:" + timesPattern + "|closed)"}}, may,
		"The meal periods of every open day, from-to. After midnight goes on to 30:00: 17:30-24:30. With days in front (sun lunch) " +
			"they are the hours of these days alone, and closed is none; of two entries, the one with fewer days counts."},
	{"seats", &form{shape: entries, what: "seats by service such as {lunch: 20, dinner: 34}", pattern: namePattern,
		of: seatsForm, or: seatsForm}, may,
		"How many seats there are. A guest is a portion of a dish that does not go beside another. More guests than find a seat do not come, and " +
			"answers say how many. By service or day as sells is; any number when not written."},
	{"turns", &form{shape: entries, what: "numbers by service such as {lunch: 1, dinner: 2}", pattern: namePattern,
		of: turnsForm, or: turnsForm}, may,
		"How often each seat is taken at a service: 34 seats turned twice are 68 guests. 1 when not written."},
	{"closed", &form{shape: list, what: "a list of dates such as [2026-12-25]", of: &form{shape: text, what: "a date such as 2026-12-25",
		pattern: datePattern}}, may,
		"The dates on which there are no guests. They may be working days all the same: see days."},
	{"days", &form{shape: entries, what: "dates that differ such as 2026-12-24: {dinner: closed}", pattern: datePattern,
		of: &form{shape: entries, what: "services such as {dinner: 18:00-23:00}", pattern: namePattern,
			of: &form{shape: text, what: "closed, hours such as 18:00-23:00, 1.6 of forecast, or both as in 18:00-23:00 at 1.6 of forecast",
				pattern: onDatePattern}}}, may,
		"Dates that differ from the standing week, service by service: closed, other hours, or a share of the forecast. A service that " +
			"the day does not have otherwise is opened by its hours. works: no says that nobody works on the date, and there is no service either; " +
			"works: yes, that somebody does."},
	{"works", daysForm, may, "The days on which anybody works; every day when not written. On no other is a batch begun, or a delivery taken in."},
	{"vessels", eachNamed("vessels such as big kettle: {holds: 120 L}", []key{
		{"holds", &form{shape: text, what: "a volume such as 120 L", pattern: quantityOf(measure.Volume)}, may,
			"How much it holds, filled as high as is safe."},
		{"burners", &form{shape: whole, what: "a whole number of burners"}, may,
			"How many burners it takes while a batch is in it; 1 when not written, 0 for an oven."},
		{"inside diameter", &form{shape: text, what: "a length such as 55 cm", pattern: lengthPattern}, may,
			"Its width inside, for the depth of what cools in it."},
		guessedKey("holds"),
		alsoKey, wasKey,
	}), may, "Pots, pans and ovens with a limit."},
	{"burners", &form{shape: whole, what: "a whole number from 1", least: 1}, may,
		"How many burners there are: the timetable tells when more are needed at once."},
	{"hands", &form{shape: entries, what: "people by hour such as {22:00-06:00: [night cook, porter], fri-sat 17:00-23:00: 2}",
		pattern: "(?:" + daysPattern + " +)?" + timesPattern, of: handsForm}, may,
		"Who works at which hours: names, or how many. Days in front (fri-sat 17:00-23:00) are those on which the shift begins. Where hours " +
			"meet all of them are there; at hours that are not written, nobody is. The timetable gives them the work."},
	{"stations", eachNamed("stations such as grill: {room for: 1}", []key{
		{"room for", &form{shape: whole, what: "a whole number of people from 1", least: 1}, may,
			"How many people can work there at once; as many as are there when not written."},
	}), may, "Stations with little room, by the names under which steps have them. The timetable gives no more people work at one than it has room for."},
	{"suppliers", eachNamed("suppliers such as butcher: {delivers: tue thu sat}", supplierKeys), may,
		"Who sells, on which days, ordered by when, and from which sum on."},
	{"bought", eachNamed("bought items such as water: {price: 0/L}", boughtKeys), may, "What comes from outside."},
	{"steps", eachNamed("steps with takes and gives", stepKeys), may, "What turns items into items."},
	{"made", eachNamed("items that steps give such as stock: {keeps: 4 days}", madeKeys), may,
		"What is known about items that steps give."},
	{"dishes", eachNamed("dishes with price and takes", dishKeys), may, "What is on the menu."},
	{"specials", eachNamed("dishes with price and takes", dishKeys), may,
		"Dishes that are offered when there is a surplus."},
}}
