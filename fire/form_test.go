package fire_test

import (
	"testing"

	"stovewright/fire"
	"stovewright/message"
	"stovewright/stove"
)

func lit(t testing.TB) fire.Lit {
	t.Helper()
	f := stove.Form{Name: "Test", Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm", Fill: "5 L"}}
	brief, err := f.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(brief)
	if err != nil {
		t.Fatal(err)
	}
	return fire.Light(s)
}

func TestAnEmptyFormChangesNothing(t *testing.T) {
	was := lit(t)
	now, c, err := fire.Form{}.Read(was)
	if err != nil || c != fire.Defaults() || now.Task != was.Task || c.Changed() != 0 {
		t.Errorf("%+v, %v", now.Task, err)
	}
}

func TestAFormIsReadAndWritten(t *testing.T) {
	f := fire.Form{Power: "3,5 kW", Water: "4 L", Start: "15", Hold: "1 h", Lid: "Yes", Sticks: "3", StickMass: "250 g",
		Coefficients: map[string]string{"wall-film": "45"}}
	doc, err := f.Write()
	if err != nil {
		t.Fatal(err)
	}
	again, err := fire.ParseForm(doc)
	if err != nil {
		t.Fatalf("%s\n%v", doc, err)
	}
	l, c, err := again.Read(lit(t))
	if err != nil {
		t.Fatal(err)
	}
	want := fire.Task{Water: 4, Start: 288.15, Power: 3500, Hold: 3600, Below: 3, Sticks: fire.Sticks{Burning: 3, Mass: 0.25}}
	if l.Task != want || !l.Stove.Pot.Lid || c[fire.WallFilm] != 45 || c.Changed() != 1 {
		t.Errorf("%+v, lid %v, %v", l.Task, l.Stove.Pot.Lid, c)
	}
}

// What was measured stands above what is computed: the wood's heat above the
// correlation, the barometer above the altitude.
func TestMeasuredStandsAboveComputed(t *testing.T) {
	l, _, err := fire.Form{HeatingValue: "18.0 MJ/kg", Pressure: "700 hPa"}.Read(lit(t))
	if err != nil {
		t.Fatal(err)
	}
	if l.Fuel.HHV() != 18e6 || l.Air.Pressure != 70000 {
		t.Errorf("%v J/kg, %v Pa", l.Fuel.HHV(), l.Air.Pressure)
	}
	// 700 hPa boils water at 89.9 °C (saturation line of IAPWS-IF97, key if97)
	if b := l.Air.BoilingPoint() - 273.15; b < 89.8 || b > 90.0 {
		t.Errorf("water boils at %.2f °C", b)
	}
	if _, _, err := (fire.Form{Water: "9 L"}).Read(lit(t)); err == nil {
		t.Error("more water than the pot holds was accepted")
	}
	if _, _, err := (fire.Form{Start: "92 °C", Pressure: "700 hPa"}).Read(lit(t)); err == nil {
		t.Error("water hotter than it can be was accepted")
	}
}

func TestAFormComplains(t *testing.T) {
	f := fire.Form{Power: "40 kW", Water: "much", Start: "94 °C", Hold: "-1 min", Lid: "perhaps", Sticks: "2.5", StickMass: "3 L", HeatingValue: "4 kg", Pressure: "300 hPa",
		Coefficients: map[string]string{"wall-film": "hot", "blockage": "1", "bed-cool": "1400", "wal-film": "3"}}
	high := lit(t)
	high.Air.Pressure = 70000 // where water boils at 90 °C
	_, _, err := f.Read(high)
	list, _ := message.Complaints(err)
	got := map[string]bool{}
	for _, c := range list {
		got[c.Field] = true
		if c.Try == "" || c.Value == "" {
			t.Errorf("%s: nothing to try: %v", c.Field, c)
		}
		message.English().Say(c.Reason)
	}
	for _, field := range []string{"power", "water", "start", "hold", "lid", "sticks", "stick_mass", "heating_value", "pressure",
		"coefficients.wall-film", "coefficients.blockage", "coefficients.bed-cool", "coefficients.wal-film"} {
		if !got[field] {
			t.Errorf("no complaint about %s", field)
		}
	}
}

// Every value of the table, and both ends of its judged range, may be set.
func TestTheTableLiesWithinItsLimits(t *testing.T) {
	for i, row := range fire.Table() {
		low, high := fire.Coefficient(i).Limits()
		if !(low <= row.Low && row.Low <= row.Value && row.Value <= row.High && row.High <= high) {
			t.Errorf("%s: %v to %v, judged %v to %v", row.Key, low, high, row.Low, row.High)
		}
	}
}

func FuzzParseForm(f *testing.F) {
	f.Add([]byte("power: 4 kW\ncoefficients:\n  wall-film: \"30\"\n"))
	f.Add([]byte("{water: 5 L, lid: yes}"))
	l := lit(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		form, err := fire.ParseForm(data)
		if err != nil {
			return
		}
		doc, err := form.Write()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := fire.ParseForm(doc); err != nil {
			t.Fatalf("%q: %v", doc, err)
		}
		if got, c, err := form.Read(l); err == nil && (got.Task.Power < 500 || c[fire.Blockage] > 0.9) {
			t.Errorf("%+v", got.Task)
		}
	})
}
