package mixture

import "math"

// Lattice is the {q, m} simplex lattice: every mixture of q ingredients whose
// shares are multiples of 1/m, C(q+m−1, m) of them (nistmixture 5.5.4.2).
func Lattice(q, m int) []Point {
	var list []Point
	counts := make([]int, q)
	var fill func(i, left int)
	fill = func(i, left int) {
		if i == q-1 {
			counts[i] = left
			p := make(Point, q)
			for k, c := range counts {
				p[k] = float64(c) / float64(m)
			}
			list = append(list, p)
			return
		}
		for c := left; c >= 0; c-- {
			counts[i] = c
			fill(i+1, left-c)
		}
	}
	if q > 0 && m > 0 {
		fill(0, m)
	}
	return list
}

// Centroid is the simplex-centroid design: each of the 2^q−1 subsets of
// ingredients in equal shares, pure ones first (nistmixture 5.5.4.3).
func Centroid(q int) []Point {
	var list []Point
	for size := 1; size <= q; size++ {
		for set := 1; set < 1<<q; set++ {
			n := 0
			for i := 0; i < q; i++ {
				n += set >> i & 1
			}
			if n != size {
				continue
			}
			p := make(Point, q)
			for i := range p {
				if set>>i&1 == 1 {
					p[i] = 1 / float64(n)
				}
			}
			list = append(list, p)
		}
	}
	return list
}

// Axial adds the points half way between the centroid and each pure
// ingredient: (q+1)/(2q) of one, 1/(2q) of each other.
func Axial(q int) []Point {
	list := make([]Point, q)
	for i := range list {
		p := make(Point, q)
		for k := range p {
			p[k] = 1 / float64(2*q)
		}
		p[i] = float64(q+1) / float64(2*q)
		list[i] = p
	}
	return list
}

// CentralComposite is the rotatable central composite design of k coded
// process variables: the 2^k corners at ±1, 2k axial points at ±(2^k)^¼, and
// centres.
func CentralComposite(k, centres int) [][]float64 {
	alpha := math.Pow(2, float64(k)/4)
	var list [][]float64
	for c := 0; c < 1<<k; c++ {
		z := make([]float64, k)
		for i := range z {
			z[i] = float64(2*(c>>i&1) - 1)
		}
		list = append(list, z)
	}
	for i := 0; i < k; i++ {
		for _, a := range []float64{-alpha, alpha} {
			z := make([]float64, k)
			z[i] = a
			list = append(list, z)
		}
	}
	for range centres {
		list = append(list, make([]float64, k))
	}
	return list
}

// Bounds are the least and largest shares of the ingredients.
type Bounds struct{ Low, High []float64 }

// Free are the bounds of q ingredients that may each be anything.
func Free(q int) Bounds {
	b := Bounds{make([]float64, q), make([]float64, q)}
	for i := range b.High {
		b.High[i] = 1
	}
	return b
}

// Tighten replaces bounds that the others make out of reach by those they
// imply (piepel1983): no share can be above 1 less the other least shares, nor
// below 1 less the other largest ones. It fails when no mixture is left.
func (b Bounds) Tighten() (Bounds, error) {
	q := len(b.Low)
	if q < 2 || len(b.High) != q {
		return Bounds{}, ErrDimension
	}
	low, high := 0.0, 0.0
	for i := range b.Low {
		if !(b.Low[i] >= 0 && b.High[i] <= 1 && b.Low[i] <= b.High[i]) {
			return Bounds{}, ErrBounds
		}
		low += b.Low[i]
		high += b.High[i]
	}
	if low > 1+sameTolerance || high < 1-sameTolerance {
		return Bounds{}, ErrBounds
	}
	t := Bounds{make([]float64, q), make([]float64, q)}
	for i := range b.Low {
		t.Low[i] = math.Max(b.Low[i], 1-(high-b.High[i]))
		t.High[i] = math.Min(b.High[i], 1-(low-b.Low[i]))
	}
	return t, nil
}

// Contains reports whether a mixture lies within the bounds.
func (b Bounds) Contains(p Point) bool {
	sum := 0.0
	for i, v := range p {
		if v < b.Low[i]-sameTolerance || v > b.High[i]+sameTolerance {
			return false
		}
		sum += v
	}
	return math.Abs(sum-1) < sameTolerance
}

// Pseudo turns shares into L-pseudocomponents, (x−L)/(1−ΣL), in which the least
// shares become zero.
func (b Bounds) Pseudo(p Point) Point {
	free := 1.0
	for _, l := range b.Low {
		free -= l
	}
	out := make(Point, len(p))
	for i, v := range p {
		out[i] = (v - b.Low[i]) / free
	}
	return out
}

// Real turns L-pseudocomponents into shares.
func (b Bounds) Real(p Point) Point {
	free := 1.0
	for _, l := range b.Low {
		free -= l
	}
	out := make(Point, len(p))
	for i, v := range p {
		out[i] = b.Low[i] + v*free
	}
	return out
}

// Vertices lists the corners of the bounded region (mclean1966): each
// combination of bounds for all ingredients but one, whose share is the rest.
func (b Bounds) Vertices() ([]Point, error) {
	t, err := b.Tighten()
	if err != nil {
		return nil, err
	}
	q := len(t.Low)
	var list []Point
	for rest := 0; rest < q; rest++ {
		for set := 0; set < 1<<(q-1); set++ {
			p := make(Point, q)
			left, k := 1.0, 0
			for i := range p {
				if i == rest {
					continue
				}
				p[i] = t.Low[i]
				if set>>k&1 == 1 {
					p[i] = t.High[i]
				}
				left -= p[i]
				k++
			}
			p[rest] = left
			if t.Contains(p) {
				list = append(list, p)
			}
		}
	}
	return unique(list), nil
}

// Candidates lists what an exchange may choose from: the vertices, the middles
// of the edges between them, the points half way from the centre to each
// vertex, and the centre.
func (b Bounds) Candidates() ([]Point, error) {
	vertices, err := b.Vertices()
	if err != nil {
		return nil, err
	}
	t, err := b.Tighten()
	if err != nil {
		return nil, err
	}
	list := append([]Point(nil), vertices...)
	for i, v := range vertices {
		for _, w := range vertices[:i] {
			if t.adjacent(v, w) {
				list = append(list, mean([]Point{v, w}))
			}
		}
	}
	centre := mean(vertices)
	for _, v := range vertices {
		list = append(list, mean([]Point{v, centre}))
	}
	return unique(append(list, centre)), nil
}

// adjacent reports whether two vertices share an edge: all ingredients but two
// stand at the same bound in both.
func (b Bounds) adjacent(v, w Point) bool {
	differ := 0
	for i := range v {
		bound := math.Abs(v[i]-b.Low[i]) < sameTolerance || math.Abs(v[i]-b.High[i]) < sameTolerance
		if math.Abs(v[i]-w[i]) > sameTolerance || !bound {
			differ++
		}
	}
	return differ <= 2
}

// Ternary places a mixture of three in a triangle of side one: the first
// ingredient at the lower left, the second at the lower right, the third on top.
func Ternary(p Point) (x, y float64) {
	return p[1] + p[2]/2, p[2] * math.Sqrt(3) / 2
}
