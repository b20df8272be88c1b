package bench

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"stovewright/internal/form"
	"stovewright/message"
)

// A guide leads through a test, one thing to do at a time, in the order of the
// paper. It is data: a file of tasks for each kind of test (data/run-….yaml), in
// groups that are done several times, such as in each phase, at each pot that is
// exchanged, in each household at each visit. The sheet says how often, and
// holds all that the guide goes by: it can be laid down and taken up anywhere.

// Paper is a sheet that the bench leads through: the form of a kind of test.
type Paper interface {
	// TestKind is the kind of test that the sheet is of.
	TestKind() Kind
	// SoFar checks the sheet while it is filled in: whatever is written is read
	// and computed as far as it goes, and only what is wrong is said, not what is
	// still missing. Complaints are entries that cannot be read, alarms what the
	// readings give away, as soon as the readings that they need are there.
	SoFar() (complaints message.InputErrors, alarms []Alarm)
	// spots are where a group of tasks is done, one after the other.
	spots(group guideRow, in spot) []spot
}

// guideRow is a task of a guide, or a group of them.
type guideRow struct {
	Each  string     `yaml:"each"`  // of a group: what it is done for each of
	Of    []string   `yaml:"of"`    // only those
	Fire  Span       `yaml:"fire"`  // of a group: entries with the times the fire was lit and put out
	Tasks []guideRow `yaml:"tasks"` // of a group

	Key     string   `yaml:"key"`
	Only    []string `yaml:"only"`   // spots that it is done at; all where empty
	Fields  []string `yaml:"fields"` // entries it fills, as paths of the file
	Maybe   []string `yaml:"maybe"`  // entries that may stay empty
	Ways    []Way    `yaml:"ways"`   // several ways to do it
	Timer   Timer    `yaml:"timer"`
	Band    float64  `yaml:"band"`
	Least   string   `yaml:"least"`
	Within  float64  `yaml:"within"`
	Caution bool     `yaml:"caution"`
	More    string   `yaml:"more"`
	Spells  string   `yaml:"spells"`
	Same    []string `yaml:"same"`
	Pass    bool     `yaml:"pass"`
	Offers  []Offer  `yaml:"offers"`
}

// Span is two entries of a sheet with times of day.
type Span struct {
	From string `yaml:"from"`
	To   string `yaml:"to"`
}

// Timer is a time to wait for. It runs from the time in one entry until another
// has its time; without entries it is started by hand.
type Timer struct {
	Seconds float64 `yaml:"for"`
	Span    `yaml:",inline"`
}

// Way is one of several ways to do a task.
type Way struct {
	Fields []string `yaml:"fields"`
	Maybe  []string `yaml:"maybe"`
	Poor   bool     `yaml:"poor"` // taken only when nothing better can be had
}

// Entries are all entries of the way.
func (w Way) Entries() []string { return slices.Concat(w.Fields, w.Maybe) }

// Offer is a likely reading of an entry: that of another entry, or a text.
type Offer struct {
	At   string `yaml:"at"`
	From string `yaml:"from"`
	Text string `yaml:"text"`
	Why  string `yaml:"why"`

	words message.Text
}

// Words say where the offer comes from.
func (o Offer) Words() message.Text { return o.words }

// Task is one thing to do in a guided test. Entries are paths of the sheet.
type Task struct {
	ID      string
	Key     string
	Part    string    // phase, level or household that it is of; "" for the whole test
	Fields  []string  // entries it fills
	Maybe   []string  // entries that may stay empty
	Ways    []Way     // instead of Fields: ways to do it, best first
	Timer   Timer     // zero for none
	Fire    Span      // when the fire of this part was lit and put out
	Band    float64   // K below boiling to hold the water at; 0 for none
	Least   string    // entry that takes the lowest of the temperatures noted meanwhile
	Within  float64   // s after the task before; 0 for no hurry
	Due     time.Time // when it should be done, by the clock on the wall; zero for now
	Caution bool      // there is something hot, sharp or smoky: Warning says so
	More    string    // list that may need another item
	Spells  string    // list of times from and to that keys take
	Same    []string  // entries that the readings of the fields stand in too, one for each
	Pass    bool      // done when it has been gone through
	Offers  []Offer   // readings that are likely
	Point   string    // measuring point on the stove, for the drawing; "" for none

	words, place message.Text
}

// Place names the part of the test that the task is of.
func (t Task) Place() message.Text { return t.place }

// Words say what to do.
func (t Task) Words() message.Text { return t.words }

// Warning says what to mind at this task; zero when there is nothing.
func (t Task) Warning() message.Text {
	if !t.Caution {
		return message.Text{}
	}
	return message.T("bench.run." + t.Key + ".mind")
}

// Entries are all entries of the task, in their order.
func (t Task) Entries() []string {
	list := slices.Concat(t.Fields, t.Maybe)
	for _, w := range t.Ways {
		list = append(list, w.Entries()...)
	}
	return list
}

// Said reports a task that is only said, with the next that there is to do.
func (t Task) Said() bool { return len(t.Entries()) == 0 && !t.Pass }

// Filled reports whether a sheet has what the task is for. What is known in a
// poor way does not count, and what has only to be gone through is never filled.
func (t Task) Filled(p Paper) bool {
	written := func(path string) bool { return Entry(p, path) != "" }
	for _, w := range t.Ways {
		if !w.Poor && all(w.Fields, written) {
			return true
		}
	}
	return len(t.Fields) > 0 && all(t.Fields, written)
}

// Known reports whether a poor way of the task has been filled in.
func (t Task) Known(p Paper) bool {
	return slices.ContainsFunc(t.Ways, func(w Way) bool {
		return w.Poor && all(w.Fields, func(path string) bool { return Entry(p, path) != "" })
	})
}

func all(list []string, holds func(string) bool) bool {
	return !slices.ContainsFunc(list, func(s string) bool { return !holds(s) })
}

// Entry is the text of an entry of a sheet, without blanks around it.
func Entry(p Paper, path string) string {
	if s, ok := p.(interface {
		entry(path string) (string, bool)
	}); ok {
		if text, its := s.entry(path); its {
			return strings.TrimSpace(text)
		}
	}
	return strings.TrimSpace(form.Written(p, path))
}

// guides are the tasks of each kind of test that the bench leads through.
var guides = map[Kind]func() guideFile{
	KindBoiling:  lazy[guideFile]("run-boiling.yaml"),
	KindSequence: lazy[guideFile]("run-sequence.yaml"),
	KindCooking:  lazy[guideFile]("run-cooking.yaml"),
	KindKitchen:  lazy[guideFile]("run-kitchen.yaml"),
	KindSafety:   lazy[guideFile]("run-safety.yaml"),
}

type guideFile struct {
	Description string     `yaml:"description"`
	Source      string     `yaml:"source"`
	Standing    string     `yaml:"standing"`
	Tasks       []guideRow `yaml:"tasks"`
}

// Guided reports whether the bench leads through tests of a kind.
func (k Kind) Guided() bool { return guides[k] != nil }

// Guide is the tasks of a test as its sheet stands; none for a kind without.
func Guide(p Paper) []Task {
	load, ok := guides[p.TestKind()]
	if !ok {
		return nil
	}
	var list []Task
	follow(load().Tasks, p, spot{}, &list)
	return list
}

func follow(rows []guideRow, p Paper, in spot, list *[]Task) {
	for _, row := range rows {
		switch {
		case len(row.Only) > 0 && !slices.Contains(row.Only, in.part):
		case len(row.Tasks) > 0:
			for _, s := range p.spots(row, in) {
				follow(row.Tasks, p, in.within(s), list)
			}
		default:
			*list = append(*list, row.task(p, in))
		}
	}
}

// spot is a place in a guide: what is put for the names in the paths of its
// tasks, and what their words need.
type spot struct {
	id     string   // before the key of its tasks
	part   string   // what an alarm calls it
	names  []string // old and new, in turn
	args   []any
	fire   Span
	due    time.Time
	point  string
	before string // the part before this
	place  message.Text
	visit  int  // of a kitchen test, counted from one
	house  int  // of a kitchen test, counted from one
	last   bool // the last visit
}

// within is a spot inside another.
func (s spot) within(inner spot) spot {
	inner.id = strings.Trim(s.id+"."+inner.id, ".")
	if inner.part == "" {
		inner.part, inner.before, inner.place = s.part, s.before, s.place
	}
	if inner.visit == 0 {
		inner.visit, inner.last = s.visit, s.last
	}
	if inner.house == 0 {
		inner.house = s.house
	}
	if inner.due.IsZero() {
		inner.due = s.due
	}
	if inner.fire == (Span{}) {
		inner.fire = s.fire
	}
	inner.names = slices.Concat(s.names, inner.names)
	inner.args = slices.Concat(s.args, inner.args)
	return inner
}

func (row guideRow) task(p Paper, in spot) Task {
	t := Task{ID: strings.TrimPrefix(in.id+"."+row.Key, "."), Key: row.Key, Part: in.part, Fire: in.fire, Band: row.Band, Within: row.Within, Due: in.due,
		Caution: row.Caution, Pass: row.Pass, Point: in.point, Timer: row.Timer,
		Fields: in.paths(p, row.Fields), Maybe: in.paths(p, row.Maybe),
		Least: in.path(row.Least), More: in.path(row.More), Spells: in.path(row.Spells), Same: in.paths(p, row.Same)}
	if in.last {
		t.Same = nil // nothing follows
	}
	if t.place = in.place; t.place.IsZero() {
		t.place = phaseName(in.part)
	}
	t.Timer.From, t.Timer.To = in.path(row.Timer.From), in.path(row.Timer.To)
	for _, w := range row.Ways {
		t.Ways = append(t.Ways, Way{Fields: in.paths(p, w.Fields), Maybe: in.paths(p, w.Maybe), Poor: w.Poor})
	}
	for _, o := range row.Offers {
		at, from := in.paths(p, []string{o.At}), in.paths(p, []string{o.From})
		for i := range at {
			t.Offers = append(t.Offers, Offer{At: at[i], From: from[min(i, len(from)-1)], Text: o.Text, words: message.T("bench.offer."+o.Why, "phase", phaseName(in.before))})
		}
	}
	t.words = message.T("bench.run."+row.Key, append([]any{"phase", phaseName(in.part)}, in.args...)...)
	return t
}

// path puts the names of a spot into a path.
func (s spot) path(path string) string {
	for i := 0; i+1 < len(s.names); i += 2 {
		path = strings.Replace(path, s.names[i], s.names[i+1], 1)
	}
	return path
}

// paths does so with a list, and gives an entry of a list for each of its items:
// "pots[].empty" for all, "pots[first].empty" and "pots[last].empty" for one.
// Entries that follow each other in one list are taken item by item.
func (s spot) paths(p Paper, list []string) []string {
	var out []string
	for i := 0; i < len(list); {
		before, _, several := strings.Cut(s.path(list[i]), "[]")
		j := i + 1
		for several && j < len(list) && strings.HasPrefix(s.path(list[j]), before+"[]") {
			j++
		}
		var columns [][]string
		for _, path := range list[i:j] {
			columns = append(columns, items(p, s.path(path)))
		}
		for row := range columns[0] {
			for _, column := range columns {
				out = append(out, column[row])
			}
		}
		i = j
	}
	return out
}

func items(p Paper, path string) []string {
	for _, mark := range []string{"[]", "[first]", "[last]"} {
		before, after, ok := strings.Cut(path, mark)
		if !ok {
			continue
		}
		from, to := 1, max(1, form.Items(p, before))
		switch mark {
		case "[first]":
			to = 1
		case "[last]":
			from = to
		}
		var list []string
		for n := from; n <= to; n++ {
			list = append(list, items(p, before+numbered(n)+after)...)
		}
		return list
	}
	return []string{path}
}

func numbered(n int) string { return "[" + strconv.Itoa(n) + "]" }

// inParts are the spots of a test that is done in named parts, one after the
// other: the fields of a part stand once in the form, under one name.
func inParts(row guideRow, name string, parts ...string) []spot {
	var list []spot
	for i, part := range parts {
		if len(row.Of) > 0 && !slices.Contains(row.Of, part) {
			continue
		}
		s := spot{id: part, part: part, names: []string{name + ".", part + "."}}
		if i > 0 {
			s.before = parts[i-1]
			s.names = append(s.names, "before.", s.before+".")
		}
		s.fire = Span{s.path(row.Fire.From), s.path(row.Fire.To)}
		list = append(list, s)
	}
	return list
}

// atSwaps are the spots at which one pot is exchanged for the next.
func atSwaps(p Paper, pots string) []spot {
	var list []spot
	for n := 1; n < form.Items(p, pots); n++ {
		list = append(list, spot{id: fmt.Sprint("pot", n), names: []string{"[out]", numbered(n), "[in]", numbered(n + 1)}, args: []any{"pot", n, "next", n + 1}})
	}
	return list
}

// TestKind is the kind of test.
func (*BoilingForm) TestKind() Kind { return KindBoiling }

func (f *BoilingForm) spots(row guideRow, _ spot) []spot { return inParts(row, "phase", phases...) }

// TestKind is the kind of test.
func (*SequenceForm) TestKind() Kind { return KindSequence }

func (f *SequenceForm) spots(row guideRow, in spot) []spot {
	if row.Each == "swap" {
		return atSwaps(f, in.part+".pots")
	}
	return inParts(row, "level", string(HighPower), string(MediumPower), string(LowPower))
}

// TestKind is the kind of test.
func (*CookingForm) TestKind() Kind { return KindCooking }

// spots of a meal are one or none: what is only done in one kind of cooking test
// or with one form of the dry wood, and the meal itself.
func (f *CookingForm) spots(row guideRow, _ spot) []spot {
	is := func(written, word, fallback string) bool {
		return strings.EqualFold(cmp.Or(strings.TrimSpace(written), fallback), word)
	}
	switch row.Each {
	case string(Controlled), string(Uncontrolled):
		if !is(f.Kind, row.Each, string(Controlled)) {
			return nil
		}
	case string(FullForm):
		if !is(f.DryWood, row.Each, string(ShortForm)) {
			return nil
		}
	}
	return []spot{{fire: row.Fire}}
}

// soFar keeps the complaints about what is written; what is still missing is
// no mistake yet.
func soFar(list message.InputErrors) message.InputErrors {
	return slices.DeleteFunc(slices.Clone(list), func(c *message.InputError) bool { return c.Value == "" })
}

// SoFar checks a boiling test while it is running.
func (f *BoilingForm) SoFar() (complaints message.InputErrors, alarms []Alarm) {
	part := *f
	for _, at := range []**PhaseForm{&part.Cold, &part.Hot, &part.Simmer} {
		if *at != nil && len((*at).Pots) == 0 {
			begun := **at
			begun.Pots = make([]PotReadingForm, 1)
			*at = &begun
		}
	}
	if part.Cold == nil && part.Hot == nil && part.Simmer == nil {
		part.Cold = &PhaseForm{Pots: make([]PotReadingForm, 1)} // wood and boiling point can be wrong before the fire
	}
	r := newReader(boilingFields)
	r.running = true
	test := part.read(r)
	if result, err := Boil(test); err == nil {
		alarms = result.Alarms
	}
	return soFar(r.Complaints), alarms
}

// SoFar checks a run of the sequence while it is running, each pot as soon as
// it is taken off.
func (f *SequenceForm) SoFar() (complaints message.InputErrors, alarms []Alarm) {
	part := *f
	for _, at := range []**LevelForm{&part.High, &part.Medium, &part.Low} {
		if *at != nil && len((*at).Pots) == 0 {
			begun := **at
			begun.Pots = make([]HeatedPotForm, 1)
			*at = &begun
		}
	}
	if part.High == nil && part.Medium == nil && part.Low == nil {
		part.High = &LevelForm{Pots: make([]HeatedPotForm, 1)} // the fuel can be wrong before the fire
	}
	r := newReader(sequenceFields)
	r.running = true
	test := part.read(r)
	look := func(t SequenceTest, pot string) {
		result, err := RunSequence(t)
		for _, a := range result.Alarms {
			if err != nil || a.Key == "levels-missing" || slices.ContainsFunc(alarms, func(b Alarm) bool { return a.Key == b.Key && a.Phase == b.Phase }) {
				continue
			}
			a.Entries = repeatEntries(&part, a, pot)
			alarms = append(alarms, a)
		}
	}
	for _, level := range powerLevels {
		l := test.Levels[level]
		for i, pot := range l.Pots {
			one := l
			one.Fuel, one.Char, one.Duration, one.Feeding, one.Pots = math.NaN(), math.NaN(), math.NaN(), Given{}, []HeatedPot{pot}
			single := test
			single.Levels = map[PowerLevel]LevelTest{level: one}
			look(single, numbered(i+1))
		}
	}
	look(test, "[last]")
	return soFar(r.Complaints), alarms
}

// SoFar checks a cooking test while it is running.
func (f *CookingForm) SoFar() (complaints message.InputErrors, alarms []Alarm) {
	part := *f
	if len(part.Pots) == 0 {
		part.Pots = make([]CookingPotForm, 1)
	}
	r := newReader(cookingFields)
	r.running = true
	if result, err := Cook(part.read(r)); err == nil {
		alarms = result.Alarms
	}
	return soFar(r.Complaints), alarms
}

// repeatPaths lead from a reading of a protocol to its entry in the sheet.
var repeatPaths = map[Kind]map[string]string{
	KindBoiling: {
		"LHV": "wood.heating_value", "m": "wood.moisture", "T_a": "place.air_temperature", "T_b": "boiling_point.lowest", "k": "char_pan",
		"f_i": "phase.wood_before", "f_f": "phase.wood_after", "c": "phase.char_with_pan", "t": "phase.end", "T_low": "phase.lowest_temperature",
		"T1_i": "phase.pots[first].start_temperature", "T1_f": "phase.pots[first].end_temperature", "P": "phase.pots[first].empty",
		"P_i": "phase.pots[first].before", "P_f": "phase.pots[first].after", "T_i": "phase.pots[first].start_temperature", "T_f": "phase.pots[first].end_temperature",
	},
	KindSequence: {
		"m": "fuel.moisture", "k": "char_pan", "F_k": "level.fuel_after", "C_k": "level.char_with_pan", "t": "level.end", "t_f": "level.shutdown",
		"M_w": "level.pots[last].before", "M_v": "level.pots[last].after", "T_i": "level.pots[last].start_temperature", "T_f": "level.pots[last].end_temperature",
	},
	KindCooking: {
		"LHV": "wood.heating_value", "m": "wood.moisture", "T_a": "place.air_temperature", "T_b": "boiling_point.lowest", "k": "char_pan",
		"f_i": "wood_before", "f_f": "wood_after", "c": "char_with_pan", "t": "end", "P": "pots[first].empty", "P_f": "pots[first].with_food",
		"W_r": "foods[first].mass", "away": "away[last].to",
	},
}

// RepeatEntries are the entries of a sheet to take again, one for each reading
// that an alarm doubts; "" for a reading that stands in no one entry.
func RepeatEntries(p Paper, a Alarm) []string {
	if a.Entries != nil {
		return a.Entries
	}
	return repeatEntries(p, a, "[last]")
}

// repeatEntries does so for one pot of several.
func repeatEntries(p Paper, a Alarm, pot string) []string {
	list := make([]string, len(a.Repeat))
	for i, key := range a.Repeat {
		path := strings.Replace(repeatPaths[p.TestKind()][key], "[last]", pot, 1)
		for _, name := range []string{"phase.", "level."} {
			if rest, ok := strings.CutPrefix(path, name); ok {
				path = a.Phase + "." + rest
			}
		}
		if path != "" {
			list[i] = items(p, path)[0]
		}
	}
	return list
}

// Blank is a sheet of a kind on which nothing is written; nil for a kind
// without a guide.
func Blank(k Kind) Paper {
	switch k {
	case KindBoiling:
		return &BoilingForm{Test: string(k), Version: string(Version42)}
	case KindSequence:
		return &SequenceForm{Test: string(k)}
	case KindCooking:
		return &CookingForm{Test: string(k)}
	case KindKitchen:
		return &KitchenForm{Test: string(k)}
	case KindSafety:
		return &SafetyForm{Test: string(k)}
	}
	return nil
}
