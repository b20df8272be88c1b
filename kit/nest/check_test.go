package nest

import (
	"math"
	"strings"
	"testing"

	"stovewright/message"
)

func TestInputErrors(t *testing.T) {
	good := []Stock{{Name: "sheet", Width: 1, Height: 2, Count: Unlimited}}
	part := func(change func(*Part)) []Part {
		p := Part{Name: "skirt", Width: 0.9, Height: 0.1, Count: 1}
		change(&p)
		return []Part{p}
	}
	stock := func(change func(*Stock)) []Stock {
		s := good[0]
		change(&s)
		return []Stock{s}
	}
	fine := part(func(*Part) {})
	tests := []struct {
		name   string
		stocks []Stock
		parts  []Part
		o      Options
		field  string
		id     string
	}{
		{"no stock", nil, fine, Options{}, "stock", "nest.no-stock"},
		{"no parts", good, nil, Options{}, "parts", "nest.no-parts"},
		{"none left", stock(func(s *Stock) { s.Count = 0 }), fine, Options{}, "stock", "nest.no-stock"},
		{"flat sheet", stock(func(s *Stock) { s.Width = 0 }), fine, Options{}, "stock[0].width", "nest.size"},
		{"no number", stock(func(s *Stock) { s.Height = math.NaN() }), fine, Options{}, "stock[0].height", "nest.size"},
		{"negative stock", stock(func(s *Stock) { s.Count = -2 }), fine, Options{}, "stock[0].count", "nest.stock-count"},
		{"all trim", stock(func(s *Stock) { s.Trim = 0.5 }), fine, Options{}, "stock[0].trim", "nest.trim"},
		{"mixed prices", append(stock(func(s *Stock) { s.Cost = 3 }), good...), fine, Options{}, "stock[1].cost", "nest.cost"},
		{"kerf", good, fine, Options{Kerf: -0.001}, "kerf", "nest.kerf"},
		{"no width", good, part(func(p *Part) { p.Width = -1 }), Options{}, "parts[0].width", "nest.size"},
		{"miles", good, part(func(p *Part) { p.Height = 1609 }), Options{}, "parts[0].height", "nest.size"},
		{"none wanted", good, part(func(p *Part) { p.Count = 0 }), Options{}, "parts[0].count", "nest.part-count"},
		{"unlimited", good, part(func(p *Part) { p.Count = Unlimited }), Options{}, "parts[0].count", "nest.part-count"},
		{"a million", good, part(func(p *Part) { p.Count = 1e6 }), Options{}, "parts[0].count", "nest.part-count"},
		{"worthless", good, part(func(p *Part) { p.Value = math.NaN() }), Options{}, "parts[0].value", "nest.value"},
		{"oval", good, part(func(p *Part) { p.Disc = true }), Options{}, "parts[0].height", "nest.disc"},
		{"hole in a sheet", good, part(func(p *Part) { p.Hole = 0.05 }), Options{}, "parts[0].hole", "nest.hole"},
		{"outline", good, part(func(p *Part) { p.Outline = []Point{{0, 0}, {1, 0}, {0, 0.1}} }), Options{}, "parts[0].outline", "nest.outline"},
		{"too big", good, part(func(p *Part) { p.Height = 2.001; p.Width = 1.5 }), Options{}, "parts[0]", "nest.too-big"},
		{"across the grain", stock(func(s *Stock) { s.Grain = AlongHeight }), part(func(p *Part) { p.Width = 1.5; p.Grain = AlongHeight }),
			Options{}, "parts[0]", "nest.against-grain"},
	}
	for _, tt := range tests {
		_, err := Nest(tt.stocks, tt.parts, tt.o)
		list, ok := message.Complaints(err)
		if !ok {
			t.Errorf("%s: got %v, want input errors", tt.name, err)
			continue
		}
		if list[0].Field != tt.field || list[0].Reason.ID != tt.id {
			t.Errorf("%s: got %s %s, want %s %s", tt.name, list[0].Field, list[0].Reason.ID, tt.field, tt.id)
		}
		if s := err.Error(); strings.ContainsAny(s, "«{") {
			t.Errorf("%s: the words are not complete: %s", tt.name, s)
		}
	}
}

func TestTooManyPieces(t *testing.T) {
	parts := []Part{{Width: 0.1, Height: 0.1, Count: 3000}, {Width: 0.2, Height: 0.1, Count: 3000}}
	_, err := Nest([]Stock{{Width: 1, Height: 2, Count: Unlimited}}, parts, Options{})
	if list, ok := message.Complaints(err); !ok || list[0].Reason.ID != "nest.too-many" {
		t.Errorf("got %v", err)
	}
}

func TestWordsForAPartThatIsTooBig(t *testing.T) {
	stocks := []Stock{{Width: 1, Height: 2, Trim: 0.01, Count: 3}, {Width: 0.914, Height: 1.829, Count: Unlimited}}
	_, err := Nest(stocks, []Part{{Name: "Body", Width: 1.2, Height: 2.1, Count: 1}}, Options{})
	want := "parts[0]: \"1200 mm × 2100 mm\": Body is bigger than every sheet at hand; " +
		"the largest sheet gives 980.0\u00a0mm × 1980.0\u00a0mm after trimming (try: 980 mm × 1980 mm)"
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	_, err = Strip(Stock{Width: 0.5}, []Part{{Width: 0.6, Height: 0.7, Count: 1}}, Options{})
	if err == nil || !strings.Contains(err.Error(), "part 1 is bigger") || !strings.Contains(err.Error(), "the roll gives 500.0") {
		t.Errorf("got %v", err)
	}
	if _, err = Fill(Stock{Width: 1, Height: 1}, []Part{{Width: 2, Height: 2, Count: 1}}, Options{}); err == nil {
		t.Error("nothing fits, and no error")
	}
}

// A part that does not fit is left out when one sheet is filled.
func TestFillLeavesOutWhatDoesNotFit(t *testing.T) {
	f, err := Fill(Stock{Width: 1, Height: 1}, []Part{{Width: 2, Height: 2, Count: 1}, {Width: 0.5, Height: 1, Count: 9}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if f.Counts[0] != 0 || f.Counts[1] != 2 || !f.Optimal {
		t.Errorf("counts %v, optimal %v", f.Counts, f.Optimal)
	}
}
