package explore

import (
	"math"
	"slices"
	"testing"

	"stovewright/stats"
)

// begun is a search that has done some generations and foresees the next.
func begun(t *testing.T, population, generations int) *Search {
	t.Helper()
	q := search(t, nil, population, generations+1, 5)
	if err := q.Open(); err != nil {
		t.Fatal(err)
	}
	for range generations {
		q.Take(units(q))
	}
	if len(q.Planned) == 0 {
		t.Fatal("nothing is foreseen")
	}
	return q
}

// TestForesees holds what a search foresees against the fire model: of the designs
// that it plans, wood, time and cost within a hundredth in the middle of them, the
// extra wood of a bad day within a hundredth of the wood, and most keep their limits.
func TestForesees(t *testing.T) {
	q := begun(t, 48, 8)
	fire := q.surface()
	kept := 0
	off := make([][]float64, len(q.Goals))
	for _, x := range q.Planned {
		foreseen, violation := q.imagine(fire, x, new(Evolution))
		if violation > 0 {
			t.Errorf("%v is planned to break its limits", x)
		}
		burnt := q.judge(x, true)
		if burnt.lost {
			t.Errorf("%v is lost", x)
			continue
		}
		if burnt.violation == 0 {
			kept++
		}
		q.value(burnt)
		for k := range q.Goals {
			of := burnt.objectives[k]
			if q.Goals[k] == Steadiest {
				of = burnt.objectives[slices.Index(q.Goals, LeastWood)]
			}
			off[k] = append(off[k], math.Abs(foreseen[k]-burnt.objectives[k])/of)
		}
	}
	for k, g := range q.Goals {
		if m := stats.Median(off[k]); !(m < 0.01) {
			t.Errorf("%s is foreseen to %.2g in the median", g, m)
		}
	}
	if kept < len(q.Planned)/2 {
		t.Errorf("%d of %d planned designs keep their limits", kept, len(q.Planned))
	}
}

// TestForesightPays lets a search without foresight have twice as many designs: what
// it finds is worth less.
func TestForesightPays(t *testing.T) {
	q := search(t, nil, 32, 12, 5)
	run(t, q, 0)
	blind := search(t, nil, 32, 24, 5)
	blind.Open()
	for range blind.Generations {
		blind.Take(units(blind))
		blind.Planned = nil
	}
	reference := q.ruled()
	with, without := Hypervolume(objectives(q.Archive), reference), Hypervolume(objectives(blind.Archive), reference)
	t.Logf("hypervolume %.4g of %d designs, %.4g of %d without foresight", with, 12*32, without, 24*32)
	if with < 1.1*without {
		t.Errorf("hypervolume %v of half as many designs, %v without foresight", with, without)
	}
}

// TestSearchTriesEveryWay has a brief in which other ways of building than that of the
// stove by the rules give better stoves. A free search must come near to what searches
// of each way find together, which have several times its designs.
func TestSearchTriesEveryWay(t *testing.T) {
	s := subject(t, "inch-kettle.yaml")
	begin := func(way []float64, generations int) *Search {
		q, err := NewSearch(s, UsualLimits(sized(t, s).Brief), Prices{}, 32, generations, 1)
		if err != nil {
			t.Fatal(err)
		}
		q.Goals = []Goal{LeastWood, LeastTime}
		q.way = way
		run(t, q, 0)
		return q
	}
	free := begin(nil, 28)
	reference := free.ruled()
	volume := func(points [][]float64) float64 { return Hypervolume(points, reference) }
	var together [][]float64
	asRuled := 0.0
	for _, way := range free.ways() {
		if found := objectives(begin(way, 14).Archive); len(found) > 0 {
			together = append(together, found...)
			if made(free.starts()[0], way) {
				asRuled = volume(found)
			}
		}
	}
	one, all := volume(objectives(free.Archive)), volume(together)
	t.Logf("free %.4g, every way %.4g, that of the stove by the rules %.4g", one, all, asRuled)
	if asRuled > 0.98*all {
		t.Error("the way of the stove by the rules is as good as any: this brief proves nothing")
	}
	if one < 0.95*all {
		t.Errorf("a free search finds %.3f of what searches of each way find", one/all)
	}
}

// TestLead holds what a search goes by against cases that are plain.
func TestLead(t *testing.T) {
	span := []float64{2, 10}
	for _, c := range []struct {
		one, other []float64
		want       float64
	}{
		{[]float64{1, 5}, []float64{1, 5}, 0},
		{[]float64{0, 5}, []float64{1, 5}, 0.5},
		{[]float64{0, 9}, []float64{1, 5}, 0.5},
		{[]float64{2, 9}, []float64{1, 5}, -0.4},
	} {
		if got := lead(c.one, c.other, span); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v leads %v by %v, want %v", c.one, c.other, got, c.want)
		}
	}
}

// TestLessonsGoBack holds that what a lesson says is what was burnt.
func TestLessonsGoBack(t *testing.T) {
	q := search(t, nil, 8, 2, 5)
	if err := q.Open(); err != nil {
		t.Fatal(err)
	}
	a := q.judge(q.starts()[1], true)
	var back judgement
	back.foretell(q.lesson(a))
	if back.cost != a.cost || len(back.outcomes) != len(q.draws) {
		t.Fatalf("cost %v of %v, %d draws of %d", back.cost, a.cost, len(back.outcomes), len(q.draws))
	}
	for i, o := range a.outcomes {
		for _, m := range foreseenMetrics {
			if got := back.outcomes[i][m]; math.Abs(got/o[m]-1) > 1e-12 {
				t.Errorf("draw %d, %v: %v, want %v", i, m, got, o[m])
			}
		}
	}
}

// BenchmarkForesee plans a generation of 32 designs from all that is kept.
func BenchmarkForesee(b *testing.B) {
	q := search(b, nil, 32, 26, 5)
	q.Open()
	for range q.Generations - 1 {
		q.Take(units(q))
	}
	for b.Loop() {
		q.foresee()
	}
}

// BenchmarkImagine is one design whose fire is foreseen, sized or not.
func BenchmarkImagine(b *testing.B) {
	q := search(b, nil, 32, 26, 5)
	q.Open()
	for range q.Generations - 1 {
		q.Take(units(q))
	}
	fire := q.surface()
	d := new(Evolution)
	for b.Loop() {
		q.imagine(fire, q.Planned[0], d)
	}
}
