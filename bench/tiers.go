package bench

import (
	"fmt"
	"math"

	"stovewright/message"
	"stovewright/stats"
)

// Indicator is one row of a scale of tiers.
type Indicator struct {
	Key    string     `yaml:"key"`
	Group  string     `yaml:"group"` // indicators of IWA 11 are the lowest of their group
	Unit   string     `yaml:"unit"`
	Higher bool       `yaml:"higher"` // more is better
	Limits []*float64 `yaml:"limits"` // of tier 1 and up, in Unit; nil where not found
}

// Scale is one document's tiers.
type Scale struct {
	Key        string      `yaml:"key"`
	Source     string      `yaml:"source"`
	Standing   string      `yaml:"standing"`
	Note       string      `yaml:"note"`
	Indicators []Indicator `yaml:"indicators"`
}

// Scales are the published tiers, as data.
var Scales = load[struct {
	Description string  `yaml:"description"`
	Scales      []Scale `yaml:"scales"`
}]("tiers.yaml").Scales

// ScaleOf finds a scale by its key.
func ScaleOf(key string) (Scale, bool) {
	for _, s := range Scales {
		if s.Key == key {
			return s, true
		}
	}
	return Scale{}, false
}

// Indicator finds a row of the scale.
func (s Scale) Indicator(key string) (Indicator, bool) {
	for _, i := range s.Indicators {
		if i.Key == key {
			return i, true
		}
	}
	return Indicator{}, false
}

// Tier is a tier, or the span left open where a boundary was not found.
type Tier struct {
	Low, High int
	OnLimit   bool // exactly on a boundary that the source prints ambiguously
}

// Known reports whether the tier is one number.
func (t Tier) Known() bool { return t.Low == t.High }

// Of gives the tier of a value in SI. A value on a boundary passes; NaN is
// tier 0.
func (i Indicator) Of(si float64) Tier {
	number := units[i.Unit].Number(si)
	slack := 1e-9 * math.Max(1, math.Abs(number))
	t := Tier{}
	for k, limit := range i.Limits {
		if limit == nil {
			continue
		}
		passes := number <= *limit+slack
		if i.Higher {
			passes = number >= *limit-slack
		}
		if passes {
			t.Low = k + 1
			t.OnLimit = i.Key == "durability" && math.Abs(number-*limit) <= slack
		}
	}
	t.High = t.Low
	for k := t.Low; k < len(i.Limits) && i.Limits[k] == nil && !math.IsNaN(number); k++ {
		t.High = k + 1
	}
	return t
}

// TierReport is what replicate tests give on one indicator: the tier of the
// mean, and the tiers of the unfavourable end of the interval.
type TierReport struct {
	Indicator    Indicator
	Scale        string
	Summary      stats.Summary
	Interval     stats.Interval // two-sided
	OneSided     float64        // unfavourable bound at the same level, one-sided
	Point        Tier
	Conservative Tier // of the unfavourable end of the two-sided interval
	OneSidedTier Tier
	Alarms       []Alarm
}

// sequenceLevel is the level that ISO 19867-1 reports its intervals at, and
// sequenceReplicates the fewest tests it asks for.
const (
	sequenceLevel      = 0.90
	sequenceReplicates = 5
)

// report maps replicate values to tiers. Only results of the ISO sequence and
// of the scored sheets get here; a boiling test never does.
func (i Indicator) report(scale string, values []float64) (TierReport, error) {
	s, err := stats.Describe(values)
	if err != nil {
		return TierReport{}, fmt.Errorf("bench: tier of %s: %w", i.Key, err)
	}
	r := TierReport{Indicator: i, Scale: scale, Summary: s, Point: i.Of(s.Mean)}
	if s.N < sequenceReplicates {
		r.Alarms = append(r.Alarms, Alarm{Key: "few-replicates", Severity: Suspect, Standing: "published, value from memory", Source: "iso19867part1",
			Text: message.T("bench.tier.few-replicates", "n", s.N)})
	}
	if s.N < 2 {
		r.Conservative, r.OneSidedTier = Tier{0, r.Point.High, false}, Tier{0, r.Point.High, false}
		return r, nil
	}
	t, err := stats.OneSample(values, 0)
	if err != nil {
		return TierReport{}, fmt.Errorf("bench: tier of %s: %w", i.Key, err)
	}
	r.Interval = t.Interval(sequenceLevel)
	oneSided := stats.TQuantile(sequenceLevel, t.DF) * t.SE
	if i.Higher {
		r.Conservative, r.OneSided = i.Of(r.Interval.Low), s.Mean-oneSided
	} else {
		r.Conservative, r.OneSided = i.Of(r.Interval.High), s.Mean+oneSided
	}
	r.OneSidedTier = i.Of(r.OneSided)
	if r.Conservative.Low < r.Point.Low {
		r.Alarms = append(r.Alarms, Alarm{Key: "tier-not-sure", Severity: Note, Standing: "common practice",
			Text: message.T("bench.tier.not-sure", "point", r.Point.Low, "sure", r.Conservative.Low)})
	}
	return r, nil
}

// GroupTier is an indicator of IWA 11: the lowest of its sub-metrics.
type GroupTier struct {
	Group string
	Tier  Tier
	Parts map[string]Tier
}

// IWATiers reads a boiling test 4.2 against the withdrawn IWA 11:2012, for
// setting it beside older publications. It is not a tier of ISO 19867 and must
// not be called one; Words say so. further holds emission results in SI by
// indicator key (EmissionOfBoiling gives them) and the safety points.
func IWATiers(r BoilingResult, further map[string]float64) (tiers []GroupTier, words message.Text, err error) {
	if r.Version != Version42 {
		return nil, message.Text{}, fmt.Errorf("bench: IWA 11 was mapped to version 4.2 of the boiling test, not to %s", r.Version)
	}
	scale, _ := ScaleOf("iwa-11-2012")
	values := map[string]float64{"high-power-efficiency": r.HighPowerEfficiency, "low-power-use": r.LowPowerUse}
	for key, v := range further {
		if _, known := scale.Indicator(key); !known {
			return nil, message.Text{}, fmt.Errorf("bench: IWA 11 has no indicator %q", key)
		}
		values[key] = v
	}
	for _, i := range scale.Indicators {
		v, measured := values[i.Key]
		if !measured || math.IsNaN(v) {
			continue
		}
		if len(tiers) == 0 || tiers[len(tiers)-1].Group != i.Group {
			tiers = append(tiers, GroupTier{Group: i.Group, Tier: Tier{Low: len(i.Limits), High: len(i.Limits)}, Parts: map[string]Tier{}})
		}
		g := &tiers[len(tiers)-1]
		t := i.Of(v)
		g.Parts[i.Key] = t
		if t.Low < g.Tier.Low {
			g.Tier = t
		}
	}
	return tiers, message.T("bench.tier.iwa"), nil
}
