package proof

import (
	"math"
	"strings"
	"testing"
)

func one(v float64) func() float64 { return func() float64 { return v } }

func TestVerifyTolerances(t *testing.T) {
	tests := []struct {
		name string
		c    Check
		pass bool
	}{
		{"inside absolute", Check{Expected: 10, Abs: 0.1, Ours: one(10.05)}, true},
		{"outside absolute", Check{Expected: 10, Abs: 0.1, Ours: one(10.2)}, false},
		{"inside relative", Check{Expected: 1000, Rel: 0.01, Ours: one(1009)}, true},
		{"outside relative", Check{Expected: 1000, Rel: 0.01, Ours: one(1011)}, false},
		{"either is enough", Check{Expected: 0, Abs: 0.5, Rel: 0.01, Ours: one(0.4)}, true},
		{"not a number", Check{Expected: 1, Abs: 10, Ours: one(math.NaN())}, false},
	}
	for _, tt := range tests {
		if got := Verify([]Check{tt.c})[0].Pass; got != tt.pass {
			t.Errorf("%s: pass = %v, want %v", tt.name, got, tt.pass)
		}
	}
}

func TestValidateNamesTheEntry(t *testing.T) {
	good := Check{ID: "a/b", Quantity: "q", Abs: 1, Standing: Exact, Ours: one(1)}
	bad := map[string]func(*Check){
		"no tolerance":     func(c *Check) { c.Abs = 0 },
		"unknown standing": func(c *Check) { c.Standing = "hearsay" },
		"names no source":  func(c *Check) { c.Standing = Published },
		"lacks an id":      func(c *Check) { c.ID = "" },
	}
	if err := Validate([]Check{good}); err != nil {
		t.Fatalf("a good entry was refused: %v", err)
	}
	for want, spoil := range bad {
		c := good
		spoil(&c)
		if err := Validate([]Check{c}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want an error with %q, got %v", want, err)
		}
	}
	if err := Validate([]Check{good, good}); err == nil || !strings.Contains(err.Error(), "twice") {
		t.Errorf("a repeated id was accepted: %v", err)
	}
}
