package num

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"math/bits"
)

//go:embed sobol.json
var sobolFile []byte

var sobolRows = func() [][]uint32 {
	var table struct {
		Description string     `json:"description"`
		Source      string     `json:"source"`
		Rows        [][]uint32 `json:"rows"`
	}
	if err := json.Unmarshal(sobolFile, &table); err != nil {
		panic(fmt.Sprintf("num: embedded Sobol table: %v", err)) // part of the program, tested
	}
	return table.Rows
}()

// MaxSobolDimensions is the largest dimension that [NewSobol] serves.
var MaxSobolDimensions = len(sobolRows)

// Sobol is a low-discrepancy sequence in the unit cube with the direction
// numbers of Joe and Kuo (key joe2008sobol). Points are addressed by index, so
// that workers may take them in any order. The zero seed gives the plain
// sequence, whose first point is the origin; any other seed shifts it digitally,
// which keeps its evenness.
type Sobol struct {
	direction [][32]uint32
	shift     []uint32
}

// NewSobol makes a sequence of the given dimension, 1 to [MaxSobolDimensions].
func NewSobol(dimensions int, seed uint64) (*Sobol, error) {
	if dimensions < 1 || dimensions > MaxSobolDimensions {
		return nil, fmt.Errorf("num: Sobol sequence of %d dimensions; 1 to %d can be had", dimensions, MaxSobolDimensions)
	}
	s := &Sobol{direction: make([][32]uint32, dimensions), shift: make([]uint32, dimensions)}
	for d := range s.direction {
		s.direction[d] = directions(sobolRows[d])
		if seed != 0 {
			s.shift[d] = uint32(splitMix(&seed) >> 32)
		}
	}
	return s, nil
}

// directions extends the initial numbers of a row to 32 by the recurrence of
// its polynomial: m[k] = 2 a1 m[k-1] ^ … ^ 2^s m[k-s] ^ m[k-s], with v = m / 2^k.
func directions(row []uint32) (v [32]uint32) {
	poly, m := row[0], row[1:]
	degree := bits.Len32(poly) - 1
	for k := range v {
		switch {
		case degree == 0:
			v[k] = 1 << (31 - k) // van der Corput
		case k < degree:
			v[k] = m[k] << (31 - k)
		default:
			v[k] = v[k-degree] ^ v[k-degree]>>degree
			for j := 1; j < degree; j++ {
				if poly>>(degree-j)&1 == 1 {
					v[k] ^= v[k-j]
				}
			}
		}
	}
	return v
}

// At fills x with the point of the given index, each coordinate in [0, 1).
// Points 0 to 2^k-1 together form a net.
func (s *Sobol) At(index uint32, x []float64) {
	gray := index ^ index>>1
	for d := range x {
		u := s.shift[d]
		for g, k := gray, 0; g != 0; g, k = g>>1, k+1 {
			if g&1 == 1 {
				u ^= s.direction[d][k]
			}
		}
		x[d] = float64(u) / (1 << 32)
	}
}

// splitMix is the SplitMix64 generator of Steele, Lea and Flood (key
// steele2014splitmix): good enough to seed a shift and the same everywhere.
func splitMix(state *uint64) uint64 {
	*state += 0x9e3779b97f4a7c15
	z := *state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}
