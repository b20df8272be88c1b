package brick

import (
	"math"
	"slices"

	"stovewright/message"
	"stovewright/stats"
)

// QualityTest is one field test of a fired brick from data/quality.yaml.
type QualityTest struct {
	Key   string   `yaml:"key"`
	Limit float64  `yaml:"limit"` // of the reading, in Unit; 0 where the test is seen or heard
	Unit  string   `yaml:"unit"`
	Duty  []string `yaml:"duty"` // the bricks it is for; empty for all
}

// Method says how it is done and what passes.
func (q QualityTest) Method() message.Text { return message.T("brick.quality." + q.Key) }

var qualityTable = read[struct {
	Description string        `yaml:"description"`
	Standing    string        `yaml:"standing"`
	Note        string        `yaml:"note"`
	Tests       []QualityTest `yaml:"tests"`
}]("quality.yaml").Tests

// QualityTests lists the field tests for a duty, in the order in which they are
// best done: what breaks the brick comes last.
func QualityTests(duty Duty) []QualityTest {
	var list []QualityTest
	for _, q := range qualityTable {
		if len(q.Duty) == 0 || slices.Contains(q.Duty, string(duty)) {
			list = append(list, q)
		}
	}
	return list
}

// CorePasses holds the black core of a broken brick, as a share of its section,
// against its duty: none in a brick that faces the fire, a twentieth in the
// lining (common practice).
func CorePasses(share float64, duty Duty) bool {
	if duty == BackBrick {
		return share <= 0
	}
	return share <= 0.05
}

// Drop is one brick dropped flat on packed soil.
type Drop struct {
	Height float64 // m
	Broke  bool
}

// DropHeight is the height at which half the bricks of a body break, with a
// band of 5 to 95 %: breaking heights are taken as log-normal, the median as
// anything from 0.05 to 20 m and the spread of its logarithm near 0.4 to begin
// with. It needs no height at which all break, and widens the band instead.
// Every drop counts as a fresh brick. NaN without drops.
func DropHeight(drops []Drop) Band {
	if len(drops) == 0 {
		return Band{math.NaN(), math.NaN(), math.NaN()}
	}
	const low, high, steps = 0.05, 20.0, 240
	var heights, weights []float64
	var sum float64
	for i := 0; i <= steps; i++ {
		median := low * math.Pow(high/low, float64(i)/steps)
		var w float64
		for k := -8; k <= 8; k++ {
			t := 0.25 * float64(k) // in standard deviations of the prior of the spread
			spread := 0.4 * math.Exp(0.5*t)
			l := math.Exp(-t * t / 2)
			for _, d := range drops {
				p := stats.NormalCDF(math.Log(d.Height/median) / spread)
				if !d.Broke {
					p = 1 - p
				}
				l *= p
			}
			w += l
		}
		heights, weights = append(heights, median), append(weights, w)
		sum += w
	}
	at := func(p float64) float64 {
		var c float64
		for i, w := range weights {
			if c += w / sum; c >= p {
				return heights[i]
			}
		}
		return high
	}
	return Band{at(0.05), at(0.5), at(0.95)}
}
