package takeover

import (
	"archive/zip"
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
	"golang.org/x/text/encoding/charmap"
	"pgregory.net/rapid"

	"kettletree/menu/kitchen"
)

// book is a workbook with sheets of rows.
func book(t require.TestingT, sheets ...any) []byte {
	f := excelize.NewFile()
	for n := 0; n < len(sheets); n += 2 {
		name := sheets[n].(string)
		_, err := f.NewSheet(name)
		require.NoError(t, err)
		for at, row := range sheets[n+1].([][]any) {
			cell, err := excelize.CoordinatesToCellName(1, at+1)
			require.NoError(t, err)
			require.NoError(t, f.SetSheetRow(name, cell, &row))
		}
	}
	require.NoError(t, f.DeleteSheet("Sheet1"))
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

// taken lays recipes into a kitchen file, and gives its text.
func taken(t require.TestingT, src, name string, file []byte, m Manner) (*Taking, string) {
	f, asks, found := Recipes(name, file, m)
	require.NoError(t, found.Err())
	require.Nil(t, asks)
	var k *kitchen.Kitchen
	if src != "" {
		var faults kitchen.Diagnostics
		k, faults = kitchen.Read("kitchen.yaml", []byte(src))
		require.NotNil(t, k, "%v", faults)
	} else {
		src = string(Head(name, "Test"))
	}
	taking, text, err := Into("kitchen.yaml", []byte(src), k, f, m)
	require.NoError(t, err)
	if text == nil {
		return taking, src
	}
	return taking, string(text)
}

// rows are the rows of dish, ingredient, amount, unit that many offices keep.
const rows = `Dish;Ingredient;Amount;Unit
Birria;Beef shank;150;g
;Consommé;0,3;L
;Onions;20;g
Consommé;Beef shank;10;kg
;Water;36;L
;Bay leaf;;q.s.
Tostada;Consommé;1 Tasse;
`

func TestRowsOfDishes(t *testing.T) {
	taking, text := taken(t, "", "cards.csv", []byte(rows), Manner{})
	assert.Contains(t, text, "  Birria: {takes: [150 g Beef shank, 0.3 L Consommé, 20 g Onions]}\n", "blank dishes go on with the one above, decimals are commas")
	assert.Contains(t, text, "  Consommé: {takes: [10 kg Beef shank, 36 L Water, some g Bay leaf], gives: [some L Consommé], batches: as needed}\n", "found by its name")
	assert.Contains(t, text, "  Tostada: {takes: [some mL Consommé]}\n", "it goes in, and nobody knows how much")
	assert.Contains(t, text, "  Onions: {}\n")
	assert.Empty(t, taking.Left)
	require.Len(t, taking.Unsaid, 2)
	assert.Contains(t, taking.Unsaid[1].Why, "counted in one place and weighed in another", "a Tasse is a word that nobody knows here")
	assert.Equal(t, Unsaid{Left{"cards.csv, row 7", "Bay leaf | q.s.", "there is no amount"}, "some g Bay leaf"}, taking.Unsaid[0])
}

// A recipe a sheet, with its title, what it is for and what it comes to above.
// Units stand right of the amounts, and nobody wrote a header above them.
func TestUnitsWithoutAHeader(t *testing.T) {
	_, text := taken(t, "", "cards.csv", []byte("Dish,Ingredient,Amount,\nChips,Potato,200,g\n,Lard,1,kg\n,Egg,2,\n"), Manner{})
	assert.Contains(t, text, "  Chips: {takes: [200 g Potato, 1 kg Lard, 2 each Egg]}\n")
	_, text = taken(t, "", "cards.csv", []byte("Dish,Ingredient,Amount,Notes\nChips,Potato,2,g\n"), Manner{})
	assert.Contains(t, text, "  Chips: {takes: [2 each Potato]}\n", "a column with a header of its own is no unit")
}

func TestSheets(t *testing.T) {
	file := book(t, "Pozole", [][]any{{"Red pozole"}, {"Portions", 40}, {"Menu price", 14.5}, {}, {"Qty", "Unit", "Ingredient"}, {16, "L", "broth"}, {5, "kg", "HOMINY"}, {"1-1/2", "lb", "oregano, dry"}},
		"2", [][]any{{"Recipe: Broth"}, {"Yield: 60 L"}, {"Ingredients"}, {"12 kg pork bones"}, {"70 L of water"}, {"3 lb 4 oz salt"}, {"4 onions"}, {"2 bunches cilantro"}})
	_, text := taken(t, "", "book.xlsx", file, Manner{})
	assert.Contains(t, text, "  Red pozole: {takes: [400 mL Broth, 125 g hominy, 0.6 oz oregano dry], price: 14.50}\n")
	for _, line := range []string{"12 kg pork bones", "70 L water", "3.25 lb salt", "4 each onions", "2 bunches cilantro", "60 L Broth"} {
		assert.Contains(t, text, line)
	}
}

// What the kitchen has is changed in place: notes, comments and order stay. Taken again, nothing changes.
func TestRecipesOfAKitchen(t *testing.T) {
	const src = `# ours
kitchen: Corner
bought:
  beef shin: {price: 9/kg}   # from the market
  water: {price: 0/L}
  onion: {price: 1/kg}
steps:
  shin pot:
    takes: [20 kg beef shin, "26 L water, in at 1 h", 3 kg onion]     # the card
    gives: [30 L stock]
    batches: {tue: 1}
dishes:
  soup: {price: 6, takes: [300 mL stock, 20 g onion], sells: 9}
`
	file := "dish,ingredient,amount,unit\nShin pot,Beef Shin,22,kg\n,water,26,l\n,Thyme,2,bunches\nsoup,Stock,0.3,L\n,onions,20,g\nBroth,shin stock,250,ml\n"
	taking, text := taken(t, src, "cards.csv", []byte(file), Manner{})
	assert.Contains(t, text, `    takes: [22 kg beef shin, "26 L water, in at 1 h", 2 bunches Thyme]     # the card`)
	assert.Contains(t, text, "  soup: {price: 6, takes: [300 mL stock, 20 g onion], sells: 9}\n", "0.3 L is 300 mL")
	assert.Contains(t, text, "  beef shin: {price: 9/kg}   # from the market\n")
	assert.Equal(t, []Taken{{"shin pot", "step", "changed", 3}, {"soup", "dish", "as it was", 2}, {"Broth", "dish", "new", 1}}, taking.Recipes)
	assert.Equal(t, []Alike{{"shin stock", []string{"stock"}}}, taking.Alike, "another thing may have a word more")
	again, same := taken(t, text, "cards.csv", []byte(file), Manner{})
	assert.Equal(t, text, same)
	assert.Empty(t, again.Diff)
}

func TestColumnsAreAsked(t *testing.T) {
	_, asks, found := Recipes("x.csv", []byte("Gericht;Rohstoff;Menge\nGulasch;Rind;2 kg\n"), Manner{})
	require.NoError(t, found.Err())
	require.NotNil(t, asks)
	assert.Equal(t, []string{"ingredient"}, asks.Columns)
	assert.Equal(t, `say it once with --columns "ingredient=Rohstoff"; it is kept for the next list`, asks.Hint())
	said, err := Said(OfRecipes, "ingredient=Rohstoff")
	require.NoError(t, err)
	kept, found := ReadColumns("kitchen.columns", said.CSV())
	require.NoError(t, found.Err())
	assert.Equal(t, said, kept)
	_, text := taken(t, "", "x.csv", []byte("Gericht;Rohstoff;Menge\nGulasch;Rind;200 g\n"), Manner{Columns: kept})
	assert.Contains(t, text, "  Gulasch: {takes: [200 g Rind]}\n")
}

func TestAmounts(t *testing.T) {
	for text, want := range map[string]string{"3 lb 4 oz": "3.25 lb", "1 1/2 cups": "1 1/2 cups", "1-1/2 cups": "1 1/2 cups", "1.5 cups": "1 1/2 cups", "½ cup": "1/2 cup", "1/2 cup": "1/2 cup", "0.5 Bund": "1/2 bunch", "1.3 cups": "1.3 cups", "1.5 kg": "1.5 kg", "2 bunches": "2 bunches", "6 x 750 ml": "4500 mL",
		"2 doz": "2 doz", "4 Bund": "4 bunches", "3 #": "3 lb", "250 gr.": "250 g", "2 x 6 x 1 L": "12 L"} {
		q, rest, _, ok := amountOf(text)
		assert.True(t, ok, text)
		assert.Empty(t, rest, text)
		assert.Equal(t, want, written(q), text)
	}
	for text, want := range map[string]string{"1,5": "1.5", "1.250,50": "1250.50", "1,250.50": "1250.50", "12,50": "12.50", "1.5": "1.5", "1'250.5": "1250.5"} {
		got, err := unsure.plainly(text)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	for _, text := range []string{"1,500", "1.500"} {
		_, err := unsure.plainly(text)
		assert.ErrorContains(t, err, "may be 1.500 or 1500", text)
	}
	got, err := byComma.plainly("1,500")
	require.NoError(t, err)
	assert.Equal(t, "1.500", got)
	got, err = byPoint.plainly("1,500")
	require.NoError(t, err)
	assert.Equal(t, "1500", got)
}

const shop = `kitchen: Shop
suppliers: {butcher: {}, market: {}}
bought:
  beef shin: {price: 9/kg, from: butcher}     # best
  onion: {price: 14.00 for 25 lb, pack: 25 lb, from: market}
  white wine: {price: 6/L, from: market, also from: {butcher: {price: 8/L}}}
  egg: {price: 0.30/each}
  peanut oil: {price: 3/L}
dishes:
  soup: {price: 6, takes: [100 g beef shin, 20 g onion, 10 mL white wine, 1 each egg, 1 mL peanut oil], sells: 9}
`

func prices(t require.TestingT, src, list string, m PriceManner) (*Taking, string) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(src))
	require.NotNil(t, k, "%v", faults)
	taking, text, asks, found := Prices("kitchen.yaml", []byte(src), k, "list.csv", []byte(list), m)
	require.NoError(t, found.Err())
	require.Nil(t, asks)
	if text == nil {
		return taking, src
	}
	return taking, string(text)
}

func TestPrices(t *testing.T) {
	taking, text := prices(t, shop, `Product,Price,Unit,Pack Size
"Beef Shin, choice",10.35,kg,
Onions,$15.50,bag,25 lb
White Wine,60.00,case,6 x 750 mL
EGG,4.20,doz,
Oil,1.00,L,
Napkins,3.00,box,100
`, PriceManner{})
	assert.Contains(t, text, "  beef shin: {price: 10.35/kg, from: butcher} # best\n")
	assert.Contains(t, text, "  onion: {price: 15.50 for 25 lb, pack: 25 lb, from: market}\n")
	assert.Contains(t, text, "  white wine: {price: 60.00 for 4500 mL, pack: 4500 mL, from: market, also from: {butcher: {price: 8/L}}}\n")
	assert.Contains(t, text, "  egg: {price: 4.20/doz}\n")
	assert.Contains(t, text, "  peanut oil: {price: 3/L}\n", "oil is not peanut oil")
	var order []string
	for _, p := range taking.Prices {
		order = append(order, fmt.Sprintf("%s %.3f", p.Item, *p.Change))
	}
	assert.Equal(t, []string{"white wine 1.222", "egg 0.167", "beef shin 0.150", "onion 0.107"}, order, "the largest first")
	assert.Contains(t, strings.Join(taking.Notes, "\n"), "Is that the price of a pack")
	assert.Contains(t, strings.Join(taking.Notes, "\n"), "1 other row of the list is of nothing that the kitchen buys: Napkins")
	again, same := prices(t, text, "Product,Price,Unit\nEGG,4.20,doz\n", PriceManner{})
	assert.Equal(t, text, same)
	assert.Empty(t, again.Prices)
}

// A list of one supplier changes what comes from it, and no one else's price.
func TestPricesOfASupplier(t *testing.T) {
	taking, text := prices(t, shop, "item,price\nbeef shin,9.90/kg\nonion,0.70/kg\nwhite wine,7.50 / L\n", PriceManner{From: "Butcher"})
	assert.Contains(t, text, "beef shin: {price: 9.90/kg, from: butcher}")
	assert.Contains(t, text, "onion: {price: 14.00 for 25 lb,")
	assert.Contains(t, text, "white wine: {price: 6/L, from: market, also from: {butcher: {price: 7.50/L}}}")
	require.Len(t, taking.Left, 1)
	assert.Equal(t, `onion comes from market, not from Butcher: write Butcher under its "also from"`, taking.Left[0].Why)
}

func TestPricesThatCanNotBe(t *testing.T) {
	taking, text := prices(t, shop, "item,price,unit,pack\nbeef shin,9.90,case,\nonion,cheap,kg,\nonion,5,,\negg,2,kg,\nwhite wine,7,L,\nwhite wine 2025,8,L,\n", PriceManner{})
	var whys []string
	for _, l := range taking.Left {
		whys = append(whys, strings.SplitN(l.Why, ":", 2)[0])
	}
	assert.Contains(t, strings.Join(whys, "\n"), "it is not said how much is in a case")
	assert.Contains(t, strings.Join(whys, "\n"), `"cheap" is no price`)
	assert.Contains(t, strings.Join(whys, "\n"), "it is not said for how much that is the price")
	assert.Contains(t, strings.Join(whys, "\n"), "it may be white wine")
	assert.Contains(t, text, "white wine: {price: 7.00/L")
	assert.Contains(t, text, "egg: {price: 0.30/each}")
}

// Files as offices have them, and files that are none.
func TestFilesOfAllKinds(t *testing.T) {
	wide := []byte{0xFF, 0xFE}
	for _, u := range utf16.Encode([]rune(rows)) {
		wide = append(wide, byte(u), byte(u>>8))
	}
	latin, err := charmap.Windows1252.NewEncoder().Bytes([]byte(rows))
	require.NoError(t, err)
	_, want := taken(t, "", "cards.csv", []byte(rows), Manner{})
	for name, src := range map[string][]byte{"UTF-16": wide, "Windows-1252": latin, "tabs": []byte(strings.ReplaceAll(rows, ";", "\t")), "marked": append([]byte("\uFEFF"), rows...),
		"old line ends": []byte(strings.ReplaceAll(rows, "\n", "\r"))} {
		_, text := taken(t, "", "cards.csv", src, Manner{})
		assert.Equal(t, want, text, name)
	}

	whole := book(t, "A", [][]any{{"Ingredient", "Amount"}, {"salt", "1 kg"}, {"pepper"}})
	var bomb bytes.Buffer
	z := zip.NewWriter(&bomb)
	for _, part := range [][2]string{{"xl/workbook.xml", `<workbook><sheets><sheet name="a" id="r1"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<R><Relationship Id="r1" Type="x/worksheet" Target="s.xml"/></R>`}, {"xl/s.xml", strings.Repeat("<row></row>", 7<<20)}} {
		w, err := z.Create(part[0])
		require.NoError(t, err)
		_, err = w.Write([]byte(part[1]))
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	for want, src := range map[string][]byte{
		"workbook":                            whole[:len(whole)/2],
		"more than the 64 that are read":      bomb.Bytes(),
		"more than the 50000 rows":            []byte("ingredient,amount\n" + strings.Repeat("a,1 g\n", 100_000)),
		"file is not text":                    {0xFF, 0xFE, 0x00},
		"there is nothing in the file":        []byte("\n\n"),
		"the quotes in this row do not match": []byte("ingredient,amount\n\"a,1 g\n"),
		"workbook has a password":             append([]byte("\xD0\xCF\x11\xE0"), 1),
	} {
		name := "x.csv"
		if strings.Contains(want, "password") {
			name = "x.xlsx"
		}
		_, _, found := Recipes(name, src, Manner{})
		require.Error(t, found.Err(), want)
		assert.Contains(t, found.Error(), want)
	}
}

// calculated puts formulas without a result into a workbook.
func calculated(t *testing.T, src []byte, sheet string, cells ...string) []byte {
	f, err := excelize.OpenReader(bytes.NewReader(src))
	require.NoError(t, err)
	for _, c := range cells {
		require.NoError(t, f.SetCellFormula(sheet, c, "1+1"))
	}
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	return b.Bytes()
}

// A formula without its result is not taken, with a word on it; all else of the workbook is.
func TestFormulasWithoutResult(t *testing.T) {
	const says = "a formula in this row has no result"
	src := book(t, "Pie", [][]any{{"Menu price", nil}, {"Ingredient", "Amount", "Cost"}, {"salt", "1 kg", nil}, {"pepper"}, {"flour", "2 kg", 3}})
	taking, text := taken(t, "", "a.xlsx", calculated(t, src, "Pie", "B1", "B4", "C3", "C6"), Manner{})
	assert.Contains(t, text, `Pie: {takes: ["1 kg salt, guessed", some g pepper, "2 kg flour, guessed"]}`)
	require.Len(t, taking.Left, 1, "%v", taking.Left)
	require.Len(t, taking.Unsaid, 1, "%v", taking.Unsaid)
	for n, l := range []Left{taking.Left[0], taking.Unsaid[0].Left} {
		assert.Contains(t, l.Where, []string{"row 1", "row 4"}[n])
		assert.Contains(t, l.Why, says)
	}
	// A dish that a formula names: what stands below it is nobody else's.
	src = book(t, "All", [][]any{{"Dish", "Ingredient", "Amount", "Price"}, {"Soup", "stock", "300 mL", nil}, {nil, "leek", "20 g"}, {nil, "ham", "90 g"}, {"Pie", "flour", "80 g", 9}})
	taking, text = taken(t, "", "a.xlsx", calculated(t, src, "All", "D2", "A3"), Manner{})
	assert.Contains(t, text, "Soup: {takes: [300 mL stock]}")
	assert.Contains(t, text, "Pie: {takes: [80 g flour], price: 9.00}")
	require.Len(t, taking.Left, 3, "%v", taking.Left)

	k, _ := kitchen.Read("kitchen.yaml", []byte(shop))
	list := calculated(t, book(t, "P", [][]any{{"Item", "Price", "Unit"}, {"beef shin", nil, "kg"}, {"onion", 1.5, "kg"}}), "P", "B2")
	prices, priced, _, found := Prices("kitchen.yaml", []byte(shop), k, "list.xlsx", list, PriceManner{})
	require.NoError(t, found.Err())
	assert.Contains(t, string(priced), "onion: {price: 1.50/kg")
	require.Len(t, prices.Left, 1)
	assert.Contains(t, prices.Left[0].Why, says)
}

// Of two amounts the larger is taken, as a guess, and that is said.
func TestRanges(t *testing.T) {
	taking, text := taken(t, "", "a.csv", []byte("dish,ingredient,amount,unit\nChowder,salt,1-2,tsp\nChowder,cream,0.5 to 1 dL,\nChowder,clams,10–12,\nChowder,3-4 bay leaves,,\nChowder,butter,1-1/2,oz\n"), Manner{})
	for _, line := range []string{"2 tsp salt, guessed", "1 dL cream, guessed", "12 each clams, guessed", "4 each bay leaves, guessed", "1.5 oz butter"} {
		assert.Contains(t, text, line)
	}
	assert.NotContains(t, text, "butter, guessed")
	require.Len(t, taking.Notes, 5, "%v", taking.Notes) // the last asks what is raw
	assert.Equal(t, "a.csv, row 2: salt, from 1 to 2: taken as 2 tsp, the larger, as a guess", taking.Notes[0])
	k, faults := kitchen.Read("kitchen.yaml", []byte(text))
	require.NoError(t, faults.Err())
	assert.True(t, slices.ContainsFunc(k.Questions, func(q kitchen.Question) bool { return q.Of == "salt" && q.Guessed }), "it is asked about")
}

// Cells that belong together over several rows count for all of them.
func TestMergedCells(t *testing.T) {
	f := excelize.NewFile()
	for n, row := range [][]any{{"Dish", "Ingredient", "Amount"}, {"Soup", "stock", "300 mL"}, {nil, "salt", "2 g"}} {
		require.NoError(t, f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", n+1), &row))
	}
	require.NoError(t, f.MergeCell("Sheet1", "A2", "A3"))
	var b bytes.Buffer
	require.NoError(t, f.Write(&b))
	_, text := taken(t, "", "a.xlsx", b.Bytes(), Manner{})
	assert.Contains(t, text, "Soup: {takes: [300 mL stock, 2 g salt]}")
}

// A number of a workbook has a point for its decimals, whatever the texts beside it have.
func TestNumberCells(t *testing.T) {
	_, text := taken(t, "", "a.xlsx", book(t, "Soup", [][]any{{"Portions", 12.5}, {"Menu price", 12.375}, {"Ingredient", "Amount", "Unit"}, {"salt", 0.125, "kg"}, {"stock", "1,5 L"}}), Manner{})
	assert.Contains(t, text, "Soup: {takes: [10 g salt, 120 mL stock], price: 12.375}")
	_, text = taken(t, "", "a.xlsx", book(t, "All", [][]any{{"Dish", "Ingredient", "Amount", "Price"}, {"Soup", "stock", "1,5 L", 12.375}}), Manner{})
	assert.Contains(t, text, "price: 12.375}")

	k, _ := kitchen.Read("kitchen.yaml", []byte(shop))
	list := book(t, "P", [][]any{{"Item", "Price", "Pack (kg)"}, {"beef shin", 24.75, 2.475}, {"onion", "1,5", "1,250 kg"}})
	_, src, _, found := Prices("kitchen.yaml", []byte(shop), k, "list.xlsx", list, PriceManner{})
	require.NoError(t, found.Err())
	assert.Contains(t, string(src), "beef shin: {price: 24.75 for 2.475 kg, pack: 2.475 kg,")
	assert.Contains(t, string(src), "onion: {price: 1.50 for 1.25 kg,")
	_, text = prices(t, shop, "item;price\nbeef shin;9,50 / 1,500 kg\n", PriceManner{})
	assert.Contains(t, text, "beef shin: {price: 9.50 for 1.5 kg, pack: 1.5 kg,", "read once, not twice")
}

// No group of thousands begins with a nought: 0.500 is a half, and tells what parts decimals.
func TestNoThousandsOfNought(t *testing.T) {
	for _, d := range []decimals{unsure, byPoint, byComma} {
		for _, text := range []string{"0.500 L", "0,500 L"} {
			got, err := d.plainly(text)
			require.NoError(t, err)
			assert.Equal(t, "0.500 L", got)
		}
	}
	_, text := taken(t, "", "x.csv", []byte("dish;ingredient;amount\nSoup;stock;0,125 L\n;salt;1,500 g\n"), Manner{})
	assert.Contains(t, text, "Soup: {takes: [0.125 L stock, 1.5 g salt]}")
}

// "3/4 L" may be three of 4 L or three quarters of one: it is not guessed.
func TestSlashedPacks(t *testing.T) {
	for pack, want := range map[string]string{"3/4 L": "", "4/5": "", "case 3/4 L": "", "6/750 mL": "4500 mL", "case 6/750 mL": "4500 mL", "6/4 L": "24 L", "2/2.5 L": "5 L", "2/10 L": "20 L", "1/2 L": "0.5 L"} {
		taking, text := prices(t, shop, "item,price,pack\nwhite wine,60.00,"+pack+"\n", PriceManner{})
		if want != "" {
			assert.Contains(t, text, "white wine: {price: 60.00 for "+want+",", pack)
			continue
		}
		require.Len(t, taking.Left, 1, pack)
		assert.Contains(t, taking.Left[0].Why, "or a part of one: write "+strings.Replace(strings.TrimPrefix(pack, "case "), "/", " x ", 1), pack)
	}
	taking, _ := prices(t, shop, "item,price,unit\nwhite wine,60.00,3/4 L\n", PriceManner{})
	require.Len(t, taking.Left, 1)
}

// What a recipe comes to is never a thing that is bought, wherever it stands; what can't be read of it is told.
func TestYieldAmongIngredients(t *testing.T) {
	for _, file := range []string{
		"dish,ingredient,amount,unit\nStock,water,50,L\n,Yield: 40 L,,\nSoup,Stock,1,L\n", "dish,ingredient,amount,unit\nStock,water,50,L\nStock,Yield: 40 L,,\nSoup,Stock,1,L\n",
		"dish,ingredient,amount,unit\nStock,water,50,L\n,Yield,40,L\nSoup,Stock,1,L\n", "dish,ingredient,amount,unit\nStock,water,50,L\nStock,Yield,40,L\nSoup,Stock,1,L\n",
		"amount,unit,ingredient,dish\n50,L,water,Stock\n40,L,Yield,\n1,L,Stock,Soup\n",
	} {
		taking, text := taken(t, "", "x.csv", []byte(file), Manner{})
		assert.Contains(t, text, "takes: [50 L water], gives: [40 L Stock]", file)
		assert.NotContains(t, strings.ToLower(text), "yield:", file)
		assert.Empty(t, taking.Left, file)
	}
	f, _, _ := Recipes("x.csv", []byte("Stock\nYield;37,5;L\nPrice;14,50\ningredient;amount\nwater;50 L\n"), Manner{})
	assert.Equal(t, "37.5 L at 14.50", f.Recipes[0].Yield+" at "+f.Recipes[0].Price)
	taking, _ := taken(t, "", "x.csv", []byte("Soup\nYield: a big pot\nPortions: many\ningredient,amount\nsalt,1 g\nPrice: dear,\n"), Manner{})
	var whys []string
	for _, l := range taking.Left {
		whys = append(whys, l.Why)
	}
	assert.Equal(t, []string{`"a big pot" does not say what it comes to, such as 12 L`, `"many" is no number of portions`, `"dear" is no price`}, whys, "each once")

	priced, _ := prices(t, shop, "item,price,unit\nVegetables,,\nonion,,lb\n", PriceManner{})
	require.Len(t, priced.Left, 1)
	assert.Equal(t, "there is no price", priced.Left[0].Why)
}

// A price of a gram is little, and not nothing.
func TestSmallPrices(t *testing.T) {
	for n, want := range map[float64]string{0: "0.00", 12: "12.00", 12.375: "12.375", 0.7: "0.70", 0.1 + 0.2: "0.30", 0.00004: "0.00004", 0.000012345: "0.000012345"} {
		assert.Equal(t, want, sum(n))
	}
	taking, text := prices(t, shop, "item,price,unit\nonion,0.00004,g\nbeef shin,0.0000000000000004,g\n", PriceManner{})
	assert.Contains(t, text, "onion: {price: 0.00004/g,")
	require.Len(t, taking.Left, 1)
	assert.Contains(t, taking.Left[0].Why, `"0.0000000000000004" is no price`)
}

// What the program keeps it can read, whatever stands in a header.
func TestKeptColumns(t *testing.T) {
	said := Columns{{OfPrices, "price", "EK; netto; a; b; c"}, {OfPrices, "item", "a, \t\"b\""}}
	kept, found := ReadColumns("kitchen.columns", said.CSV())
	require.NoError(t, found.Err())
	assert.Equal(t, said[0], kept[0])
}

// "1,500" and "1.500" are read as the file's other numbers are written, and asked about where these do not tell.
func TestTwofoldNumbers(t *testing.T) {
	for others, want := range map[string]string{"2,5 kg": "1.5 kg and 1500 kg", "2.5 kg": "1500 kg and 1.5 kg", "0,125 kg": "1.5 kg and 1500 kg", "1.250.000 g": "1.5 kg and 1500 kg",
		"1,250,000 g": "1500 kg and 1.5 kg", "1,250.5 g": "1500 kg and 1.5 kg", "2 kg": ""} {
		f, asks, found := Recipes("x.csv", []byte("dish;ingredient;amount\nA;salt;1,500 kg\n;stock;1.500 kg\n;oil;"+others+"\n"), Manner{})
		require.NoError(t, found.Err())
		require.Nil(t, asks)
		if want == "" {
			for _, l := range f.Recipes[0].Lines[:2] {
				assert.Contains(t, l.Unsaid.Why, "may be 1.500 or 1500")
			}
			assert.Equal(t, &Doubt{"1,500", "1.500", "1500"}, f.Doubt)
			assert.Equal(t, []string{"comma", "point"}, []string{f.Doubt.Parts(true), f.Doubt.Parts(false)})
			continue
		}
		assert.Nil(t, f.Doubt, others)
		assert.Equal(t, want, written(f.Recipes[0].Lines[0].Amount)+" and "+written(f.Recipes[0].Lines[1].Amount), others)
	}
}

func TestHeadersWithCommas(t *testing.T) {
	ask := &Asks{OfRecipes, []string{"ingredient"}, []string{"Stoff, roh"}}
	list, err := Said(OfRecipes, "ingredient=Stoff, roh, amount=Menge, netto")
	require.NoError(t, err)
	assert.Equal(t, Columns{{OfRecipes, "ingredient", ask.Headers[0]}, {OfRecipes, "amount", "Menge, netto"}}, list)
	for _, wrong := range []string{"ingredient", "colour=x", "ingredient=x, colour=y", ""} {
		_, err := Said(OfRecipes, wrong)
		assert.Error(t, err, wrong)
	}
}

// A recipe book of thousands, and recipes that can't be written, are told in a few words.
func TestTooManyRecipes(t *testing.T) {
	many := func(count int, name string) []byte {
		text := "dish,ingredient,amount\n"
		for n := range count {
			text += fmt.Sprintf("%s %d,salt,1 kg\n", name, n)
		}
		return []byte(text)
	}
	_, _, found := Recipes("x.csv", many(mostRecipes+1, "soup"), Manner{})
	assert.ErrorContains(t, found.Err(), "file has 501 recipes, more than the 500")

	f, _, found := Recipes("x.csv", many(40, "soup"), Manner{})
	require.NoError(t, found.Err())
	for n, r := range f.Recipes {
		if n%2 == 0 { // two prices that no kitchen file can have
			r.Price = "-1"
		}
	}
	taking, text, err := Into("kitchen.yaml", Head("x", "T"), nil, f, Manner{})
	require.NoError(t, err)
	assert.Len(t, taking.Recipes, 20)
	assert.Len(t, taking.Left, 20)
	k, faults := kitchen.Read("kitchen.yaml", text)
	require.NotNil(t, k, "%v", faults)
}

// What a file can cost is bounded by its cells, not by what its rows could name.
func BenchmarkHostileRecipes(b *testing.B) {
	var far strings.Builder
	far.WriteString("ingredient,amount\n")
	for n := range 40_000 {
		fmt.Fprintf(&far, "alone %d\n", n)
	}
	for b.Loop() {
		_, _, found := Recipes("x.csv", []byte(far.String()), Manner{})
		require.NoError(b, found.Err())
	}
}

// Whatever stands in a file, it comes to a kitchen file that can be read, or to a clear word; taken again, it changes nothing.
func TestAnythingTakenOver(t *testing.T) {
	names := rapid.SampledFrom([]string{"Soup", "stock", "Stock", "beef, or veal", "x: y", "# no", "water", "a=b", "ONION", "onions", "\"q\"", "- dash", "total", "{a}", "true", "2"})
	amounts := rapid.SampledFrom([]string{"", "1 kg", "2", "1,5 L", "½ cup", "3 each", "1,500", "6 x 2 kg", "a few", "0", "1e9 kg", "-1 kg", "2 knobs"})
	rapid.Check(t, func(t *rapid.T) {
		file := "dish,ingredient,amount,unit\n"
		for range rapid.IntRange(1, 8).Draw(t, "rows") {
			quoted := func(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }
			file += strings.Join([]string{quoted(names.Draw(t, "dish")), quoted(names.Draw(t, "item")), quoted(amounts.Draw(t, "amount")),
				rapid.SampledFrom([]string{"", "g", "kg", "each", "case", "knob"}).Draw(t, "unit")}, ",") + "\n"
		}
		f, asks, found := Recipes("x.csv", []byte(file), Manner{})
		require.NoError(t, found.Err())
		require.Nil(t, asks)
		src := Head("x.csv", "T")
		_, text, err := Into("kitchen.yaml", src, nil, f, Manner{})
		require.NoError(t, err, file)
		k, faults := kitchen.Read("kitchen.yaml", text)
		require.NotNil(t, k, "%s\n%v\n%s", file, faults, text)
		f, _, _ = Recipes("x.csv", []byte(file), Manner{})
		_, again, err := Into("kitchen.yaml", text, k, f, Manner{})
		require.NoError(t, err)
		if again != nil {
			require.Equal(t, string(text), string(again), file)
		}
	})
}

func FuzzRecipes(f *testing.F) {
	f.Add([]byte(rows))
	f.Add([]byte("item,price,unit,pack\negg,2,kg,\n"))
	f.Add(book(f, "A", [][]any{{"Title"}, {"Ingredient", "Amount"}, {"salt", "1 kg"}}))
	k, _ := kitchen.Read("kitchen.yaml", []byte(shop))
	f.Fuzz(func(t *testing.T, src []byte) {
		if file, asks, found := Recipes("x.csv", src, Manner{}); found.Err() == nil && asks == nil {
			for _, r := range file.Recipes {
				for _, l := range r.Lines {
					require.Positive(t, l.Amount.Amount)
					require.NotEmpty(t, l.Item)
				}
			}
			_, text, err := Into("kitchen.yaml", []byte(shop), k, file, Manner{})
			require.NoError(t, err)
			if text != nil {
				read, faults := kitchen.Read("kitchen.yaml", text)
				require.NotNil(t, read, "%v", faults)
			}
		}
		if _, text, _, _ := Prices("kitchen.yaml", []byte(shop), k, "x.csv", src, PriceManner{}); text != nil {
			read, faults := kitchen.Read("kitchen.yaml", text)
			require.NotNil(t, read, "%v", faults)
		}
	})
}

// Beside a price for a kg, a bare 5 in the column of packs is 5 kg, not five pieces.
func TestBarePackIsInTheUnitOfItsPrice(t *testing.T) {
	taking, text := prices(t, shop, "item,price,unit,pack\nbeef shin,9.90,kg,5\nwhite wine,8,L,3\negg,0.30,each,30\n", PriceManner{})
	assert.Empty(t, taking.Notes)
	assert.Contains(t, text, "  beef shin: {price: 9.90/kg, pack: 5 kg,")
	assert.Contains(t, text, "pack: 3 L")
	assert.Contains(t, text, "pack: 30 each")
}
