package nest

import "slices"

// A node is a piece of sheet, kerf included: whole (a part or waste) or cut in
// two from edge to edge.
type node struct {
	x, y, w, h int
	kind       int // of the part it is, or noPart
	turned     bool
	a, b       *node // near and far piece of the cut; nil for a whole piece
	upright    bool
}

const noPart = -1

func newLeaf(x, y, w, h int) *node { return &node{x: x, y: y, w: w, h: h, kind: noPart} }

// split cuts a leaf at a distance from its left or lower edge and returns the
// near piece and the rest; without a rest there is no cut.
func (n *node) split(upright bool, at int) (near, rest *node) {
	switch {
	case upright && at == n.w || !upright && at == n.h:
		return n, nil
	case upright:
		n.a, n.b = newLeaf(n.x, n.y, at, n.h), newLeaf(n.x+at, n.y, n.w-at, n.h)
	default:
		n.a, n.b = newLeaf(n.x, n.y, n.w, at), newLeaf(n.x, n.y+at, n.w, n.h-at)
	}
	n.upright = upright
	return n.a, n.b
}

// place puts a part into the lower left corner of a leaf and returns what is
// left over, at most two leaves.
func (n *node) place(k int, s size, upright bool) []*node {
	var rest []*node
	at := [2]int{s.h, s.w}
	first := 0
	if upright {
		first = 1
	}
	piece := n
	for _, direction := range [2]int{first, 1 - first} {
		near, far := piece.split(direction == 1, at[direction])
		if far != nil {
			rest = append(rest, far)
		}
		piece = near
	}
	piece.kind, piece.turned = k, s.turned
	return rest
}

// leaves visits the whole pieces, near before far.
func (n *node) leaves(visit func(*node)) {
	if n.a == nil {
		visit(n)
		return
	}
	n.a.leaves(visit)
	n.b.leaves(visit)
}

// spots lists the parts in the tree.
func (n *node) spots() []spot {
	var spots []spot
	n.leaves(func(leaf *node) {
		if leaf.kind != noPart {
			spots = append(spots, spot{leaf.kind, leaf.x, leaf.y, leaf.w, leaf.h, leaf.turned})
		}
	})
	return spots
}

// count is the number of cuts in the tree.
func (n *node) count() int {
	if n.a == nil {
		return 0
	}
	return 1 + n.a.count() + n.b.count()
}

// cuts lists the cuts of a tree, each piece taken up before the rest is.
func (j *job) cuts(b board, n *node) []Cut {
	if n.a == nil {
		return nil
	}
	piece := j.rect(b, n.x, n.y, n.w, n.h)
	at, length := n.a.w, piece.Height
	if !n.upright {
		at, length = n.a.h, piece.Width
	}
	list := []Cut{{Piece: piece, Upright: n.upright, At: metres(at - j.kerf), Length: length}}
	list = append(list, j.cuts(b, n.a)...)
	return append(list, j.cuts(b, n.b)...)
}

// area is a rectangle of free sheet, kerf included.
type area struct{ x, y, w, h int }

// offcuts are rectangles of a pattern without a part, apart from each other:
// the waste pieces of the tree, or the largest free rectangles one by one.
func (j *job) offcuts(p pattern) []area {
	var waste []area
	if p.root != nil {
		p.root.leaves(func(leaf *node) {
			if leaf.kind == noPart {
				waste = append(waste, area{leaf.x, leaf.y, leaf.w, leaf.h})
			}
		})
		return waste
	}
	b := j.boards[p.board]
	free := []area{{0, 0, b.w, b.h}}
	for _, s := range p.spots {
		free = exclude(free, area{s.x, s.y, s.w, s.h}, j.kerf+1)
	}
	for len(free) > 0 {
		largest := slices.MaxFunc(free, func(a, b area) int { return a.w*a.h - b.w*b.h })
		waste = append(waste, largest)
		free = exclude(free, largest, j.kerf+1)
	}
	return waste
}

// exclude takes a rectangle out of a set of largest free rectangles and keeps
// those that are not inside another and measure at least the given side.
func exclude(free []area, taken area, least int) []area {
	var cut []area
	kept := free[:0:0]
	for _, f := range free {
		if taken.x >= f.x+f.w || taken.x+taken.w <= f.x || taken.y >= f.y+f.h || taken.y+taken.h <= f.y {
			kept = append(kept, f)
			continue
		}
		for _, part := range []area{
			{f.x, f.y, taken.x - f.x, f.h},
			{taken.x + taken.w, f.y, f.x + f.w - taken.x - taken.w, f.h},
			{f.x, f.y, f.w, taken.y - f.y},
			{f.x, taken.y + taken.h, f.w, f.y + f.h - taken.y - taken.h},
		} {
			if part.w >= least && part.h >= least {
				cut = append(cut, part)
			}
		}
	}
	// Only the new rectangles can lie inside another one.
	for i, c := range cut {
		if !slices.ContainsFunc(kept, c.inside) && !slices.ContainsFunc(cut[:i], c.inside) &&
			!slices.ContainsFunc(cut[i+1:], func(o area) bool { return o != c && c.inside(o) }) {
			kept = append(kept, c)
		}
	}
	return kept
}

func (a area) inside(o area) bool {
	return a.x >= o.x && a.y >= o.y && a.x+a.w <= o.x+o.w && a.y+a.h <= o.y+o.h
}
