package bench

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"stovewright/message"
)

func emissionFile(t testing.TB, name string) TestFile {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	f, err := ReadTest(name, data)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestEmissionFiles holds whole files to figures of a second implementation of
// the same published equations, in SI; the carbon balance, the capture of a hood
// and the filter each by hand from the ideal gas.
func TestEmissionFiles(t *testing.T) {
	for _, c := range []struct {
		file, id string
		want     float64
	}{
		{"plume.yaml", "m_CO", 31.934107e-3}, {"plume.yaml", "m_CO2", 1.0034903}, {"plume.yaml", "m_CH4", 1.4632456e-3}, {"plume.yaml", "m_PM", 1.6735755e-3},
		{"plume.yaml", "eCO", 15.79528e-9}, {"plume.yaml", "ePM", 827.7856e-12}, {"plume.yaml", "fCO", 47.30979e-3}, {"plume.yaml", "rCO", 1.451550e-3 / 60}, {"plume.yaml", "rPM", 76.07161e-6 / 60},
		{"plume.yaml", "MCE", 0.952381}, {"plume.yaml", "NCE", 0.946024},
		{"hood.yaml", "m_CO", 7.55622e-3},                      // 50 ppm above the background, 0.1 m³/s, 22 min
		{"hood.yaml", "m_PM", 449.1018e-6},                     // 1.25 mg on a filter that saw 367.4 of 132 000 L
		{"plume.yaml", "room_PM_day", 76.07161 * 22.222222e-9}, // 22.222222 µg/m³ for each mg/min, 4 h at 15 changes an hour in 30 m³
	} {
		found := false
		for _, s := range emissionFile(t, c.file).Steps() {
			if s.Key == c.id {
				found = true
				if rel := math.Abs(s.Value.SI/c.want - 1); rel > 2e-5 {
					t.Errorf("%s %s is %g, want %g", c.file, c.id, s.Value.SI, c.want)
				}
			}
		}
		if !found {
			t.Errorf("%s has no %s", c.file, c.id)
		}
	}
}

// TestEmissionEquationsUnfold to numbers that can be followed.
func TestEmissionEquationsUnfold(t *testing.T) {
	for _, s := range emissionFile(t, "plume.yaml").Steps() {
		if s.Key == "eCO" && (s.Equation != "eCO = m_CO/Q_u" || s.Numbers != "eCO = 31.9341/2.02175") {
			t.Errorf("%s, %s", s.Equation, s.Numbers)
		}
		// 1.45155 g of CO a minute are 87093 mg an hour; 87093/(15·30) = 193.54
		if s.Key == "room_CO_end" && (s.Numbers != "room_CO_end = 0 + 1·87093/(15·30)·(1 − e^(−15·4))" || !near(s.Number(), 193.54, 1e-4)) {
			t.Errorf("%s: %g", s.Numbers, s.Number())
		}
	}
	english := message.English()
	for _, name := range []string{"plume.yaml", "hood.yaml"} {
		f := emissionFile(t, name)
		for _, s := range f.Steps() {
			if gas, isMass := strings.CutPrefix(s.Key, "m_"); isMass && !(gas == "PM" && f.Emission.Test.FilterPM.Known) { // what a filter weighed stands alone
				var rise, volume float64
				if _, err := fmt.Sscanf(s.Numbers, s.Key+" = %g·%g", &rise, &volume); err != nil || s.Equation != s.Key+" = c_"+gas+"·V_gas" || !near(rise*volume, s.Number(), 1e-4*s.Number()) {
					t.Errorf("%s: %s, %s is not %g: %v", name, s.Equation, s.Numbers, s.Number(), err)
				}
			}
			if strings.Contains(english.Say(s.Name), "«") {
				t.Errorf("no words for %s", s.Key)
			}
		}
		for _, a := range f.Alarms() {
			if strings.Contains(english.Say(a.Text), "«") || a.Spoils() {
				t.Errorf("%s: %v", name, a)
			}
		}
	}
}

func TestEmissionFilesThatAreRefused(t *testing.T) {
	const head = "test: emission\nwood: {kind: hardwood, moisture: 10 %, moisture_basis: wet}\nburnt: {wood: 750 g, duration: 22 min}\ngas: {temperature: 25 °C}\n"
	for text, want := range map[string]string{
		"method: hood\nsamples: [{co: 5 ppm, flow: 6 m³/min}]":                                 "samples",
		"method: hood\nsamples: [{time: 0 min, co: 5 ppm, flow: 6}, {time: 2 min, co: 5 ppm}]": "samples[2].flow",
		"method: plume\nsamples: [{time: 3 min, co: 5 ppm}, {time: 2 min, co: 5 ppm}]":         "samples[2].time",
		"method: plume\nsamples: [{co: 5 ppm}]":                                                "samples",
		"method: chimney\nsamples: [{co: 5 ppm}]":                                              "method",
		"method: plume\nsamples: [{co: 5 mg}]":                                                 "samples[1].co",
		"method: plume\nsamples: [{co: 5 ppm, co2: 900 ppm}]\nfilter: {mass: 1 mg}":            "filter",
		"method: plume\nsamples: [{co: 5 ppm, co2: 900 ppm}]\nroom: {volume: 30 m³}":           "room",
		"method: hood\nsamples: [{time: 0, co: 5, flow: 6}, {time: 1, co: 5, flow: 6}, {time: 2, co: 5, flow: 6}, {time: 3, co: 5, flow: 6}, {time: 30, co: 5, flow: 6}]": "samples",
	} {
		_, err := ReadTest("a.yaml", []byte(head+text))
		list, ok := message.Complaints(err)
		if !ok || list[0].Field != want {
			t.Errorf("%s: %v", text, err)
		}
		for _, c := range list {
			if c.Try == "" || strings.Contains(message.English().Say(c.Reason), "«") {
				t.Errorf("%s: %v has nothing to try", text, c)
			}
		}
	}
}

func FuzzReadTest(f *testing.F) {
	for _, name := range []string{"plume.yaml", "hood.yaml", "example-a.yaml", "cooking.yaml", "kitchens.yaml", "sequence.yaml", "safety.yaml"} {
		data, err := os.ReadFile("testdata/" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := ReadTest("fuzz", data)
		if err != nil {
			if _, ok := message.Complaints(err); !ok {
				t.Fatalf("an error that is no complaint: %v", err)
			}
			return
		}
		for _, s := range file.Results() {
			_ = s.Shown().String()
		}
		_ = file.Alarms()
	})
}

// TestDurabilityOnASheet adds up the points and refuses what is no element.
func TestDurabilityOnASheet(t *testing.T) {
	data, err := os.ReadFile("testdata/safety.yaml")
	fatal(t, err)
	for more, want := range map[string]string{"durability: {long-run: 2, drop: \"3,5\"}": "", "durability: {shine: 2}": "durability.shine", "durability: {drop: -1}": "durability.drop", "durability: {drop: x}": "durability.drop"} {
		f, err := ReadTest("safety", append(append([]byte{}, data...), more...))
		if want == "" {
			if err != nil || f.Safety.Sheet.Durability["drop"] != 3.5 {
				t.Errorf("%s: %v", more, err)
			}
			continue
		}
		if list, ok := message.Complaints(err); !ok || list[0].Field != want {
			t.Errorf("%s: %v", more, err)
		}
	}
}
