package brick

import (
	"fmt"
	"math"

	"stovewright/internal/num"
	"stovewright/message"
)

// Weighing is one weighing of a marked brick while it dries.
type Weighing struct {
	Time float64 // s since the first
	Mass float64 // kg
}

// DryRate is the loss in 24 hours, as a share of the mass, below which a brick
// counts as dry (common practice: less than one hundredth a day).
const DryRate = 0.01

const day = 24 * hour

// DryingVerdict is what a weigh-back log says.
type DryingVerdict struct {
	Ready     bool
	DailyLoss float64 // share of the mass lost in the last day
	DaysLeft  Band    // days until ready; zero when ready, NaN while the log is too short
	Left      float64 // water left per dry mass, if the dry mass is known or the curve tells it; NaN otherwise
	Text      message.Text
}

// Verdict reads a drying log: ready when the last day took less than DryRate
// and, if the dry mass is known from the balance or a sister brick (0 if not),
// the water left is below 3 % of it. The mass must have been followed for a day
// at least; a scale too coarse for the last per cent is said so.
func Verdict(log []Weighing, dryMass float64, scale Instrument) (DryingVerdict, error) {
	if err := checkDryingLog(log); err != nil {
		return DryingVerdict{}, err
	}
	last := log[len(log)-1]
	v := DryingVerdict{DaysLeft: Band{math.NaN(), math.NaN(), math.NaN()}, Left: math.NaN(), DailyLoss: math.NaN()}
	end, tau, fitted := dryingCurve(log)
	if dryMass == 0 && fitted {
		dryMass = end
	}
	if dryMass > 0 {
		v.Left = math.Max(0, last.Mass/dryMass-1)
	}
	before, ok := massAt(log, last.Time-day)
	if !ok {
		v.Text = message.T("brick.drying.too-short")
		return v, nil
	}
	v.DailyLoss = (before - last.Mass) / before
	if scale.U()*math.Sqrt2 > DryRate*last.Mass {
		v.Text = message.T("brick.drying.coarse-scale")
		return v, nil
	}
	const wet = 0.03 // water per dry mass that still steams in the kiln
	switch {
	case v.DailyLoss < DryRate && !(v.Left > wet):
		v.Ready, v.DaysLeft = true, Band{}
		v.Text = message.T("brick.drying.ready", "loss", pct1Value(v.DailyLoss))
	case v.DailyLoss < DryRate:
		v.Text = message.T("brick.drying.stalled", "left", pctValue(v.Left))
	default:
		v.DaysLeft = daysLeft(last.Mass, end, tau, fitted)
		v.Text = message.T("brick.drying.not-yet", "loss", pct1Value(v.DailyLoss))
	}
	return v, nil
}

func checkDryingLog(log []Weighing) error {
	var bad message.InputErrors
	for i, w := range log {
		at := fmt.Sprintf("rows[%d].", i+1)
		if !(w.Mass > 0 && w.Mass < 1000) {
			bad = append(bad, &message.InputError{Field: at + "mass", Value: number(w.Mass), Reason: message.T("brick.measure.positive"), Try: "1.25 kg"})
		}
		if i > 0 && !(w.Time > log[i-1].Time) {
			bad = append(bad, &message.InputError{Field: at + "time", Value: number(w.Time / day), Reason: message.T("brick.drying.order"), Try: number(log[i-1].Time/day+1) + " d"})
		}
		if i > 0 && w.Mass > 1.02*log[i-1].Mass {
			bad = append(bad, &message.InputError{Field: at + "mass", Value: number(w.Mass), Reason: message.T("brick.drying.heavier"), Try: number(log[i-1].Mass) + " kg"})
		}
	}
	if len(log) == 0 {
		bad = append(bad, &message.InputError{Field: "rows", Reason: message.T("brick.drying.too-short"), Try: "1.25"})
	}
	return bad.OrNil()
}

// massAt reads the log at a time, straight between the weighings.
func massAt(log []Weighing, t float64) (float64, bool) {
	for i := len(log) - 1; i > 0; i-- {
		a, b := log[i-1], log[i]
		if t >= a.Time-1 && t <= b.Time {
			return a.Mass + (b.Mass-a.Mass)*(t-a.Time)/(b.Time-a.Time), true
		}
	}
	return 0, false
}

// dryingCurve fits m(t) = m∞ + (m0−m∞) exp(−t/τ) to four weighings or more,
// the falling-rate part of drying. It answers false when the log does not bend.
func dryingCurve(log []Weighing) (end, tau float64, ok bool) {
	n := len(log)
	if n < 4 {
		return 0, 0, false
	}
	first, last := log[0], log[n-1]
	length := last.Time - first.Time
	fit := num.Fit{Count: n, Lower: []float64{0, first.Mass * 0.5, length / 50}, Upper: []float64{last.Mass, first.Mass * 1.5, length * 20},
		Residuals: func(r, p []float64) {
			for i, w := range log {
				r[i] = p[0] + (p[1]-p[0])*math.Exp(-(w.Time-first.Time)/p[2]) - w.Mass
			}
		}}
	res, err := fit.Solve([]float64{last.Mass * 0.98, first.Mass, length / 2})
	if err != nil || res.P[2] > 5*length {
		return 0, 0, false
	}
	return res.P[0], res.P[2], true
}

// daysLeft is when the fitted curve falls below DryRate a day, as a band of
// half to twice as long: the curve is a guess at weather to come.
func daysLeft(now, end, tau float64, fitted bool) Band {
	if !fitted || now <= end {
		return Band{math.NaN(), math.NaN(), math.NaN()}
	}
	loss := (now - end) * (1 - math.Exp(-day/tau)) / now
	d := math.Max(0, tau*math.Log(loss/DryRate)/day)
	return Band{d / 2, d, 2 * d}
}

// DryingDays scales drying days from one thickness to another at the same
// place and season: with the thickness where the wind over the face decides,
// with its square where the way out through the brick does.
func DryingDays(days, fromThickness, toThickness float64) Band {
	k := toThickness / fromThickness
	b := Band{Low: days * k, Best: days * math.Pow(k, 1.5), High: days * k * k}
	if b.Low > b.High {
		b.Low, b.High = b.High, b.Low
	}
	return b
}
