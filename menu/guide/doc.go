// Package guide explains a kitchen to a cook who is new in it: how all hangs together, what happens to the pot hour by hour, what
// is done at each station, where each item comes from and goes to and what to do when it runs out, what lies on each plate, where the
// kitchen is weak, what can hurt; and questions to see whether it was understood. It shows no price.
//
// # Model
//
// [Of] asks the week what other packages answer (the map, the timetable, allergens, losses) and lays the answers side by side in a
// [Guide], a plain value. What follows when an item is missing is the difference of two walks, with and without it
// ([week.Week.Missing]: no delivery, nothing of it from any step, what is on hand thrown out). A dish "stops" when it sold something
// in the undisturbed week and nothing without the item, it sells "fewer" when it sold less, and else it "goes on". A perpetual stock
// of which nothing is on hand is taken as there on the first morning, and the guide says so.
//
// The questions take right and wrong options from the same walks, so that no answer is written by hand; a test judges each again over
// random kitchens. Their order is a hash of the file's digest: a file has one order.
//
// # Languages
//
// The kitchen is said under the names that its file gives in the language ([week.Week.InLanguage]), so every answer comes out
// translated without knowing it. Two tags are one language when base and script agree (es-MX is es, zh-TW is not zh).
// [Guide.Page] and [Guide.Markdown] put sentences around the names, by the tables in words.go and of package tongue, whose keys are the English
// sentences; a test reads the package's source and finds any sentence that is said and not in the table. Sections are made of text
// once (section.go), and HTML and Markdown only lay them out. Text in another language than the page's goes through a sentence
// between two signs of the private use area, which no name can hold, and is marked; so is a name without a translation. Stations,
// phases, services and suppliers have no entries of their own in a kitchen file: "also" at its top has their names.
//
// An amount stands as it is said: 14 hens, ½ lime; 88 L de agua, 14 gallinas; 鸡蛋 40 个. All sentences side by side stand in
// testdata/glossary.md, for whoever reviews them.
//
// The translations into Spanish and Chinese are our own. No native speaker who works in a kitchen has reviewed them, nor the names in
// the examples: have that done before anyone relies on them, first of all for cautions and allergens. A translated allergen has the
// file's own word behind it, for that is what stands on labels.
package guide
