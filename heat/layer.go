package heat

import "sort"

// Conductivity is a thermal conductivity in W/(m K) as points [K, W/(m K)] in
// order of temperature, linear between them and constant outside.
type Conductivity [][2]float64

// ConstantConductivity is a conductivity that does not change with temperature.
func ConstantConductivity(k float64) Conductivity { return Conductivity{{0, k}} }

// At is the conductivity at a temperature in K.
func (c Conductivity) At(t float64) float64 {
	if len(c) == 1 {
		return c[0][1]
	}
	i := sort.Search(len(c), func(i int) bool { return c[i][0] >= t })
	switch {
	case i == 0:
		return c[0][1]
	case i == len(c):
		return c[len(c)-1][1]
	}
	a, b := c[i-1], c[i]
	return a[1] + (b[1]-a[1])*(t-a[0])/(b[0]-a[0])
}

// Solid is what a wall is made of.
type Solid struct {
	Conductivity Conductivity // W/(m K)
	Density      float64      // kg/m³
	Heat         float64      // J/(kg K)
}

func (s Solid) valid() bool {
	ok := len(s.Conductivity) > 0 && s.Density > 0 && s.Heat > 0
	for _, p := range s.Conductivity {
		ok = ok && p[1] > 0
	}
	return ok
}

// Layer is one layer of a wall, listed from the fire outwards.
type Layer struct {
	Thickness float64 // m
	Solid
	Contact float64 // resistance of the joint on its inner side, m² K/W
	Cells   int     // cells across; 0 for the default of the wall, 1 for sheet metal
}
