package booklet

import (
	"slices"
	"strings"

	"stovewright/internal/form"
	"stovewright/quantity"
)

// A paper form is its fields in their order: entries that stand once as lines
// to write on, lists as tables to fill. The page and the file have the same
// fields in the same order.

// paperForm says how the lists of a form stand on paper.
type paperForm struct {
	fields form.Fields
	lists  []string       // paths of the lists, inner ones after those they are in
	blank  map[string]int // empty rows or columns of a list
	spread map[string]int // columns of a field that is a list itself
	page   []string       // lists that begin a page of their own, to be copied
}

// owner is the innermost list that a field stands in, "" for none.
func (f paperForm) owner(path string) string {
	best := ""
	for _, l := range f.lists {
		if strings.HasPrefix(path, l+".") && len(l) > len(best) {
			best = l
		}
	}
	return best
}

// deep reports whether a list holds others, so that its own fields stand once
// on a page.
func (f paperForm) deep(list string) bool {
	return slices.ContainsFunc(f.lists, func(l string) bool { return strings.HasPrefix(l, list+".") })
}

// form sets the whole form, block by block.
func (b *book) form(f paperForm) {
	for i := 0; i < len(f.fields); {
		owner := f.owner(f.fields[i].Path)
		j := i
		for j < len(f.fields) && f.owner(f.fields[j].Path) == owner {
			j++
		}
		block := f.fields[i:j]
		if slices.Contains(f.page, owner) && (i == 0 || !strings.HasPrefix(f.fields[i-1].Path, owner+".")) {
			b.chapter("booklet.form." + strings.ReplaceAll(owner, ".", "-"))
		}
		switch {
		case owner == "" || f.deep(owner):
			b.entries(block)
		case len(block) > 6:
			b.upright(block, f.blank[owner])
		default:
			b.grid(block, f.blank[owner], f.spread)
		}
		i = j
	}
}

// Sizes of a form in millimetres: room for a hand with a pencil.
const (
	entryHeight = 12.5
	cellHeight  = 8.0
)

// entries sets fields that stand once, two abreast; notes and word lists have
// the whole width.
func (b *book) entries(fields []form.Field) {
	left, group := true, ""
	for _, f := range fields {
		if g := groupOf(f.Path); g != group {
			if !left {
				b.y, left = b.y+entryHeight, true
			}
			if group = g; g != "" {
				b.need(2*entryHeight + 4)
				b.y += b.write(b.c.S("booklet.form."+g), marginSide, b.y, b.width(), bodyType, "B") + 1
			}
		}
		wide := strings.HasSuffix(f.Path, "note") || f.Path == "positions" || len(strings.Join(f.Options, "")) > 30 || f.Kind == form.Edges
		if wide && !left {
			b.y, left = b.y+entryHeight, true
		}
		if left {
			b.need(entryHeight + 2)
		}
		width, x := b.width(), marginSide
		if !wide {
			width = b.width()/2 - 3
			if !left {
				x += b.width()/2 + 3
			}
		}
		b.entry(f, x, width)
		if wide || !left {
			b.y += entryHeight
		}
		left = wide || !left
	}
	if !left {
		b.y += entryHeight
	}
	b.y += 3
}

// groups are the parts of a form whose fields need a heading to be understood.
var groups = []string{"goal", "jar", "bar", "loss", "moisture", "yield", "ring"}

// groupOf is the part of the form that an entry stands in, "" where it needs no
// heading.
func groupOf(path string) string {
	if first, _, _ := strings.Cut(path, "."); slices.Contains(groups, first) {
		return first
	}
	return ""
}

// entry is one field: its caption, and a line to write on or words to tick.
func (b *book) entry(f form.Field, x, width float64) { b.entryNamed(b.caption(f), f, x, width) }

// entryNamed does so under another name.
func (b *book) entryNamed(caption string, f form.Field, x, width float64) {
	b.write(caption, x, b.y, width, smallType, "")
	y := b.y + entryHeight - 3
	if len(f.Options) > 0 {
		at := x
		for _, o := range f.Options {
			b.font("", bodyType)
			b.box(at, y-3.2, 3.2)
			b.pdf.Text(at+4.4, y-0.2, o)
			at += 4.4 + b.pdf.GetStringWidth(o) + 5
		}
		return
	}
	unit := unitOf(f)
	b.font("", bodyType)
	w := b.pdf.GetStringWidth(unit)
	b.pdf.SetLineWidth(0.2)
	b.pdf.Line(x, y, x+width-w-2, y)
	b.pdf.Text(x+width-w, y-0.4, unit)
}

// caption is a field's name, with a star where it must be filled in.
func (b *book) caption(f form.Field) string {
	name := b.c.Say(f.Name())
	if f.Required {
		name += " *"
	}
	return name
}

// unitOf is the unit of a bare number; whoever writes another writes it down.
func unitOf(f form.Field) string {
	switch f.Kind {
	case form.Quantity, form.Amount, form.Edges:
		if f.Unit != quantity.One {
			return f.Unit.Symbol
		}
	}
	return ""
}

// mostInHead is how many words to choose from stand in the head of a column.
const mostInHead = 4

// head is what stands above a column or before a row of a table.
func (b *book) head(f form.Field) string {
	text := b.caption(f)
	if unit := unitOf(f); unit != "" {
		text += ", " + unit
	}
	if len(f.Options) > 0 && len(f.Options) <= mostInHead {
		text += ": " + strings.Join(f.Options, ", ")
	}
	return text
}

// grid is a list with a column for each field. Zero rows fill the page.
func (b *book) grid(fields []form.Field, rows int, spread map[string]int) {
	var heads []string
	var shares []float64
	total := 0.0
	for _, f := range fields {
		share := 1.0
		if f.Kind == form.FreeText {
			share = 1.8
		}
		for range max(1, spread[f.Path]) {
			heads, shares, total = append(heads, b.head(f)), append(shares, share), total+share
		}
	}
	width := func(i int) float64 { return b.width() * shares[i] / total }
	headHeight := 0.0
	for i, h := range heads {
		headHeight = max(headHeight, b.height(h, width(i)-2, smallType, "B")+2)
	}
	b.need(headHeight + 6*cellHeight)
	fill := int((b.bottom() - b.y - headHeight - 2) / cellHeight)
	if rows == 0 {
		rows = fill
	}
	top := b.y
	height := headHeight + float64(min(rows, fill))*cellHeight
	x := marginSide
	for i, h := range heads {
		b.write(h, x+1, top+0.6, width(i)-2, smallType, "B")
		b.upline(x, top, height)
		x += width(i)
	}
	b.upline(x, top, height)
	b.ruleLines(top, headHeight, min(rows, fill))
	b.y = top + height + 5
}

// upright is a list with many fields: they stand one below the other, and each
// thing has a column.
func (b *book) upright(fields []form.Field, columns int) {
	const name = 62.0
	w := (b.width() - name) / float64(columns)
	for len(fields) > 0 {
		b.need(4 * cellHeight)
		n := min(len(fields), int((b.bottom()-b.y)/cellHeight))
		top := b.y
		for i, f := range fields[:n] {
			text, y := b.head(f), top+float64(i)*cellHeight
			h := b.height(text, name-2, smallType, "")
			b.write(text, marginSide+1, y+(cellHeight-h)/2, name-2, smallType, "")
		}
		height := float64(n) * cellHeight
		b.upline(marginSide, top, height)
		for k := range columns + 1 {
			b.upline(marginSide+name+float64(k)*w, top, height)
		}
		b.ruleLines(top, 0, n)
		b.y = top + height + 2
		for _, f := range fields[:n] {
			if len(f.Options) > mostInHead {
				b.y += b.write(b.caption(f)+": "+strings.Join(f.Options, ", "), marginSide+1, b.y, b.width()-2, smallType, "")
			}
		}
		b.y += 3
		fields = fields[n:]
	}
}

func (b *book) upline(x, y, height float64) {
	b.pdf.SetLineWidth(0.18)
	b.pdf.Line(x, y, x, y+height)
}

// ruleLines draws the lines across a table.
func (b *book) ruleLines(top, head float64, rows int) {
	b.rule(top, 0.35)
	for i := range rows + 1 {
		b.rule(top+head+float64(i)*cellHeight, 0.18)
	}
}
