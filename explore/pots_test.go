package explore

import (
	"math"
	"testing"

	"stovewright/fire"
)

func fleet(t testing.TB) *Fleet {
	return &Fleet{Coefficients: fire.Defaults(), Kitchens: []Kitchen{
		{Form: subject(t, "tea-stall-round-pots.yaml").Form, Weight: 2},
		{Form: subject(t, "beans-pot.yaml").Form, Weight: 1},
	}}
}

func TestFleetIsTheSameForAll(t *testing.T) { sameForAll(t, func() *Fleet { return fleet(t) }) }

func TestFleet(t *testing.T) {
	f := fleet(t)
	run(t, f, 0)
	says(t, f.Says()...)
	two, ok := f.Best(2)
	if !ok {
		t.Fatal("no two stoves serve all pots")
	}
	one, okOne := f.Best(1)
	if okOne && two.Wood > one.Wood+1e-12 {
		t.Errorf("two sizes take %v, one takes %v", two.Wood, one.Wood)
	}
	weights := 0.0
	sum := 0.0
	for i, p := range f.pots { // by hand from the rows
		sum += p.weight * two.ByPot[i]
		weights += p.weight
		st := sized(t, Subject{Form: two.Forms[two.Of[i]], Coefficients: f.Coefficients})
		placed, fits := st, true
		if p.pot.Circumference != st.Pot.Circumference || p.pot.Name != st.Pot.Name {
			placed, fits = WithPot(st, p.pot)
		}
		if !fits {
			t.Errorf("pot %s does not go into its stove", p.pot.Name)
			continue
		}
		l := fire.Light(placed)
		m, err := l.Model()
		if err != nil {
			t.Fatal(err)
		}
		o := burnModel(m, l.Task, &f.Coefficients, Cold)
		if o[AirRatio] < f.AirRatio || math.Abs(o[Wood]-two.ByPot[i]) > 1e-12 {
			t.Errorf("pot %s: %v, in the set %v", p.pot.Name, o, two.ByPot[i])
		}
	}
	if math.Abs(sum/weights-two.Wood) > 1e-12 {
		t.Errorf("the wood of the set is %v, by pots %v", two.Wood, sum/weights)
	}
	for i := range f.Rows { // nothing better among all pairs, in another order
		for j := range i {
			if w := f.cost([]int{i, j}); w < two.Wood {
				t.Errorf("stoves %d and %d take %v, the best take %v", i, j, w, two.Wood)
			}
		}
	}
}

func TestFleetRefuses(t *testing.T) {
	if err := (&Fleet{}).Open(); err == nil {
		t.Error("no kitchen is taken")
	}
	f := fleet(t)
	f.Kitchens[0].Weight = 0
	if err := f.Open(); err == nil {
		t.Error("a kitchen that counts nothing is taken")
	}
}
