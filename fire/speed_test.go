//go:build unix

package fire

import (
	"bytes"
	"encoding/json"
	"math"
	"os/exec"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"stovewright/internal/outside"
)

// BenchmarkTwin solves the fifty stoves of crosscheck/steady by this program and
// once by the second implementation, whose start and reading are left out. Both
// are counted in processor time, so that a busy machine changes little of what it
// reports: how many times faster this program is, with its models ready and with
// making them, and what one stove costs either (µs/stove, ms/stove-twin).
func BenchmarkTwin(b *testing.B) {
	python := outside.Python(b, "scipy")
	twin := func(input []byte, code string) []byte {
		cmd := exec.Command(python, "-c", "import sys; sys.dont_write_bytecode = True; sys.path.insert(0, '../crosscheck/steady')\n"+code)
		cmd.Stdin = bytes.NewReader(input)
		return outside.Run(b, cmd)
	}
	input := twin(nil, "import json, random_stoves\njson.dump(random_stoves.stoves()[0], sys.stdout)")
	var stoves []twinStove
	if err := json.Unmarshal(input, &stoves); err != nil {
		b.Fatal(err)
	}
	seconds, err := strconv.ParseFloat(strings.TrimSpace(string(twin(input,
		"import json, time, steady\nstoves = json.load(sys.stdin)\nbegin = time.process_time()\nsteady.solve_list(stoves)\nprint(time.process_time() - begin)"))), 64)
	if err != nil {
		b.Fatal(err)
	}
	theirs := seconds / float64(len(stoves))
	models, walls, coefficients := make([]*Model, len(stoves)), make([]WallLink, len(stoves)), make([]Coefficients, len(stoves))
	const again = 20
	begin := processorSeconds(b)
	for range again {
		for i := range stoves {
			models[i], coefficients[i], walls[i] = stoves[i].model(b)
		}
	}
	making := (processorSeconds(b) - begin) / float64(again*len(stoves))
	begin = processorSeconds(b)
	rounds := 0
	for b.Loop() {
		for i, s := range stoves {
			if _, err := models[i].SolveAgainst(&coefficients[i], s.Firepower, s.PotTemperature, walls[i], 0); err != nil {
				b.Fatal(err)
			}
		}
		rounds++
	}
	ours := (processorSeconds(b) - begin) / float64(rounds*len(stoves))
	b.ReportMetric(theirs/ours, "times-faster")
	b.ReportMetric(theirs/(ours+making), "times-faster-with-making")
	b.ReportMetric(ours*1e6, "µs/stove")
	b.ReportMetric(theirs*1e3, "ms/stove-twin")
}

func processorSeconds(b *testing.B) float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	of := func(t syscall.Timeval) float64 { return float64(t.Sec) + float64(t.Usec)/1e6 }
	return of(u.Utime) + of(u.Stime)
}

// The floor of a steady point: one walk of the gas path, as often as a solution
// needs it; and a walk's own floor, the exponentials and powers of its cells.
func BenchmarkMarch(b *testing.B) {
	m, c := lined(b, nil), Defaults()
	p := mustSolve(b, m, 4000)
	for b.Loop() {
		m.march(&c, p.Flow, p.Power, p.PotT, WallLink{}, nil)
	}
	b.ReportMetric(float64(p.Marches), "marches/point")
}

func BenchmarkExponential(b *testing.B) {
	x, sum := 0.5, 0.0
	for b.Loop() {
		sum += math.Exp(-x)
	}
	if sum == 0 {
		b.Fatal("nothing was computed")
	}
}

func BenchmarkNew(b *testing.B) {
	m := lined(b, nil)
	f, w := m.Fuel()
	for b.Loop() {
		if _, err := New(m.Stove(), m.Air(), f, w); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSoak(b *testing.B) {
	m := lined(b, nil)
	run, err := m.Boil(Defaults(), task(), 0)
	if err != nil {
		b.Fatal(err)
	}
	sectors := []Sector{{1, body(m)}}
	for b.Loop() {
		if _, err := m.Soak(Defaults(), run, sectors, 0); err != nil {
			b.Fatal(err)
		}
	}
}

// A boil run allocates its wall and its samples, and nothing for each step; a
// band allocates its lists, and nothing for each draw but that draw.
func TestAllocationsDoNotGrow(t *testing.T) {
	m, c := lined(t, nil), Defaults()
	boil := func(step float64) float64 {
		return testing.AllocsPerRun(3, func() {
			if _, err := m.Boil(c, task(), step); err != nil {
				t.Fatal(err)
			}
		})
	}
	// lists of samples grow by doubling: one step more for each of three phases
	if coarse, fine := boil(30), boil(15); fine > coarse+6 {
		t.Errorf("a run of twice the steps allocates %g times, against %g", fine, coarse)
	}
	bands := func(n int) float64 {
		d, err := m.NewDraws(c, n, 1)
		if err != nil {
			t.Fatal(err)
		}
		return testing.AllocsPerRun(3, func() {
			if _, err := m.Bands(d, 4000, 380); err != nil {
				t.Fatal(err)
			}
		})
	}
	if few, many := bands(64), bands(512); many > few+8 {
		t.Errorf("512 draws allocate %g times, 64 draws %g times", many, few)
	}
}
