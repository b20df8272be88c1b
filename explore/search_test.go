package explore

import (
	"maps"
	"math"
	"slices"
	"testing"
	"time"

	"stovewright/fire"
	"stovewright/kit"
	"stovewright/message"
	"stovewright/stove"
)

func search(t testing.TB, limits func(*Limits), population, generations int, seed uint64) *Search {
	t.Helper()
	s := subject(t, "beans-pot.yaml")
	l := UsualLimits(sized(t, s).Brief)
	if limits != nil {
		limits(&l)
	}
	q, err := NewSearch(s, l, Prices{Brick: 0.4, Sheet: 8, Fill: 10, Rod: 1, Body: 2}, population, generations, seed)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

func TestSearchIsTheSameForAll(t *testing.T) {
	begin := func(generations int) *Search {
		q := search(t, nil, 32, generations, 8)
		q.Draws = 4
		return q
	}
	sameForAll(t, func() *Search { return begin(8) })
	q := begin(8)
	q.Open()
	for range q.Generations - 1 {
		q.Take(units(q))
	}
	if len(q.Planned) == 0 {
		t.Error("nothing was foreseen: of that the others say nothing")
	}
}

// units are the results of a generation.
func units(q *Search) []Values {
	_, n := q.Batch()
	results := make([]Values, n)
	each(n, func(i int) { results[i] = q.Unit(i) })
	return results
}

// TestTrap is the trap of the smallest gap: every narrower gap raises efficiency,
// until there is no air left. A search for least wood alone must stop before, also
// when asked with fresh draws that it never saw.
func TestTrap(t *testing.T) {
	s := subject(t, "beans-pot.yaml")
	q := search(t, nil, 24, 24, 4)
	q.Goals = []Goal{LeastWood}
	for i, v := range q.Variables {
		if v.Key == "skirt.gap" {
			q.Variables[i].Low = 0.003
		}
	}
	run(t, q, 0)
	front, err := q.Front(5)
	if err != nil || len(front) == 0 {
		t.Fatal("no stove found ", err)
	}
	d := front[Recommend(front)]
	best := Subject{Form: d.Form, Coefficients: s.Coefficients, Depth: Steady}
	st := sized(t, best)
	t.Logf("skirt gap %v, throat %v, edge %v, %v", st.Value("skirt.gap"), st.Value("gap.throat"), st.Value("gap.edge"), d.Drawn)
	says(t, d.Says(q)...)

	if !lures(t, best, q.Limits.AirRatio) {
		t.Error("no narrower gap burns less wood: this brief is no trap and proves nothing")
	}

	l := fire.Light(st)
	m, err := l.Model()
	if err != nil {
		t.Fatal(err)
	}
	draws, err := m.NewDraws(s.Coefficients, 200, 77)
	if err != nil {
		t.Fatal(err)
	}
	b, err := m.Bands(draws, l.Task.Power, m.Air().BoilingPoint())
	if err != nil {
		t.Fatal(err)
	}
	if b.Choked > 0 || b.Smoky > 2 || b.AirRatio.Low < 0.9*fire.AirCaution {
		t.Errorf("of 200 fresh draws %d choke, %d smoke; air ratio from %v", b.Choked, b.Smoky, b.AirRatio.Low)
	}
}

// lures reports whether a stove is a trap as the engineering note describes it: every
// millimetre that the skirt is narrower saves wood and costs air, past the limit
// and on until the stove smokes or chokes.
func lures(t *testing.T, s Subject, limit float64) bool {
	t.Helper()
	st := sized(t, s)
	before, err := s.Outcome()
	if err != nil {
		t.Fatal(err)
	}
	yours := s.Form.Yours
	past := false
	for gap := st.SkirtGap - 0.001; gap >= 0.003-1e-9; gap -= 0.001 {
		s.Form.Yours = maps.Clone(yours)
		s.Form.Yours["skirt.gap"] = text(st.Dimension("skirt.gap"), gap)
		o, err := s.Outcome()
		switch {
		case err != nil:
			t.Fatal(err)
		case !(o[AirRatio] >= fire.SmokeLimit):
			return past
		case o[Wood] >= before[Wood] || o[AirRatio] >= before[AirRatio]:
			return false
		}
		past = past || o[AirRatio] < limit
		before = o
	}
	return false
}

func TestSearchKeepsLimits(t *testing.T) {
	free := search(t, nil, 16, 6, 3)
	run(t, free, 0)
	front, err := free.Front(100)
	if err != nil || len(front) < 3 {
		t.Fatalf("%d stoves found, %v", len(front), err)
	}
	low, high := math.Inf(1), 0.0
	for _, d := range front {
		low, high = math.Min(low, d.Cost), math.Max(high, d.Cost)
	}
	limit := (low + high) / 2
	q := search(t, func(l *Limits) { l.Cost, l.Skin = limit, 273.15+90 }, 16, 6, 3)
	run(t, q, 0)
	if front, err = q.Front(100); err != nil || len(front) == 0 {
		t.Fatalf("%d stoves found, %v", len(front), err)
	}
	for _, d := range front {
		if d.Cost > limit || d.Skin > 273.15+90 || d.AirRatio < q.Limits.AirRatio {
			t.Errorf("a limit is broken: %+v", d)
		}
		st := sized(t, Subject{Form: d.Form, Coefficients: fire.Defaults()})
		if st.Mass != d.Mass || q.Prices.Of(st) != d.Cost {
			t.Error("the design opens as another stove")
		}
		for _, v := range q.Variables {
			if v.Options == nil && st.Dimension(v.Key) != nil {
				if x := st.Value(v.Key).SI / v.Step; math.Abs(x-math.Round(x)) > 1e-6 {
					t.Errorf("%s is %v, off its step", v.Key, st.Value(v.Key).SI)
				}
			}
		}
	}
}

// TestSearchHeedsWarnings holds that nothing is recommended that the sizing itself speaks
// against, such as a skirt that the handles meet or a thin wall, and that dimensions are
// written as a maker would.
func TestSearchHeedsWarnings(t *testing.T) {
	q := search(t, nil, 16, 8, 6)
	run(t, q, 0)
	front, err := q.Front(100)
	if err != nil || len(front) < 3 {
		t.Fatalf("%d stoves found, %v", len(front), err)
	}
	ruled := sized(t, q.Subject)
	for _, d := range front {
		st := sized(t, Subject{Form: d.Form, Coefficients: fire.Defaults()})
		for _, c := range st.Checks {
			if c.Level != stove.Note && c.ID != "skin" && !slices.ContainsFunc(ruled.Checks, func(r stove.Check) bool { return r.ID == c.ID }) {
				t.Errorf("recommended against the check %q: %v", c.ID, d.Form.Yours)
			}
		}
		for id, text := range d.Form.Yours {
			if len(text) > len("120.5 mm") {
				t.Errorf("%s is written %q", id, text)
			}
		}
	}
}

// TestSearchKeepsToWhatIsAtHand holds what is recommended against the kit: every
// stove can be made, of the sheets, bricks and can that are there.
func TestSearchKeepsToWhatIsAtHand(t *testing.T) {
	s := subject(t, "beans-pot.yaml")
	s.Form.AtHand.Sheets = []stove.SheetForm{{Width: "430 mm", Length: "1000 mm", Thickness: "0.8 mm", Count: "3"}}
	s.Form.AtHand.Brick = stove.BrickForm{Thickness: "50 mm", Height: "64 mm"}
	s.Form.Choices.Chamber = "square"
	limits := UsualLimits(sized(t, s).Brief)
	dear := 0
	for _, atHand := range []bool{true, false} {
		limits.AtHand = atHand
		q, err := NewSearch(s, limits, Prices{}, 24, 16, 2)
		if err != nil {
			t.Fatal(err)
		}
		q.Goals = []Goal{LeastWood, LeastTime}
		run(t, q, 0)
		front, err := q.Front(100)
		if err != nil || len(front) == 0 {
			t.Fatalf("%d stoves found, %v", len(front), err)
		}
		for _, d := range front {
			st := sized(t, Subject{Form: d.Form, Coefficients: fire.Defaults()})
			made, err := kit.Make(st)
			if err != nil {
				t.Fatalf("recommended, and cannot be made: %v", err)
			}
			short := slices.ContainsFunc(made.Cutting, func(c kit.Cutting) bool { return !c.AtHand })
			if short && atHand {
				t.Errorf("needs more sheet than there is: %v", d.Form.Yours)
			}
			if short {
				dear++
			}
			if st.BrickThickness != 0.050 || st.BrickHeight != 0.064 || !st.Square {
				t.Errorf("bricks %v × %v, square %v: not those at hand", st.BrickThickness, st.BrickHeight, st.Square)
			}
		}
	}
	if dear == 0 {
		t.Error("no stove needs more sheet than there is: this brief proves nothing")
	}
}

func TestSearchRefuses(t *testing.T) {
	s := subject(t, "beans-pot.yaml")
	for _, l := range []Limits{{}, {AirRatio: 1, Confidence: 0.9}, {AirRatio: 1.8, Confidence: 1.2}} {
		_, err := NewSearch(s, l, Prices{}, 8, 2, 1)
		list, ok := message.Complaints(err)
		if !ok || len(list) != 1 {
			t.Fatalf("%+v: %v", l, err)
		}
		says(t, list[0].Reason, list[0].Allowed)
	}
}

func BenchmarkSearch(b *testing.B) {
	designs := 0
	for range b.N {
		q := search(b, nil, 32, 10, 5)
		run(b, q, 0)
		designs += q.Population * q.Generations
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(designs), "µs/design")
}

// BenchmarkSearchConverges tells how much of the hypervolume of a search ten times as
// long a search of 8000 designs finds, for several briefs with two goals, with three,
// and with all four where there are prices. The hypervolume is measured from half as
// much again as the stove by the rules has of everything: what is worse than that
// nobody asks for. The seed is one more than the place of the run in b.N.
func BenchmarkSearchConverges(b *testing.B) {
	const population, short = 100, 80
	goals := map[string][]Goal{"two": {LeastWood, LeastTime}, "three": {LeastWood, LeastTime, Steadiest},
		"four": {LeastWood, LeastTime, LeastCost, Steadiest}}
	for _, name := range []string{"beans-pot.yaml", "upland-drum.yaml", "liner.yaml"} {
		for key, set := range goals {
			b.Run(name+"/"+key, func(b *testing.B) {
				found := 0.0
				for n := range b.N {
					found += converges(b, name, set, population, short, uint64(n+1))
				}
				b.ReportMetric(100*found/float64(b.N), "%-found")
			})
		}
	}
}

func converges(b *testing.B, name string, goals []Goal, population, short int, seed uint64) float64 {
	s := subject(b, name)
	q, err := NewSearch(s, UsualLimits(sized(b, s).Brief), Prices{Brick: 0.4, Liner: 3, Sheet: 8, Fill: 10, Rod: 1, Body: 2}, population, short, seed)
	if err != nil {
		b.Fatal(err)
	}
	q.Goals = goals
	began := time.Now()
	run(b, q, 0)
	b.ReportMetric(time.Since(began).Seconds(), "s-short")
	long := &Search{Subject: s, Unsure: q.Unsure, Draws: q.Draws, Goals: goals, Limits: q.Limits, Prices: q.Prices,
		Evolution: Evolution{Variables: q.Variables, Population: population, Generations: 10 * short, Seed: seed}}
	run(b, long, 0)
	reference := q.ruled()
	return Hypervolume(objectives(q.Archive), reference) / Hypervolume(objectives(long.Archive), reference)
}

// ruled is half as much again as the stove by the rules has of each goal, whether it
// keeps the limits or not.
func (q *Search) ruled() []float64 {
	a := &judgement{x: q.starts()[0], objectives: make(Values, len(q.Goals))}
	q.builds(a)
	n := q.base.asDrawn()
	a.hot = q.base.at(Steady).burn(a.stove, &n)
	for i := range q.draws {
		if o := q.base.at(Steady).burn(a.stove, &q.draws[i]); !math.IsNaN(o[BoilTime]) {
			a.outcomes = append(a.outcomes, o)
		}
	}
	q.boils(a)
	q.value(a)
	for i := range a.objectives {
		a.objectives[i] *= 1.5
	}
	return a.objectives
}

func objectives(list []Individual) [][]float64 {
	var points [][]float64
	for _, i := range list {
		points = append(points, i.Objectives)
	}
	return points
}

// TestSearchTellsWhatFails asks for what no stove can be, and holds that the answer
// names that limit.
func TestSearchTellsWhatFails(t *testing.T) {
	for what, limit := range map[string]func(*Limits){
		"height of the pot's rim": func(l *Limits) { l.Height = 0.2 },
		"weight":                  func(l *Limits) { l.Weight = 2 },
		"cost":                    func(l *Limits) { l.Cost = 0.5 },
		"air ratio":               func(l *Limits) { l.AirRatio = 8 },
		"time to boil":            func(l *Limits) { l.Time = 200 },
	} {
		q := search(t, limit, 12, 4, 3)
		run(t, q, 0)
		list := q.Closest()
		says(t, list...)
		if len(q.Archive) > 0 || !slices.ContainsFunc(list, func(m message.Text) bool { return contains(message.English().Say(m), what) }) {
			t.Errorf("%s: %d stoves found, and it says %v", what, len(q.Archive), list)
		}
	}
	q := search(t, nil, 16, 6, 3)
	run(t, q, 0)
	if len(q.Archive) == 0 || len(q.Closest()) > 0 {
		t.Errorf("%d stoves were found, and it tells of one that comes closest", len(q.Archive))
	}
}

// A stove that chokes for a dimension that was set amiss can be searched from.
func TestSearchMendsWhatIsSetAmiss(t *testing.T) {
	s := subject(t, "beans-pot.yaml")
	s.Form.Yours = map[string]string{"skirt.gap": "3 mm"}
	if o, err := s.Outcome(); err != nil || o.Burns() {
		t.Fatalf("this brief proves nothing: %v, %v", o, err)
	}
	q, err := NewSearch(s, UsualLimits(sized(t, s).Brief), Prices{}, 16, 12, 7)
	if err != nil {
		t.Fatal(err)
	}
	run(t, q, 0)
	if len(q.Archive) < 3 {
		t.Errorf("%d stoves were found", len(q.Archive))
	}
}

// A brief that sets what follows from a searched dimension is searched like any
// other: the two cannot be set beside each other.
func TestSearchFreesWhatFollows(t *testing.T) {
	s := subject(t, "beans-pot.yaml")
	s.Form.Yours = map[string]string{"skirt.inner": "262 mm"}
	begin := func(held ...string) *Search {
		q, err := NewSearch(s, UsualLimits(sized(t, s).Brief), Prices{}, 16, 6, 7)
		if err != nil {
			t.Fatal(err)
		}
		q.Held = held
		run(t, q, 0)
		return q
	}
	if n := len(begin().Archive); n < 3 {
		t.Errorf("%d stoves were found", n)
	}
	front, err := begin("skirt.gap").Front(10)
	if err != nil || len(front) == 0 {
		t.Fatal(len(front), err)
	}
	for _, d := range front {
		if got := sized(t, Subject{Form: d.Form, Coefficients: fire.Defaults()}).Value("skirt.inner").String(); got != sized(t, s).Value("skirt.inner").String() {
			t.Errorf("what was held is %s", got)
		}
	}
}

// TestSearchHolds holds dimensions that the rules set, that the brief sets, and from
// which one follows that the brief sets: they come out as drawn.
func TestSearchHolds(t *testing.T) {
	held := []string{"skirt.gap", "power.fire"}
	for _, yours := range []map[string]string{nil, {"skirt.gap": "13 mm"}, {"skirt.inner": "266 mm"}} {
		q := search(t, nil, 16, 6, 3)
		q.Subject.Form.Yours = yours
		q.Held = held
		run(t, q, 0)
		front, err := q.Front(100)
		if err != nil || len(front) == 0 {
			t.Fatalf("%v: %d stoves found, %v", yours, len(front), err)
		}
		drawn := sized(t, q.Subject)
		for _, d := range front {
			st := sized(t, Subject{Form: d.Form, Coefficients: fire.Defaults()})
			for _, id := range held {
				if got, want := st.Value(id).String(), drawn.Value(id).String(); got != want {
					t.Errorf("%v: %s is %s, as drawn %s", yours, id, got, want)
				}
			}
		}
	}
}
