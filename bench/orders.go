package bench

import (
	"fmt"

	"stovewright/stats"
)

// Slot is one line of an order sheet: which stove is burnt when.
type Slot struct {
	Block int // a day, or a tester's half day; from 1
	Place int // within the block; from 1
	Stove string
}

// OrderSheet makes a random order in which every block (a day) burns each stove
// once, so that weather, pile and a learning tester spread over all of them; and
// in which over every len(stoves) blocks each stove stands once at each place of
// the day. The same seed gives the same sheet. Two to 26 stoves, 1 to 200 blocks.
func OrderSheet(stoves []string, blocks int, seed uint64) ([]Slot, error) {
	n := len(stoves)
	if n < 2 || n > 26 || blocks < 1 || blocks > 200 {
		return nil, fmt.Errorf("bench: an order of %d stoves over %d blocks", n, blocks)
	}
	random := stats.NewRand(seed)
	var sheet []Slot
	var names, shifts []int
	for b := range blocks {
		if b%n == 0 { // a fresh Latin square: random names, random order of its rows
			names, shifts = random.Perm(n), random.Perm(n)
		}
		for place := range n {
			sheet = append(sheet, Slot{Block: b + 1, Place: place + 1, Stove: stoves[names[(place+shifts[b%n])%n]]})
		}
	}
	return sheet, nil
}

// Crossover says which of two stoves a kitchen uses first.
type Crossover struct {
	Kitchen string
	First   string
	Second  string
}

// CrossoverSheet gives half of the kitchens the one stove first and half the
// other, at random; an odd one out is decided by the toss.
func CrossoverSheet(kitchens []string, base, new string, seed uint64) ([]Crossover, error) {
	if len(kitchens) == 0 || base == new {
		return nil, fmt.Errorf("bench: a crossover of %d kitchens between %q and %q", len(kitchens), base, new)
	}
	random := stats.NewRand(seed)
	start := random.IntN(2)
	sheet := make([]Crossover, len(kitchens))
	for i, k := range random.Perm(len(kitchens)) {
		c := Crossover{Kitchen: kitchens[k], First: base, Second: new}
		if (i+start)%2 == 1 {
			c.First, c.Second = new, base
		}
		sheet[k] = c
	}
	return sheet, nil
}
