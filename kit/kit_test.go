package kit

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"stovewright/brick"
	"stovewright/drawing"
	"stovewright/message"
	"stovewright/proof"
	"stovewright/stove"
)

func sized(t testing.TB, form stove.Form) *stove.Stove {
	t.Helper()
	b, err := form.Read()
	if err != nil {
		t.Fatal(err)
	}
	s, err := stove.Size(b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// household is an invented pot.
func household() stove.Form {
	return stove.Form{Name: "Invented kitchen", Pot: stove.PotForm{Circumference: "75.4 cm", Height: "17 cm", HandleHeight: "13.5 cm", Fill: "5 L"}}
}

func hexagon() stove.Form {
	f := household()
	f.Choices.Chamber, f.Choices.Ring = "round", "hexagon"
	return f
}

// institution is an invented large pot over an octagon, its body in thick sheet.
func institution() stove.Form {
	f := stove.Form{Pot: stove.PotForm{Circumference: "200 cm", Height: "50 cm", HandleHeight: "40 cm"}, Yours: map[string]string{"body.thickness": "1.5 mm"}}
	f.Choices.Chamber, f.Choices.Ring = "round", "octagon"
	return f
}

// inCan is the household pot with a can for the body.
func inCan() stove.Form {
	f := household()
	f.AtHand.Bodies = []stove.BodyForm{{Kind: "can", Diameter: "36 cm", Height: "50 cm"}}
	return f
}

var forms = map[string]func() stove.Form{"household": household, "hexagon": hexagon, "institution": institution, "can": inCan}

func made(t testing.TB, form stove.Form) *Kit {
	t.Helper()
	k, err := Make(sized(t, form))
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func TestChecks(t *testing.T) {
	if err := proof.Validate(Checks()); err != nil {
		t.Fatal(err)
	}
	for _, r := range proof.Verify(Checks()) {
		if !r.Pass {
			t.Error(r)
		}
	}
}

// The kit weighs what the stove was reckoned to weigh, but for what the reckoning
// leaves out: feet, clips, lintel bar, seams, and the dense brick.
func TestMassAgreesWithTheStove(t *testing.T) {
	for name, form := range forms {
		k := made(t, form())
		extra := 0.0
		for _, id := range []string{"feet", "clips", "lintel"} {
			if p := k.Part(id); p != nil {
				extra += p.Mass * float64(p.Count)
			}
		}
		got, want := k.Mass()-extra, k.Stove.Mass
		t.Logf("%s: parts %.2f kg, of them feet, clips and bar %.2f; the stove is reckoned at %.2f kg (%+.1f %%)", name, k.Mass(), extra, want, 100*(got/want-1))
		if math.Abs(got/want-1) > 0.05 {
			t.Errorf("%s: parts weigh %.2f kg without feet, clips and bar, the stove %.2f kg", name, got, want)
		}
	}
}

// Bricks, joints and bore fill the block: nothing is counted twice.
func TestBricksFillTheBlock(t *testing.T) {
	for name, form := range forms {
		s := sized(t, form())
		m := &maker{s: s, k: &Kit{Stove: s}}
		block, bore := m.planArea()
		pieces := 0.0
		for _, b := range m.shapes() {
			pieces += b.volume() * float64(b.count)
		}
		ring := (block-bore)*s.ChamberHeight - s.MouthWidth*s.MouthHeight*s.BrickThickness
		joints := 1 - pieces/ring
		if joints < 0 || joints > 0.1 {
			t.Errorf("%s: bricks take %.1f %% of the ring", name, 100*pieces/ring)
		}
	}
}

// Every word of a kit is in the catalogue, for every kind of stove.
func TestEveryWordIsInTheCatalogue(t *testing.T) {
	c := message.English()
	for name, form := range forms {
		files, err := made(t, form()).Files(c, drawing.A4)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if strings.HasSuffix(f.Name, ".csv") || strings.HasSuffix(f.Name, ".txt") || strings.HasSuffix(f.Name, ".svg") {
				if i := bytes.Index(f.Data, []byte("«")); i >= 0 {
					t.Errorf("%s, %s: %s", name, f.Name, f.Data[i:min(len(f.Data), i+60)])
				}
				if i := bytes.Index(f.Data, []byte("{")); i >= 0 && !strings.HasSuffix(f.Name, ".svg") {
					t.Errorf("%s, %s: a value is missing: %s", name, f.Name, f.Data[i:min(len(f.Data), i+60)])
				}
			}
		}
		k := made(t, form())
		for _, text := range append(append([]message.Text{}, k.Remarks...), k.Tools...) {
			if !c.Has(text.ID) {
				t.Errorf("%s: %s is not in the catalogue", name, text.ID)
			}
		}
	}
}

func TestFilesAreDeterministic(t *testing.T) {
	write := func() []File {
		files, err := made(t, hexagon()).Files(message.English(), drawing.Letter)
		if err != nil {
			t.Fatal(err)
		}
		return files
	}
	a, b := write(), write()
	if len(a) != len(b) {
		t.Fatalf("%d files, then %d", len(a), len(b))
	}
	seen := map[string]bool{}
	for i := range a {
		if a[i].Name != b[i].Name || !bytes.Equal(a[i].Data, b[i].Data) {
			t.Errorf("%s is not the same twice", a[i].Name)
		}
		if seen[a[i].Name] {
			t.Errorf("%s is written twice", a[i].Name)
		}
		seen[a[i].Name] = true
	}
}

// No word is hard-coded: in the pseudo-language every text of the tables that
// holds a letter is in brackets, but for the user's own and the ids.
func TestPseudoLanguage(t *testing.T) {
	files, err := made(t, household()).Files(message.Pseudo(), drawing.A4)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if f.Name != "buy-list.csv" {
			continue
		}
		for line := range strings.Lines(string(f.Data)) {
			if !strings.Contains(line, "‹") {
				t.Errorf("%s: %q", f.Name, line)
			}
		}
	}
}

// Measured shrinkage is used and said to be measured; without it the table's
// default stands, with its uncertainty.
func TestMouldsFollowTheShrinkage(t *testing.T) {
	form := household()
	form.AtHand.Brick.DryShrinkage, form.AtHand.Brick.Firing = "6 %", "3 %"
	k := made(t, form)
	d := k.Moulds[0]
	if !d.Measured || d.Cavity.U[brick.Length] != 0 {
		t.Errorf("measured shrinkage: measured is %v, uncertainty %v", d.Measured, d.Cavity.U)
	}
	for _, a := range brick.Axes {
		if want := d.Fired[a] / (0.94 * 0.97); math.Abs(d.Cavity.Size[a]-want) > 1e-9 {
			t.Errorf("%s: cavity %v m, want %v", a, d.Cavity.Size[a], want)
		}
	}
	if d := made(t, household()).Moulds[0]; d.Measured || d.Cavity.U[brick.Length] == 0 {
		t.Errorf("default shrinkage: measured is %v, uncertainty %v", d.Measured, d.Cavity.U)
	}
}

// The sheets of the brief are used where their thickness fits, and zinc never
// where flame reaches.
func TestStockAtHand(t *testing.T) {
	form := household()
	form.Yours = map[string]string{"body.thickness": "0.8 mm"}
	form.AtHand.Sheets = []stove.SheetForm{{Width: "1000 mm", Length: "2000 mm", Thickness: "0.8 mm", Coating: "galvanised", Count: "1"}}
	k := made(t, form)
	for _, id := range []string{"top", "sleeve", "shelf"} {
		if k.Part(id).Material == "galvanised-steel" {
			t.Errorf("%s is galvanised", id)
		}
	}
	if k.Part("body").Material != "galvanised-steel" {
		t.Error("the sheet at hand is not used for the body")
	}
	atHand := false
	for _, p := range k.Purchases {
		atHand = atHand || p.ID == "sheet" && p.AtHand
	}
	if !atHand {
		t.Error("the sheet at hand is not on the list")
	}
}

// A body too long for every sheet is made of panels that close the same
// circle.
func TestPanels(t *testing.T) {
	form := stove.Form{Pot: stove.PotForm{Circumference: "250 cm", Height: "60 cm", HandleHeight: "50 cm"}}
	k := made(t, form)
	front, plain := k.Pattern("body.blank"), k.Pattern("body.panel")
	if plain == nil {
		t.Fatalf("a body of %v m is in one piece", k.Stove.BodyInner*math.Pi)
	}
	n := float64(1 + plain.Count)
	around := math.Pi * (toMM(k.Stove.BodyInner) + toMM(k.Stove.BodyThickness))
	if got := n * (front.Bounds().W() - toMM(k.Stove.Value("body.seam").SI)); math.Abs(got-around) > 1e-6 {
		t.Errorf("%v panels close %v mm, want %v", n, got, around)
	}
	holes := 0
	for i := range k.Patterns {
		if strings.HasPrefix(k.Patterns[i].ID, "skirt.panel") || k.Patterns[i].ID == "skirt.blank" {
			for _, h := range k.Patterns[i].Figures[0].Holes {
				if len(h.Centres) == 2 {
					holes++
				}
			}
		}
	}
	if holes != 6 {
		t.Errorf("%d rod holes in the skirt", holes)
	}
}

// The gauges carry the stove's own gaps: under a flat pot on rods level with the
// throat gap the steps are the gaps themselves, and the strickle hangs from the
// upper edge of the skirt down to them.
func TestGaugesCarryTheGaps(t *testing.T) {
	k := made(t, household())
	s := k.Stove
	if s.RestHeight != s.ThroatGap {
		t.Fatalf("the pot rests at %v, the throat gap is %v", s.RestHeight, s.ThroatGap)
	}
	b := k.Pattern("gauge.pot-gap").Bounds()
	steps := map[float64]bool{}
	for _, n := range k.Pattern("gauge.pot-gap").Figures[0].Outer {
		steps[math.Round((b.Max.Y-stepFoot-n.Y)*1000)/1000] = true
	}
	for name, gap := range map[string]float64{"throat": s.ThroatGap, "brick": s.BlockGap, "pot": s.EdgeGap} {
		if !steps[math.Round(toMM(gap)*1000)/1000] {
			t.Errorf("no step of the %s gap, %v mm, among %v", name, toMM(gap), steps)
		}
	}
	under := toMM(s.SkirtHeight + s.TopThickness) // of the bar that rides on the skirt
	found := false
	for _, n := range k.Pattern("gauge.lining").Figures[0].Outer {
		if math.Abs(n.X-toMM(s.Pot.Diameter()/2)) < 1e-6 {
			found = true
			if drop := under - n.Y; math.Abs(drop-toMM(s.SkirtRise+s.EdgeGap)) > 1e-6 {
				t.Errorf("the strickle reaches %v mm below the skirt's edge at the pot's edge", drop)
			}
		}
	}
	if !found {
		t.Error("the strickle has no corner at the pot's edge")
	}
	feeler := k.Pattern("gauge.skirt-gap").Figures[0].Outer
	if pass := feeler[len(feeler)-1].Y - feeler[0].Y; math.Abs(pass-(toMM(s.SkirtGap)-2)) > 1e-9 {
		t.Errorf("the narrow tongue is %v mm", pass)
	}
}

func TestInputErrorsNameTheDimension(t *testing.T) {
	for _, c := range []struct{ id, value, field string }{
		{"skirt.rise", "0 mm", "yours.skirt.rise"},
		{"rest.rod", "25 mm", "yours.rest.rod"},
	} {
		form := household()
		form.Yours = map[string]string{c.id: c.value}
		b, err := form.Read()
		if err != nil {
			t.Fatal(err)
		}
		s, err := stove.Size(b)
		if err != nil {
			continue // refused earlier, which is as good
		}
		_, err = Make(s)
		list, ok := message.Complaints(err)
		if !ok {
			t.Errorf("%s %s: %v", c.id, c.value, err)
			continue
		}
		if list[0].Field != c.field || !message.English().Has(list[0].Reason.ID) {
			t.Errorf("%s %s: %v", c.id, c.value, list[0])
		}
	}
}

// A stove with a liner has no light bricks: only the clay of the dense floor is
// bought, no sawdust.
func TestLinerNeedsNoSawdust(t *testing.T) {
	form := household()
	form.AtHand.Liner = stove.LinerForm{Bore: "15 cm", Wall: "3 cm", Height: "30 cm"}
	k := made(t, form)
	clay := 0.0
	for _, p := range k.Purchases {
		switch p.ID {
		case "clay":
			clay += p.Amount.SI
		case "sawdust":
			t.Error("sawdust is bought")
		}
	}
	floor := 0.0
	for _, p := range k.Parts {
		if p.Figure == "floor" {
			if p.Material != denseBrick {
				t.Errorf("%s is of %s", p.ID, p.Material)
			}
			floor += p.Mass * float64(p.Count)
		}
	}
	if floor == 0 || clay < floor {
		t.Errorf("%.1f kg of clay for a floor of %.1f kg", clay, floor)
	}
}

// Holes that take a rivet are up to 0.3 mm wider than the rivets on the shopping
// list (common practice, no source).
func TestRivetsFitTheirHoles(t *testing.T) {
	for name, form := range forms {
		seen := 0
		for _, p := range made(t, form()).Patterns {
			for _, f := range p.Figures {
				for _, h := range f.Holes {
					switch h.Name.ID {
					case "kit.hole.rivet", "kit.hole.clip", "kit.hole.foot":
						seen++
						if d := h.Outline.Bounds().W(); d <= rivet || d > rivet+0.3 {
							t.Errorf("%s, %s: a hole of %.1f mm for a rivet of %.1f", name, p.ID, d, rivet)
						}
					}
				}
			}
		}
		if seen == 0 {
			t.Errorf("%s: no rivet hole", name)
		}
	}
}

// Every blank of a layout has its number on the drawing and a line in the legend,
// and no text lies on another or off the sheet.
func TestLayoutsNumberEveryBlank(t *testing.T) {
	c := message.English()
	for name, form := range forms {
		k := made(t, form())
		for _, paper := range []drawing.Paper{drawing.A4, drawing.Letter} {
			sheets := k.CuttingSheets(c, paper)
			for i := range k.Cutting {
				for _, laid := range k.Cutting[i].Layout.Sheets {
					s := sheets[0]
					sheets = sheets[1:]
					if pairs := s.Overlaps(); len(pairs) > 0 {
						t.Errorf("%s: texts overlap: %v", name, pairs)
					}
					if off := s.OffSheet(); len(off) > 0 {
						t.Errorf("%s: off the sheet: %v", name, off)
					}
					for n, p := range laid.Placed {
						number, part := itoa(n+1), c.Say(k.Pattern(k.Cutting[i].Parts[p.Part].Name).Name)
						onBlank, inLegend := 0, 0
						for _, text := range s.Texts() {
							switch {
							case text.String == number || text.String == number+" "+part:
								onBlank++
							case strings.HasPrefix(text.String, number+" "+part+": "):
								inLegend++
							}
						}
						if onBlank != 1 || inLegend != 1 {
							t.Errorf("%s: blank %s, %s, is numbered %d times and listed %d times", name, number, part, onBlank, inLegend)
						}
					}
				}
			}
		}
	}
}

// The words of every pattern are whole on one of its pages.
func TestWordsOfAPatternStandOnOnePage(t *testing.T) {
	c := message.English()
	for name, form := range forms {
		k := made(t, form())
		for _, paper := range []drawing.Paper{drawing.A4, drawing.Letter} {
			pages := k.TiledPatterns(c, paper)
			for i := range k.Patterns {
				p := &k.Patterns[i]
				say := func(t message.Text) string { return strings.Join(strings.Fields(c.Say(t)), " ") }
				whole := false
				for _, page := range pages {
					if page.Title != c.Say(p.Name) {
						continue
					}
					var words []string
					for _, text := range page.Texts() {
						words = append(words, text.String)
					}
					all := strings.Join(strings.Fields(strings.Join(words, " ")), " ") // hard spaces as plain ones, as in say
					ok := true
					for _, n := range append([]message.Text{p.Meta(), p.Datum}, p.Notes...) {
						ok = ok && strings.Contains(all, say(n))
					}
					whole = whole || ok
				}
				if !whole {
					t.Errorf("%s, %s on %s: no page holds all its words", name, p.ID, paper.Name)
				}
			}
		}
	}
}
