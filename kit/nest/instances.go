package nest

// This file holds published test problems. Pieces keep their direction unless
// turned says otherwise.

// unit is what one unit of the problems is taken for, in metres.
const unit = 0.1

// instance is one test problem.
type instance struct {
	width, height float64
	pieces        []piece
}

// piece is one kind: size, how many, value; value zero is the area.
type piece struct {
	w, h  float64
	n     int
	value float64
}

// The three problems of Christofides and Whitlock are known as cgcut; these
// are the first two (christofides1977algorithm, data as in public collections).
var cgcut1 = instance{15, 10, []piece{
	{8, 4, 2, 66}, {3, 7, 1, 35}, {8, 2, 3, 24}, {3, 4, 5, 17}, {3, 3, 2, 11}, {3, 2, 2, 8}, {2, 1, 1, 2}}}

var cgcut2 = instance{40, 70, []piece{
	{21, 22, 1, 582}, {31, 13, 1, 403}, {9, 35, 3, 315}, {9, 24, 3, 216}, {30, 7, 2, 210},
	{11, 13, 3, 143}, {10, 14, 1, 140}, {14, 8, 3, 110}, {12, 8, 3, 94}, {13, 7, 3, 90}}}

// The pair of Oliveira and Ferreira (oliveira1990improved, data as in public
// collections); values are areas.
var of1 = instance{70, 40, []piece{
	{29, 5, 1, 0}, {9, 39, 4, 0}, {55, 9, 1, 0}, {31, 15, 1, 0}, {11, 16, 2, 0},
	{23, 21, 3, 0}, {29, 14, 4, 0}, {16, 19, 3, 0}, {9, 36, 2, 0}, {22, 4, 2, 0}}}

var of2 = instance{70, 40, []piece{
	{22, 18, 2, 0}, {40, 10, 1, 0}, {13, 27, 3, 0}, {23, 18, 2, 0}, {29, 8, 4, 0},
	{16, 4, 1, 0}, {47, 9, 1, 0}, {19, 19, 4, 0}, {13, 16, 2, 0}, {36, 16, 4, 0}}}

// Beasley's gcut problems 1, 2 and 5, without limits on the counts
// (beasley1985algorithms, data as in public collections); values are areas.
var gcut1 = instance{250, 250, []piece{
	{167, 184, 0, 0}, {114, 118, 0, 0}, {167, 152, 0, 0}, {83, 140, 0, 0}, {70, 86, 0, 0},
	{143, 166, 0, 0}, {120, 160, 0, 0}, {66, 148, 0, 0}, {87, 141, 0, 0}, {69, 165, 0, 0}}}

var gcut2 = instance{250, 250, []piece{
	{120, 133, 0, 0}, {135, 186, 0, 0}, {86, 75, 0, 0}, {103, 73, 0, 0}, {66, 85, 0, 0},
	{135, 97, 0, 0}, {91, 175, 0, 0}, {131, 176, 0, 0}, {71, 176, 0, 0}, {153, 72, 0, 0},
	{87, 148, 0, 0}, {168, 107, 0, 0}, {118, 90, 0, 0}, {140, 109, 0, 0}, {132, 159, 0, 0},
	{152, 93, 0, 0}, {135, 68, 0, 0}, {121, 158, 0, 0}, {68, 94, 0, 0}, {155, 76, 0, 0}}}

var gcut5 = instance{500, 500, []piece{
	{198, 205, 0, 0}, {179, 155, 0, 0}, {364, 236, 0, 0}, {272, 147, 0, 0}, {352, 145, 0, 0},
	{343, 245, 0, 0}, {132, 174, 0, 0}, {164, 250, 0, 0}, {282, 356, 0, 0}, {342, 151, 0, 0}}}

// Hopper and Turton's strips C1P1, C1P3 and C2P1, made by cutting a rectangle
// up; pieces may be turned (hopper2001empirical). Height is the optimum.
var stripC1P1 = instance{20, 20, []piece{
	{12, 2, 1, 0}, {12, 7, 1, 0}, {6, 8, 1, 0}, {6, 3, 1, 0}, {5, 3, 1, 0}, {5, 5, 1, 0}, {12, 3, 1, 0}, {7, 3, 1, 0},
	{7, 5, 1, 0}, {6, 2, 1, 0}, {2, 3, 1, 0}, {2, 4, 1, 0}, {4, 3, 1, 0}, {4, 4, 1, 0}, {2, 9, 1, 0}, {2, 11, 1, 0}}}

var stripC1P3 = instance{20, 20, []piece{
	{14, 4, 1, 0}, {2, 5, 1, 0}, {2, 2, 1, 0}, {7, 9, 1, 0}, {5, 5, 1, 0}, {5, 2, 1, 0}, {7, 7, 1, 0}, {5, 3, 1, 0},
	{5, 6, 1, 0}, {2, 3, 1, 0}, {2, 6, 1, 0}, {6, 4, 1, 0}, {3, 6, 1, 0}, {3, 10, 1, 0}, {3, 6, 1, 0}, {3, 10, 1, 0}}}

var stripC2P1 = instance{40, 15, []piece{
	{3, 11, 1, 0}, {3, 13, 1, 0}, {2, 9, 1, 0}, {2, 7, 1, 0}, {3, 9, 1, 0}, {3, 7, 1, 0}, {2, 11, 1, 0}, {2, 13, 1, 0},
	{4, 11, 1, 0}, {4, 13, 1, 0}, {5, 3, 1, 0}, {2, 11, 1, 0}, {2, 2, 1, 0}, {3, 11, 1, 0}, {3, 2, 1, 0}, {4, 5, 1, 0},
	{4, 6, 1, 0}, {2, 12, 1, 0}, {2, 1, 1, 0}, {5, 3, 1, 0}, {5, 13, 1, 0}, {4, 12, 1, 0}, {4, 1, 1, 0}, {2, 5, 1, 0},
	{2, 6, 1, 0}}}

// sheet is the stock of a problem, with a grain along its width.
func (in instance) sheet() Stock {
	return Stock{Width: in.width * unit, Height: in.height * unit, Count: 1, Grain: AlongWidth}
}

// parts are the pieces, each bound to the grain, with values in the problem's
// own units.
func (in instance) parts() []Part {
	var parts []Part
	for _, p := range in.pieces {
		n, v := p.n, p.value
		if n == 0 {
			n = Unlimited
		}
		if v == 0 {
			v = p.w * p.h
		}
		parts = append(parts, Part{Width: p.w * unit, Height: p.h * unit, Count: n, Value: v, Grain: AlongWidth})
	}
	return parts
}

// turned frees the pieces from the grain.
func turned(parts []Part) []Part {
	for i := range parts {
		parts[i].Grain = NoGrain
	}
	return parts
}

// unlimited forgets the counts.
func unlimited(parts []Part) []Part {
	for i := range parts {
		parts[i].Count = Unlimited
	}
	return parts
}
