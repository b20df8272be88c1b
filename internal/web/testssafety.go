package web

import (
	"cmp"
	"context"
	"html/template"
	"slices"
	"strconv"
	"strings"

	protocol "stovewright/bench"
	"stovewright/bench/figure"
	"stovewright/examples"
	"stovewright/message"
	"stovewright/quantity"
	"stovewright/stove"
)

// The safety sheet is laid out by its ten items and their measuring points. An
// entry of the page is named "safety.<item>.<point>.value"; in the file it is
// one of a list of readings.

// safetyGroup is one item of the sheet.
type safetyGroup struct {
	protocol.SafetyItem
	CanLack bool // the stove may be without that part
	Lacks   bool
	Lines   []safetyLine
	Ratings []option // by hand, 4 to 1
	Error   *message.InputError
}

// safetyLine is one measuring point, or what is looked at.
type safetyLine struct {
	Path     string // "safety.surface.front-low"
	Name     message.Text
	Measures []option // where there are several
	Words    []option
	Unit     string
	Text     string
	Warm     bool   // the value is a rise over the air
	Read     string // the temperature as it was read
	Error    *message.InputError
	Wrong    string // entry that the error is of
}

// Name of a measure is of bench; those of a page are its keys.
func measureName(key string) message.Text { return message.T("bench.measure." + key) }

const safetyPath = protocol.SafetyEntries

// safetyGroups lays the sheet out.
func safetyGroups(s *protocol.SafetyForm, wrong map[string]*message.InputError) []safetyGroup {
	at := safetyPlaces(s)
	var list []safetyGroup
	for _, item := range protocol.SafetyItems() {
		g := safetyGroup{SafetyItem: item, CanLack: item.Absent > 0, Lacks: slices.Contains(s.Absent, item.Key), Error: wrong[safetyPath+item.Key]}
		for _, p := range item.Points {
			l := safetyLine{Path: safetyPath + item.Key + "." + p.Key, Name: p.Name()}
			r, _, n := findReading(s, item.Key, p.Key)
			if n > 0 {
				l.Text, l.Read = r.Value, r.Read
				for _, entry := range []string{"temperature", "value"} {
					if e := wrong[at[n]+entry]; e != nil {
						l.Error, l.Wrong = e, l.Path+"."+entry
					}
				}
			}
			l.measures(item, p.Key, r)
			for _, w := range ratedWords(item) {
				l.Words = append(l.Words, option{Word: w, Text: testWord(w), Chosen: r.Word == w})
			}
			g.Lines = append(g.Lines, l)
		}
		r, _, _ := findReading(s, item.Key, "")
		for rating := 4; rating >= 1; rating-- {
			n := strconv.Itoa(rating)
			g.Ratings = append(g.Ratings, option{Word: n, Text: message.T("web.tests.rating-" + n), Chosen: r.Rating == n})
		}
		list = append(list, g)
	}
	return list
}

func (l *safetyLine) measures(item protocol.SafetyItem, point string, r protocol.SafetyReadingForm) {
	for _, m := range item.Measures {
		chosen := m.Key == cmp.Or(r.Measure, item.MeasureAt(point))
		if chosen {
			l.Unit, l.Warm = m.Unit, m.Unit == quantity.KelvinDiff.Symbol
		}
		l.Measures = append(l.Measures, option{Word: m.Key, Text: measureName(m.Key), Chosen: chosen})
	}
}

// ratedWords are the words of an item, best first.
func ratedWords(item protocol.SafetyItem) []string {
	var words []string
	for rating := 4; rating >= 1; rating-- {
		for w, r := range item.Words {
			if r == rating {
				words = append(words, w)
			}
		}
	}
	return words
}

// findReading finds the reading of an item at a point; n counts from one, 0 for
// none. The rating by hand has no point.
func findReading(s *protocol.SafetyForm, item, point string) (r protocol.SafetyReadingForm, i, n int) {
	for i, r := range s.Readings {
		if r.Item == item && (r.Point == point || point != "" && r.Point == "" && r.Rating == "") {
			return r, i, i + 1
		}
	}
	return protocol.SafetyReadingForm{}, 0, 0
}

// safetyPlaces leads from a reading of the sheet, counted from one, to the
// beginning of its path once the empty ones are left out.
func safetyPlaces(s *protocol.SafetyForm) map[int]string {
	m, n := map[int]string{}, 0
	for i, r := range s.Readings {
		if !emptyReading(r) {
			n++
			m[i+1] = "readings[" + strconv.Itoa(n) + "]."
		}
	}
	return m
}

func emptyReading(r protocol.SafetyReadingForm) bool {
	return strings.TrimSpace(r.Value+r.Read) == "" && r.Word == "" && r.Rating == ""
}

// takeSafety writes an entry of the page into the sheet; false for other names.
func takeSafety(s *protocol.SafetyForm, path, text string) bool {
	rest, ok := strings.CutPrefix(path, safetyPath)
	parts := strings.Split(rest, ".")
	if !ok || len(parts) < 2 {
		return false
	}
	i := slices.IndexFunc(protocol.SafetyItems(), func(it protocol.SafetyItem) bool { return it.Key == parts[0] })
	if i < 0 {
		return false
	}
	item, what := protocol.SafetyItems()[i], parts[len(parts)-1]
	switch {
	case len(parts) == 2 && what == "absent":
		s.Absent = slices.DeleteFunc(s.Absent, func(a string) bool { return a == item.Key })
		if text == "yes" && item.Absent > 0 {
			s.Absent = append(s.Absent, item.Key)
		}
	case len(parts) == 2 && what == "rating":
		setReading(s, item, "", func(r *protocol.SafetyReadingForm) { r.Rating = text })
	case len(parts) == 3 && slices.ContainsFunc(item.Points, func(p protocol.MeasuringPoint) bool { return p.Key == parts[1] }):
		setReading(s, item, parts[1], func(r *protocol.SafetyReadingForm) {
			switch what {
			case "value":
				r.Value = text
			case "temperature":
				r.Read = text
			case "measure":
				r.Measure = text
			case "word":
				r.Word = text
			}
		})
	}
	return true
}

// setReading changes one reading, and keeps the list in the order of the paper.
func setReading(s *protocol.SafetyForm, item protocol.SafetyItem, point string, change func(*protocol.SafetyReadingForm)) {
	r, i, n := findReading(s, item.Key, point)
	if n == 0 {
		r = protocol.SafetyReadingForm{Item: item.Key, Point: point}
	}
	change(&r)
	if r.Measure == "" && point != "" {
		r.Measure = item.MeasureAt(point)
	}
	if n > 0 {
		s.Readings = slices.Delete(s.Readings, i, i+1)
	}
	if emptyReading(r) && (len(item.Measures) < 2 || r.Measure == item.MeasureAt(point)) || point == "" && r.Rating == "" {
		return // nothing is left of it
	}
	at := len(s.Readings)
	for k := range s.Readings {
		if safetyRank(s.Readings[k]) > safetyRank(r) {
			at = k
			break
		}
	}
	s.Readings = slices.Insert(s.Readings, at, r)
}

// safetyRank orders readings by item and point.
func safetyRank(r protocol.SafetyReadingForm) int {
	for i, item := range protocol.SafetyItems() {
		if item.Key == r.Item {
			return 100*i + 1 + slices.IndexFunc(item.Points, func(p protocol.MeasuringPoint) bool { return p.Key == r.Point })
		}
	}
	return 100 * 100
}

// withoutEmpty drops the readings that only have their place yet.
func withoutEmpty(s *protocol.SafetyForm) {
	s.Readings = slices.DeleteFunc(s.Readings, emptyReading)
}

// field gives the rules of an entry of the test; those of a safety sheet go by
// item and point.
func (t *test) field(path string) (protocol.Field, bool) {
	if s, ok := t.Form.(*protocol.SafetyForm); ok && strings.HasPrefix(path, safetyPath) {
		return s.SafetyField(path)
	}
	return testField(t.Kind, path)
}

// entryName is the name of an entry with the part of the test it is in, or the
// measuring point.
func (t *test) entryName(path string) message.Text {
	parts := strings.Split(path, ".")
	if t.Kind != protocol.KindSafety || !strings.HasPrefix(path, safetyPath) {
		return testEntryName(t.Kind, path)
	}
	if len(parts) == 4 && parts[3] != "measure" {
		return message.T("bench.point." + parts[2])
	}
	rule, _ := t.field(path)
	return rule.Name()
}

// safetyOptions names the choices of a safety sheet, and marks the one that is
// taken where nothing is said.
func (t *test) safetyOptions(e *reading, path string) {
	if t.Kind != protocol.KindSafety || !e.IsWord() {
		return
	}
	parts := strings.Split(path, ".")
	for i := range e.Options {
		switch o := &e.Options[i]; e.Rule.Path {
		case "measure":
			o.Text = measureName(o.Word)
			for _, item := range protocol.SafetyItems() {
				if item.Key == parts[1] && e.Text == "" {
					o.Chosen = o.Word == item.MeasureAt(parts[2])
				}
			}
		case "absent":
			o.Text = message.T(map[string]string{"yes": "web.tests.lacks-part", "no": "web.tests.has-part"}[o.Word])
		}
	}
}

// pointPicture draws where on the stove a reading is taken: on the stove of the
// test, or on the worked example where that is not drawn here.
func (b *Bench) pointPicture(stoveID, point string) (picture template.HTML, sketch bool) {
	if stoveID != "" {
		if d, err := b.load(context.Background(), stoveID); err == nil && d.Stove != nil {
			return svgOf(figure.SafetyPoint(d.Stove, point, b.Catalogue, pointWidth)), false
		}
	}
	brief, err := exampleForm(examples.First)
	if err != nil {
		return "", true
	}
	read, err := brief.Read()
	if err != nil {
		return "", true
	}
	s, err := stove.Size(read)
	if err != nil {
		return "", true
	}
	return svgOf(figure.SafetyPoint(s, point, b.Catalogue, pointWidth)), true
}

// pointWidth is the width of the picture of one point, in mm.
const pointWidth = 120
