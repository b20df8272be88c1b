package cli

import (
	"slices"

	"stovewright/bench"
	"stovewright/message"
	"stovewright/quantity"
)

// The JSON form of one test: docs/schema/test.schema.json. Values are in SI
// beside the text that people see.

type testDoc struct {
	File       string         `json:"file"`
	Test       string         `json:"test"`
	Version    string         `json:"version,omitempty"`
	Stove      string         `json:"stove,omitempty"`
	Number     string         `json:"number,omitempty"`
	Date       string         `json:"date,omitempty"`
	Tester     string         `json:"tester,omitempty"`
	Place      string         `json:"place,omitempty"`
	Note       string         `json:"note,omitempty"`
	LeftOut    string         `json:"left_out,omitempty"`
	Counts     bool           `json:"counts"`
	Alarms     []alarmDoc     `json:"alarms"`
	Results    []resultDoc    `json:"results"`
	Households []householdDoc `json:"households,omitempty"`
	Safety     *safetyDoc     `json:"safety,omitempty"`
	Steps      []stepDoc      `json:"steps"`
	Standing   []string       `json:"standing"`
}

type alarmDoc struct {
	Key      string   `json:"key"`
	Phase    string   `json:"phase,omitempty"`
	Severity string   `json:"severity"`
	Text     string   `json:"text"`
	Repeat   []string `json:"repeat,omitempty"`
	Basis    string   `json:"basis"`
	Source   string   `json:"source,omitempty"`
}

type resultDoc struct {
	ID    string    `json:"id"`
	Name  string    `json:"name"`
	SI    *float64  `json:"si"`
	Unit  string    `json:"unit"`
	Text  string    `json:"text"`
	Sure  *sureDoc  `json:"uncertainty,omitempty"`
	Lines []lineDoc `json:"budget,omitempty"`
}

type sureDoc struct {
	U      float64 `json:"u"`
	Own    float64 `json:"own"`
	Shared float64 `json:"shared"`
	Level  float64 `json:"level"`
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
}

type lineDoc struct {
	Name         string  `json:"name"`
	Phase        string  `json:"phase,omitempty"`
	Contribution float64 `json:"contribution"`
	Share        float64 `json:"share"`
	Shared       bool    `json:"shared"`
}

type stepDoc struct {
	ID       string   `json:"id"`
	Symbol   string   `json:"symbol"`
	Name     string   `json:"name"`
	Equation string   `json:"equation,omitempty"`
	Numbers  string   `json:"numbers,omitempty"`
	Number   *float64 `json:"number"`
	Unit     string   `json:"unit"`
	Origin   string   `json:"origin"`
	Source   string   `json:"source,omitempty"`
	Note     string   `json:"note,omitempty"`
}

type householdDoc struct {
	Code   string       `json:"code"`
	Energy float64      `json:"energy"` // J a standard adult and day
	Fuels  []fuelUseDoc `json:"fuels"`
}

type fuelUseDoc struct {
	Fuel  string  `json:"fuel"`
	Moist float64 `json:"moist"` // kg a standard adult and day
	Dry   float64 `json:"dry"`
}

type safetyDoc struct {
	Scorer string    `json:"scorer,omitempty"`
	Total  float64   `json:"total"`
	Band   string    `json:"band"`
	ISO    int       `json:"iso_tier"`
	Items  []itemDoc `json:"items"`
}

type itemDoc struct {
	Item   string  `json:"item"`
	Name   string  `json:"name"`
	Rating int     `json:"rating"`
	Weight float64 `json:"weight"`
}

func testJSON(p testPrinter, c *message.Catalogue) testDoc {
	f := p.file
	a := f.About
	d := testDoc{File: f.Name, Test: string(f.Kind), Stove: a.Stove, Number: a.Test, Date: a.Date, Tester: a.Tester, Place: a.Place, Note: a.Note,
		LeftOut: a.LeftOut, Counts: a.LeftOut == "" && !slices.ContainsFunc(f.Alarms(), bench.Alarm.Spoils), Alarms: alarmsJSON(c, f.Alarms()), Results: []resultDoc{}, Steps: []stepDoc{}, Standing: []string{c.Say(f.Standing())}}
	if f.Boiling != nil {
		d.Version = string(f.Boiling.Test.Version)
	}
	for _, s := range f.Results() {
		d.Results = append(d.Results, p.resultJSON(c, s))
	}
	for _, s := range f.Steps() {
		d.Steps = append(d.Steps, stepDoc{s.ID(), s.Symbol, c.Say(s.Name), s.Equation, s.Numbers, finite(s.Number()), s.Value.Unit.Symbol, string(s.Origin), s.Source, c.Say(s.Note)})
	}
	if f.Kitchen != nil {
		d.Households = householdsJSON(f.Kitchen)
	}
	if f.Safety != nil {
		s := &safetyDoc{Scorer: f.Safety.Sheet.Scorer, Total: f.Safety.Score.Total, Band: f.Safety.Score.Band, ISO: f.Safety.Score.ISO.Low}
		for _, item := range bench.SafetyItems() {
			s.Items = append(s.Items, itemDoc{item.Key, c.Say(item.Name()), f.Safety.Score.Ratings[item.Key], item.Weight})
		}
		d.Safety = s
	}
	return d
}

func alarmsJSON(c *message.Catalogue, list []bench.Alarm) []alarmDoc {
	out := []alarmDoc{}
	for _, a := range list {
		out = append(out, alarmDoc{a.Key, a.Phase, string(a.Severity), c.Say(a.Text), say(c, a.RepeatNames()), a.Standing, a.Source})
	}
	return out
}

func (p testPrinter) resultJSON(c *message.Catalogue, s bench.Step) resultDoc {
	r := resultDoc{ID: s.ID(), Name: c.Say(s.Name), SI: finite(s.Value.SI), Unit: siSymbol(s.Value.Unit), Text: c.Value(s.Shown())}
	u, known := p.sure[s.ID()]
	if !known {
		return r
	}
	r.Sure = &sureDoc{u.U.SI, u.Own.SI, u.Shared.SI, u.Interval.Level, u.Interval.Low, u.Interval.High}
	for _, l := range u.Lines {
		r.Lines = append(r.Lines, lineDoc{c.Say(l.Name), l.Phase, l.Contribution.SI, l.Share, l.Shared})
	}
	return r
}

// siSymbol is the unit that SI numbers are in; units of a protocol that have
// no dimension of their own are written out.
func siSymbol(u quantity.Unit) string {
	if u.Dimension == quantity.Ratio && u.Symbol != "" && u.Symbol != "%" {
		if s, known := composed[u.Symbol]; known {
			return s
		}
	}
	return u.Dimension.SI()
}

// composed are SI units of the protocols' own units.
var composed = map[string]string{
	"g/kg": "1", "kJ/L": "J/m³", "MJ/(min·L)": "W/m³", "g/MJ": "kg/J", "mg/MJ": "kg/J", "kJ/(kg·K)": "J/(kg·K)", "MJ/(kg·K)": "J/(kg·K)",
	"g/(min·L)": "kg/(s·m³)", "mg/(min·L)": "kg/(s·m³)", "kg/(SAE·day)": "kg/(SAE·day)", "MJ/(SAE·day)": "J/(SAE·day)",
}

func householdsJSON(k *bench.KitchenRound) []householdDoc {
	list := []householdDoc{}
	for i, r := range k.Results {
		h := householdDoc{Code: r.Code, Energy: r.Energy, Fuels: []fuelUseDoc{}}
		for _, f := range k.List[i].Fuels {
			use := r.Fuels[f.Key]
			h.Fuels = append(h.Fuels, fuelUseDoc{f.Key, use.Moist, use.Dry})
		}
		list = append(list, h)
	}
	return list
}
