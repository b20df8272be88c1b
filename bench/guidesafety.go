package bench

import (
	"math"
	"slices"
	"strings"

	"stovewright/internal/form"
	"stovewright/message"
	"stovewright/quantity"
)

// The safety sheet is walked around the stove, point by point. Its file is a list
// of readings; the entries of the guide and of the page go by item and point:
// "safety.surface.front-low.value".

// SafetyEntries begins the paths of the readings of a safety sheet.
const SafetyEntries = "safety."

// TestKind is the kind of test.
func (*SafetyForm) TestKind() Kind { return KindSafety }

// spots are the measuring points of items, one after the other; the points of a
// part that the stove does not have are left out.
func (f *SafetyForm) spots(row guideRow, _ spot) []spot {
	var list []spot
	for _, key := range row.Of {
		item, ok := safetyItem(key)
		if !ok || slices.Contains(f.Absent, key) {
			continue
		}
		for _, p := range item.Points {
			list = append(list, spot{id: key + "." + p.Key, point: p.Key, fire: row.Fire, names: []string{"point.", SafetyEntries + key + "." + p.Key + "."},
				args: []any{"item", item.Name(), "point", p.Name(), "how", item.Help()}})
		}
	}
	return list
}

// entry is a reading by its item and point.
func (f *SafetyForm) entry(path string) (string, bool) {
	rest, ok := strings.CutPrefix(path, SafetyEntries)
	if !ok {
		return "", false
	}
	parts := strings.Split(rest, ".")
	what := parts[len(parts)-1]
	if len(parts) == 2 && what == "absent" {
		if slices.Contains(f.Absent, parts[0]) {
			return "yes", true
		}
		return "", true
	}
	for _, r := range f.Readings {
		if r.Item == parts[0] && (len(parts) == 2 && r.Point == "" || len(parts) == 3 && r.Point == parts[1]) {
			return map[string]string{"value": r.Value, "temperature": r.Read, "word": r.Word, "measure": r.Measure, "rating": r.Rating}[what], true
		}
	}
	return "", true
}

// SafetyField gives the rules of a reading by its item and point. The unit is
// that of the measure that is chosen.
func (f *SafetyForm) SafetyField(path string) (Field, bool) {
	rest, ok := strings.CutPrefix(path, SafetyEntries)
	parts := strings.Split(rest, ".")
	item, known := safetyItem(parts[0])
	if !ok || !known || len(parts) < 2 {
		return Field{}, false
	}
	field := Field{Path: parts[len(parts)-1], Kind: Word}
	switch field.Path {
	case "absent":
		field.Options = []string{"yes", "no"}
	case "word":
		field.Options = item.words()
	case "measure":
		field.Options = item.measureKeys()
	case "rating":
		field.Options = []string{"4", "3", "2", "1"}
	case "temperature":
		field.Kind, field.Unit, field.Example = Quantity, quantity.Celsius, "58 °C"
	case "value":
		chosen, _ := f.entry(strings.TrimSuffix(path, "value") + "measure")
		if chosen == "" && len(parts) == 3 {
			chosen = item.MeasureAt(parts[1])
		}
		at := max(0, slices.Index(item.measureKeys(), chosen))
		if len(item.Measures) == 0 {
			return Field{}, false
		}
		field.Kind, field.Unit = Quantity, safetyUnits[item.Measures[at].Unit]
	default:
		return Field{}, false
	}
	return form.Fields{field}.Named("bench.safety.entry.", "bench.safety.entry.")[0], true
}

// MeasureAt is what is measured at a point where nothing else is said: that of
// its part, such as the wall, or the first of the item; "" for an item that is
// only looked at.
func (i SafetyItem) MeasureAt(point string) string {
	if len(i.Measures) == 0 {
		return ""
	}
	for _, p := range i.Points {
		if p.Key == point && slices.Contains(i.measureKeys(), p.Part) {
			return p.Part
		}
	}
	return i.Measures[0].Key
}

// SoFar checks a safety sheet while the stove is walked around.
func (f *SafetyForm) SoFar() (complaints message.InputErrors, alarms []Alarm) {
	part := *f
	part.Readings = slices.DeleteFunc(slices.Clone(f.Readings), func(r SafetyReadingForm) bool {
		return strings.TrimSpace(r.Value+r.Read+r.Word+r.Rating) == ""
	})
	r := newReader(safetyFields)
	r.running = true
	sheet := part.read(r)
	for _, c := range soFar(r.Complaints) { // by item and point, as the guide has them
		for i, reading := range part.Readings {
			if rest, ok := strings.CutPrefix(c.Field, "readings"+numbered(i+1)+"."); ok {
				moved := *c
				moved.Field = SafetyEntries + reading.Item + "." + reading.Point + "." + rest
				c = &moved
			}
		}
		complaints = append(complaints, c)
	}
	return complaints, sheet.sense()
}

// Limits of a reading on a stove; common practice, no source.
const (
	belowAir = -2.0  // K, a surface that is colder than the air
	tooHot   = 600.0 // K over the air, beyond what is touched
)

// sense looks for readings that cannot be, and for those that are unlikely.
func (s SafetySheet) sense() []Alarm {
	var found []Alarm
	for _, r := range s.Readings {
		item, known := safetyItem(r.Item)
		if !known || r.Measure == "" || r.Rating != 0 {
			continue
		}
		ring := func(key string, severity Severity, args ...any) {
			found = append(found, Alarm{Key: key, Severity: severity, Standing: "common practice", Repeat: []string{"point"},
				Entries: []string{SafetyEntries + r.Item + "." + r.Point + ".value"}, Text: message.T("bench.safety."+key, append(args, "item", item.Name())...)})
		}
		rise := quantity.Value{SI: r.Value, Unit: quantity.KelvinDiff, Step: 1}
		switch hot := slices.ContainsFunc(item.Measures, func(m SafetyMeasure) bool { return m.Key == r.Measure && m.Unit == "K" }); {
		case hot && r.Value < belowAir:
			ring("below-air", Suspect, "rise", rise)
		case hot && r.Value > tooHot:
			ring("beyond-hot", Suspect, "rise", rise)
		case hot:
		case r.Value < 0:
			ring("below-nought", Wrong)
		case r.Measure == tiltRatio && r.Value > 1:
			ring("tilt-grew", Wrong)
		case r.Measure == tiltRatio && r.Value < 0.5:
			ring("tilt-far", Suspect)
		case r.Measure == "catches" && r.Value != math.Trunc(r.Value):
			ring("catches-broken", Wrong)
		}
	}
	return found
}
