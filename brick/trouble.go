package brick

import (
	"slices"

	"stovewright/message"
)

// Symptom is something wrong with a brick.
type Symptom struct {
	Key  string
	Text message.Text
}

// Cause is one likely cause of a symptom, with the single change to try.
type Cause struct {
	Key     string
	Text    message.Text // what it is
	Try     message.Text // the one change
	Because message.Text
	Fits    Fit // whether what is known of the brick speaks for it
}

// Fit says whether known facts speak for a cause.
type Fit int

// The fits.
const (
	Unknown Fit = iota
	Likely
	Unlikely
)

// Facts are what is known of the brick with a trouble; zero is not known.
type Facts struct {
	Peak      float64 // K, reached in the fire
	Sawdust   float64 // pore former, share of the dry mass
	Water     float64 // held, per dry mass
	Drying    Drying
	Thickness float64 // m
}

type causeRow struct {
	Key            string  `yaml:"key"`
	PeakBelow      float64 `yaml:"peak_below"`
	SawdustAbove   float64 `yaml:"sawdust_above"`
	WaterAbove     float64 `yaml:"water_above"`
	DryingAbove    float64 `yaml:"drying_above"`
	ThicknessAbove float64 `yaml:"thickness_above"`
}

var troubleTable = read[struct {
	Description string            `yaml:"description"`
	Units       map[string]string `yaml:"units"`
	Standing    string            `yaml:"standing"`
	Symptoms    []struct {
		Key    string     `yaml:"key"`
		Causes []causeRow `yaml:"causes"`
	} `yaml:"symptoms"`
}]("trouble.yaml").Symptoms

// Symptoms lists what can be wrong, in the order of the table.
func Symptoms() []Symptom {
	list := make([]Symptom, len(troubleTable))
	for i, s := range troubleTable {
		list[i] = Symptom{s.Key, message.T("brick.trouble." + s.Key)}
	}
	return list
}

// Causes lists the causes of a symptom, likeliest first: those that the facts
// speak for, then those they say nothing of, then those they speak against;
// within each in the order of the table. Change one thing at a time.
func Causes(symptom string, f Facts) []Cause {
	var list []Cause
	for _, s := range troubleTable {
		if s.Key != symptom {
			continue
		}
		for _, c := range s.Causes {
			id := "brick.cause." + c.Key
			list = append(list, Cause{Key: c.Key, Text: message.T(id), Try: message.T(id + ".try"), Because: message.T(id + ".because"), Fits: c.fit(f)})
		}
	}
	rank := map[Fit]int{Likely: 0, Unknown: 1, Unlikely: 2}
	slices.SortStableFunc(list, func(a, b Cause) int { return rank[a.Fits] - rank[b.Fits] })
	return list
}

func (c causeRow) fit(f Facts) Fit {
	for _, test := range []struct{ limit, known float64 }{
		{-(c.PeakBelow + zeroCelsius), -f.Peak}, {c.SawdustAbove, f.Sawdust}, {c.WaterAbove, f.Water},
		{c.DryingAbove, float64(f.Drying)}, {c.ThicknessAbove, f.Thickness},
	} {
		if test.limit == 0 || test.limit == -zeroCelsius || test.known == 0 {
			continue
		}
		if test.known > test.limit {
			return Likely
		}
		return Unlikely
	}
	return Unknown
}

// FactsOf gathers the facts of a trial.
func FactsOf(t Trial) Facts {
	f := Facts{Peak: t.Kelvin}
	var dry, pores float64
	for _, p := range t.Mix.Portions {
		dry += p.Dry()
		if r, ok := LookupIngredient(p.Ingredient.Kind); ok && r.Role == "pore former" {
			pores += p.Dry()
		}
	}
	if dry > 0 {
		f.Sawdust = pores / dry
		f.Water = (t.Mix.Water + t.Mix.solids().water) / dry
	}
	if o := t.Outcome(); o.Drying > 0 { // NaN when not measured
		f.Drying = Drying(o.Drying)
	}
	for _, b := range t.Bricks {
		if e := b.Stages[Wet].Edges; e[0].Value > 0 {
			f.Thickness = min(e[0].Value, e[1].Value, e[2].Value)
		}
	}
	return f
}
