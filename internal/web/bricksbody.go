package web

import (
	"context"

	"stovewright/brick"
	"stovewright/stove"
)

// takeBody follows a change of the body that a brief calls its brick by: the
// numbers of the body before go, and those of the one named now are written in
// from the series that has it. A name that no series has is left to the reader
// of the brief to complain about.
func (b *Bench) takeBody(ctx context.Context, f *stove.Form, before string) {
	k := &f.AtHand.Brick
	if k.Body == before {
		return
	}
	if before != "" {
		*k = stove.BrickForm{Material: k.Material, Body: k.Body, Thickness: k.Thickness, Height: k.Height}
	}
	list, err := b.sheets(ctx, seriesPaper)
	if err != nil {
		return // the brief then lacks the numbers, and says so
	}
	var names []brick.Body // by name only: what is known of a body takes its time
	of := make(map[string]brick.Series)
	for _, s := range list {
		if read, ok := s.Value.(brick.Series); ok && s.broken == nil && len(s.Complaints) == 0 {
			for _, name := range read.BodyNames() {
				names = append(names, brick.Body{Name: name})
				of[name] = read
			}
		}
	}
	found, err := brick.FindBody(names, k.Body)
	if err != nil {
		return
	}
	if bodies, err := of[found.Name].Bodies(); err == nil {
		k.Body = found.Name
		f.TakeBody(bodies)
	}
}
