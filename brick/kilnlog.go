package brick

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"stovewright/message"
)

// KilnRow is one line of the firing log.
type KilnRow struct {
	Time  float64   // s since lighting
	Temps []float64 // K, one for each position of the log; NaN where not read
	Fuel  float64   // kg put in since the last line
	Event string    // what was done or seen, in the maker's words
}

// KilnLog is a firing as it was.
type KilnLog struct {
	Positions []string // names of the places of the thermometers
	Thickness float64  // m, of the bricks
	Rows      []KilnRow
}

// BandPassage is how a firing went through one critical band on the way up.
type BandPassage struct {
	Band    FiringBand
	Seconds float64 // spent in the band
	Needed  float64 // s, at the limits that hold there
}

// Rush is a piece of the log that changed faster than its limits.
type Rush struct {
	Band  FiringBand // the band that asks for most of the time; zero for conduction alone
	At    float64    // s since lighting
	Rate  float64    // K/s, the change, always positive
	Limit float64    // K/s, what the limits of the piece allow on average
	Down  bool       // on the way down
}

// KilnReport is what a log tells.
type KilnReport struct {
	Passages      []BandPassage
	Peak          float64   // K, hottest reading
	PeakAt        float64   // s
	Spread        float64   // K, largest difference between positions above 600 °C
	Above850      float64   // s with the coolest position above 850 °C
	QuartzUp      float64   // K/s, steepest rise between two lines that touch 553 to 593 °C
	QuartzDown    float64   // K/s, steepest fall there
	Rushes        []Rush    // worst of each band, in the order of the log
	HeatWork      []float64 // s at HeatWorkKelvin, for each position
	Fuel          float64   // kg
	FurthestAhead float64   // K above the plan, at most
	FurthestLate  float64   // K below the plan, at most
	Findings      []message.Text
}

// Limits of a sound firing (common practice).
const (
	widestSpread   = 50.0         // K between the hottest and the coolest place
	quartzRate     = 50.0 / hour  // K/s through 573 °C
	carbonKelvin   = 850 + 273.15 // K
	quartzLow      = 553 + 273.15 // K, 573 °C ± 20 K
	quartzHigh     = 593 + 273.15 // K
	slack          = 1.15         // a reading may be that far over a limit before it is said
	logGap         = 1.6 * hour   // lines further apart than this hide a run
	glowing        = 600 + 273.15 // K
	planDifference = 60.0         // K off the plan that is worth saying
)

// Report works out the log; plan may be the zero Schedule.
func (l KilnLog) Report(plan Schedule) (KilnReport, error) {
	if err := l.check(); err != nil {
		return KilnReport{}, err
	}
	mean, coolest, hottest := l.courses()
	times := l.times()
	r := KilnReport{QuartzUp: steepest(times, mean, quartzLow, quartzHigh, 1), QuartzDown: steepest(times, mean, quartzLow, quartzHigh, -1)}
	for i := range times {
		if hottest[i] > r.Peak {
			r.Peak, r.PeakAt = hottest[i], times[i]
		}
		if hottest[i] > glowing {
			r.Spread = math.Max(r.Spread, hottest[i]-coolest[i])
		}
		r.Fuel += l.Rows[i].Fuel
	}
	r.Above850 = timeAbove(times, coolest, carbonKelvin)
	for k := range l.Positions {
		t, v := l.position(k)
		r.HeatWork = append(r.HeatWork, HeatWork(t, v, HeatWorkActivation))
	}
	wish := FiringWish{Thickness: l.Thickness, Diffusivity: 2.5e-7, Lag: 30, PoreFormer: true}
	if plan.Wish.Thickness > 0 {
		wish = plan.Wish
	}
	r.passages(times, mean, wish)
	r.Rushes = rushes(times, mean, wish)
	if len(plan.Steps) > 0 {
		for i, t := range times {
			d := mean[i] - plan.At(t)
			r.FurthestAhead, r.FurthestLate = math.Max(r.FurthestAhead, d), math.Max(r.FurthestLate, -d)
		}
	}
	r.judge(times, len(plan.Steps) > 0, wish)
	return r, nil
}

func (l KilnLog) check() error {
	var bad message.InputErrors
	say := func(field, value, id, try string) {
		bad = append(bad, &message.InputError{Field: field, Value: value, Reason: message.T(id), Try: try})
	}
	if len(l.Rows) < 2 {
		say("rows", "", "brick.kiln.short", "0 h: 25 °C")
	}
	if len(l.Positions) == 0 {
		say("positions", "", "brick.kiln.positions", "middle")
	}
	if !(l.Thickness >= 0.01 && l.Thickness <= 0.15) {
		say("thickness", number(l.Thickness), "brick.firing.thickness", "60 mm")
	}
	for i, r := range l.Rows {
		at := fmt.Sprintf("rows[%d].", i+1)
		if i > 0 && !(r.Time > l.Rows[i-1].Time) {
			say(at+"time", number(r.Time/hour)+" h", "brick.drying.order", number(l.Rows[i-1].Time/hour+1)+" h")
		}
		if len(r.Temps) != len(l.Positions) {
			say(at+"temps", number(float64(len(r.Temps))), "brick.kiln.columns", number(float64(len(l.Positions))))
		}
		read := false
		for _, t := range r.Temps {
			if !math.IsNaN(t) && !(t > 200 && t < 1700) {
				say(at+"temps", number(t), "brick.kiln.temperature", "900 °C")
			}
			read = read || !math.IsNaN(t)
		}
		if !read {
			say(at+"temps", "", "brick.kiln.unread", "900 °C")
		}
		if !(r.Fuel >= 0) {
			say(at+"fuel", number(r.Fuel), "brick.mass.range", "5 kg")
		}
	}
	return bad.OrNil()
}

func (l KilnLog) times() []float64 {
	t := make([]float64, len(l.Rows))
	for i, r := range l.Rows {
		t[i] = r.Time
	}
	return t
}

// courses are the mean, the lowest and the highest temperature of each line.
func (l KilnLog) courses() (mean, low, high []float64) {
	for _, r := range l.Rows {
		var sum, n float64
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, t := range r.Temps {
			if !math.IsNaN(t) {
				sum, n, lo, hi = sum+t, n+1, math.Min(lo, t), math.Max(hi, t)
			}
		}
		mean, low, high = append(mean, sum/n), append(low, lo), append(high, hi)
	}
	return mean, low, high
}

// position is the course at one place, without the lines where it was not read.
func (l KilnLog) position(k int) (times, temps []float64) {
	for _, r := range l.Rows {
		if !math.IsNaN(r.Temps[k]) {
			times, temps = append(times, r.Time), append(temps, r.Temps[k])
		}
	}
	return times, temps
}

// steepest is the fastest change in one direction (+1 up, −1 down) between two
// lines whose temperatures touch a band.
func steepest(t, v []float64, low, high float64, direction float64) float64 {
	var most float64
	for i := 0; i+1 < len(t); i++ {
		if math.Max(v[i], v[i+1]) > low && math.Min(v[i], v[i+1]) < high {
			most = math.Max(most, direction*(v[i+1]-v[i])/(t[i+1]-t[i]))
		}
	}
	return most
}

// timeAbove is how long a course of straight pieces stays above a level.
func timeAbove(t, v []float64, level float64) float64 {
	var sum float64
	for i := 0; i+1 < len(t); i++ {
		a, b := v[i]-level, v[i+1]-level
		share := 0.0
		switch {
		case a >= 0 && b >= 0:
			share = 1
		case a > 0 || b > 0:
			share = math.Max(a, b) / math.Abs(a-b)
		}
		sum += share * (t[i+1] - t[i])
	}
	return sum
}

func (r *KilnReport) passages(t, mean []float64, w FiringWish) {
	peak := slices.Index(mean, slices.Max(mean))
	up, v := t[:peak+1], mean[:peak+1]
	for _, b := range firingTable.Heating {
		low, high := b.From+zeroCelsius, math.Min(b.To+zeroCelsius, v[peak])
		if high <= low || (b.Key == "burnout" && !w.PoreFormer) {
			continue
		}
		needed, _ := w.needed(low-zeroCelsius, high-zeroCelsius, firingTable.Heating)
		r.Passages = append(r.Passages, BandPassage{Band: b, Needed: needed, Seconds: timeAbove(up, v, low) - timeAbove(up, v, high)})
	}
}

// needed is the least time (s) for the way between two temperatures (°C, rising)
// under the limits of the bands, and the band that takes most of it.
func (w FiringWish) needed(from, to float64, bands []FiringBand) (float64, FiringBand) {
	edges := []float64{from, to}
	for _, b := range bands {
		for _, t := range []float64{b.From, b.To} {
			if t > from && t < to {
				edges = append(edges, t)
			}
		}
	}
	slices.Sort(edges)
	var sum, most float64
	var slowest FiringBand
	share := make(map[string]float64)
	for i := 0; i+1 < len(edges); i++ {
		rate, band := w.limit(edges[i], edges[i+1], bands)
		d := (edges[i+1] - edges[i]) / rate
		sum += d
		if share[band.Key] += d; share[band.Key] > most {
			most, slowest = share[band.Key], band
		}
	}
	return sum, slowest
}

// rushes finds the pieces of the log that were faster than the limits on their
// way allow, the worst of each band.
func rushes(t, mean []float64, w FiringWish) []Rush {
	worst := make(map[string]int)
	var list []Rush
	for i := 0; i+1 < len(t); i++ {
		down := mean[i+1] < mean[i]
		bands := firingTable.Heating
		if down {
			bands = firingTable.Cooling
		}
		d := math.Abs(mean[i+1] - mean[i])
		if d < 1 {
			continue
		}
		needed, band := w.needed(math.Min(mean[i], mean[i+1])-zeroCelsius, math.Max(mean[i], mean[i+1])-zeroCelsius, bands)
		rush := Rush{Band: band, At: t[i], Rate: d / (t[i+1] - t[i]), Limit: d / needed, Down: down}
		if rush.Rate <= slack*rush.Limit {
			continue
		}
		key := band.Key + strconv.FormatBool(down)
		k, seen := worst[key]
		switch {
		case !seen:
			worst[key] = len(list)
			list = append(list, rush)
		case rush.Rate/rush.Limit > list[k].Rate/list[k].Limit:
			list[k] = rush
		}
	}
	return list
}

// judge puts into words what the log shows, the likeliest harm first.
func (r *KilnReport) judge(t []float64, planned bool, w FiringWish) {
	for _, rush := range r.Rushes {
		switch {
		case !rush.Down:
			r.Findings = append(r.Findings, message.T("brick.kiln.too-fast", "band", rush.Band.Why(),
				"rate", perHour(rush.Rate), "limit", perHour(rush.Limit)))
		case rush.Band.Key == "quartz" || rush.Band.Key == "cristobalite":
			r.Findings = append(r.Findings, message.T("brick.kiln.too-fast-down", "band", rush.Band.Why(),
				"rate", perHour(rush.Rate), "limit", perHour(rush.Limit)))
		}
	}
	if r.Spread > widestSpread {
		r.Findings = append(r.Findings, message.T("brick.kiln.spread", "spread", int(math.Round(r.Spread))))
	}
	if w.PoreFormer && r.Above850 < 2*hour {
		r.Findings = append(r.Findings, message.T("brick.kiln.carbon", "hours", hoursValue(r.Above850)))
	}
	for i := 0; i+1 < len(t); i++ {
		if t[i+1]-t[i] > logGap {
			r.Findings = append(r.Findings, message.T("brick.kiln.gap", "hours", hoursValue(t[i+1]-t[i])))
			break
		}
	}
	if planned && math.Max(r.FurthestAhead, r.FurthestLate) > planDifference {
		r.Findings = append(r.Findings, message.T("brick.kiln.off-plan",
			"ahead", int(math.Round(r.FurthestAhead)), "late", int(math.Round(r.FurthestLate))))
	}
}
