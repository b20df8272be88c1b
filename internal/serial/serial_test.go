package serial

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"stovewright/quantity"
)

// The lines are written as scales and thermometers of several makes send them.
func TestParse(t *testing.T) {
	tests := []struct {
		line   string
		unit   quantity.Unit
		text   string
		si     float64
		stable bool
	}{
		{"ST,GS,+00571.2 g", quantity.Unit{}, "571.2 g", 0.5712, true},
		{"US,NT,-   12.5 g", quantity.Unit{}, "-12.5 g", -0.0125, false},
		{"S S     100.00 g", quantity.Unit{}, "100.00 g", 0.1, true},
		{"S D     100.02 g", quantity.Unit{}, "100.02 g", 0.10002, false},
		{"  5.712 kg", quantity.Unit{}, "5.712 kg", 5.712, true},
		{"5,712 kg", quantity.Unit{}, "5.712 kg", 5.712, true},
		{"+    0 g", quantity.Unit{}, "0 g", 0, true},
		{"- 0.0 g", quantity.Unit{}, "0.0 g", 0, true},
		{"24.5 C", quantity.Unit{}, "24.5 °C", 297.65, true},
		{"T=96.4°C", quantity.Unit{}, "96.4 °C", 369.55, true},
		{"205.5 F", quantity.Unit{}, "205.5 °F", 369.5388888888889, true},
		{"1482", quantity.Gram, "1482 g", 1.482, true},
		{"ch 1 24.5 C", quantity.Unit{}, "24.5 °C", 297.65, true},
	}
	for _, tt := range tests {
		r, ok := Parse(tt.line, tt.unit)
		if !ok || r.Text != tt.text || math.Abs(r.Value.SI-tt.si) > 1e-9 || r.Stable != tt.stable {
			t.Errorf("%q: %+v %v, want %q, %v, %v", tt.line, r, ok, tt.text, tt.si, tt.stable)
		}
	}
	for _, line := range []string{"", "ready", "OL g", "12.5", "1 2", "24.5 25.0", "ERR 3 g", strings.Repeat("9", 400) + " g", "12 lbs"} {
		if r, ok := Parse(line, quantity.Unit{}); ok {
			t.Errorf("%q gives %+v", line, r)
		}
	}
	if _, ok := Parse("24.5 25.0", quantity.Celsius); ok {
		t.Error("of two numbers without a unit none is sure")
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"ST,GS,+00571.2 g", "US,NT,-   12.5 g", "24.5°C", "\xff 3 g", "- - 4 kg", "0,000 g"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, line string) {
		r, ok := Parse(line, quantity.Gram)
		if !ok {
			return
		}
		if math.IsNaN(r.Value.SI) || math.IsInf(r.Value.SI, 0) {
			t.Fatalf("%q gives %v", line, r.Value.SI)
		}
		si, err := quantity.Parse(r.Text, r.Value.Unit.Dimension, quantity.Unit{})
		if err != nil || math.Abs(si-r.Value.SI) > 1e-9*(1+math.Abs(si)) {
			t.Fatalf("%q: a sheet reads %q as %v (%v), the instrument says %v", line, r.Text, si, err, r.Value.SI)
		}
	})
}

// simulator is an instrument on a pair of pipes.
type simulator struct {
	io.Reader
	io.Writer
	close func() error
}

func (s simulator) Close() error { return s.close() }

func newSimulator() (port simulator, sends *io.PipeWriter, asked *bufio.Reader) {
	lines, sends := io.Pipe()
	requests, asks := io.Pipe()
	return simulator{lines, asks, func() error { asks.Close(); return lines.Close() }}, sends, bufio.NewReader(requests)
}

// until waits for something to hold, for two seconds.
func until(t *testing.T, what string, holds func() bool) {
	t.Helper()
	for end := time.Now().Add(2 * time.Second); time.Now().Before(end); time.Sleep(time.Millisecond) {
		if holds() {
			return
		}
	}
	t.Fatalf("waited in vain for %s", what)
}

func TestWatch(t *testing.T) {
	port, sends, _ := newSimulator()
	i := Watch(port, Settings{Unit: quantity.Gram})
	if _, ok := i.Latest(); ok {
		t.Error("a reading before the first line")
	}
	fmt.Fprint(sends, "garbage\r\nUS,GS,+  569.8 g\r\nST,GS,+  571.2 g\r\n")
	until(t, "the reading", func() bool { r, ok := i.Latest(); return ok && r.Text == "571.2 g" && r.Stable })
	fmt.Fprint(sends, strings.Repeat("noise ", 400)+"\rST,GS,+  572.0 g\r")
	until(t, "a reading after noise", func() bool { r, _ := i.Latest(); return r.Text == "572.0 g" })
	fmt.Fprint(sends, "what\n")
	until(t, "the line", func() bool { return i.Line() == "what" })
	sends.Close()
	until(t, "the end", func() bool { return i.Err() != nil })
	if err := i.Close(); err != nil {
		t.Error(err)
	}
	if r, _ := i.Latest(); r.Text != "572.0 g" {
		t.Errorf("after the end: %+v", r)
	}
}

func TestAsks(t *testing.T) {
	port, sends, asked := newSimulator()
	i := Watch(port, Settings{Ask: "P"})
	request, err := asked.ReadString('\n')
	if err != nil || request != "P\r\n" {
		t.Errorf("asked with %q, %v", request, err)
	}
	fmt.Fprint(sends, "24.5 C\r\n")
	until(t, "the answer", func() bool { r, ok := i.Latest(); return ok && r.Text == "24.5 °C" })
	if err := i.Close(); err != nil {
		t.Error(err)
	}
}

func TestOpenSaysWhatIsWrong(t *testing.T) {
	_, err := Open("no-such-port", Settings{})
	if err == nil || !strings.Contains(err.Error(), "no-such-port") || !strings.Contains(err.Error(), "no such port") {
		t.Errorf("%v", err)
	}
}

func ExampleParse() {
	r, ok := Parse("ST,GS,+00571.2 g", quantity.Gram)
	fmt.Println(r.Text, r.Stable, ok)
	// Output: 571.2 g true true
}
