package week_test

import (
	"context"
	"fmt"
	"log"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

func ExampleWeek_Play() {
	k, faults := kitchen.Read("kitchen.yaml", []byte(`
kitchen: Stew House
money: USD
open: mon-tue
services: {lunch: 11:30-14:00}
bought:
  shin:  {price: 8/kg, arrives: mon, keeps: 3 days}
  water: {price: 0/L}
steps:
  braise:
    takes: [6 kg shin, 4 L water]
    gives: [8 kg stew]
    batches: {mon: 1, tue: 1}
made:
  stew: {keeps: 2 days}
dishes:
  bowl of stew: {price: 11, takes: [400 g stew], sells: {lunch: 20}}
`))
	if k == nil {
		log.Fatal(faults)
	}
	w, err := week.Over(k, week.Period{From: time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC), Days: 2})
	if err != nil {
		log.Fatal(err)
	}
	lost, err := w.Shock("lose", "braise@tue=50%")
	if err != nil {
		log.Fatal(err)
	}
	before, after, err := w.Compare(context.Background(), lost)
	if err != nil {
		log.Fatal(err)
	}
	for slot, sit := range w.Sittings {
		fmt.Printf("%s: %g of %g bowls\n", w.DayName(sit.Day), after.Outcome.Served[slot], before.Outcome.Served[slot])
	}
	fmt.Printf("the loss costs %.2f %s\n", before.Books.Contribution-after.Books.Contribution, w.Money)
	// Output:
	// Mon 23 Nov: 20 of 20 bowls
	// Tue 24 Nov: 10 of 20 bowls
	// the loss costs 110.00 USD
}
