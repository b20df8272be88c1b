package bench

import (
	"math"

	"stovewright/message"
	"stovewright/quantity"
)

// Severity says how much an alarm spoils.
type Severity string

// The severities, worst first.
const (
	Wrong   Severity = "error"   // cannot be: a reading is wrong, the result is not to be used
	Invalid Severity = "invalid" // the protocol was not kept: the test does not count
	Suspect Severity = "suspect" // unlikely: take the reading again while you can
	Note    Severity = "note"    // worth knowing beside the result
)

// Alarm is something wrong or odd in a test: what is suspected, and which
// readings to take again.
type Alarm struct {
	Key      string
	Phase    string
	Severity Severity
	Text     message.Text
	Repeat   []string // keys of readings
	Entries  []string // where these stand in the sheet, where the alarm knows
	Standing string
	Source   string
}

// Spoils reports whether the result must not be used.
func (a Alarm) Spoils() bool { return a.Severity == Wrong || a.Severity == Invalid }

// RepeatNames are the readings to take again, in words.
func (a Alarm) RepeatNames() []message.Text {
	names := make([]message.Text, len(a.Repeat))
	for i, key := range a.Repeat {
		names[i] = quantityName(key)
	}
	return names
}

// alarms goes through the checks of the phase at hand.
func (c *calculation) alarms() []Alarm {
	var found []Alarm
	for i := range c.checks {
		row := &c.checks[i]
		if !c.concerns(row.Phases) || row.eval(&c.values) != 1 {
			continue
		}
		args := message.Args{}
		for _, key := range row.uses() {
			if at := c.names[key]; !at.perRow {
				args[key] = shown(c.symbols[key].Unit, c.scalar[at.index])
			}
		}
		found = append(found, Alarm{Key: row.Key, Phase: c.phaseAt, Severity: row.Severity,
			Text: message.Text{ID: "bench.alarm." + row.Key, Args: args}, Repeat: row.Repeat, Standing: row.Standing, Source: row.Source})
	}
	return found
}

// concerns: a check without phases is for every phase, one with "" for the
// whole test.
func (c *calculation) concerns(list []string) bool {
	if len(list) == 0 {
		return c.phaseAt != ""
	}
	return applies(list, c.phaseAt)
}

// shown is a value as it stands in a sentence; shares are per cent there.
func shown(unit string, number float64) quantity.Value {
	v := in(unit, number)
	if unit == "" {
		v.Unit = quantity.Percent
	}
	if math.IsInf(v.SI, 0) {
		v.SI = math.NaN()
	}
	return v
}
