package flat

// SeamKind is a way to close the edges of a sheet.
type SeamKind string

// The seams.
const (
	Grooved SeamKind = "grooved" // two hooked folds locked together
	Lap     SeamKind = "lap"     // one edge over the other, riveted
	Butt    SeamKind = "butt"    // edge to edge, welded
)

// Seam is a seam with what it takes of the sheet.
type Seam struct {
	Kind      SeamKind
	Fold      float64 // width of one fold of a grooved seam
	Allowance float64 // of sheet, both edges together
}

// GroovedSeam takes three folds of sheet, half of them at each edge; each edge
// is folded once, a fold's width from the edge (lock-seam notes of a smith,
// read; key spencerlockseam). In sheet above 0.76 mm add the thickness once or
// twice more for each fold (common practice).
func GroovedSeam(fold float64) Seam { return Seam{Grooved, fold, 3 * fold} }

// HemAllowance is the sheet for a single hem: its width (sheet-metal layout
// course, read; key steelworker).
func HemAllowance(width float64) float64 { return width }

// DoubleHemAllowance is the sheet for a double hem: twice its width
// (steelworker).
func DoubleHemAllowance(width float64) float64 { return 2 * width }

// WiredEdgeAllowance is the sheet for an edge rolled around a wire: two and a
// half times the wire (steelworker).
func WiredEdgeAllowance(wire float64) float64 { return 2.5 * wire }

// LapLeast is the least lap for a row of rivets: two rivet diameters from the
// middle of the rivet to each edge (common practice).
func LapLeast(rivet float64) float64 { return 4 * rivet }

// SeamFor is the seam that an allowance makes. Sheet that can be folded gets a
// grooved seam of a third of it, unless the folds would be narrower than
// leastFold; then, and in thicker sheet, it is a lap.
func SeamFor(allowance float64, foldable bool) Seam {
	switch {
	case allowance <= 0:
		return Seam{Kind: Butt}
	case foldable && allowance >= 3*leastFold:
		return GroovedSeam(allowance / 3)
	}
	return Seam{Kind: Lap, Allowance: allowance}
}

// leastFold is the narrowest fold that can be hooked by hand, mm (common
// practice).
const leastFold = 3.0
