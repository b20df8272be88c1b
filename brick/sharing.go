package brick

import "math"

// Drying and firing shrink a pressed brick more in the direction it was pressed
// in, for platy clay and fibres lie down across it. What a volume loses is
// therefore shared out among the axes: with λ = ln(before/after) along each axis,
// the share of an axis is λ over the mean λ of the three. The shares of a
// workshop are learnt from bricks measured on all three edges.

// stageShares are the shares of one stage, drying or firing, as believed: normal,
// with these means and standard deviations.
type stageShares struct{ mean, sd [3]float64 }

// usualSharing is what is believed of either stage before a brick is measured:
// the pressed direction shrinks 10 to 40 % more than the others (common
// practice), a body pressed by hand hardly more.
var usualSharing = stageShares{mean: [3]float64{0.93, 0.93, 1.14}, sd: [3]float64{0.1, 0.1, 0.1}}

const (
	// sharingScatter is the standard deviation of a share from brick to brick
	// (common practice).
	sharingScatter = 0.15
	// leastLog is the mean λ below which nothing can be said of its shares.
	leastLog = 0.004
)

// learnSharing updates the shares of a stage with the edges before and after of
// each brick, as normal observations of known variance.
func learnSharing(trials []Trial, before, after int) stageShares {
	s := usualSharing
	for _, t := range trials {
		for _, b := range t.Bricks {
			share, sd, ok := sharesOf(b.Stages[before].Edges, b.Stages[after].Edges)
			for a := range Axes {
				if ok {
					s.mean[a], s.sd[a] = observe(s.mean[a], s.sd[a], share[a], sd[a])
				}
			}
		}
	}
	sum := s.mean[0] + s.mean[1] + s.mean[2]
	for a := range Axes {
		s.mean[a] *= 3 / sum // edges read unequally well may pull the mean off one
	}
	return s
}

// observe is a normal belief after one observation of known standard deviation.
func observe(mean, sd, seen, u float64) (newMean, newSD float64) {
	before, data := 1/(sd*sd), 1/(u*u)
	return (mean*before + seen*data) / (before + data), 1 / math.Sqrt(before+data)
}

// sharesOf are the shares of one brick with their standard deviations.
func sharesOf(before, after [3]Reading) (share, sd [3]float64, ok bool) {
	var logs [3]float64
	mean := 0.0
	for a := range Axes {
		if before[a].Value <= 0 || after[a].Value <= 0 {
			return share, sd, false
		}
		logs[a] = math.Log(before[a].Value / after[a].Value)
		mean += logs[a] / 3
	}
	for a := range Axes {
		reading := math.Hypot(before[a].U/before[a].Value, after[a].U/after[a].Value)
		share[a], sd[a] = logs[a]/mean, math.Hypot(sharingScatter, reading/mean)
	}
	return share, sd, mean > leastLog
}

// Shrinkage is what is believed of the shrinkage along each axis: that of the
// volume, shared out as the bricks so far shared it. Before a brick is measured
// the height, in which a brick is pressed, shrinks most.
func (b *Belief) Shrinkage() Shrinkage {
	var s Shrinkage
	drying, dryingSD := b.logShrinkage(func(f Forming) float64 { return float64(f.Drying) })
	firing, firingSD := b.logShrinkage(func(f Forming) float64 { return float64(f.Firing) })
	for a := range Axes {
		d, ud := shared(drying, dryingSD, b.sharing[0].mean[a], b.sharing[0].sd[a])
		f, uf := shared(firing, firingSD, b.sharing[1].mean[a], b.sharing[1].sd[a])
		s[a] = AxisShrinkage{Drying: Drying(d), UDrying: ud, Firing: Firing(f), UFiring: uf}
	}
	return s
}

// shared is the linear shrinkage 1 − exp(−share λ) with its standard uncertainty.
func shared(log, logSD, share, shareSD float64) (s, u float64) {
	left := math.Exp(-share * log)
	return 1 - left, left * math.Hypot(share*logSD, log*shareSD)
}

// logShrinkage is λ over the draws: mean and standard deviation.
func (b *Belief) logShrinkage(of func(Forming) float64) (mean, sd float64) {
	moisture, loss := make([]float64, len(b.Stocks)), make([]float64, len(b.Stocks))
	logs := make([]float64, len(b.draws))
	for i, z := range b.draws {
		logs[i] = -math.Log(1 - of(b.values(z, moisture, loss)))
	}
	return meanSD(logs)
}
