package web

import (
	"slices"
	"strconv"
	"strings"

	protocol "stovewright/bench"
	"stovewright/message"
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
	Error    *message.InputError
}

// Name of a measure is of bench; those of a page are its keys.
func measureName(key string) message.Text { return message.T("bench.measure." + key) }

const safetyPath = "safety."

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
				l.Text, l.Error = r.Value, wrong[at[n]+"value"]
			}
			l.measures(item, r)
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

func (l *safetyLine) measures(item protocol.SafetyItem, r protocol.SafetyReadingForm) {
	for i, m := range item.Measures {
		chosen := m.Key == r.Measure || r.Measure == "" && i == 0
		if chosen {
			l.Unit = m.Unit
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
	return strings.TrimSpace(r.Value) == "" && r.Word == "" && r.Rating == ""
}

// takeSafety writes an entry of the page into the sheet; false for other names.
func takeSafety(s *protocol.SafetyForm, path string, texts []string) bool {
	rest, ok := strings.CutPrefix(path, safetyPath)
	parts := strings.Split(rest, ".")
	if !ok || len(parts) < 2 {
		return false
	}
	i := slices.IndexFunc(protocol.SafetyItems(), func(it protocol.SafetyItem) bool { return it.Key == parts[0] })
	if i < 0 {
		return false
	}
	item, what, text := protocol.SafetyItems()[i], parts[len(parts)-1], tidy(texts[len(texts)-1])
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
	if r.Measure == "" && point != "" && len(item.Measures) > 0 {
		r.Measure = item.Measures[0].Key
	}
	if n > 0 {
		s.Readings = slices.Delete(s.Readings, i, i+1)
	}
	if emptyReading(r) && (len(item.Measures) < 2 || r.Measure == item.Measures[0].Key) || point == "" && r.Rating == "" {
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
