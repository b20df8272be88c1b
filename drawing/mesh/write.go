package mesh

import (
	"archive/zip"
	"bufio"
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"fmt"
	"hash/crc32"
	"io"
	"math"
	"strconv"
)

// WriteSTL writes solids as one binary STL file: an 80-byte header, the number
// of triangles, then per triangle the normal, three corners and two spare
// bytes, all little-endian and in single precision. STL carries no unit; the
// numbers are millimetres and the header says so. Equal solids give equal
// bytes. An error says that a solid is not closed or that a triangle vanishes
// in single precision.
func WriteSTL(w io.Writer, title string, solids ...*Mesh) error {
	count := 0
	for _, m := range solids {
		if err := m.Check(); err != nil {
			return err
		}
		count += len(m.Triangles)
	}
	out := bufio.NewWriter(w)
	var header [80]byte // must not begin with "solid", which marks the text form
	copy(header[:], "Binary STL in millimetres. "+title)
	out.Write(header[:])
	binary.Write(out, binary.LittleEndian, uint32(count))
	for _, m := range solids {
		for i, t := range m.Triangles {
			facet, ok := m.facet(t)
			if !ok {
				return fmt.Errorf("%w: triangle %d is lost in single precision", ErrDegenerate, i)
			}
			out.Write(facet[:])
		}
	}
	return out.Flush()
}

// facet is one triangle as STL has it; false when two corners fall together.
func (m *Mesh) facet(t [3]int) ([50]byte, bool) {
	n := m.normal(t)
	scale := length(n)
	values := []float64{n.X / scale, n.Y / scale, n.Z / scale}
	var corners [3][3]float32
	for k, v := range t {
		p := m.Vertices[v]
		corners[k] = [3]float32{float32(p.X), float32(p.Y), float32(p.Z)}
		values = append(values, p.X, p.Y, p.Z)
	}
	var facet [50]byte
	for k, v := range values {
		binary.LittleEndian.PutUint32(facet[4*k:], math.Float32bits(float32(v)))
	}
	return facet, corners[0] != corners[1] && corners[1] != corners[2] && corners[2] != corners[0]
}

// Object is a solid with its name and its place in a 3MF file.
type Object struct {
	Name  string
	Solid *Mesh
	At    Point // where the solid's own origin stands on the build plate, mm
}

// Arrange places solids side by side along x, the given gap (mm) apart, each
// standing on the plate in the quarter where x and y are positive.
func Arrange(gap float64, objects ...Object) []Object {
	placed := make([]Object, len(objects))
	x := gap
	for i, o := range objects {
		lo, hi := o.Solid.Bounds()
		o.At = Point{x - lo.X, gap - lo.Y, -lo.Z}
		x += hi.X - lo.X + gap
		placed[i] = o
	}
	return placed
}

const contentTypes = `<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>
`

const relationships = `<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>
`

// Write3MF writes solids as a 3MF package, in millimetres, each a named object
// with its place on the build plate. The parts are stored, not compressed, and
// carry no date, so that equal solids give equal bytes. An error says that a
// solid is not closed.
func Write3MF(w io.Writer, title string, objects []Object) error {
	for _, o := range objects {
		if err := o.Solid.Check(); err != nil {
			return fmt.Errorf("%s: %w", o.Name, err)
		}
	}
	archive := zip.NewWriter(w)
	for _, part := range []struct {
		name string
		data []byte
	}{
		{"[Content_Types].xml", []byte(contentTypes)},
		{"_rels/.rels", []byte(relationships)},
		{"3D/3dmodel.model", model(title, objects)},
	} {
		size := uint64(len(part.data))
		// The raw form puts sizes and sum before the data, where every reader
		// looks for them.
		f, err := archive.CreateRaw(&zip.FileHeader{Name: part.name, Method: zip.Store, CRC32: crc32.ChecksumIEEE(part.data),
			CompressedSize64: size, UncompressedSize64: size})
		if err != nil {
			return err
		}
		if _, err := f.Write(part.data); err != nil {
			return err
		}
	}
	return archive.Close()
}

func model(title string, objects []Object) []byte {
	var b bytes.Buffer
	b.WriteString(`<?xml version="1.0" encoding="UTF-8"?>
<model unit="millimeter" xml:lang="en" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">
<metadata name="Title">` + escape(title) + `</metadata>
<metadata name="Application">Stovewright</metadata>
<resources>
`)
	for i, o := range objects {
		fmt.Fprintf(&b, "<object id=\"%d\" type=\"model\" name=\"%s\"><mesh><vertices>\n", i+1, escape(o.Name))
		for _, p := range o.Solid.Vertices {
			fmt.Fprintf(&b, "<vertex x=\"%s\" y=\"%s\" z=\"%s\"/>\n", number(p.X), number(p.Y), number(p.Z))
		}
		b.WriteString("</vertices><triangles>\n")
		for _, t := range o.Solid.Triangles {
			fmt.Fprintf(&b, "<triangle v1=\"%d\" v2=\"%d\" v3=\"%d\"/>\n", t[0], t[1], t[2])
		}
		b.WriteString("</triangles></mesh></object>\n")
	}
	b.WriteString("</resources>\n<build>\n")
	for i, o := range objects {
		fmt.Fprintf(&b, "<item objectid=\"%d\" transform=\"1 0 0 0 1 0 0 0 1 %s %s %s\"/>\n", i+1, number(o.At.X), number(o.At.Y), number(o.At.Z))
	}
	b.WriteString("</build>\n</model>\n")
	return b.Bytes()
}

// number is the shortest decimal that reads back as the same value.
func number(x float64) string { return strconv.FormatFloat(x+0, 'f', -1, 64) }

func escape(s string) string {
	var b bytes.Buffer
	xml.EscapeText(&b, []byte(s)) // a buffer does not fail
	return b.String()
}
