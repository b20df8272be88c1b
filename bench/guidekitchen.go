package bench

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"stovewright/message"
)

// A kitchen test runs over days: each household is visited once a day, and the
// guide goes round the households visit by visit.

// TestKind is the kind of test.
func (*KitchenForm) TestKind() Kind { return KindKitchen }

// days is how many days the households are followed: those planned, and no fewer
// than are written already.
func (f *KitchenForm) days() int {
	n, err := strconv.Atoi(strings.TrimSpace(f.Days))
	if err != nil || n < 1 || n > 14 {
		n = leastDays
	}
	for _, h := range f.Households {
		n = max(n, len(h.People))
	}
	return n
}

// codeOf is what a household is called, by its number where it has no code yet.
func (f *KitchenForm) codeOf(house int) string {
	if house <= len(f.Households) {
		if code := strings.TrimSpace(f.Households[house-1].Code); code != "" {
			return code
		}
	}
	return fmt.Sprintf("H%02d", house)
}

// Due is when a household is to be visited next: a day after the last visit.
// Zero where that has no time. Households and visits count from one.
func (f *KitchenForm) Due(house, visit int) time.Time {
	if house > len(f.Households) || visit < 2 || visit-2 >= len(f.Households[house-1].Visits) {
		return time.Time{}
	}
	at, err := time.Parse(VisitTime, strings.Join(strings.Fields(f.Households[house-1].Visits[visit-2]), " "))
	if err != nil {
		return time.Time{}
	}
	return at.Add(24 * time.Hour)
}

// Visits is how many visits there are to each household: one more than days.
func (f *KitchenForm) Visits() int { return f.days() + 1 }

func (f *KitchenForm) spots(row guideRow, in spot) []spot {
	var list []spot
	switch row.Each {
	case "first":
		return []spot{f.visitSpot(1)}
	case "visit":
		for v := 2; v <= f.Visits(); v++ {
			list = append(list, f.visitSpot(v))
		}
	case "household":
		for h := 1; h <= max(1, len(f.Households)); h++ {
			part := fmt.Sprintf("%s.h%d", in.id, h)
			list = append(list, spot{id: fmt.Sprint("h", h), part: part, house: h, due: f.Due(h, in.visit), names: []string{"home.", "households" + numbered(h) + "."},
				args: []any{"household", f.codeOf(h)}, place: message.T("bench.run.visit-of", "n", in.visit, "household", f.codeOf(h))})
		}
	case "fuel": // what holds water
		for i := 1; i <= max(1, f.fuels(in.house)); i++ {
			if key := f.fuelKey(in.house, i); !kitchenFuel(key) {
				list = append(list, spot{id: fmt.Sprint("fuel", i), names: []string{"[fuel]", numbered(i)}, args: []any{"fuel", message.T("bench.word." + key)}})
			}
		}
	case "last":
		if in.last {
			return []spot{{}}
		}
	}
	return list
}

func (f *KitchenForm) visitSpot(v int) spot {
	return spot{id: fmt.Sprint("v", v), visit: v, last: v == f.Visits(), names: []string{"[visit]", numbered(v), "[day]", numbered(v - 1), "[next]", numbered(v), "[before]", numbered(max(1, v-2))}, args: []any{"n", v, "day", v - 1}}
}

func (f *KitchenForm) fuels(house int) int {
	if house > len(f.Households) {
		return 0
	}
	return len(f.Households[house-1].Fuels)
}

// fuelKey is the kind of a fuel of a household.
func (f *KitchenForm) fuelKey(house, fuel int) string {
	if fuel > f.fuels(house) {
		return woodTable[0].Key
	}
	return cmp.Or(strings.ToLower(strings.TrimSpace(f.Households[house-1].Fuels[fuel-1].Wood.Kind)), woodTable[0].Key)
}

// kitchenFuel reports a fuel that is asked for in kitchens alone, and holds no
// water: gas and kerosene.
func kitchenFuel(key string) bool {
	return slices.ContainsFunc(woodTable, func(w WoodKind) bool { return w.Key == key && w.Kitchen })
}

// SoFar checks a round of a kitchen test while the households are visited, day
// by day.
func (f *KitchenForm) SoFar() (complaints message.InputErrors, alarms []Alarm) {
	r := newReader(kitchenFields)
	r.running = true
	for i, k := range f.read(r) {
		days := len(k.People)
		for _, fuel := range k.Fuels {
			days = max(days, len(fuel.Days))
		}
		for len(k.People) < days {
			k.People = append(k.People, People{Women: math.NaN()})
		}
		for j := range k.Fuels {
			for len(k.Fuels[j].Days) < days {
				k.Fuels[j].Days = append(k.Fuels[j].Days, FuelDay{math.NaN(), math.NaN(), math.NaN()})
			}
		}
		result, err := MeasureKitchen(k)
		if err != nil { // nothing is weighed yet
			continue
		}
		for _, a := range result.alarmsAt(i) {
			if a.Key != "few-days" && a.Key != "several-fuels" { // said when the round is whole
				alarms = append(alarms, a)
			}
		}
	}
	return soFar(r.Complaints), alarms
}
