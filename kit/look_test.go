package kit

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"stovewright/drawing"
	"stovewright/message"
)

func TestLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip()
	}
	c := message.English()
	f := household()
	if v := os.Getenv("FORM"); v == "hex" {
		f.Choices.Chamber = "round"
	} else if v == "big" {
		f.Pot.Circumference, f.Pot.Height, f.Pot.HandleHeight, f.Pot.Fill = "200 cm", "50 cm", "40 cm", ""
		f.Choices.Chamber, f.Choices.Ring = "round", "octagon"
	}
	k := made(t, f)
	for i := range k.Patterns {
		p := &k.Patterns[i]
		s, _ := p.Sheet(c)
		out, _ := os.Create(filepath.Join(dir, p.ID+".pdf"))
		if err := drawing.PDF(out, s); err != nil {
			t.Fatal(err)
		}
		out.Close()
		fmt.Println(p.ID, s.Paper.Width, s.Paper.Height, len(s.Overlaps()), len(s.OffSheet()))
	}
	for _, p := range k.Parts {
		fmt.Printf("%-18s %d x %.3f kg  %s\n", p.ID, p.Count, p.Mass, c.Say(p.Name))
	}
	for _, p := range k.Purchases {
		fmt.Println(p.ID, c.Say(p.Name), p.Count, c.Say(p.Size), p.Amount, c.Say(p.Because))
	}
	for _, r := range k.Remarks {
		fmt.Println(c.Say(r))
	}
	fmt.Println(k.Mass(), k.Stove.Mass)
}

func TestLookFiles(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip()
	}
	k := made(t, household())
	files, err := k.Files(message.English(), drawing.A4)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		name := filepath.Join(dir, "kit", f.Name)
		os.MkdirAll(filepath.Dir(name), 0o755)
		os.WriteFile(name, f.Data, 0o644)
		fmt.Println(f.Name, len(f.Data))
	}
}
