package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
)

// Case is hot gas leaving the riser, turning under the pot and rising around it,
// steady and laminar, as an axisymmetric wedge. Pot walls are at one
// temperature; riser, plate and outer walls let no heat pass; nothing radiates.
// The gas is 79 % N2 and 21 % O2 by NASA polynomials, with Sutherland viscosity
// and the solver's Eucken rule for conductivity.
type Case struct {
	Name       string
	Riser      float64 // m, radius
	Pot        float64 // m, radius
	Gap        float64 // m, under the pot, square to its surface
	Skirt      float64 // m, gap around the pot
	Height     float64 // m, of the skirt above the pot's edge
	Flow       float64 // kg/s, full circle
	Hot        float64 // K, gas in
	Curvature  float64 // m, radius of curvature of a round bottom; 0 for a flat one
	Sunk       float64 // m, of the pot's side within the body; 0 for none
	SunkGap    float64 // m, gap there
	Cold       float64 // K, pot walls
	Column     float64 // m, riser modelled below the throat
	Refinement float64 // 1 for the mesh of the rows, 0.5 for half the cells each way
	Iterations int
}

// complete fills in what a case leaves out.
func (c Case) complete() Case {
	fill := func(x *float64, v float64) {
		if *x == 0 {
			*x = v
		}
	}
	fill(&c.Cold, 383.15)
	fill(&c.Column, 0.10)
	fill(&c.Refinement, 1)
	if c.Iterations == 0 {
		c.Iterations = 3600
	}
	return c
}

// wedge is the angle of the wedge, rad.
const wedge = 5 * math.Pi / 180

// potZ is the height of the pot's surface above the throat at a radius up to its
// edge, and plateZ that of the plate below it.
func (c Case) potZ(r float64) float64 {
	if c.Curvature == 0 {
		return c.Gap
	}
	slope := math.Sqrt(c.Curvature*c.Curvature - c.Riser*c.Riser)
	atThroat := c.Gap * c.Curvature / slope
	return atThroat + slope - math.Sqrt(c.Curvature*c.Curvature-r*r)
}

func (c Case) plateZ(r float64) float64 {
	if c.Curvature == 0 || r <= c.Riser {
		return 0
	}
	r = math.Min(r, c.Pot)
	// a hemisphere ends upright; its plate is laid out to 80 degrees
	cosine := math.Max(math.Sqrt(1-r*r/(c.Curvature*c.Curvature)), math.Cos(80*math.Pi/180))
	return c.potZ(r) - c.Gap/cosine
}

// lattice is the grid of block corners, numbered i outwards and j upwards.
type lattice struct {
	c        Case
	radii    []float64
	cellsR   []int
	cellsZ   []int
	vertices []string
	index    map[[3]int]int
	blocks   []string
	edges    []string
	faces    map[string][]string
	front    []string
	back     []string
}

// height is the height of corner (i, j).
func (l *lattice) height(i, j int) float64 {
	c, r := l.c, math.Min(l.radii[i], l.c.Pot)
	switch j {
	case 0:
		return -c.Column
	case 1:
		return c.plateZ(r)
	case 2:
		return c.potZ(r)
	case 3:
		if c.Sunk > 0 {
			return c.potZ(c.Pot) + c.Sunk
		}
		return c.potZ(c.Pot) + c.Height
	}
	return c.potZ(c.Pot) + c.Sunk + c.Height
}

func (l *lattice) vertex(i, j, side int) int {
	if i == 0 {
		side = 0 // the axis belongs to both sides of the wedge
	}
	key := [3]int{i, j, side}
	if n, ok := l.index[key]; ok {
		return n
	}
	l.index[key] = len(l.vertices)
	l.vertices = append(l.vertices, place(l.radii[i], l.height(i, j), side))
	return l.index[key]
}

func place(r, z float64, side int) string {
	return fmt.Sprintf("(%.9g %.9g %.9g)", r*math.Cos(wedge/2), float64(side)*r*math.Sin(wedge/2), z)
}

func (l *lattice) block(i, j int, grading string) {
	v := l.vertex
	l.blocks = append(l.blocks, fmt.Sprintf("hex (%d %d %d %d %d %d %d %d) (%d 1 %d) simpleGrading (%s)",
		v(i, j, -1), v(i+1, j, -1), v(i+1, j, 1), v(i, j, 1), v(i, j+1, -1), v(i+1, j+1, -1), v(i+1, j+1, 1), v(i, j+1, 1),
		l.cellsR[i], l.cellsZ[j], grading))
	for k, side := range []int{-1, 1} {
		f := fmt.Sprintf("(%d %d %d %d)", v(i, j, side), v(i+1, j, side), v(i+1, j+1, side), v(i, j+1, side))
		if k == 0 {
			l.front = append(l.front, f)
		} else {
			l.back = append(l.back, f)
		}
	}
}

// wall notes the face between corners (i1, j1) and (i2, j2) as part of a patch.
func (l *lattice) wall(patch string, i1, j1, i2, j2 int) {
	l.faces[patch] = append(l.faces[patch], fmt.Sprintf("(%d %d %d %d)", l.vertex(i1, j1, -1), l.vertex(i2, j2, -1), l.vertex(i2, j2, 1), l.vertex(i1, j1, 1)))
}

// curve bends the edge from (i, j) to (i+1, j) along a profile.
func (l *lattice) curve(i, j int, profile func(r float64) float64) {
	const points = 24
	for _, side := range []int{-1, 1} {
		var list []string
		for k := 1; k < points; k++ {
			r := l.radii[i] + (l.radii[i+1]-l.radii[i])*float64(k)/points
			list = append(list, place(r, profile(r), side))
		}
		l.edges = append(l.edges, fmt.Sprintf("polyLine %d %d (%s)", l.vertex(i, j, side), l.vertex(i+1, j, side), strings.Join(list, " ")))
	}
}

const (
	bothEnds = "((0.5 0.5 4)(0.5 0.5 0.25))" // cells crowd at both walls of a gap
	outerEnd = "((0.5 0.5 1)(0.5 0.5 0.3))"
)

// mesh lays the blocks out: riser, centre, ring, corner and side, and with a
// sunken pot a second piece of side whose gap may differ.
func (c Case) mesh() *lattice {
	n := func(x float64) int { return max(2, int(math.Round(x*c.Refinement))) }
	lower := c.Skirt
	if c.Sunk > 0 {
		lower = c.SunkGap
	}
	l := &lattice{c: c, index: make(map[[3]int]int), faces: make(map[string][]string),
		radii: []float64{0, c.Riser, c.Pot, c.Pot + math.Min(lower, c.Skirt)}, cellsR: []int{n(44), n(60), n(24)}, cellsZ: []int{n(60), n(30), n(110)}}
	stepped := c.Sunk > 0 && math.Abs(c.Skirt-lower) > 1e-6
	if stepped {
		l.radii = append(l.radii, c.Pot+math.Max(lower, c.Skirt))
		l.cellsR = append(l.cellsR, n(16))
	}
	if c.Sunk > 0 {
		share := c.Sunk / (c.Sunk + c.Height)
		l.cellsZ = []int{n(60), n(30), n(math.Max(20, 110*share)), n(math.Max(20, 110*(1-share)))}
	}
	l.block(0, 0, outerEnd+" 1 0.25")
	l.block(0, 1, outerEnd+" 1 "+bothEnds)
	l.block(1, 1, bothEnds+" 1 "+bothEnds)
	l.wall("inlet", 0, 0, 1, 0)
	l.wall("riserWall", 1, 0, 1, 1)
	l.wall("plate", 1, 1, 2, 1)
	l.wall("potCentre", 0, 2, 1, 2)
	l.wall("potRing", 1, 2, 2, 2)
	l.side(stepped, lower)
	if c.Curvature > 0 {
		l.curve(0, 2, c.potZ)
		l.curve(1, 2, c.potZ)
		l.curve(1, 1, c.plateZ)
	}
	return l
}

// side lays out the corner and the annulus. Column 2 is the narrower gap; with a
// step, column 3 widens the lower or the upper piece.
func (l *lattice) side(stepped bool, lower float64) {
	c := l.c
	top := 3
	if c.Sunk > 0 {
		top = 4
	}
	wideBelow := stepped && lower > c.Skirt
	outer := func(j int) int { // outermost corner of the row of blocks j
		if stepped && ((j < 3) == wideBelow) {
			return 4
		}
		return 3
	}
	for j := 1; j < top; j++ {
		grading := bothEnds
		if j > 1 {
			grading = "1"
			if j == 2 {
				grading = "4"
			}
		}
		for i := 2; i < outer(j); i++ {
			l.block(i, j, bothEnds+" 1 "+grading)
		}
		l.wall("skirt", outer(j), j, outer(j), j+1)
		if j > 1 {
			l.wall("potSide", 2, j, 2, j+1)
		}
	}
	for i := 2; i < outer(1); i++ {
		l.wall("plate", i, 1, i+1, 1)
	}
	for i := 2; i < outer(top-1); i++ {
		l.wall("outlet", i, top, i+1, top)
	}
	if stepped { // the ledge where the gap changes
		l.wall("skirt", 3, 3, 4, 3)
	}
}

// Write lays a case out in a folder for blockMesh and buoyantSimpleFoam.
func (c Case) Write(dir string) error {
	c = c.complete()
	files := c.fields()
	files["system/blockMeshDict"] = c.mesh().dictionary()
	files["system/controlDict"] = c.control()
	files["system/fvSchemes"] = header("fvSchemes") + schemes
	files["system/fvSolution"] = header("fvSolution") + solution
	files["constant/g"] = "FoamFile{version 2.0;format ascii;class uniformDimensionedVectorField;object g;}\ndimensions [0 1 -2 0 0 0 0];value (0 0 -9.80665);\n"
	files["constant/turbulenceProperties"] = header("turbulenceProperties") + "simulationType laminar;\n"
	files["constant/thermophysicalProperties"] = header("thermophysicalProperties") + thermo()
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			return err
		}
	}
	return nil
}

func header(object string) string {
	return "FoamFile{version 2.0;format ascii;class dictionary;object " + object + ";}\n"
}

// walls are the patches of solid wall; those of the pot come first.
var walls = []string{"potCentre", "potRing", "potSide", "riserWall", "plate", "skirt"}

func (l *lattice) dictionary() string {
	var b strings.Builder
	b.WriteString(header("blockMeshDict") + "scale 1;\nvertices\n(\n" + strings.Join(l.vertices, "\n") + "\n);\nblocks\n(\n" + strings.Join(l.blocks, "\n") +
		"\n);\nedges\n(\n" + strings.Join(l.edges, "\n") + "\n);\nboundary\n(\n")
	patch := func(name, kind string, faces []string) {
		fmt.Fprintf(&b, "%s{type %s;faces (%s);}\n", name, kind, strings.Join(faces, ""))
	}
	patch("inlet", "patch", l.faces["inlet"])
	patch("outlet", "patch", l.faces["outlet"])
	for _, w := range walls {
		patch(w, "wall", l.faces[w])
	}
	patch("front", "wedge", l.front)
	patch("back", "wedge", l.back)
	b.WriteString(");\nmergePatchPairs ();\n")
	return b.String()
}

func (c Case) control() string {
	probe := func(name, patch, field, operation, extra string) string {
		return fmt.Sprintf("%s{type surfaceFieldValue;libs (fieldFunctionObjects);fields (%s);operation %s;%sregionType patch;name %s;writeFields false;writeControl timeStep;writeInterval 100;}\n",
			name, field, operation, extra, patch)
	}
	return header("controlDict") + fmt.Sprintf("application buoyantSimpleFoam;startFrom startTime;startTime 0;stopAt endTime;endTime %d;deltaT 1;writeControl timeStep;writeInterval %d;purgeWrite 1;writeFormat ascii;writePrecision 8;runTimeModifiable true;\n",
		c.Iterations, c.Iterations) +
		"functions{\nq{type wallHeatFlux;libs (fieldFunctionObjects);patches (potCentre potRing potSide);writeControl timeStep;writeInterval 100;log yes;}\n" +
		probe("pIn", "inlet", "p", "average", "") + probe("pOut", "outlet", "p", "average", "") +
		probe("tOut", "outlet", "T", "weightedAverage", "weightField phi;") + "}\n"
}

const schemes = `ddtSchemes{default steadyState;}
gradSchemes{default Gauss linear;}
divSchemes{default none;div(phi,U) bounded Gauss linearUpwind grad(U);div(phi,h) bounded Gauss linearUpwind grad(h);div(phi,K) bounded Gauss linear;div(((rho*nuEff)*dev2(T(grad(U))))) Gauss linear;}
laplacianSchemes{default Gauss linear corrected;}
interpolationSchemes{default linear;}
snGradSchemes{default corrected;}
`

const solution = `solvers{p_rgh{solver PCG;preconditioner DIC;tolerance 1e-9;relTol 0.01;}"(U|h)"{solver PBiCGStab;preconditioner DILU;tolerance 1e-9;relTol 0.05;}}
SIMPLE{momentumPredictor yes;nNonOrthogonalCorrectors 0;pRefCell 0;pRefValue 101325;residualControl{p_rgh 1e-6;U 1e-6;h 1e-6;}}
relaxationFactors{fields{rho 1.0;p_rgh 0.6;}equations{U 0.3;h 0.5;}}
`
