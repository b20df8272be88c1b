package brick

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"stovewright/message"
)

// binomialTail sums the law term by term, a second way to the same number.
func binomialTail(n, k int, p float64) float64 {
	term := math.Pow(1-p, float64(n))
	sum := 0.0
	for x := 0; x <= n; x++ {
		if x >= k {
			sum += term
		}
		term *= float64(n-x) / float64(x+1) * p / (1 - p)
	}
	return sum
}

func TestChanceOfEnoughBySummation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 200).Draw(t, "n")
		k := rapid.IntRange(0, n+1).Draw(t, "k")
		p := rapid.Float64Range(0.3, 0.97).Draw(t, "p")
		if got, want := ChanceOfEnough(n, k, p), binomialTail(n, k, p); !near(got, want, 1e-9) {
			t.Fatalf("P(B(%d,%v) ≥ %d) = %v, want %v", n, p, k, got, want)
		}
	})
}

// Starts is the smallest number that is enough.
func TestStartsIsSmallest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		good := rapid.IntRange(1, 300).Draw(t, "good")
		y := rapid.Float64Range(0.3, 0.99).Draw(t, "yield")
		conf := rapid.Float64Range(0.5, 0.99).Draw(t, "confidence")
		n, err := Starts(good, y, conf)
		if err != nil {
			t.Fatal(err)
		}
		if ChanceOfEnough(n, good, y) < conf || ChanceOfEnough(n-1, good, y) >= conf {
			t.Fatalf("%d is not the smallest", n)
		}
	})
}

// A long record tends to the known yield; a short one asks for more.
func TestStartsFromRecord(t *testing.T) {
	known, _ := Starts(24, 0.8, 0.95)
	long, err := StartsFromRecord(24, 80_000, 100_000, 0.95)
	if err != nil || long != known {
		t.Errorf("long record: %d, known yield: %d, %v", long, known, err)
	}
	short, err := StartsFromRecord(24, 8, 10, 0.95)
	if err != nil || short <= known {
		t.Errorf("a record of ten must ask for more than %d, got %d, %v", known, short, err)
	}
	if _, err := StartsFromRecord(24, 11, 10, 0.95); err == nil {
		t.Error("eleven of ten survived and nobody complained")
	}
}

func TestStartsRefuses(t *testing.T) {
	_, err := Starts(0, 0, 1)
	if list, ok := message.Complaints(err); !ok || len(list) != 3 {
		t.Errorf("want three complaints, got %v", err)
	}
}
