package fire

import (
	"fmt"
	"math"

	"stovewright/bench"
)

// benchKinds are the woods of a boiling test's form, by the keys of package
// fuel; the heating value stands in the form too, so the kind is a name only.
var benchKinds = map[string]string{"hardwood": "hardwood", "softwood": "softwood", "eucalyptus-grandis": "eucalyptus", "black-locust": "hardwood",
	"ponderosa-pine": "softwood", "casuarina": "hardwood", "maize-cob": "maize-cob", "charcoal": "charcoal", "fire-char": "charcoal", "cattle-dung": "dung"}

// BoilingForm writes a boil run on the form of a measured boiling test, so that
// the arithmetic of one serves the other: what a scale, a thermometer and a
// clock would have shown, to a tenth of a gram and a hundredth of a kelvin. The
// caller says in about that nothing of it was measured.
func (m *Model) BoilingForm(run BoilRun, about bench.AboutForm) bench.BoilingForm {
	f := bench.BoilingForm{Test: "boiling", Version: string(bench.Version42), About: about,
		Wood: bench.WoodForm{Kind: benchKinds[m.fuel.Key], HeatingValue: fmt.Sprintf("%.1f kJ/kg", m.fuel.LHVDry()/1000),
			Moisture: fmt.Sprintf("%.3f %%", 100*m.moisture.Wet()), MoistureBasis: "wet"},
		Place:        bench.PlaceForm{Air: celsius(m.air.Temperature), Pressure: fmt.Sprintf("%.1f hPa", m.air.Pressure/100)},
		BoilingPoint: bench.BoilingPointForm{Lowest: celsius(run.BoilingPoint), Highest: celsius(run.BoilingPoint)},
		Pot:          bench.PotForm{Lid: map[bool]string{true: "on", false: "off"}[m.stove.Pot.Lid]},
		CharPan:      grams(0),
		Cold:         m.phaseForm(run.Cold), Hot: m.phaseForm(run.Hot), Simmer: m.phaseForm(run.Simmer)}
	if f.Simmer != nil {
		lowest := math.Inf(1)
		for _, s := range run.Simmer.Samples {
			lowest = math.Min(lowest, s.Water)
		}
		f.Simmer.Lowest = celsius(lowest)
	}
	return f
}

// phaseForm is nil for a phase that was not run.
func (m *Model) phaseForm(p Phase) *bench.PhaseForm {
	if p.Name == "" {
		return nil
	}
	r := p.Readings
	state := "hot"
	if p.Name == "cold" {
		state = "cold"
	}
	return &bench.PhaseForm{StoveState: state, WoodBefore: grams(r.WoodBefore), WoodAfter: grams(r.WoodAfter), Char: grams(r.CharAfter),
		Duration: fmt.Sprintf("%.2f min", p.Duration()/60),
		Pots:     []bench.PotReadingForm{{Empty: grams(m.stove.Pot.Mass), Before: grams(r.PotBefore), After: grams(r.PotAfter), Start: celsius(r.WaterBefore), End: celsius(r.WaterAfter)}}}
}

func grams(kg float64) string { return fmt.Sprintf("%.1f g", 1000*kg) }

func celsius(kelvin float64) string { return fmt.Sprintf("%.2f °C", kelvin-273.15) }
