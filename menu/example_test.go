package menu_test

import (
	"context"
	"fmt"
	"log"
	"time"

	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// firstPot is the smallest of the example kitchens: one pot of chicken stock, two dishes.
func firstPot(ctx context.Context) *week.Week {
	w, faults, err := menu.Open(ctx, menu.Options{
		Kitchen: menu.File("../examples/first-pot/kitchen.yaml"),
		From:    time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC),
		Now:     time.Date(2026, 11, 23, 8, 0, 0, 0, time.UTC),
	})
	if err != nil {
		log.Fatal(err)
	}
	if w == nil { // something is wrong in the file
		log.Fatal(faults)
	}
	return w
}

func ExampleOpen() {
	w := firstPot(context.Background())
	fmt.Println(w.Name)
	fmt.Printf("%d dishes over %d days from %s, rule %s\n", len(w.Dishes), w.Days, w.DayName(0), w.Rule)
	// Output:
	// First Pot
	// 2 dishes over 7 days from Mon 23 Nov, rule fair
}

// A mishap is a shock. The answer says what runs out, when, and why.
func Example_whatIf() {
	ctx := context.Background()
	w := firstPot(ctx)
	lost, err := w.Shock("lose", "poach chickens@thu")
	if err != nil {
		log.Fatal(err)
	}
	a, err := ask.WhatIf(ctx, w, []week.Shock{lost})
	if err != nil {
		log.Fatal(err)
	}
	for _, d := range a.Dishes {
		if d.After < d.Before {
			fmt.Printf("%s %s: %s sells %d of %d\n", d.Date, d.Service, d.Name, d.After, d.Before)
		}
	}
	// Output:
	// 2026-11-26 lunch: chicken soup sells 4 of 18
	// 2026-11-26 lunch: chicken roll sells 2 of 10
}

func Example_cost() {
	ctx := context.Background()
	sheet, err := ask.Cost(ctx, firstPot(ctx))
	if err != nil {
		log.Fatal(err)
	}
	for _, d := range sheet.Dishes {
		fmt.Printf("%s: %.2f to make, sells at %.2f\n", d.Name, d.PlateCost, d.Price)
	}
	// Output:
	// chicken soup: 1.14 to make, sells at 6.50
	// chicken roll: 1.35 to make, sells at 6.50
}

func Example_plan() {
	ctx := context.Background()
	p, err := plan.Make(ctx, firstPot(ctx), plan.Options{})
	if err != nil {
		log.Fatal(err)
	}
	for _, c := range p.Answer().Cook {
		fmt.Printf("%s: %s, %g of %g batches\n", c.Date, c.Step, c.Batches, c.Standing)
	}
	// Output:
	// 2026-11-24: poach chickens, 1 of 1 batches
	// 2026-11-25: poach chickens, 1 of 1 batches
	// 2026-11-26: poach chickens, 1 of 1 batches
	// 2026-11-27: poach chickens, 1 of 1 batches
	// 2026-11-28: poach chickens, 1 of 1 batches
}
