// Package stovetest makes random briefs for property tests of everything that
// is built on a sized stove. It is imported by tests only.
package stovetest

import (
	"fmt"
	"math"

	"pgregory.net/rapid"

	"stovewright/stove"
)

// Form draws a brief that reads without complaint: any pot from a small
// saucepan to a school kettle, flat or round, with any mix of choices and
// things at hand.
func Form(t *rapid.T) stove.Form {
	diameter := rapid.Float64Range(0.13, 0.75).Draw(t, "diameter")
	height := diameter * rapid.Float64Range(0.4, 1.1).Draw(t, "height over diameter")
	height = min(0.85, max(0.06, height))
	f := stove.Form{
		Name: rapid.SampledFrom([]string{"", "Kitchen", "Very long name of a kitchen by the river that feeds the whole school every day"}).Draw(t, "name"),
		Note: rapid.SampledFrom([]string{"", "invented for a test"}).Draw(t, "note"),
		Pot: stove.PotForm{
			Circumference: centimetres(math.Pi * diameter),
			Height:        centimetres(height),
			HandleHeight:  centimetres(max(0.021, height*rapid.Float64Range(0.4, 1).Draw(t, "handle"))),
			Base:          rapid.SampledFrom([]string{"", "flat", "round"}).Draw(t, "base"),
			Material:      rapid.SampledFrom([]string{"", "aluminium", "cast-iron", "clay-pot"}).Draw(t, "pot material"),
		},
	}
	f.Choices.Chamber = rapid.SampledFrom([]string{"", "square", "round"}).Draw(t, "chamber")
	if f.Choices.Chamber == "round" {
		f.Choices.Ring = rapid.SampledFrom([]string{"", "hexagon", "octagon"}).Draw(t, "ring")
	}
	if f.Choices.Chamber == "" && rapid.Float64Range(0, 1).Draw(t, "liner") > 0.85 {
		f.AtHand.Liner = stove.LinerForm{Bore: "125 mm", Wall: rapid.SampledFrom([]string{"25 mm", "40 mm"}).Draw(t, "liner wall"),
			Height: rapid.SampledFrom([]string{"110 mm", "330 mm"}).Draw(t, "liner height")}
	}
	f.Choices.Gap = rapid.SampledFrom([]string{"", "manual-1984", "web-note", "baldwin", "trade", "constant-area"}).Draw(t, "gap rule")
	f.Choices.Paper = rapid.SampledFrom([]string{"", "a4", "letter"}).Draw(t, "paper")
	f.Place.Altitude = rapid.SampledFrom([]string{"", "0 m", "2500 m", "5000 m"}).Draw(t, "altitude")
	f.AtHand.Fill = rapid.SampledFrom([]string{"", "perlite", "pumice", "perlite-cement"}).Draw(t, "fill")
	f.AtHand.Brick.Thickness = rapid.SampledFrom([]string{"", "", "30 mm", "65 mm"}).Draw(t, "brick thickness")
	f.AtHand.Brick.Height = rapid.SampledFrom([]string{"", "", "64 mm", "150 mm"}).Draw(t, "brick height")
	if rapid.Bool().Draw(t, "has drums") {
		f.AtHand.Bodies = []stove.BodyForm{
			{Kind: "can", Diameter: "30 cm", Height: "45 cm", Coating: "bare"},
			{Kind: "drum", Diameter: "57 cm", Height: "88 cm", Thickness: "1 mm", Coating: "painted"},
		}
	}
	return f
}

func centimetres(m float64) string { return fmt.Sprintf("%.1f cm", m*100) }

// Stove sizes a random brief. A brief whose rules give a stove that cannot be
// built is drawn again: the refusal itself is tested in package stove.
func Stove(t *rapid.T) *stove.Stove {
	b, err := Form(t).Read()
	if err != nil {
		t.Skip("the form is refused: ", err)
	}
	s, err := stove.Size(b)
	if err != nil {
		t.Skip("the stove is refused: ", err)
	}
	return s
}
