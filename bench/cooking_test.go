package bench

import (
	"math"
	"os"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"stovewright/message"
)

func readTest(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestCookingFile(t *testing.T) {
	test, err := ReadCooking(readTest(t, "cooking.yaml"))
	fatal(t, err)
	r, err := Cook(test)
	fatal(t, err)
	if !near(r.Consumption*1000, 708.762821, 1e-7) || r.Duration != 6000 || len(r.Alarms) != 0 {
		t.Errorf("%g g/kg in %g s, alarms %v", r.Consumption*1000, r.Duration, keys(r.Alarms))
	}
	followed := 0
	for _, s := range r.Steps {
		if s.Numbers == "" {
			continue
		}
		_, right, _ := strings.Cut(s.Numbers, " = ")
		f, err := parseFormula(strings.NewReplacer("−", "-", "·", "*").Replace(right), scope{})
		if err != nil || !near(f.eval(&values{rows: 1}), s.Number(), 2e-5) {
			t.Errorf("%s: %s: %v", s.ID(), s.Numbers, err)
		}
		followed++
	}
	if followed < 9 {
		t.Errorf("%d steps", followed)
	}
}

func TestCookingForms(t *testing.T) {
	short, full := meal(2650, 55, 3120), meal(2650, 55, 3120)
	full.Form, full.Air, full.Boiling = FullForm, zeroC+25, BoilingFromAltitude(0)
	a, err := Cook(short)
	fatal(t, err)
	b, err := Cook(full)
	fatal(t, err)
	// by hand: (2650(18414·0.88-0.12·2570.95)-55·29500)/18414 = 2199.49 g against 2211.34 g
	if !near(a.DryWood*1000, 2211.34, 1e-6) || !near(b.DryWood*1000, 2199.488, 1e-6) {
		t.Errorf("short %g, full %g", a.DryWood*1000, b.DryWood*1000)
	}
	c, err := CompareCooking(CookingSeries{"a", []CookingTest{short, short}}, CookingSeries{"b", []CookingTest{full, full}}, DefaultSettings)
	fatal(t, err)
	if c.Finding != Forbidden || len(c.Alarms) != 1 || c.Alarms[0].Key != "dry-wood-form" {
		t.Errorf("two forms of dry wood were compared: %s %v", c.Finding, keys(c.Alarms))
	}
	if _, err := Cook(CookingTest{Form: "half"}); err == nil {
		t.Error("an unknown form was computed")
	}
}

func TestCookingAlarms(t *testing.T) {
	for key, spoil := range map[string]func(*CookingTest){
		"no-food":           func(m *CookingTest) { m.Pots[0].Food = 0.6 },
		"food-little":       func(m *CookingTest) { m.Pots[0].Food = 1.0 },
		"wood-gained":       func(m *CookingTest) { m.WoodAfter = 5.2 },
		"char-negative":     func(m *CookingTest) { m.CharPan = 0.4 },
		"char-too-much":     func(m *CookingTest) { m.CharPan, m.Char = 0, Known(1.2) },
		"dry-wood-negative": func(m *CookingTest) { m.Char = Known(2.5) },
		"moisture-high":     func(m *CookingTest) { m.Wood.Moisture = 0.3 },
		"moisture-low":      func(m *CookingTest) { m.Wood.Moisture = 0.01 },
	} {
		m := meal(2650, 55, 3120)
		spoil(&m)
		r, err := Cook(m)
		fatal(t, err)
		found := false
		for _, a := range r.Alarms {
			if said := message.English().Say(a.Text); strings.ContainsAny(said, "{}«") {
				t.Errorf("%s says %q", a.Key, said)
			}
			found = found || a.Key == key
		}
		if !found {
			t.Errorf("%s did not ring: %v", key, keys(r.Alarms))
		}
	}
	base, new := cookingExample()
	new.Tests[1].Dish, new.Tests[2].Cook, base.Tests[0].Cook = "rice", "cook 3", "cook 1"
	c, err := CompareCooking(base, new, DefaultSettings)
	fatal(t, err)
	if c.Finding != Differs || alarmKeys(c) != "dish cook" {
		t.Errorf("%s %s", c.Finding, alarmKeys(c))
	}
}

func TestKitchenFile(t *testing.T) {
	list, err := ReadKitchens(readTest(t, "kitchens.yaml"))
	fatal(t, err)
	r, err := MeasureKitchen(list[0])
	fatal(t, err)
	// by hand: 18.4 kg·(18.414·0.86 - 2.443·0.14)/14.7 SAE·days and 0.3 kg·47.3/14.7
	wood, gas := 18.4*(18.414*0.86-2.443*0.14)/14.7, 0.3*47.3/14.7
	if !near(r.Energy/1e6, wood+gas, 1e-9) || !near(r.Fuels["lpg"].Energy/1e6, gas, 1e-9) {
		t.Errorf("%g MJ, want %g", r.Energy/1e6, wood+gas)
	}
	if len(r.Alarms) != 1 || r.Alarms[0].Key != "several-fuels" {
		t.Errorf("alarms %v", keys(r.Alarms))
	}
}

func TestKitchenAlarms(t *testing.T) {
	for key, spoil := range map[string]func(*Kitchen){
		"stock-grew":     func(k *Kitchen) { k.Fuels[0].Days[0].End = 40 },
		"nobody-ate":     func(k *Kitchen) { k.People = make([]People, 3) },
		"kitchen-much":   func(k *Kitchen) { k.Fuels[0].Days[0].Start = 90 },
		"moisture-high":  func(k *Kitchen) { k.Fuels[0].Moisture = 0.4 },
		"feast":          func(k *Kitchen) { k.Feast = true },
		"people-changed": func(k *Kitchen) { k.People[1].Children = 14 },
		"few-days":       func(k *Kitchen) { k.People, k.Fuels[0].Days = k.People[:2], k.Fuels[0].Days[:2] },
	} {
		k := kitchenExample()
		spoil(&k)
		r, err := MeasureKitchen(k)
		fatal(t, err)
		found := false
		for _, a := range r.Alarms {
			if said := message.English().Say(a.Text); strings.ContainsAny(said, "{}«") {
				t.Errorf("%s says %q", a.Key, said)
			}
			found = found || a.Key == key
		}
		if !found {
			t.Errorf("%s did not ring: %v", key, keys(r.Alarms))
		}
	}
	k := kitchenExample()
	k.People = k.People[:2]
	if _, err := MeasureKitchen(k); err == nil {
		t.Error("two days of people and three of fuel were computed")
	}
}

func TestKitchenStudies(t *testing.T) {
	before, after := pairExample()
	for i := range before {
		before[i].Cluster = "village " + string(rune('1'+i%2))
	}
	s, err := StudyPairs(before, after[:7], DefaultSettings)
	fatal(t, err)
	if s.Households != 7 || s.Lost != 3 || !near(s.LossShare, 0.3, 1e-12) || !alreadyRung("many-lost", s.Alarms) || math.IsNaN(s.LostDiffers) {
		t.Errorf("%d pairs, %d lost (%g), lost differ %g, alarms %v", s.Households, s.Lost, s.LossShare, s.LostDiffers, keys(s.Alarms))
	}
	if !s.Interval.Contains(s.Saving) || math.IsNaN(s.ICC) || s.Effect < 1 {
		t.Errorf("saving %g in %+v, ICC %g, effect %g", s.Saving, s.Interval, s.ICC, s.Effect)
	}
	g, err := StudyGroups(before[:5], after[5:], DefaultSettings)
	fatal(t, err)
	if g.Paired || g.Comparison.Finding != Differs || !alreadyRung("unpaired", g.Alarms) || !g.Interval.Contains(g.Saving) {
		t.Errorf("groups: %s, saving %g in %+v", g.Comparison.Finding, g.Saving, g.Interval)
	}
	before[0].Fuels[0].Days[0].End = 99
	s, err = StudyPairs(before, after, DefaultSettings)
	fatal(t, err)
	if s.Households != 9 || s.Lost != 0 || !alreadyRung("stock-grew", s.Alarms) {
		t.Errorf("a household that cannot be right: %d pairs, %d lost, %v", s.Households, s.Lost, keys(s.Alarms))
	}
}

func TestPlans(t *testing.T) {
	// 34 pairs exactly, design effect 1+(5-1)·0.1 = 1.4 → 47.6, of 200 households → 38.6, a tenth lost → 43.3
	p := PlanStudy(Design{CV: 0.4, Difference: 0.2, Paired: true, Alpha: 0.05, Power: 0.8, PerCluster: 5, ICC: 0.1, Loss: 0.1, Population: 200})
	if p.Exact != 34 || p.Clusters != 39 || p.Visited != 44 {
		t.Errorf("%+v", p)
	}
	if p := PlanStudy(Design{CV: 0.1, Difference: 0.5, Paired: true, Alpha: 0.05, Power: 0.8}); p.Visited != 3 {
		t.Errorf("fewer than three: %+v", p)
	}
	if p := PlanStudy(Design{CV: 0.1, Alpha: 0.05, Power: 0.8}); p != (Plan{}) {
		t.Errorf("a difference of nothing: %+v", p)
	}
}

func TestReadKitchensComplains(t *testing.T) {
	good := string(readTest(t, "kitchens.yaml"))
	for _, tt := range []struct{ old, new, want string }{
		{"code: H01", `code: ""`, `households[1].code: "": each household needs a code`},
		{"women: 2, men: 1, older_men: 1}, {children: 3", "women: x, men: 1, older_men: 1}, {children: 3", `households[1].people[1].women: "x": this must be a whole number in range; allowed: 0 to 500`},
		{"added: 8 kg", "added: 8 L", `households[1].fuels[1].days[2].added: "8 L": the unit is not one of`},
		{"moisture_basis: wet", "stick: 30 mm", `households[1].fuels[1].fuel.moisture_basis: "": say whether`},
		{", {start: 11.1 kg, end: 10.9 kg}", "", `households[1].fuels[2].days: "": the people were counted on 3 days`},
		{"kind: lpg", "kind: lgp", `households[1].fuels[2].fuel.kind: "lgp": this word is not in the list`},
	} {
		_, err := ReadKitchens([]byte(strings.Replace(good, tt.old, tt.new, 1)))
		if err == nil || !strings.Contains(strings.ReplaceAll(err.Error(), "\u00a0", " "), tt.want) {
			t.Errorf("got %v, want %q", err, tt.want)
		}
	}
}

func TestEveryFormFieldHasACaption(t *testing.T) {
	english := message.English()
	for _, fields := range [][]Field{BoilingFields(), CookingFields(), KitchenFields()} {
		for _, f := range fields {
			if !english.Has(f.Name().ID) {
				t.Errorf("no caption for field %s", f.Path)
			}
			for _, o := range f.Options {
				if !english.Has("bench.word." + o) {
					t.Errorf("no words for option %s of %s", o, f.Path)
				}
			}
		}
	}
	for _, s := range []*sheet{cookingSheet(), kitchenSheet()} {
		for key := range s.symbols {
			if !english.Has("bench.q." + key) {
				t.Errorf("no words for %s", key)
			}
		}
	}
}

// Whatever the number of stoves and blocks, each block holds every stove once,
// and each stove stands equally often at each place over full squares.
func TestOrderSheetsAreBalanced(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 8).Draw(t, "stoves")
		squares := rapid.IntRange(1, 5).Draw(t, "squares")
		names := strings.Split("ABCDEFGH", "")[:n]
		seed := rapid.Uint64().Draw(t, "seed")
		sheet, err := OrderSheet(names, n*squares, seed)
		if err != nil {
			t.Fatal(err)
		}
		places := map[Slot]int{}
		inBlock := map[Slot]int{}
		for _, s := range sheet {
			places[Slot{Place: s.Place, Stove: s.Stove}]++
			inBlock[Slot{Block: s.Block, Stove: s.Stove}]++
		}
		for s, count := range inBlock {
			if count != 1 {
				t.Fatalf("%+v stands %d times in its block", s, count)
			}
		}
		for s, count := range places {
			if count != squares {
				t.Fatalf("%+v: %d times, want %d", s, count, squares)
			}
		}
		again, _ := OrderSheet(names, n*squares, seed)
		for i := range sheet {
			if sheet[i] != again[i] {
				t.Fatal("the same seed gave another sheet")
			}
		}
	})
}

func TestCrossoverIsEven(t *testing.T) {
	kitchens := strings.Split("abcdefghij", "")
	sheet, err := CrossoverSheet(kitchens, "old", "new", 3)
	fatal(t, err)
	first := 0
	for i, c := range sheet {
		if c.Kitchen != kitchens[i] || c.First == c.Second {
			t.Errorf("%+v", c)
		}
		if c.First == "old" {
			first++
		}
	}
	if first != 5 {
		t.Errorf("%d of 10 begin with the old stove", first)
	}
	if _, err := CrossoverSheet(nil, "a", "b", 1); err == nil {
		t.Error("no kitchens were ordered")
	}
	if _, err := OrderSheet([]string{"a"}, 3, 1); err == nil {
		t.Error("one stove was ordered")
	}
}

func FuzzReadCookingAndKitchens(f *testing.F) {
	f.Add(readTest(f, "cooking.yaml"))
	f.Add(readTest(f, "kitchens.yaml"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if test, err := ReadCooking(data); err == nil {
			if _, err := Cook(test); err != nil {
				t.Fatal(err)
			}
		} else if _, ok := message.Complaints(err); !ok {
			t.Fatalf("not an input error: %v", err)
		}
		if list, err := ReadKitchens(data); err == nil {
			for _, k := range list {
				if _, err := MeasureKitchen(k); err != nil {
					t.Fatal(err)
				}
			}
		} else if _, ok := message.Complaints(err); !ok {
			t.Fatalf("not an input error: %v", err)
		}
	})
}
