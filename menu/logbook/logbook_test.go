package logbook

// The kitchen that the tests of this package write down, and how they do it.

import (
	"context"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
)

const braiseShop = `kitchen: Braise Shop
money: USD
services: {lunch: 11:30-14:30, dinner: 17:30-22:00}
vessels:
  big kettle: {holds: 160 L, inside diameter: 62 cm}
bought:
  water:         {price: 0/L, density: 1 kg/L}
  pork shoulder: {price: 5.10/kg, keeps: 3 days}
  hen:           {price: 9.50/each, each: 1.9 kg, keeps: 3 days}
  tortilla:      {price: 0.10/each, each: 28 g}
steps:
  braise:
    takes:  [6 kg pork shoulder, 6 L water]
    gives: [3.6 kg pulled shoulder, 4.5 L shoulder broth, 0.4 kg braise fat]
    batches:  {tue-fri: 1}
  season broth:
    takes:  [10 L shoulder broth]
    gives: [9.5 L soup base]
    batches:  to order
made:
  shoulder broth:  {keeps: 3 days, density: 1.01 kg/L}
  pulled shoulder: {keeps: 4 days}
  braise fat:      {density: 0.86648 kg/L} # USDA SR28 04002
  soup base:       {density: 1.02 kg/L}
dishes:
  tacos: {price: 9, takes: [120 g pulled shoulder or 120 g hen, 3 each tortilla], sells: {lunch: 10}}
  soup:  {price: 6, takes: [300 mL soup base, "5 g braise fat, optional"], sells: {dinner: 10}}
`

func someKitchen(t testing.TB) *kitchen.Kitchen {
	t.Helper()
	k, faults := kitchen.Read("kitchen.yaml", []byte(braiseShop))
	require.NoError(t, faults.Err())
	return k
}

// tuesday of a week in the example, when all that the tests write down begins.
var tuesday = time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)

// at is an hour of a day from Tuesday on.
func at(day, hour int) time.Time {
	return tuesday.AddDate(0, 0, day).Add(time.Duration(hour) * time.Hour)
}

// entry is what somebody typed, at some moment.
func entry(t testing.TB, k *kitchen.Kitchen, when time.Time, kind Kind, text string) Entry {
	t.Helper()
	e, err := Parse(k, kind, text)
	require.NoError(t, err)
	e.At, e.Written = when, when
	return e
}

func open(t testing.TB, file string) *Book {
	t.Helper()
	j, err := Open(t.Context(), file)
	require.NoError(t, err)
	t.Cleanup(func() { _ = j.Close() })
	return j
}

// empty is the file of a log book without entries. Making one costs more than most tests do with it, so it is made once.
var empty = sync.OnceValues(func() ([]byte, error) {
	folder, err := os.MkdirTemp("", "log book")
	if err != nil {
		return nil, err
	}
	defer func() { _ = os.RemoveAll(folder) }()
	file := filepath.Join(folder, "kitchen.logbook")
	j, err := Open(context.Background(), file)
	if err != nil {
		return nil, err
	}
	if err := j.Close(); err != nil {
		return nil, err
	}
	return os.ReadFile(file)
})

func newLogBook(t testing.TB) *Book {
	t.Helper()
	src, err := empty()
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "kitchen.logbook")
	require.NoError(t, os.WriteFile(file, src, 0o644))
	return open(t, file)
}

func TestMain(m *testing.M) {
	if file := os.Getenv(writerFile); file != "" {
		writer(file)
		return
	}
	os.Exit(m.Run())
}
