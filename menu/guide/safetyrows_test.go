package guide

// The rows: each sentence about safety, and what it rests on.

import (
	"kettletree/menu/tongue"
	"kettletree/menu/week"
)

// What rests on no section of a food code.
const (
	commonPractice = "common practice, no source"
	toLocalCode    = "no section: it leaves the judgement to local code and to those licensed to judge"
	asWritten      = "no section: it says what was written down or can be worked out of it, and claims no more"
	aName          = "a name, a heading or a pattern: it claims nothing"
	inOilAdvice    = "1-201.10(B), time/temperature control for safety food, garlic in oil among it; cold, time and freezer: CDC (4 days, from memory), Health Canada (a week), Penn State Extension (10 days, or frozen)"
	scombroid      = "FDA, Fish and Fishery Products Hazards and Controls Guidance, chapter 7 (from memory); where the code has no figure, " + commonPractice
	allergenLists  = "21 U.S.C. 321(qq); Regulation (EU) 1169/2011, Annex II; the kitchen file's own words"
)

// subjects are the sections of the FDA Food Code 2022 that are cited, each with its subject, from memory.
var subjects = map[string]string{
	"1-201.10": "what is food that needs time and temperature control, and what is ready to eat",
	"2-103.11": "what the person in charge sees to, allergens among it",
	"2-301.14": "when hands are washed",
	"3-202.11": "temperatures of food as it comes in",
	"3-203.12": "tags of shellstock, kept 90 days from the day on which the last are sold or served",
	"3-301.11": "no bare hands on ready food",
	"3-302.11": "raw food apart from ready food",
	"3-302.13": "pasteurised eggs in place of raw ones in what is not cooked",
	"3-304.11": "food touches only what is clean",
	"3-401.11": "cooking raw food of animals",
	"3-402.11": "freezing fish that is served raw or undercooked, against parasites",
	"3-403.11": "reheating for hot holding",
	"3-402.12": "the record that fish was frozen so, or the supplier's letter, kept 90 days",
	"3-501.14": "cooling",
	"3-501.15": "ways to cool",
	"3-501.16": "holding hot and cold",
	"3-501.17": "date marks: seven days at most at 5 °C (41 °F), the day of preparation being day 1; a mix keeps the earliest",
	"3-501.18": "what is discarded by its date mark; frozen time is not counted",
	"3-501.19": "time alone in place of temperature",
	"3-502.11": "a variance for curing, smoking and such, and for vinegar that is what makes food safe",
	"3-602.12": "a written notice of the major food allergens in unpackaged food, (C)",
	"3-603.11": "the advisory with what is served raw or undercooked: disclosure and reminder",
}

// restsOn is what each sentence rests on.
var restsOn = map[string]string{

	"What phases, stations, acts, people, services, suppliers and who approves a date mark are called in other languages, by BCP 47 tags: the guide for staff uses it.": "names only; the days that an approval is about: 3-501.17(C)",

	"no: the rule on date marks does not bind it, as it needs no time and temperature control; yes when not written.": "1-201.10(B), time/temperature control for safety food; 3-501.17(A)",

	"Raw here: %[1]s. Keep it away from ready food; wash hands, boards and knives after it.": "3-302.11, 3-304.11, 2-301.14",

	"%q is served with raw %s, and the file does not say that they are pasteurised%s": "3-302.13",
	tongue.InOil:      inOilAdvice,
	tongue.Histamine:  scombroid,
	tongue.Lime:       "it burns: OSHA, Chemical Sampling Information, Calcium hydroxide, after the NIOSH Pocket Guide; food grade: 21 CFR 184.1205, and 184.1210 from memory; the rest: " + commonPractice,
	tongue.Burns:      "goggles, gloves, 15 minutes of water and a doctor: DOE-HDBK-1015/2-93, Corrosives; apart from food: 7-201.11, from memory",
	tongue.Lye:        "goggles, gloves, 15 minutes of water and a doctor: DOE-HDBK-1015/2-93, Corrosives; that water heats it and that it eats aluminium, tin and zinc: NIOSH Pocket Guide, Sodium hydroxide, from memory; food grade: 21 CFR 184.1763 and 184.1631, from memory; locked up and apart: 7-201.11, from memory; the rest: " + commonPractice,
	week.PastDateSaid: "3-501.17(C), 3-501.18",
	"nobody is there to read it then: cool it in an ice bath, in shallow pans, so that it is that cold and read before the last leaves at %[1]s": "3-501.15, ways to cool: shallow pans, an ice bath; 3-501.14(A)",
	tongue.TakeInCold: "3-202.11(A); " + scombroid,
	"raw food that is served raw, with the advisory, is ready to eat (%[1]s, from memory)":                                                                  "1-201.10(B), ready-to-eat food; 3-401.11(D); 3-603.11",
	"in oil or fat %[1]s at most, the day made counted":                                                                                                     inOilAdvice,
	"in oil or fat %[1]s at most, counted from %[2]s, the day of the %[3]s":                                                                                 inOilAdvice,
	"in oil or fat %[1]s at most, counted from %[2]s, the day of the %[3]s; %[4]s in the freezer not counted":                                               inOilAdvice,
	"supplier's letter on parasites: %[1]s":                                                                                                                 "3-402.11, 3-402.12",
	"the letter is kept (%[1]s, from memory)":                                                                                                               "3-402.12",
	"it carries the day 1 of its oldest part, which is not on record, and the kitchen file names no approval":                                               commonPractice + ": no number of days there; 3-501.17(C) has it so",
	"%[1]s from the day 1 of %[2]s: the kitchen's own days, for the code sets none":                                                                         commonPractice + ": no number of days there; 3-501.17(C) has it so",
	"the kitchen's %[1]s from the day 1 of %[2]s end %[3]s":                                                                                                 commonPractice + ": no number of days there; 3-501.17(C) has it so",
	"%[1]s of %[2]s are used when it is frozen (%[3]s); whether frozen time counts is for your local code to say":                                           toLocalCode,
	"frozen %[1]s: this day does not count":                                                                                                                 "3-501.18",
	"frozen %[1]s to %[2]s: these days do not count":                                                                                                        "3-501.18",
	"frozen %[1]s, the last time until %[2]s: these days do not count":                                                                                      "3-501.18",
	"%q keeps %d days with %s in oil: botulism can grow there without a sign, published advice is %d days in the cold at most, and every date goes by that": inOilAdvice,
	"write %s, or let what it is made of keep less; more days are for your local authority to judge":                                                        inOilAdvice,
	"write \"keeps: 4 days\" or \"frozen: yes\"; more days are for your local authority to judge":                                                           inOilAdvice,
	"raw fish, NOT STATED whether it was frozen against parasites or needs no freezing; see the supplier's letter: %[1]s":                                   "3-402.11",
	"%q is served with raw %s: see the supplier's letter that it was frozen against parasites, or needs no freezing%s":                                      "3-402.11",
	"raw eggs, NOT STATED whether pasteurised: %[1]s":                                                                                                       "3-302.13",
	"write \"pasteurised: yes\" on them if they are":                                                                                                        "3-302.13",
	"Of fish that is served raw: what the supplier's letter says of parasites (frozen how cold and how long, or why it needs none), and its date.":          "3-402.11",
	"yes: of raw eggs, that they are pasteurised, and so not raw.":                                                                                          "3-302.13",

	"Does the pot cook through what goes in raw?": "3-401.11",
	"no, it stays raw":                            "3-401.11",
	"By the limits of your local code.":           toLocalCode,
	"raw meat, fish or egg":                       "3-401.11",
	"  Is it raw meat, fish or egg? y or n":       "3-401.11",
	"# What comes from outside. \"allergens: [milk, wheat]\" says what the label says, [] that it has none; \"raw: yes\" is raw meat, fish or egg.": "3-401.11",
	"%q takes %s, which %s raw, and does not say whether it cooks through":                                                                          "3-401.11",
	"cook through, by the limits of your local code":                                                                                                toLocalCode,
	"raw food in it: the kitchen file does not say whether it is cooked through here":                                                               "3-401.11",
	"Cook through: %[1]s.":             "3-401.11",
	"cook through by the limits below": "3-401.11",
	"cook through: %[1]s":              "3-401.11",
	"it cooks through here":            "3-401.11",
	"raw in it, and the kitchen file does not say whether it is cooked through at the pass: %[1]s":       "3-401.11",
	"say which of what is new is raw meat, fish or egg (raw: yes), and what its labels say of allergens": "3-401.11",
	"write \"cooks through: yes\", or \"cooks through: no\" for what stays raw":                          "3-401.11",

	"Cook fish, whole cuts, and eggs that are cooked as they are ordered to %[1]s for %[2]s seconds (%[3]s); roasts have a table of their own.":                                                                                   "3-401.11(A)(1), (B)",
	"cook poultry, wild game and stuffed food to 74 °C (165 °F); what is ground, tenderised or injected, and eggs not cooked to order, to 68 °C (155 °F) for 17 s; fish, whole cuts and eggs to order to 63 °C (145 °F) for 15 s": "3-401.11(A)(1) to (3)",
	"fish, whole cuts and eggs to order to %[1]s for %[2]s s, roasts by a table of their own":                                                                                                                                     "3-401.11(A)(1), (B)",

	"Cook what is ground, tenderised or injected, and eggs that are not cooked as they are ordered, to %[1]s for %[2]s seconds (%[3]s).": "3-401.11(A)(2)",
	"what is ground, tenderised or injected, and eggs not to order to %[1]s for %[2]s s":                                                 "3-401.11(A)(2)",

	"Cook poultry, wild game and what is stuffed to %[1]s (%[2]s).": "3-401.11(A)(3)",
	"poultry, wild game and what is stuffed to %[1]s":               "3-401.11(A)(3)",

	"whole roasts: by the table there, such as 63 °C (145 °F) for 4 min": "3-401.11(B)",

	"%q both cooks through and reheats": "3-401.11, 3-403.11",
	"%q reheats %s, which %s raw":       "3-401.11, 3-403.11",
	"Does the pot cook through what goes in raw, by the limits of your local code? y or n":      "3-401.11",
	"Do you serve %[1]s with %[2]s cooked through?":                                             "3-401.11",
	"Do you serve %s with %s cooked through?":                                                   "3-401.11",
	"no, so it counts as raw":                                                                   asWritten,
	"the day from which date marks run, and what counts as raw":                                 "3-501.17(A)",
	"the day from which date marks run, and what counts as raw in %[1]s":                        "3-501.17(A)",
	"what counts as raw in ":                                                                    asWritten,
	"what counts as raw in %[1]s":                                                               asWritten,
	" takes gives batches starts vessel cooks through ":                                         aName,
	"remove one of the two: what was raw is cooked through, what was cooked before is reheated": "3-401.11, 3-403.11",
	"write \"cooks through: yes\" if it does; \"reheats\" is for what was cooked before":        "3-401.11, 3-403.11",
	"write \"cooks through: yes\" or \"reheats: yes\", or remove the key":                       "3-401.11, 3-403.11",

	"a rushed batch is cooked through, cooled and held like any other (%[1]s); local code comes first": "3-401.11, 3-501.14, 3-501.16",
	"a rushed batch is cooked through, cooled and held like any other; local code comes first":         "3-401.11, 3-501.14, 3-501.16",

	"yes: it is raw food of an animal. What is made of it is raw too until a step cooks it through, and carries no date mark until then; a dish that is raw when it is served says so.": "3-401.11, 3-501.17(A)",

	"reheat for hot holding, all parts of it, to 74 °C (165 °F) for 15 s within 2 h; in a microwave stirred or turned and covered, then left covered for 2 min; what a plant packed ready to eat, just opened, to 57 °C (135 °F)": "3-403.11",

	"Reheat what is to be held hot to %[1]s for %[2]s seconds within %[3]s (%[4]s).": "3-403.11(A), (D)",
	"to be held hot, reheat to %[1]s within %[2]s (%[3]s)":                           "3-403.11(A), (D)",
	"to be held hot, reheat to %[1]s within %[2]s, by %[3]s (%[4]s)":                 "3-403.11(A), (D)",

	"%[1]s to %[2]s within %[3]s, by %[4]s if cooling begins at %[5]s (%[6]s)": "3-501.14(A)",
	"%[1]s to %[2]s within %[3]s, by %[4]s if cooling begins on %[5]s (%[6]s)": "3-501.14(A)",
	"%[1]s or colder by %[2]s":                                   "3-501.14(A)",
	"Cool cooked food from %[1]s to %[2]s (%[3]s).":              "3-501.14(A)",
	"Cool cooked food from %[1]s to %[2]s within %[3]s (%[4]s).": "3-501.14(A)",
	": cool it before anything else":                             "3-501.14(A) for the time; the order: " + commonPractice,
	": cool it before anything else; what can be done cold (%[1]s) waits for that where the step's \"work\" says \"warm or cold\"": "3-501.14(A) for the time; the order: " + commonPractice,
	"How long it keeps hands busy, by act: 45 min; 20 min + 5 min a batch; 5 min an hour; behind that \"at 3 h\", when it is not at the act's own stage, \"with 2 people\", and of what must be cooled \"once cold\", \"warm or cold\" or \"while warm\". Acts with a stage of their own: . What is not written is guessed, and told so.":                                                                                                                                                              "3-501.14(A)",
	"How long it keeps hands busy, by act: 45 min; 20 min + 5 min a batch; 5 min an hour; behind that \"at 3 h\", when it is not at the act's own stage, \"with 2 people\", and of what must be cooled \"once cold\", \"warm or cold\" or \"while warm\". Acts with a stage of their own: light, load, fill, put in, take out, skim, stir, turn, baste, tend, pull, pick, bone out, strain, drain, press, slice, portion, pack, wrap, chill, cool, wash. What is not written is guessed, and told so.": "3-501.14(A)",
	"Cooling broke a limit: ":                        "3-501.14(A)",
	"Cooling broke a limit: %[1]s":                   "3-501.14(A)",
	"Read the temperature of %[1]s: %[2]s or colder": "3-501.14(A)",
	"To cool: %[1]s":                                 "3-501.14(A)",
	"check the number and its scale; food that was reheated starts a new log, as  #2":               "3-501.14(A)",
	"the first reading is already below %[1]s, and how long it had cooled by then was not recorded": "3-501.14(A)",

	// The limit that [logbook.Entry.Beside] puts beside a reading names its own section; these are those of cold, hot and what is reheated.
	"%[1]s or colder, %[2]s":                         "3-501.16(A)",
	"%[1]s or hotter, %[2]s":                         "3-501.16(A), 3-403.11(A)",
	"Limit %[1]s or colder, %[2]s: %[3]s":            "3-501.16(A)",
	"Limit %[1]s or hotter, %[2]s: %[3]s":            "3-501.16(A), 3-403.11(A)",
	"cool it, or hold it at %[1]s or hotter (%[2]s)": "3-501.14(A), 3-501.16(A)",

	"what a law lets come in warmer than 5 °C (41 °F), such as milk and shellfish: to 5 °C (41 °F) or colder within 4 h": "3-501.14(C)",

	"raw eggs in the shell: at once into air of 7 °C (45 °F) or colder": "3-501.14(D)",

	"cool in one or more ways that suit the food: shallow pans, small or thin portions, quick chillers, stirred in a pan in ice water, containers that let the heat out, ice as an ingredient; covered loosely, or open where nothing can fall in": "3-501.15",

	"Hold cold at %[1]s or below (%[2]s).": "3-501.16(A)",
	"Hold hot at %[1]s or above (%[2]s).":  "3-501.16(A)",
	"roasts cooked by the tables of 3-401.11(B), or reheated by 3-403.11(E), may be held hot at 54 °C (130 °F)": "3-501.16(A)",

	"    # Whether what goes in raw is cooked through when it is out: cooks through: yes, or no. As long as nobody says, it counts as raw.": "3-401.11",
	"%[1]s, day 1 being the day on which it was off the heat (%[2]s)":                                                                       "3-501.17(A)",
	"%q keeps %d days, but %d of %d are used up when it is out: day 1 is the day on which it is off the heat (%s)":                          "3-501.17(A)",
	"the most that ready food is held cold, the day made being day 1: %[1]s":                                                                "3-501.17(A)",
	"Which allergens are in %[1]s, by the label?":                                                                                           allergenLists,
	"%[1]s, day 1 being the day made (%[2]s)":                                                                                               "3-501.17(A)",
	"%[1]s, use by %[2]s": "3-501.17(A)",
	"%q keeps %d days, but ready food is held cold for %d, the day made being day 1 (%s)":     "3-501.17(A)",
	"Days that ready food may be held cold, the day made being day 1: %[1]s at most (%[2]s).": "3-501.17(A)",
	"Use by %[1]s, end of day":                                          "3-501.17(A)",
	"Use by NOT KNOWN":                                                  "3-501.17(A)",
	"raw: a date mark is for ready food (%[1]s)":                        "3-501.17(A)",
	"the most that ready food is held cold, the day made being day 1: ": "3-501.17(A)",
	"yes: it cooks its contents through, and what was raw begins a day 1; no: what is raw stays raw. What is ready to eat keeps the earliest day 1 of what it is made of, cooked again or not.": "3-501.17(A)",

	"%s %s%s: day 1 was %s%s, its last day %s": "3-501.17(A), (C)",
	"%s, lot %s: day 1 is %s%s":                "3-501.17(A), (C)",
	"Day 1 is %[1]s, from %[2]s":               "3-501.17(A), (C)",
	"Day 1: %[1]s":                             "3-501.17(A)",
	"Day 1: %[1]s (%[2]s)":                     "3-501.17(A), (C)",
	"\"cooks through: yes\" begins a day 1 for what is \"raw: yes\", and ready food keeps its own; \"date mark: no\" is for what needs no time and temperature control": "3-501.17(A), (C)",

	"once thawed %[1]s, that day counted": "3-501.17(A), 3-501.18",

	"packs of ready food that were opened have a day 1 of their own, the day of opening: mark them by hand": "3-501.17(B)",

	"%[1]s from the day 1 of %[2]s (%[3]s)": "3-501.17(C)",
	"its own step does not carry %q on from yesterday, so that an approval begins no new day 1 for it":      "3-501.17(C)",
	"the step that carries %q on does not cook it through, so that the approval begins no new day 1 for it": "3-501.17(C)",
	"write \"cooks through: yes\" under that step if it does, or remove the key":                            "3-501.17(C)",
	"%q carries the day 1 of the first batch that it was ever seeded from, so that no day is left (%s)":     "3-501.17(C)",
	"Who has approved, in writing, that what is carried on from yesterday begins a new day 1 each time that it is cooked through: the authority and its letter. It stands on labels and answers. Without it a perpetual stock carries the day 1 of its oldest part.": "3-501.17(C)",
	"it carries the day 1 of its oldest part, which is not on record (%[1]s), and the kitchen file names no approval":                                                                                                                                                "3-501.17(C)",
	"yes: it heats what was cooked before, which keeps its day 1.": "3-501.17(C)",

	"Its last day by the date mark was %[1]s: do not serve it. Bin it, and log it binned.":                                                       "3-501.18",
	"NO DAY IS LEFT: what is in it was past its last day when this was made":                                                                     "3-501.18",
	"PAST ITS DATE MARK by the food code, so it is not counted. Do not serve it: bin it with \"kettletree log binned --past\"":                   "3-501.18",
	"PAST THE DATE MARK of the food code, so it is not counted: %[1]s; do not serve it: look at what is on hand, and write it down as binned":    "3-501.18",
	"PAST THE DATE MARK of the food code, so it is not counted: %s; do not serve it: kettletree on-hand shows it, log binned --past bins it":     "3-501.18",
	"discard what is past its date mark or was too warm (frozen time is not counted), what bears no mark, and what bears a day that is too late": "3-501.18",
	" last day by the date mark was ":                "3-501.18",
	"%[1]s, lot %[2]s: day 1 is %[3]s, of the %[4]s": "3-501.17(C)",
	"%[1]s: day 1 was %[2]s, its last day %[3]s":     "3-501.17(A)",
	"Day 1 is earlier than the day made":             "3-501.17(C)",
	"PAST ITS DATE MARK by the food code, so it is not counted. Do not serve it: bin it, and write it down on the Log page": "3-501.18",
	"Past its date, so it is not counted: bin it, and write it down on the Log page":                                        asWritten,
	"Nothing was logged as it cooled":                        asWritten,
	"Local code and the people licensed to judge come first": toLocalCode,
	"ADDS ALLERGENS: . ":                                     allergenLists,
	"ALLERGENS UNKNOWN: . ":                                  allergenLists,
	"its last day by the date mark was %[1]s":                "3-501.18",
	"their last day by the date mark was %[1]s":              "3-501.18",
	"remove the row once it is thrown out; \"date mark: no\" is for what needs no time and temperature control, \"frozen: yes\" for what is held frozen": "3-501.18",
	"the %d days of %q ended on %s (%s), so it is not counted: do not serve it":                                                                          "3-501.18",
	"yes: it is held frozen, and the time that it is frozen does not count for its date mark.":                                                           "3-501.18",

	"held by time only: the procedures are written down beforehand and kept at hand": "3-501.19(A)",

	"held by time only, from 5 °C (41 °F) or colder or 57 °C (135 °F) or hotter: mark the time, serve or discard within 4 h; discard what is not marked": "3-501.19(B)",

	"held by time only, ready to eat: produce just cut and what comes out of a can or pack just opened, from 21 °C (70 °F) or colder and never above it: mark the time, serve or discard within 4 h": "3-501.19(B)(2)",

	"held by time only, from 5 °C (41 °F) or colder and never above 21 °C (70 °F): mark the time, serve or discard within 6 h; discard what is not marked": "3-501.19(C)",

	"Allergens by dish":             "3-602.12(C)",
	"dish by allergen, as a notice": "3-602.12(C)",
	"unknown: the kitchen file states nothing of something in it. Read the package before you answer a guest": "3-602.12(C)",

	"Allergens, and what brings each. Ask the person in charge before you answer a guest.": "3-602.12(C), 2-103.11; whom to ask: " + commonPractice,

	"%[1]s asks for this advisory, and that the menu marks the dishes that it is for (%[2]s, from memory): ask your local authority for its wording": "3-603.11",
	"served raw or undercooked: %[1]s": "3-603.11",
	"yes: what is raw in it is cooked through for each order; no: it is served raw or undercooked, and says so.": "3-603.11",

	"Consuming raw or undercooked meats, poultry, seafood, shellfish, or eggs may increase your risk of foodborne illness.": "3-603.11(C)",

	"cool as quickly as possible; no figure is named": "852/2004, Annex II, chapter IX(6)",

	"no time to cool in stands in %[1]s: as quickly as possible": "852/2004, Annex II, chapter IX(6), retained in the UK",

	"Reheat to %[1]s within %[2]s of leaving the cold (%[3]s).":                  "CXC 39-1993, reheating",
	"reheat the core to 75 °C (167 °F) or hotter within 1 h of leaving the cold": "CXC 39-1993, reheating",
	"reheat to %[1]s within %[2]s of leaving the cold (%[3]s)":                   "CXC 39-1993, reheating",

	"Hold hot above %[1]s (%[2]s).":           "ssi/2006/3, Schedule 4, paragraph 2",
	"cool it, or hold it above %[1]s (%[2]s)": "ssi/2006/3, Schedule 4, paragraph 2",
	"after cooking, cool it under hygienic conditions as quickly as possible; no time is named":                              "ssi/2006/3, Schedule 4, paragraph 2(2)(c)",
	"hold hot above 63 °C (145.4 °F), or keep it in a refrigerator or a cool, ventilated place; no figure is named for cold": "ssi/2006/3, Schedule 4, paragraph 2",

	"on display once: under 4 h above 8 °C (46.4 °F), under 2 h below 63 °C (145.4 °F)": "Schedule 4",

	"Reheat to %[1]s (%[2]s).":                                    "ssi/2006/3, Schedule 4, paragraph 3",
	"reheat to %[1]s (%[2]s)":                                     "ssi/2006/3, Schedule 4, paragraph 3",
	"reheat to 82 °C (179.6 °F) or hotter, unless that spoils it": "ssi/2006/3, Schedule 4, paragraph 3",

	" ADDS ALLERGENS: .": allergenLists,
	" MAY CONTAIN: .":    allergenLists,
	" The allergens are those that the kitchen file states: check them against the packages. What was not written down, such as traces and what a pan held before, is not here.": allergenLists,
	"%[1]s takes %[2]s in place of %[3]s, which may contain %[4]s":    allergenLists,
	"%[1]s takes %[2]s in place of %[3]s; allergens UNKNOWN of %[4]s": allergenLists,
	"%q states no allergens, though its name holds %s":                allergenLists,
	", which may contain ": allergenLists,
	". ADDS ALLERGENS: ":   allergenLists,
	". MAY CONTAIN: ":      allergenLists,
	": [] only where the package says that it is so, by every list that you go by": allergenLists,
	"; \"allergen list\" takes the kitchen's own codes too":                        allergenLists,
	"; allergens UNKNOWN of ":    allergenLists,
	"ADDS ALLERGENS: %[1]s":      allergenLists,
	"ALLERGENS UNKNOWN: %[1]s":   allergenLists,
	"ALLERGENS:  , by the file.": allergenLists,
	"Allergens are as the kitchen file states them: check them against the packages.": allergenLists,
	"Allergens it brings: %[1]s.": allergenLists,
	"And %d more, without allergens that the file states; --json has them all.": allergenLists,
	"MAY CONTAIN: %[1]s":                     allergenLists,
	"May contain %[1]s":                      allergenLists,
	"No allergen more, by the kitchen file.": allergenLists,
	"No listed allergens, per kitchen file":  allergenLists,
	"Off the card, with allergens":           allergenLists,
	"Read the packages all the same.":        allergenLists,
	"The allergens in it, by the codes of the allergen list, fish, crustaceans and tree nuts with their kind; [] states that it has none of the list, and leaving the key out states nothing.": allergenLists,
	"The allergens that it may contain by its package, such as of a shared line.":                                                                                                              allergenLists,
	"The allergens that what comes of it may contain, by what is shared with other food: a fryer, a board, a grill.":                                                                           allergenLists,
	"UNKNOWN: %[1]s. Read the package":                            allergenLists,
	"US major food allergens":                                     allergenLists,
	"Which allergens are in %s, by the label? Write [] for none.": allergenLists,
	"Which of these always has this allergen: %[1]s?":             allergenLists,
	"Whose codes stand behind \"allergens\": us (nine), eu (fourteen), or a list of the kitchen's own codes, in which us and eu stand for all of theirs. Both us and eu when not written.": allergenLists,
	"\"May contain\": the lot was on hand with others, and nobody logged which of them was taken. Amounts are first in, first out, which does not prove that a lot was used up.":           allergenLists,
	"%q is no allergen: it would be listed as one":                                allergenLists,
	"allergen %q is not on the kitchen's allergen list":                           allergenLists,
	"declared free: the kitchen file states that nothing in it has this allergen": allergenLists,
	"for what is made next: made, use by, allergens, lot":                         allergenLists,
	"labels for what is made on a day: made, use by, allergens, lot":              allergenLists,
	"may contain %[1]s": allergenLists,
	"may contain: by its package, or by what is shared with other food": allergenLists,
	"read the package": allergenLists,
	"read the package, then write allergens: [%s], or [] if it has none of the list":               allergenLists,
	"the allergens of each dish, and what brings each of them":                                     allergenLists,
	"what you buy in has a maker, a date and allergens of its own: ask for them before you use it": allergenLists,
	"with --grid: by which way each allergen comes":                                                allergenLists,

	"Before a substitute is offered, check its allergens against the label and your local rules: this knows only what the kitchen file states.":   toLocalCode,
	"By %[1]s. Local code and licensed judgement come first.":                                                                                     toLocalCode,
	"Check a substitute's allergens against its label and your local rules before you serve it. Only what the kitchen file states is known here.": toLocalCode,
	"Check the label of what you take, and your local rules: this knows only what the kitchen file states.":                                       toLocalCode,
	"Limits: %[1]s. Your local code comes first.":                                                                                                 toLocalCode,
	"Local code and the people licensed to judge come first. The allergens are those that the kitchen file states: check them against the packages. What was not written down, such as traces and what a pan held before, is not here.": toLocalCode,
	"Local code and the people licensed to judge come first. This states only what was logged, and which limits of the code named that meets or breaks.":                                                                                toLocalCode,
	"Local code and the people licensed to judge come first.":                                                                                                                toLocalCode,
	"Temperatures are shown as they were read. For what is safe in cooling and holding, go by your local code.":                                                              toLocalCode,
	"The code whose limits on cooling, holding and date marks are cited;  when not written.":                                                                                 toLocalCode,
	"Today is the last day, unless it says more. Check the date mark and your local code before serving.":                                                                    toLocalCode,
	"Use up only what is within its date mark, kept and reheated as your local code asks. Check allergens against the labels: this knows only what the kitchen file states.": toLocalCode,
	"What this kitchen's food code says, %[1]s:":                                                                                                                             toLocalCode,
	"Where local code, or someone licensed to judge, says otherwise, do as they say. This guide does not replace training.":                                                  toLocalCode,
	"Your local code, and the people licensed to judge, come first.":                                                                                                         toLocalCode,
	"write \"parasite letter: ...\" on it, what the letter says and its date; which fish needs no freezing is for your local authority to say":                               toLocalCode,
	"ask your local authority which advisory it wants":                                                                                                                       toLocalCode,
	"before you serve what is used up, check its date mark, and follow your local code":                                                                                      toLocalCode,
	"check the allergens of a substitute or a special against the label and your local rules before you serve it; only what the kitchen file states is known here":           toLocalCode,
	"cool what comes out, or hold it hot, within the time in your local code; this list does not judge whether food is safe":                                                 toLocalCode,

	" +(?:lot|hot holding|cold holding|reheating) | +[-+−]?[0-9]": aName,
	" price pack from arrives keeps allergens ":                   aName,
	"Food Code 2022":        aName,
	"US FDA Food Code 2022": aName,
	"in %d raw":             aName,

	"%q is on the fire at %s on %s, and by \"hands\" %s there: nobody tends a fire alone at night (common practice; mind the fire code)": commonPractice,
	"Allergens here: %[1]s. Clean hands, boards and tools before the next thing.":                                                        commonPractice,
	"Hot fat catches fire and spits: nothing wet goes in, never leave it alone, never put it out with water.":                            commonPractice,
	"Lower things into a boiling pot, do not drop them: it splashes.":                                                                    commonPractice,
	"Say \"behind you\" and \"hot\" when you carry something hot.":                                                                       commonPractice,
	"Steam burns before you see it: lift a lid away from you, and stand back when a pot is opened or drained.":                           commonPractice,
	"hot stock scalds and hot fat burns: dry tools, a clear path, a lid at hand, never water into hot fat":                               commonPractice,
	"larger lots cool more slowly: keep to the times and temperatures of your local code":                                                commonPractice,
	"nobody lifts a full pot: ladle or draw it off, and let two people carry what is heavy":                                              commonPractice,
	"nobody tends a fire alone at night, and no fire is left unattended; mind the fire code":                                             commonPractice,

	"  , past its date": asWritten,
	"%[1]s is past its date, so it is not counted: look at what is on hand, and write it down as binned":                 asWritten,
	"%[1]s items are past their dates, so they are not counted: look at what is on hand, and write them down as binned":  asWritten,
	"%d items are past their dates, so they are not counted: kettletree on-hand shows them, log binned --past bins them": asWritten,
	"%s is colder than food that cools can be":                                                          asWritten,
	"%s is colder than the air that it cools in, %s":                                                    asWritten,
	"%s is hotter than food that cools can be":                                                          asWritten,
	"%s is past its date, so it is not counted: kettletree on-hand shows it, log binned --past bins it": asWritten,
	"Date mark approved by %[1]s, per kitchen file":                                                     asWritten,
	"Nothing was logged as it cooled.":                                                                  asWritten,
	"Past its date, so it is not counted: bin it with \"kettletree log binned --past\"":                 asWritten,
	"nothing is past its date":                                                                          asWritten,
	"with binned: all that is past its date":                                                            asWritten,
}
