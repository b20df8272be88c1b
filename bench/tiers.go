package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"stovewright/message"
	"stovewright/quantity"
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

// Name says whose scale it is.
func (s Scale) Name() message.Text { return message.T("bench.scale." + s.Key) }

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

// Name is the indicator in words.
func (i Indicator) Name() message.Text { return message.T("bench.indicator." + i.Key) }

// Shown is a number of the indicator in the unit of its row.
func (i Indicator) Shown(si float64) quantity.Value {
	return quantity.Value{SI: si, Unit: units[i.Unit]}
}

// Read is a number of the indicator as documents write it, in the unit of its row:
// "35 %", "0.035 MJ/(min·L)" or the bare number. The error is a
// [*message.InputError] that names the indicator.
func (i Indicator) Read(text string) (si float64, err error) {
	u := units[i.Unit]
	bare := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), i.Unit))
	number, err := quantity.Parse(bare, quantity.Ratio, quantity.One)
	if err != nil || number < 0 {
		return 0, &message.InputError{Field: i.Key, Value: clip(text), Reason: message.T("bench.tier.number"), Try: i.Key + "=" + i.example()}
	}
	return u.SI(number), nil
}

// example is the boundary of the first tier, as it may be written.
func (i Indicator) example() string {
	return strings.TrimSpace(pencil(*i.Limits[0]) + i.Unit)
}

// GroupTier is an indicator of IWA 11: the lowest of its sub-metrics.
type GroupTier struct {
	Group string
	Tier  Tier
	Parts []PartTier // in the order of the document
}

// Name is the group in words.
func (g GroupTier) Name() message.Text {
	return message.T("bench.group." + strings.ReplaceAll(g.Group, " ", "-"))
}

// PartTier is one sub-metric as a publication has it, and where it falls.
type PartTier struct {
	Indicator Indicator
	Value     float64 // SI
	Tier      Tier
}

// oldScale is the scale that only older publications are read by.
const oldScale = "iwa-11-2012"

// ReadOlder says where the figures that an older publication prints fall on the
// scale of its time, the withdrawn IWA 11:2012. figures are texts by indicator. It is
// given nothing that was tested here: a boiling test of one's own is never called a
// tier. The error is a [message.InputErrors].
func ReadOlder(figures map[string]string) ([]GroupTier, error) {
	scale, _ := ScaleOf(oldScale)
	var wrong message.InputErrors
	for key, text := range figures {
		if _, known := scale.Indicator(key); !known {
			wrong = append(wrong, scale.unknown(key, text))
		}
	}
	var groups []GroupTier
	for _, i := range scale.Indicators {
		text, printed := figures[i.Key]
		if !printed {
			continue
		}
		si, err := i.Read(text)
		if list, bad := message.Complaints(err); bad {
			wrong = append(wrong, list...)
			continue
		}
		if len(groups) == 0 || groups[len(groups)-1].Group != i.Group {
			groups = append(groups, GroupTier{Group: i.Group, Tier: Tier{Low: len(i.Limits), High: len(i.Limits)}})
		}
		g, part := &groups[len(groups)-1], PartTier{i, si, i.Of(si)}
		g.Parts = append(g.Parts, part)
		if part.Tier.Low < g.Tier.Low {
			g.Tier = part.Tier
		}
	}
	return groups, wrong.OrNil()
}

// unknown complains of an indicator that the scale lacks; those of the standard in
// force are known, and come from its own sequence.
func (s Scale) unknown(key, text string) *message.InputError {
	names := make([]string, len(s.Indicators))
	for k, i := range s.Indicators {
		names[k] = i.Key
	}
	e := &message.InputError{Field: clip(key), Value: clip(text), Reason: message.T("bench.tier.no-indicator"), Allowed: message.T("form.allowed", "names", strings.Join(names, ", ")), Try: "high-power-efficiency=35%"}
	if iso, _ := ScaleOf("iso-default"); slices.ContainsFunc(iso.Indicators, func(i Indicator) bool { return i.Key == key }) {
		e.Reason, e.Try = message.T("bench.tier.only-sequence"), "stovewright compare FOLDER"
	} else if near := message.Nearest(key, names); near != "" {
		e.Try = near + "=" + strings.TrimSpace(text)
	}
	return e
}
