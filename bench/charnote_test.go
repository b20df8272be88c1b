package bench

import (
	"slices"
	"testing"
)

// A whole test without its char says that it is counted as burnt, and still counts.
func TestCharThatWasNotWeighedIsSaid(t *testing.T) {
	for weighed, want := range map[bool]bool{true: false, false: true} {
		test := exampleA()
		test.Simmer = nil
		if !weighed {
			test.CharWeighed = false
			test.Cold.Char = Given{}
		}
		run, err := NewRun(test)
		fatal(t, err)
		got := slices.ContainsFunc(run.Result.Alarms, func(a Alarm) bool { return a.Key == "char-not-weighed" })
		if got != want || !run.Result.Usable() {
			t.Errorf("weighed %v: said %v, usable %v", weighed, got, run.Result.Usable())
		}
	}
}
