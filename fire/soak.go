package fire

import (
	"math"

	"stovewright/heat"
	"stovewright/message"
	"stovewright/quantity"
)

// Edges of a body's section, for [Sector]: what the surfaces of its solid see.
const (
	EdgeChamber = iota // gas of the chamber
	EdgeAir            // room, beside the body
	EdgeTop            // room, over the top ring outside the skirt
	EdgeGround         // what the stove stands on, through its feet or base
	EdgeGap            // gas under the pot, at the mean of throat and pot's edge
	EdgeOpening        // fuel opening: air drawn in
	edgeCount
)

// Sector is a part of the body around the axis with one and the same section:
// the back with its denser brick, the sides, the front with the fuel opening.
// Heat across sectors is left out.
type Sector struct {
	Share float64 // of the full circle
	Plan  heat.Plan
}

// Films of edges that no gas solution knows (common practice), W/(m² K).
const (
	groundFilm  = 5.0
	openingFilm = 10.0
)

// Soak is the body's state over a boil run, by conduction in the sections.
type Soak struct {
	Seconds  float64
	Hottest  float64   // K, of the side of the body, at any time
	Mean     float64   // K, of the side at the end
	Top      float64   // K, of the top ring outside the skirt, its mean, at any time; nearer the skirt it is hotter
	Stored   float64   // J, held at the end above room temperature
	Lost     float64   // J, to the room
	BySector []float64 // K, hottest side of each sector
}

// Soak follows the heat of a boil run through the body: phases one after the
// other, as the test has them, with time steps of at most step seconds (0 for
// 60). The gas is that of the run, which knows only its one-dimensional wall.
func (m *Model) Soak(c Coefficients, run BoilRun, sectors []Sector, step float64) (Soak, error) {
	if step <= 0 {
		step = 60
	}
	out := Soak{BySector: make([]float64, len(sectors))}
	area := 0.0
	for i, sector := range sectors {
		body, err := heat.NewSection(sector.Plan, m.air.Temperature)
		if err != nil {
			return out, err
		}
		var edges []heat.Surround
		seconds := 0.0
		for _, phase := range []Phase{run.Cold, run.Hot, run.Simmer} {
			body.Restart()
			for _, piece := range phase.pieces(step) {
				edges = m.edges(c, piece)
				if err := body.Step(piece.Time, edges); err != nil {
					return out, err
				}
				seconds += piece.Time
				out.Lost += sector.Share * piece.Time * (body.Out(EdgeAir) + body.Out(EdgeTop))
				out.Top = math.Max(out.Top, meanOf(body.Surface(EdgeTop, edges)))
				for _, spot := range body.Surface(EdgeAir, edges) {
					out.BySector[i] = math.Max(out.BySector[i], spot.T)
				}
			}
		}
		out.Seconds = seconds
		out.Stored += sector.Share * body.Stored(m.air.Temperature)
		for _, spot := range body.Surface(EdgeAir, edges) {
			area += sector.Share * spot.Area
			out.Mean += sector.Share * spot.Area * spot.T
		}
		out.Hottest = math.Max(out.Hottest, out.BySector[i])
	}
	out.Mean /= area
	return out, nil
}

// meanOf is the mean temperature of a surface, 0 for none.
func meanOf(spots []heat.Spot) float64 {
	var sum, area float64
	for _, s := range spots {
		sum += s.Area * s.T
		area += s.Area
	}
	if area == 0 {
		return 0
	}
	return sum / area
}

// pieces gathers the samples of a phase into pieces of about step seconds, with
// mean gas temperatures; Time is the length of a piece.
func (p Phase) pieces(step float64) []Sample {
	var list []Sample
	last, sum := 0.0, Sample{}
	for i, s := range p.Samples {
		dt := s.Time - last
		last = s.Time
		sum.Time += dt
		sum.Gas += dt * s.Gas
		sum.ThroatT += dt * s.ThroatT
		sum.EdgeT += dt * s.EdgeT
		if sum.Time >= step-1e-9 || (i == len(p.Samples)-1 && sum.Time > 0) {
			list = append(list, Sample{Time: sum.Time, Gas: sum.Gas / sum.Time, ThroatT: sum.ThroatT / sum.Time, EdgeT: sum.EdgeT / sum.Time})
			sum = Sample{}
		}
	}
	return list
}

func (m *Model) edges(c Coefficients, s Sample) []heat.Surround {
	ta := m.air.Temperature
	height := math.Max(m.stove.Wall.BodyHeight, m.stove.Chamber.Height)
	edges := make([]heat.Surround, edgeCount)
	edges[EdgeChamber] = heat.Around(c[WallFilm], s.Gas)
	edges[EdgeAir] = func(surface float64) heat.Edge {
		return heat.Edge{H: heat.OuterVertical(surface, ta, height, m.stove.Wall.Emissivity, m.air.Pressure), T: ta}
	}
	edges[EdgeTop] = edges[EdgeAir]
	edges[EdgeGround] = heat.Around(groundFilm, ta)
	edges[EdgeGap] = heat.Around(c[WallFilm], (s.ThroatT+s.EdgeT)/2)
	edges[EdgeOpening] = heat.Around(openingFilm, ta)
	return edges
}

// SkinCautions say where a skin of the given kind of surface ("bare metal",
// "ceramic", …) at a temperature in K burns, and how fast: for the shortest of
// a touch of one second, ten seconds and a minute that it burns in.
func SkinCautions(kelvin float64, surface string) []message.Text {
	for _, seconds := range []float64{1, 10, 60} {
		if limit, ok := heat.BurnThreshold(surface, seconds); ok && kelvin > limit {
			return []message.Text{message.T("fire.caution.skin", "temperature", quantity.C(kelvin), "surface", message.T("fire.surface."+surfaceKey(surface)),
				"limit", quantity.C(limit), "seconds", quantity.Value{SI: seconds, Unit: quantity.Second, Step: 1})}
		}
	}
	return nil
}

func surfaceKey(surface string) string {
	if surface == "bare metal" {
		return "metal"
	}
	return surface
}
