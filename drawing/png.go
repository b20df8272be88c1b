package drawing

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"

	"golang.org/x/image/vector"
)

// maxPixels bounds a picture: A3 at 600 dpi has 70 million.
const maxPixels = 100_000_000

// PNG writes the sheet as a grey picture on white with smooth edges. The file
// carries its resolution, so that it prints at true size.
func (s *Sheet) PNG(w io.Writer, dpi float64) error {
	img, err := s.Image(dpi)
	if err != nil {
		return err
	}
	var buf bytes.Buffer
	if err := png.Encode(&buf, img); err != nil {
		return err
	}
	const afterHeader = 8 + 25 // signature and IHDR
	file := buf.Bytes()
	if _, err := w.Write(file[:afterHeader]); err != nil {
		return err
	}
	if _, err := w.Write(physicalSize(dpi)); err != nil {
		return err
	}
	_, err = w.Write(file[afterHeader:])
	return err
}

// physicalSize is the pHYs chunk: pixels per metre, both ways.
func physicalSize(dpi float64) []byte {
	n := uint32(math.Round(dpi / 0.0254))
	chunk := binary.BigEndian.AppendUint32(nil, 9)
	chunk = append(chunk, "pHYs"...)
	chunk = binary.BigEndian.AppendUint32(chunk, n)
	chunk = binary.BigEndian.AppendUint32(chunk, n)
	chunk = append(chunk, 1)
	return binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
}

// Image is the sheet as a grey picture.
func (s *Sheet) Image(dpi float64) (*image.Gray, error) {
	k := dpi / 25.4
	width, height := math.Round(s.Paper.Width*k), math.Round(s.Paper.Height*k)
	if !(width >= 1 && height >= 1 && width*height <= maxPixels) {
		return nil, fmt.Errorf("drawing: a picture of %g by %g pixels", width, height)
	}
	r := &raster{k: k, img: image.NewGray(image.Rect(0, 0, int(width), int(height)))}
	draw.Draw(r.img, r.img.Rect, image.NewUniform(color.White), image.Point{}, draw.Src)
	for _, it := range s.interrupted() {
		if it.text != nil {
			r.text(it.text)
			continue
		}
		if it.tone != NoFill {
			r.fill(r.pixels(it.path), it.tone.grey(), true)
		}
		if it.pen != nil {
			r.stroke(r.pixels(it.path), it.pen)
		}
	}
	return r.img, nil
}

// raster paints polygons in pixels, y down.
type raster struct {
	k    float64
	img  *image.Gray
	mask *image.Alpha
	vec  vector.Rasterizer
}

func (r *raster) px(p Point) Point {
	return Point{p.X * r.k, float64(r.img.Rect.Dy()) - p.Y*r.k}
}

// pixels flattens a path to a twentieth of a pixel.
func (r *raster) pixels(p *Path) []contour {
	contours := p.flatten(0.05 / r.k)
	for _, c := range contours {
		for i, q := range c.pts {
			c.pts[i] = r.px(q)
		}
	}
	return contours
}

// fill paints polygons. The rasteriser adds up the signed areas of polygons;
// with evenOdd each is turned by how many others it lies in, which gives the
// even-odd rule for contours that do not cross, and otherwise all are turned
// one way or left as they are.
func (r *raster) fill(contours []contour, grey uint8, evenOdd bool) {
	if evenOdd && len(contours) > 1 {
		for i, c := range contours {
			depth := 0
			for j, d := range contours {
				if i != j && newEdges([]contour{d}).contains(c.pts[0]) {
					depth++
				}
			}
			orient(c.pts, depth%2 == 0)
		}
	}
	polygons := make([][]Point, len(contours))
	for i, c := range contours {
		polygons[i] = c.pts
	}
	r.paint(polygons, grey)
}

// orient makes a polygon go round one way or the other.
func orient(pts []Point, positive bool) {
	var area float64
	for i, p := range pts {
		area += p.cross(pts[(i+1)%len(pts)])
	}
	if (area > 0) == positive {
		return
	}
	for i, j := 0, len(pts)-1; i < j; i, j = i+1, j-1 {
		pts[i], pts[j] = pts[j], pts[i]
	}
}

// paint covers the polygons with a grey, in the smallest window around them.
func (r *raster) paint(polygons [][]Point, grey uint8) {
	room := nothing()
	for _, pts := range polygons {
		for _, p := range pts {
			room.add(p)
		}
	}
	room = Rect{Point{math.Floor(room.Min.X), math.Floor(room.Min.Y)}, Point{math.Ceil(room.Max.X) + 1, math.Ceil(room.Max.Y) + 1}}
	whole := Rect{Point{}, Point{float64(r.img.Rect.Dx()), float64(r.img.Rect.Dy())}}
	if room.Empty() || !room.Intersects(whole) {
		return
	}
	win := image.Rect(int(max(room.Min.X, 0)), int(max(room.Min.Y, 0)), int(min(room.Max.X, whole.Max.X)), int(min(room.Max.Y, whole.Max.Y)))
	r.vec.Reset(win.Dx(), win.Dy())
	r.vec.DrawOp = draw.Src
	for _, pts := range polygons {
		for i, p := range pts {
			x, y := float32(p.X-float64(win.Min.X)), float32(p.Y-float64(win.Min.Y))
			if i == 0 {
				r.vec.MoveTo(x, y)
			} else {
				r.vec.LineTo(x, y)
			}
		}
		r.vec.ClosePath()
	}
	if r.mask == nil || r.mask.Rect.Dx() < win.Dx() || r.mask.Rect.Dy() < win.Dy() {
		r.mask = image.NewAlpha(image.Rect(0, 0, max(win.Dx(), 64), max(win.Dy(), 64)))
	}
	r.vec.Draw(r.mask, image.Rect(0, 0, win.Dx(), win.Dy()), image.Opaque, image.Point{})
	for y := range win.Dy() {
		src := r.mask.Pix[y*r.mask.Stride:][:win.Dx()]
		dst := r.img.Pix[r.img.PixOffset(win.Min.X, win.Min.Y+y):][:win.Dx()]
		for x, a := range src {
			if a != 0 {
				dst[x] = uint8((int(dst[x])*(255-int(a)) + int(grey)*int(a) + 127) / 255)
			}
		}
	}
}

// stroke paints a line: a quadrilateral for each piece, discs at the corners,
// and at the ends of full lines.
func (r *raster) stroke(contours []contour, pen *Pen) {
	half := max(pen.Width*r.k, 0.35) / 2
	var out [][]Point
	for _, c := range contours {
		if pen.Dash == nil {
			out = strokePolygons(out, c, half, true)
			continue
		}
		for _, d := range r.dashes(c, pen.Dash) {
			out = strokePolygons(out, d, half, false)
		}
	}
	r.paint(out, 0)
}

func strokePolygons(out [][]Point, c contour, half float64, round bool) [][]Point {
	pts := c.pts
	if c.closed && len(pts) > 1 {
		pts = append(pts[:len(pts):len(pts)], pts[0])
	}
	add := func(polygon ...Point) {
		orient(polygon, true)
		out = append(out, polygon)
	}
	var last Point // direction of the piece before
	for i := 1; i < len(pts); i++ {
		u := pts[i].Sub(pts[i-1]).unit()
		if u == (Point{}) {
			continue
		}
		n := u.left().Mul(half)
		add(pts[i-1].Add(n), pts[i].Add(n), pts[i].Sub(n), pts[i-1].Sub(n))
		if last != (Point{}) {
			out = join(out, pts[i-1], last, u, half)
		}
		last = u
	}
	if c.closed {
		if first := pts[min(1, len(pts)-1)].Sub(pts[0]).unit(); first != (Point{}) {
			out = join(out, pts[0], last, first, half)
		}
	} else if round {
		out = append(out, disc(pts[0], half), disc(pts[len(pts)-1], half))
	}
	return out
}

// join closes the gap on the outside of a corner: with a triangle where the
// line hardly turns, else with a disc.
func join(out [][]Point, at, u, v Point, half float64) [][]Point {
	turn := u.cross(v)
	if u.dot(v) > 0.95 {
		side := -sign(turn) * half
		t := []Point{at, at.Add(u.left().Mul(side)), at.Add(v.left().Mul(side))}
		orient(t, true)
		return append(out, t)
	}
	return append(out, disc(at, half))
}

func disc(c Point, r float64) []Point {
	n := max(8, min(48, int(4*math.Sqrt(r)*2)))
	pts := make([]Point, n)
	for i := range pts {
		s, cs := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		pts[i] = Point{c.X + r*cs, c.Y + r*s}
	}
	return pts
}

// dashes cuts a contour into its dashes.
func (r *raster) dashes(c contour, dash []float64) []contour {
	pts := c.pts
	if c.closed && len(pts) > 1 {
		pts = append(pts[:len(pts):len(pts)], pts[0])
	}
	var out []contour
	i, left := 0, dash[0]*r.k
	cur := contour{pts: []Point{pts[0]}}
	for j := 1; j < len(pts); j++ {
		a, b := pts[j-1], pts[j]
		for d := a.Dist(b); d > left; d = a.Dist(b) {
			a = a.Lerp(b, left/d)
			if i%2 == 0 {
				out = append(out, contour{pts: append(cur.pts, a)})
			}
			cur = contour{pts: []Point{a}}
			i = (i + 1) % len(dash)
			left = dash[i] * r.k
		}
		left -= a.Dist(b)
		cur.pts = append(cur.pts, b)
	}
	if i%2 == 0 && len(cur.pts) > 1 {
		out = append(out, cur)
	}
	return out
}

// text fills the outlines of the letters; those of a TrueType font go round
// the right way already.
func (r *raster) text(t *Text) {
	r.fill(r.pixels(t.outlines()), 0, false)
}

// outlines gives the letters of a text as a path on the sheet.
func (t *Text) outlines() *Path {
	size := t.Style.Height / capHeight
	sn, cs := sincos(t.Style.Angle)
	out, x := new(Path), 0.0
	for _, c := range t.String {
		p, advance := t.Style.Face.glyph(c)
		if !p.Empty() {
			at := frameAt(t.At, t.Style.Angle).to(x*size, 0)
			out.Append(p.mapped(similarity{k: size, sin: sn, cos: cs, d: at}))
		}
		x += advance
	}
	return out
}
