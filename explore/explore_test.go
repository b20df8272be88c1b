package explore

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"reflect"
	"testing"

	"stovewright/fire"
	"stovewright/message"
	"stovewright/proof"
	"stovewright/stove"
)

// subject reads one of the invented examples.
func subject(t testing.TB, name string) Subject {
	t.Helper()
	data, err := os.ReadFile("../examples/" + name)
	if err != nil {
		t.Fatal(err)
	}
	form, err := stove.ParseForm(data)
	if err != nil {
		t.Fatal(err)
	}
	return Subject{Form: form, Coefficients: fire.Defaults(), Depth: Steady}
}

func sized(t testing.TB, s Subject) *stove.Stove {
	t.Helper()
	st, err := s.Stove()
	if err != nil {
		t.Fatal(err)
	}
	return st
}

func TestChecks(t *testing.T) {
	checks := Checks()
	if err := proof.Validate(checks); err != nil {
		t.Fatal(err)
	}
	for _, r := range proof.Verify(checks) {
		if !r.Pass {
			t.Error(r)
		}
	}
}

// says fails where a sentence lacks its words or a value in them.
func says(t *testing.T, texts ...message.Text) {
	t.Helper()
	for _, text := range texts {
		s := message.English().Say(text)
		t.Log(s)
		for _, bad := range []string{"«", "{", "NaN", "Inf"} {
			if contains(s, bad) {
				t.Errorf("%q", s)
			}
		}
	}
}

func contains(s, part string) bool {
	for i := 0; i+len(part) <= len(s); i++ {
		if s[i:i+len(part)] == part {
			return true
		}
	}
	return false
}

// run works through a study with so many workers.
func run(t testing.TB, s Study, workers int) {
	t.Helper()
	if err := Run(context.Background(), s, workers, nil); err != nil {
		t.Fatal(err)
	}
}

// state is all that JSON keeps of a study.
func state(t testing.TB, s any) string {
	t.Helper()
	data, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// sameForAll holds that a study comes to the same end bit for bit with one worker
// and with five, and when it is stopped after every batch and read back.
func sameForAll[S any, P interface {
	*S
	Study
}](t *testing.T, begin func() P) {
	t.Helper()
	one, five := begin(), begin()
	run(t, one, 1)
	run(t, five, 5)
	if a, b := state(t, one), state(t, five); a != b {
		t.Errorf("five workers came to another end than one: %s", firstDifference(a, b))
	}
	stopped := begin()
	for batches := 0; batches < 10000; batches++ {
		if err := stopped.Open(); err != nil {
			t.Fatal(err)
		}
		_, n := stopped.Batch()
		if n == 0 {
			break
		}
		results := make([]Values, n)
		for i := n - 1; i >= 0; i-- { // in another order, and through JSON
			if err := json.Unmarshal([]byte(state(t, stopped.Unit(i))), &results[i]); err != nil {
				t.Fatal(err)
			}
		}
		stopped.Take(results)
		again := P(new(S))
		if err := json.Unmarshal([]byte(state(t, stopped)), again); err != nil {
			t.Fatal(err)
		}
		stopped = again
	}
	if a, b := state(t, one), state(t, stopped); a != b {
		t.Errorf("stopped and read back, it came to another end: %s", firstDifference(a, b))
	}
}

func TestRunStopsAndGoesOn(t *testing.T) {
	s := subject(t, "beans-pot.yaml")
	inputs := UncertainInputs(s.Coefficients)[:3]
	whole, _ := NewGlobal(s, inputs, 64, 3, 9)
	run(t, whole, 2)
	cut, _ := NewGlobal(s, inputs, 64, 3, 9)
	ctx, cancel := context.WithCancel(context.Background())
	var last Progress
	err := Run(ctx, cut, 2, func(p Progress) {
		last = p
		if p.Done == 6 {
			cancel()
		}
	})
	if err != context.Canceled || len(cut.Done) != 1 {
		t.Fatalf("%v with %d replicates done; want it stopped in the second", err, len(cut.Done))
	}
	if last.Total != 12 || last.Left <= 0 {
		t.Errorf("progress %+v, want 12 units and some time left", last)
	}
	if _, ok := cut.Result(Efficiency); !ok {
		t.Error("no result of a stopped study")
	}
	run(t, cut, 1)
	if !reflect.DeepEqual(cut.Done, whole.Done) {
		t.Error("a study stopped and run again differs from one run through")
	}
}

func TestValuesThroughJSON(t *testing.T) {
	v := Values{1.0 / 3, math.NaN(), -2e-300}
	var back Values
	if err := json.Unmarshal([]byte(state(t, v)), &back); err != nil {
		t.Fatal(err)
	}
	if back[0] != v[0] || !math.IsNaN(back[1]) || back[2] != v[2] {
		t.Errorf("%v came back as %v", v, back)
	}
}

func firstDifference(a, b string) string {
	i := 0
	for i < min(len(a), len(b)) && a[i] == b[i] {
		i++
	}
	part := func(s string) string { return s[max(0, min(i-60, len(s))):min(i+60, len(s))] }
	return part(a) + " | " + part(b)
}
