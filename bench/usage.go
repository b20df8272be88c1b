package bench

import (
	"fmt"
	"math"
	"slices"

	"stovewright/stats"
)

// TemperatureSample is one reading of a logger near a stove: seconds since 1970
// and K.
type TemperatureSample struct {
	At     int64
	Kelvin float64
}

// UsageRule tells cooking from sun and draught in a temperature record. All its
// numbers are common practice and the user's to set; check them against days
// that somebody watched (ruizmercado2012monitors).
type UsageRule struct {
	Rise        float64 // K above the day's lowest that a fire makes at least
	Slope       float64 // K/min at which it begins
	EndShare    float64 // a fire is over below this share of its peak, when cooling
	MergeGap    float64 // s; two fires this close are one meal
	Shortest    float64 // s; shorter ones are no meal
	GapFactor   float64 // a step this many times the usual one is a gap
	Spike       float64 // K/min; faster is a fault of the sensor
	DayStartsAt int64   // s after midnight UTC at which the local day begins
}

// DefaultUsageRule: 10 K, 0.2 K/min, 60 % of the peak, 20 min, 10 min.
var DefaultUsageRule = UsageRule{Rise: 10, Slope: 0.2, EndShare: 0.6, MergeGap: 20 * 60, Shortest: 10 * 60, GapFactor: 3, Spike: 60}

// CookingEvent is one use of a stove.
type CookingEvent struct {
	Start, End int64
	Peak       float64 // K
}

// Hours is how long it lasted.
func (e CookingEvent) Hours() float64 { return float64(e.End-e.Start) / 3600 }

// Usage is what a logger says of one stove.
type Usage struct {
	Events   []CookingEvent
	Days     int     // days with readings
	DaysUsed int     // days on which an event began
	Hours    float64 // of use in all
	Complete float64 // share of the time between first and last reading that has readings
	Gaps     int
	Spikes   int // readings left out as faults
}

// EventsPerDay and HoursPerDay are over the days with readings.
func (u Usage) EventsPerDay() float64 { return float64(len(u.Events)) / float64(u.Days) }

// HoursPerDay is the mean time of use a day with readings.
func (u Usage) HoursPerDay() float64 { return u.Hours / float64(u.Days) }

// DaysInUse is the share of days with at least one event.
func (u Usage) DaysInUse() float64 { return float64(u.DaysUsed) / float64(u.Days) }

// Detect finds the uses of a stove in a record that is in order of time. It
// needs at least three readings.
func (r UsageRule) Detect(samples []TemperatureSample) (Usage, error) {
	if len(samples) < 3 {
		return Usage{}, fmt.Errorf("bench: a use record of %d readings", len(samples))
	}
	steps := make([]int64, 0, len(samples)-1)
	for i := 1; i < len(samples); i++ {
		step := samples[i].At - samples[i-1].At
		if step <= 0 {
			return Usage{}, fmt.Errorf("bench: reading %d of the use record is not after the one before", i+1)
		}
		steps = append(steps, step)
	}
	slices.Sort(steps)
	usual := float64(steps[len(steps)/2])
	var u Usage
	clean := r.clean(samples, &u)
	base := r.baseline(clean)
	u.Days = len(base)
	covered := 0.0
	d := detector{rule: r, usual: usual}
	for i, s := range clean {
		var gap bool
		if i > 0 {
			step := float64(s.At - clean[i-1].At)
			gap = step > r.GapFactor*usual
			if gap {
				u.Gaps++
			} else {
				covered += step
			}
		}
		d.take(clean, i, s.Kelvin-base[r.day(s.At)], gap)
	}
	d.finish(clean)
	u.Complete = covered / float64(clean[len(clean)-1].At-clean[0].At)
	u.Events = r.merge(d.events)
	used := map[int64]bool{}
	for _, e := range u.Events {
		u.Hours += e.Hours()
		used[r.day(e.Start)] = true
	}
	u.DaysUsed = len(used)
	return u, nil
}

func (r UsageRule) day(at int64) int64 {
	return int64(math.Floor(float64(at-r.DayStartsAt) / 86400))
}

// clean drops readings that are no numbers or jump faster than any fire.
func (r UsageRule) clean(samples []TemperatureSample, u *Usage) []TemperatureSample {
	kept := make([]TemperatureSample, 0, len(samples))
	for _, s := range samples {
		bad := math.IsNaN(s.Kelvin) || math.IsInf(s.Kelvin, 0)
		if n := len(kept); n > 0 && !bad {
			minutes := float64(s.At-kept[n-1].At) / 60
			bad = math.Abs(s.Kelvin-kept[n-1].Kelvin)/minutes > r.Spike
		}
		if bad {
			u.Spikes++
			continue
		}
		kept = append(kept, s)
	}
	return kept
}

// baseline is the lowest reading of each day.
func (r UsageRule) baseline(samples []TemperatureSample) map[int64]float64 {
	base := map[int64]float64{}
	for _, s := range samples {
		d := r.day(s.At)
		if low, seen := base[d]; !seen || s.Kelvin < low {
			base[d] = s.Kelvin
		}
	}
	return base
}

// detector walks along a record.
type detector struct {
	rule   UsageRule
	usual  float64
	events []CookingEvent
	on     bool
	start  int
	peak   float64 // excess
	top    float64 // K
}

func (d *detector) take(samples []TemperatureSample, i int, excess float64, gap bool) {
	if i == 0 {
		return
	}
	if gap && d.on {
		d.close(samples, i-1)
	}
	slope := (samples[i].Kelvin - samples[i-1].Kelvin) / (float64(samples[i].At-samples[i-1].At) / 60)
	switch {
	case !d.on && !gap && excess >= d.rule.Rise && slope >= d.rule.Slope:
		d.on, d.start, d.peak, d.top = true, i, excess, samples[i].Kelvin
	case d.on:
		d.peak, d.top = math.Max(d.peak, excess), math.Max(d.top, samples[i].Kelvin)
		if excess < d.rule.Rise || excess < d.rule.EndShare*d.peak && slope < 0 {
			d.close(samples, i)
		}
	}
}

func (d *detector) close(samples []TemperatureSample, end int) {
	d.events = append(d.events, CookingEvent{Start: samples[d.start].At, End: samples[end].At, Peak: d.top})
	d.on = false
}

func (d *detector) finish(samples []TemperatureSample) {
	if d.on {
		d.close(samples, len(samples)-1)
	}
}

// merge joins fires that are close and drops those too short for a meal.
func (r UsageRule) merge(events []CookingEvent) []CookingEvent {
	var joined []CookingEvent
	for _, e := range events {
		if n := len(joined); n > 0 && float64(e.Start-joined[n-1].End) <= r.MergeGap {
			joined[n-1].End = e.End
			joined[n-1].Peak = math.Max(joined[n-1].Peak, e.Peak)
			continue
		}
		joined = append(joined, e)
	}
	return slices.DeleteFunc(joined, func(e CookingEvent) bool { return float64(e.End-e.Start) < r.Shortest })
}

// UseRecord is the record of one logger with the uses that were found in it.
type UseRecord struct {
	Name      string // of the file
	Household string // a code, not a name; "" where none was given
	Old       bool   // of the old stove
	Samples   []TemperatureSample
	Usage     Usage
	Layout    LogLayout
}

// ReadUse finds the uses in one column of a logger's table. ok is false when the
// column holds no temperatures or too few of them.
func ReadUse(name string, log Log, layout LogLayout, column int, rule UsageRule) (u UseRecord, ok bool) {
	samples, ok := log.Temperatures(layout, column)
	if !ok {
		return u, false
	}
	use, err := rule.Detect(samples)
	return UseRecord{Name: name, Samples: samples, Usage: use, Layout: layout}, err == nil
}

// StackRecords sums up the households that have a record of the old stove and one of
// the new, in the order of their first record. The error is that of [Stack].
func StackRecords(list []UseRecord, level float64) (Stacking, error) {
	var old, new []Usage
	for i, a := range list {
		for _, b := range list[i+1:] {
			if a.Household != "" && a.Household == b.Household && a.Old != b.Old {
				if b.Old {
					a, b = b, a
				}
				old, new = append(old, a.Usage), append(new, b.Usage)
				break
			}
		}
	}
	return Stack(old, new, level)
}

// Stacking is how households use an old and a new stove side by side.
type Stacking struct {
	Households  int
	OldShare    float64 // time on the old stove over all time, mean of the households
	OldInterval stats.Interval
	NewDays     float64 // share of days with the new stove in use, mean of the households
	NewInterval stats.Interval
	Abandoned   int // households that never used the new stove
}

// Stack sums up households, each with the usage of both stoves. Intervals are
// over households, because the days of one household are alike; two are needed.
func Stack(old, new []Usage, level float64) (Stacking, error) {
	if len(old) != len(new) {
		return Stacking{}, fmt.Errorf("bench: %d records of old stoves, %d of new ones", len(old), len(new))
	}
	var shares, days []float64
	s := Stacking{Households: len(old)}
	for i := range old {
		if total := old[i].Hours + new[i].Hours; total > 0 {
			shares = append(shares, old[i].Hours/total)
		}
		days = append(days, new[i].DaysInUse())
		if len(new[i].Events) == 0 {
			s.Abandoned++
		}
	}
	a, err := stats.OneSample(shares, 0)
	if err != nil {
		return Stacking{}, fmt.Errorf("bench: stacking: %w", err)
	}
	b, err := stats.OneSample(days, 0)
	if err != nil {
		return Stacking{}, fmt.Errorf("bench: stacking: %w", err)
	}
	s.OldShare, s.OldInterval, s.NewDays, s.NewInterval = a.Estimate, a.Interval(level), b.Estimate, b.Interval(level)
	return s, nil
}
