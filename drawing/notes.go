package drawing

import (
	"cmp"
	"math"
	"slices"
)

// Note is a text beside a drawing with a leader to the thing it tells about.
type Note struct {
	Target Point  // of the view
	Text   string // wrapped to the column
	Number string // in a balloon before the text; may stand alone
	Arrow  bool   // the leader touches an edge, with an arrowhead; otherwise it ends in an area, with a dot
	Key    string // stable id; becomes data-key of the group
}

// Notes sets notes in a column left or right of a drawing, in the order of
// their targets, so that neither texts nor leaders run into each other.
type Notes struct {
	v     *View
	side  Side
	room  Rect
	style TextStyle
	notes []*placedNote
}

// placedNote is a note on its way: everything on the sheet.
type placedNote struct {
	Note
	target Point
	lines  []string
	height float64
	y      float64 // middle of the text
}

const (
	shelf         = 3.0 // level end of a leader, in the column
	balloonRadius = 3.2
	noteGap       = 2.0
	noteIndent    = 0.8 // from the shelf to the text
)

// Notes starts a column of notes in a rectangle of the paper; side says on
// which side of the drawing it lies (Left or Right).
func (v *View) Notes(side Side, room Rect) *Notes {
	return &Notes{v: v, side: side, room: room, style: TextStyle{Clear: true}}
}

// Add adds a note. Nothing is drawn before [Notes.Place].
func (n *Notes) Add(note Note) {
	if !note.Target.finite() {
		return
	}
	p := &placedNote{Note: note, target: n.v.ToSheet(note.Target)}
	if note.Text != "" {
		p.lines = Wrap(note.Text, n.textWidth(note), n.style)
	}
	p.height = n.style.height()*1.5 + n.style.pitch()*float64(max(0, len(p.lines)-1))
	if note.Number != "" {
		p.height = max(p.height, 2*balloonRadius)
	}
	n.notes = append(n.notes, p)
}

func (n *Notes) textWidth(note Note) float64 {
	w := n.room.W() - shelf - noteIndent
	if note.Number != "" {
		w -= 2 * balloonRadius
	}
	return max(w, 5)
}

// Place draws the notes. It reports whether they fit the column; if not they
// run on below it and [Sheet.OffSheet] tells when they leave the page.
func (n *Notes) Place() bool {
	if len(n.notes) == 0 {
		return true
	}
	slices.SortStableFunc(n.notes, func(a, b *placedNote) int { return cmp.Compare(b.target.Y, a.target.Y) })
	fits := n.near()
	if !n.clear() || n.crossing() != nil {
		fits = n.slots()
	}
	for _, p := range n.notes {
		n.draw(p)
	}
	return fits
}

// near puts every note as near to the height of its target as the others let
// it.
func (n *Notes) near() bool {
	k := len(n.notes)
	at, size := make([]float64, k), make([]float64, k)
	var total float64
	for i, p := range n.notes { // from the top down: spread works upwards
		at[i], size[i] = -p.target.Y, p.height+noteGap
		total += size[i]
	}
	for range k { // undo crossings one by one
		for i, y := range spread(at, size, -n.room.Max.Y, -n.room.Min.Y) {
			n.notes[i].y = -y
		}
		pair := n.crossing()
		if pair == nil {
			break
		}
		i, j := pair[0], pair[1]
		n.notes[i], n.notes[j] = n.notes[j], n.notes[i]
		size[i], size[j] = size[j], size[i]
	}
	return total <= n.room.H()
}

// port is where a note's leader leaves the column.
func (n *Notes) port(p *placedNote) Point {
	if n.side == Left {
		return Point{n.room.Max.X, p.y}
	}
	return Point{n.room.Min.X, p.y}
}

// crossing finds two notes whose leaders cross.
func (n *Notes) crossing() []int {
	for i, p := range n.notes {
		for j, q := range n.notes[:i] {
			if segmentsCross(p.target, n.port(p), q.target, n.port(q)) {
				return []int{j, i}
			}
		}
	}
	return nil
}

// segmentsCross reports whether two segments have an inner point in common.
func segmentsCross(a, b, c, d Point) bool {
	ab, cd := b.Sub(a), d.Sub(c)
	o1, o2 := ab.cross(c.Sub(a)), ab.cross(d.Sub(a))
	o3, o4 := cd.cross(a.Sub(c)), cd.cross(b.Sub(c))
	return o1*o2 < 0 && o3*o4 < 0
}

// boxOf is the room a note takes in the column at its present height.
func (n *Notes) boxOf(p *placedNote) box {
	return box{frameAt(Point{}, 0), Rect{Point{n.room.Min.X, p.y - p.height/2}, Point{n.room.Max.X, p.y + p.height/2}}}
}

func (n *Notes) clear() bool {
	for _, p := range n.notes {
		if !n.v.sheet.free(n.boxOf(p)) {
			return false
		}
	}
	return true
}

// slots is the sure way where notes would cross or meet other texts: equal
// places in the free parts of the column, given out so that no leaders cross.
// Exchanging the places of two notes whose leaders cross makes the leaders
// shorter in sum, so the exchanges come to an end.
func (n *Notes) slots() bool {
	size := 0.0
	for _, p := range n.notes {
		size = max(size, p.height+noteGap)
	}
	var free []float64
	y := n.room.Max.Y - size/2
	for len(free) < len(n.notes) || y-size/2 >= n.room.Min.Y {
		probe := box{frameAt(Point{}, 0), Rect{Point{n.room.Min.X, y - size/2}, Point{n.room.Max.X, y + size/2}}}
		if n.v.sheet.free(probe) {
			free = append(free, y)
			y -= size
		} else {
			y--
		}
	}
	best, cost := 0, math.Inf(1)
	for first := 0; first+len(n.notes) <= len(free); first++ {
		sum := 0.0
		for i, p := range n.notes {
			sum += math.Abs(free[first+i] - p.target.Y)
		}
		if sum < cost {
			best, cost = first, sum
		}
	}
	for i, p := range n.notes {
		p.y = free[best+i]
	}
	for pair := n.crossing(); pair != nil; pair = n.crossing() {
		a, b := n.notes[pair[0]], n.notes[pair[1]]
		a.y, b.y = b.y, a.y
	}
	return free[best+len(n.notes)-1]-size/2 >= n.room.Min.Y
}

// draw puts one note on the sheet.
func (n *Notes) draw(p *placedNote) {
	s, v := n.v.sheet, n.v
	dir := 1.0
	st := n.style
	if n.side == Left {
		dir, st.Align = -1, AlignRight
	}
	port := n.port(p)
	end := port.Add(Point{dir * shelf, 0})
	s.In(Group{Class: "note", Key: p.Key, Label: p.Text}, func() {
		s.add(item{view: v, path: Polyline(p.target, port, end), pen: DimLine})
		if p.Arrow {
			s.arrow(v, p.target, p.target.Sub(port))
		} else {
			s.dot(v, p.target)
		}
		if p.Number != "" {
			centre := end.Add(Point{dir * balloonRadius, 0})
			s.balloon(v, centre, p.Number)
			end = centre.Add(Point{dir * balloonRadius, 0})
		}
		for i, line := range p.lines {
			y := p.y - n.style.height()/2 + n.style.pitch()*(float64(len(p.lines)-1)/2-float64(i))
			s.put(v, Point{end.X + dir*noteIndent, y}, line, st)
		}
	})
}

// balloon draws a number in a circle.
func (s *Sheet) balloon(v *View, centre Point, number string) {
	s.add(item{view: v, path: Circle(centre, balloonRadius), pen: Thin, tone: White})
	h := min(NormalText, NormalText*1.7*balloonRadius/max(TextWidth(number, NormalText, Bold), 1e-9))
	s.put(v, centre, number, TextStyle{Height: h, Align: AlignCentre, VAlign: Middle, Face: Bold})
}

// Balloon draws a number in a circle at a point of the view.
func (v *View) Balloon(centre Point, number string) {
	if centre.finite() {
		v.sheet.balloon(v, v.ToSheet(centre), number)
	}
}

// Leader writes a text on a shelf at an elbow, with a line to a target: both
// points of the view. The text goes away from the target. With an arrow the
// line touches an edge, otherwise it ends in an area, with a dot.
func (v *View) Leader(target, elbow Point, text string, arrow bool) {
	if !target.finite() || !elbow.finite() {
		return
	}
	s, from, to := v.sheet, v.ToSheet(target), v.ToSheet(elbow)
	dir, st := 1.0, TextStyle{Clear: true}
	if to.X < from.X {
		dir, st.Align = -1, AlignRight
	}
	end := to.Add(Point{dir * shelf, 0})
	s.add(item{view: v, path: Polyline(from, to, end), pen: DimLine})
	if arrow {
		s.arrow(v, from, from.Sub(to))
	} else {
		s.dot(v, from)
	}
	s.put(v, end.Add(Point{dir * noteIndent, -NormalText / 2}), text, st)
}
