package mixture

// Line is one piece of a contour, in the triangle of [Ternary].
type Line struct {
	Level          float64
	X1, Y1, X2, Y2 float64
}

// Contours draws the lines of equal value of a function over all mixtures of
// three, on a lattice of the given number of steps along a side: in each small
// triangle the function is taken as a plane.
func Contours(f func(Point) float64, levels []float64, steps int) []Line {
	type node struct {
		p Point
		v float64
	}
	nodes := make([][]node, steps+1)
	for i := range nodes {
		nodes[i] = make([]node, steps+1-i)
		for j := range nodes[i] {
			p := Point{float64(steps-i-j) / float64(steps), float64(i) / float64(steps), float64(j) / float64(steps)}
			nodes[i][j] = node{p, f(p)}
		}
	}
	var lines []Line
	piece := func(a, b, c node) {
		for _, level := range levels {
			if l, ok := crossing([3]Point{a.p, b.p, c.p}, [3]float64{a.v, b.v, c.v}, level); ok {
				lines = append(lines, l)
			}
		}
	}
	for i := 0; i < steps; i++ {
		for j := 0; i+j < steps; j++ {
			piece(nodes[i][j], nodes[i+1][j], nodes[i][j+1])
			if i+j+1 < steps {
				piece(nodes[i+1][j], nodes[i][j+1], nodes[i+1][j+1])
			}
		}
	}
	return lines
}

// crossing is where a level cuts a triangle, if it does.
func crossing(p [3]Point, v [3]float64, level float64) (Line, bool) {
	var x, y []float64
	for k := range p {
		n := (k + 1) % 3
		if (v[k] < level) == (v[n] < level) {
			continue
		}
		t := (level - v[k]) / (v[n] - v[k])
		x0, y0 := Ternary(p[k])
		x1, y1 := Ternary(p[n])
		x, y = append(x, x0+t*(x1-x0)), append(y, y0+t*(y1-y0))
	}
	if len(x) != 2 {
		return Line{}, false
	}
	return Line{level, x[0], y[0], x[1], y[1]}, true
}
