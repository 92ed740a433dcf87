//go:build browser

package main

// The pages Log and Buy in a real browser, by tapping.

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
)

// listed is the pozole cantina on Tuesday afternoon, without a log book: a list tells what was on hand when the week began.
func fromList(t *testing.T) *served {
	return openBoard(t, "three-kettles", "--from", "2026-11-23", "--on-hand", filepath.Join("..", "..", "examples", "three-kettles", "on-hand.csv"))
}

// pot is the smallest kitchen, whose plan is found at once.
func pot(t *testing.T) *served { return openBoard(t, "first-pot", "--from", "2026-11-23") }

func TestBrowserLog(t *testing.T) {
	atBothSizes(t, fromList, func(b *tab) {
		b.open("/log")
		b.sees("Nothing has been written down yet.")
		b.sound("log")
		b.tap("Received")
		b.types("Item", "pork shoulder")
		b.types("Amount", "18.46")
		b.types("Unit", "lb")
		b.types("Paid, USD", "52.31")
		b.types("From", "corner butcher")
		b.sound("received")
		b.tap("Write it down")
		b.sees(`1. received 18.46 lb pork shoulder for 52.31 from "corner butcher"`)
		b.sound("written")

		b.tap("Sold")
		b.types("red pozole", "12")
		b.types("hen tortilla soup", "7")
		b.sound("sold")
		b.tap("Write it down")
		b.sees("2. sold 12 red pozole at lunch")
		b.sees("3. sold 7 hen tortilla soup at lunch")

		b.tap("Cooked")
		b.types("Step", "bone OUT")
		b.tap("Next")
		b.sees("Bone out shoulder Another step")
		b.types("Batches", "2")
		b.sound("cooked")
		b.tap("Write it down")
		b.sees("4. cooked bone out shoulder x2")

		b.tap("Counted")
		b.types("Item", "Stock")
		b.types("Amount", "12,500")
		b.tap("Write it down")
		b.sees("Which of these is")
		b.tap("kettle stock")
		b.sees("can be read in two ways")
		b.sound("fault")
		b.tap("12.500")
		b.sees("5. counted 12.500 L kettle stock")

		b.tap("Undo entry 1")
		b.sees("Entry 1 undone")
		b.tap("Correct entry 2")
		b.sees("Correct entry 2: sold 12 red pozole at lunch")
		b.until(`document.querySelector("#entry-form input[name=portions]").value === "12"`, "the form is filled in")
		b.types("red pozole", "11")
		b.tap("Write it down")
		b.sees("replaces entry 2")
		b.until(`(() => { const e = document.querySelector(".entries li").getBoundingClientRect(); return e.top > 0 && e.top < innerHeight })()`, "what it says now is in view")
		b.dark()
		b.sound("entries")
		assert.Equal(b.t, []string{`received 18.46 lb pork shoulder for 52.31 from "corner butcher"`, "sold 12 red pozole at lunch",
			"sold 7 hen tortilla soup at lunch", "cooked bone out shoulder x2", "counted 12.500 L kettle stock", "undone undo 1",
			"sold 11 red pozole at lunch"}, b.o.logged())
	})
}

func TestBrowserBuy(t *testing.T) {
	atBothSizes(t, fromList, func(b *tab) {
		b.open("/buy")
		b.sees("Tue 24 Nov")
		b.sound("buy")
		b.open("/buy?line=pork+trotters")
		b.sound("line")
		b.types("Scale says, kg of pork trotters", "5,0")
		b.sees("portions with these amounts and prices")
		b.sees("Dishes that sell more or less")
		b.types("Price per kg of pork trotters", "4.60")
		b.sees("Plate costs that change")
		b.sound("moved")
		b.tap("Received pork trotters")
		b.sees(`received 5.0 kg pork trotters for 23.00 from "butcher"`)
		b.sees("1 received")
		b.sees("In the basket 23.00 USD")
		b.tap("Write down all 2 from butcher")
		b.sees("What came from butcher")
		b.types("Scale says, kg of smoked ham bones", "0")
		b.sound("check")
		b.tap("Write down all 2")
		b.sees("2 received")
		b.dark()
		b.sound("received")
		assert.Equal(b.t, []string{`received 5.0 kg pork trotters for 23.00 from "butcher"`,
			`received 36 kg pork shoulder for 183.60 from "butcher"`, "did not come smoked ham bones"}, b.o.logged())
	})
}

func TestBrowserWritingWithoutScript(t *testing.T) {
	b := openTab(t, fromList(t), phone)
	b.noScript()
	b.o.t = t
	b.open("/log?kind=binned")
	b.types("Item", "lard")
	b.types("Amount", "200")
	b.types("Unit", "g")
	b.types("Reason", "left out overnight")
	b.tap("Write it down")
	b.sees("1. binned 200 g lard, left out overnight")
	b.open("/buy?line=lime")
	b.types("Count of lime", "20")
	b.tap("What changes with lime")
	b.sees("With these amounts and prices")
	b.types("Count of lime", "2O")
	b.tap("Received lime")
	b.sees(`"2O" is not a number`)
	b.types("Count of lime", "21")
	b.tap("Received lime")
	b.sees("received 21 each lime")
}
