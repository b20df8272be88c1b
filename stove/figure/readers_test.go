package figure

import (
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"stovewright/internal/outside"
	"stovewright/message"
	"stovewright/stove"
)

// measure is a script for ezdxf, the independent DXF reader: it opens a
// drawing, audits it and prints the extent of what lies on each layer and the
// radii of all circles, in drawing units.
const measure = `
import sys, json, ezdxf
from ezdxf import bbox
doc = ezdxf.readfile(sys.argv[1])
audit = doc.audit()
layers, circles = {}, []
for e in doc.modelspace():
    if e.dxftype() == "CIRCLE":
        circles.append(e.dxf.radius)
    if e.dxftype() in ("TEXT", "MTEXT") or e.dxf.layer in ("HATCH", "DIM"):
        continue
    b = bbox.extents([e])
    if not b.has_data:
        continue
    lo, hi = layers.get(e.dxf.layer, ([1e9, 1e9], [-1e9, -1e9]))
    layers[e.dxf.layer] = ([min(lo[0], b.extmin.x), min(lo[1], b.extmin.y)], [max(hi[0], b.extmax.x), max(hi[1], b.extmax.y)])
print(json.dumps({"errors": len(audit.errors), "layers": layers, "circles": circles}))
`

type measured struct {
	Errors  int
	Layers  map[string][2][2]float64
	Circles []float64
}

func readDXF(t *testing.T, n Named) measured {
	t.Helper()
	python := outside.Python(t, "ezdxf")
	name := filepath.Join(t.TempDir(), n.Name+".dxf")
	w, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := n.DXF(w); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(python, "-c", measure, name).Output()
	if err != nil {
		t.Fatalf("ezdxf: %v", err)
	}
	var m measured
	if err := json.Unmarshal(out, &m); err != nil {
		t.Fatal(err)
	}
	if m.Errors != 0 {
		t.Errorf("%s: ezdxf finds %d errors", n.Name, m.Errors)
	}
	return m
}

// A CAD program measures the stove itself in the section and the top view.
func TestDrawingsMeasureTrueInCAD(t *testing.T) {
	round := household()
	round.Choices.Chamber = "round"
	for _, form := range []stove.Form{household(), round} {
		s := sized(t, form)
		for _, n := range All(s, message.English(), Options{}) {
			m := readDXF(t, n)
			switch n.Name {
			case "section":
				// cut bricks and fill lie on OUTLINE: from the ground to the throat,
				// from one side of the body's inside to the other
				got := m.Layers["OUTLINE"]
				if width := got[1][0] - got[0][0]; math.Abs(width-s.BodyInner*mm) > 0.01 {
					t.Errorf("the section is %v mm wide inside the body, want %v", width, s.BodyInner*mm)
				}
				if top := got[1][1]; math.Abs(top-s.ThroatLevel()*mm) > 0.01 {
					t.Errorf("the throat is drawn at %v mm, want %v", top, s.ThroatLevel()*mm)
				}
			case "top":
				for what, r := range map[string]float64{"body": s.BodyOuter() / 2, "pot": s.Pot.Diameter() / 2, "skirt": s.SkirtInner / 2, "hole": s.TopHole / 2} {
					found := false
					for _, c := range m.Circles {
						found = found || math.Abs(c-r*mm) < 0.001
					}
					if !found {
						t.Errorf("no circle of the %s, radius %v mm, among %v", what, r*mm, m.Circles)
					}
				}
			}
		}
	}
}
