// Package takeover takes over what a kitchen has in spreadsheets: recipes, and the price lists of suppliers.
//
// A file is text (commas, semicolons, tabs; UTF-8, UTF-16, Windows-1252) or a workbook, read as package logbook reads deliveries: within
// bounds, and refused as a whole where it is cut off, too large, or has formulas without results. Its columns are known by their headers
// ([columns]), or by what somebody said of them once ([Columns]), which is kept beside the kitchen file.
//
// [Recipes] reads rows of dish, ingredient, amount and unit, or a recipe a sheet or block, with its title above; [Into] lays them into a
// kitchen file: what is used in another recipe is a step, what is not is a dish, by portion; what nobody knows yet is bought, and its price
// an open question. [Prices] reads a supplier's list and changes prices and packs.
//
// Both change the text by the edits of package kitchen, so that comments and layout stay, and give a [Taking]: the text as it would be, and
// all that was left out, taken as something else, or is to be looked at. Nothing is written here. An amount that can't be read is never
// turned into another one, and takes nothing off a card: its line stays there as it was, or is written as "some g flour", so that its allergens
// count and its amount is an open question. A price is taken for a name that is one of ours; one that is only near is asked about.
package takeover
