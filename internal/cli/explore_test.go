package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"stovewright/message"
)

const beans = "../../examples/beans-pot.yaml"

func TestExploreHoldsToItsSchema(t *testing.T) {
	s := schema(t, "explore")
	tests, err := filepath.Glob("../../examples/tests/boiling/stove-b/*.yaml")
	if err != nil || len(tests) < 2 {
		t.Fatal("no example tests", err)
	}
	dir := t.TempDir()
	keep := filepath.Join(dir, "learnt.json")
	for _, args := range [][]string{
		{"sensitivity", beans, "--global", "--rows", "16"},
		{"tolerance", beans, "--draws", "50"},
		{"search", beans, "--population", "8", "--generations", "2"},
		{"learn", beans, "--test", tests[0], "--hold-out", tests[1], "--sweeps", "8", "--keep", keep},
		{"next", beans, "--test", tests[0], "--hold-out", tests[1], "--sweeps", "8", "--keep", keep, "--also", "../../examples/liner.yaml"},
		{"why", beans, "../../examples/upland-drum.yaml"},
		{"pots", beans, "../../examples/tea-stall-round-pots.yaml"},
	} {
		code, out, said := run(t, message.English(), append(append([]string{"explore"}, args...), "--json", "--pictures", filepath.Join(dir, args[0]), "--report", filepath.Join(dir, args[0]+".pdf"))...)
		if code != exitDone {
			t.Fatalf("%s: %d %s", args[0], code, said)
		}
		validate(t, s, out)
		if pdf, err := os.ReadFile(filepath.Join(dir, args[0]+".pdf")); err != nil || !strings.HasPrefix(string(pdf), "%PDF") {
			t.Errorf("%s: no report: %v", args[0], err)
		}
		svgs, _ := filepath.Glob(filepath.Join(dir, args[0], "*-"+args[0]+"*.svg"))
		pdfs, _ := filepath.Glob(filepath.Join(dir, args[0], "*-"+args[0]+"*.pdf"))
		if len(svgs) == 0 || len(svgs) != len(pdfs) {
			t.Errorf("%s: %d pictures as SVG, %d as PDF", args[0], len(svgs), len(pdfs))
		}
	}
}

// A search that is kept in a file and asked again goes on from there and ends as
// one in one go; asked otherwise the file is left alone.
func TestExploreGoesOnFromItsFile(t *testing.T) {
	dir := t.TempDir()
	keep := filepath.Join(dir, "study.json")
	ask := func(more ...string) (int, string, string) {
		return run(t, message.English(), append([]string{"explore", "search", beans, "--population", "8", "--generations", "3"}, more...)...)
	}
	_, whole, _ := ask()
	if code, out, said := ask("--keep", keep); code != exitDone || out != whole {
		t.Fatalf("%d %s", code, said)
	}
	if code, out, said := ask("--keep", keep); code != exitDone || out != whole {
		t.Errorf("from its end it goes on to something else: %d %s", code, said)
	}
	before, _ := os.ReadFile(keep)
	code, _, said := ask("--keep", keep, "--seed", "2")
	if code != exitInput || !strings.Contains(said, "another study") {
		t.Errorf("another question got %d %s", code, said)
	}
	if after, _ := os.ReadFile(keep); string(before) != string(after) {
		t.Error("the file of another study was changed")
	}
}

// Each design that is found opens as a brief, and burns.
func TestDesignsOpenAsStoves(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "designs")
	code, _, said := run(t, message.English(), "explore", "search", beans, "--population", "8", "--generations", "2", "--out", dir)
	if code != exitDone {
		t.Fatal(code, said)
	}
	list, _ := filepath.Glob(filepath.Join(dir, "*.yaml"))
	if len(list) == 0 {
		t.Fatal("no designs were written")
	}
	for _, name := range list {
		code, out, said := run(t, message.English(), "fire", name, "--draws", "0", "--json")
		if code != exitDone {
			t.Fatalf("%s: %s", name, said)
		}
		var doc struct {
			Point struct {
				AirRatio float64 `json:"air_ratio"`
			} `json:"point"`
		}
		if err := json.Unmarshal([]byte(out), &doc); err != nil || doc.Point.AirRatio < 1.3 {
			t.Errorf("%s is recommended with an air ratio of %v (%v)", name, doc.Point.AirRatio, err)
		}
	}
	if code, _, said := run(t, message.English(), "explore", "search", beans, "--population", "8", "--generations", "2", "--out", dir); code != exitInput || !strings.Contains(said, "there already") {
		t.Errorf("designs were written over others: %d %s", code, said)
	}
}

func TestExploreNamesWhatIsWrong(t *testing.T) {
	for _, c := range []struct{ args, want string }{
		{"search " + beans + " --generations 0", "--generations: 0"},
		{"search " + beans + " --within 1s", "--within: 1s"},
		{"search " + beans + " --confidence 20%", "--confidence: 20%"},
		{"search " + beans + " --air-ratio 1", "air"},
		{"search " + beans + " --price bricks=3", "--price: bricks=3"},
		{"search " + beans + " --air-ratio inf", "allowed: 1.30 to 10.00"},
		{"search " + beans + " --air-ratio 1e300", "--air-ratio: 1e+300\n"},
		{"search " + beans + " --air-ratio nan", "--air-ratio: NaN\n"},
		{"search " + beans + " --price brick=inf", "--price: brick=+Inf"},
		{"search " + beans + " --price brick=nan", "--price: brick=NaN"},
		{"search " + beans + " --price brick=much", "a number"},
		{"search " + beans + " --confidence 99.9%", "confirmed by 32 draws"},
		{"search " + beans + " --confidence 50%", "allowed: 51 % to 97 %"},
		{"search " + beans + " --seed -1", "zero or more"},
		{"search " + beans + " --seed=-1", "zero or more"},
		{"search " + beans + " --workers -3", "zero or more"},
		{"search " + beans + " --workers=-3", "allowed: 0 to 1024"},
		{"search " + beans + " --skin -5°C", "equals sign"},
		{"search " + beans + " --goal cheap", "allowed: wood, time, cost, steady"},
		{"search " + beans + " --goal cost", "differ in: brick, fill, rod, sheet\n    try: --price brick=40"},
		{"search " + beans + " --goal cost --price labour=100", "has a price"},
		{"search " + beans + " --goal cost --price liner=100", "has a price"},
		{"search " + beans + " --goal cost --price body=100", "has a price"},
		{"search ../../examples/liner.yaml --goal cost --price brick=100", "differ in: fill, liner, rod, sheet"},
		{"search " + beans + " --cost 100", "has a price"},
		{"search " + beans + " --cost inf --price brick=3", "--cost: inf"},
		{"search " + beans + " --height 45g", "--height: 45g"},
		{"search " + beans + " --weight 2t", "--weight: 2t"},
		{"search " + beans + " --hold skirt.gaps", "try: --hold skirt.gap"},
		{"search " + beans + " --hold", "try: --hold skirt.gap"},
		{"sensitivity " + beans + " --rows 3", "--rows: 3"},
		{"tolerance " + beans + " --draws 3", "--draws: 3"},
		{"learn " + beans, "--test"},
		{"learn " + beans + " --test " + beans, beans},
		{"work nonsense://", "--team: nonsense://"},
		{"sensitivity", "<brief>"},
		{"nothing", "nothing"},
	} {
		code, out, said := run(t, message.English(), append([]string{"explore"}, strings.Fields(c.args)...)...)
		if code != exitInput || out != "" || !strings.Contains(said, c.want) {
			t.Errorf("%s: %d %q %s", c.args, code, out, said)
		}
	}
}

// TestExploreSpeaksTheLanguage holds the words of the answers to the catalogue.
func TestExploreSpeaksTheLanguage(t *testing.T) {
	dir := t.TempDir()
	file := func(name, more string) string {
		path := filepath.Join(dir, name)
		text := "pot: {circumference: 75.4 cm, height: 17 cm, handle_height: 13.5 cm, fill: 5 L}\n" + more
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	bare, wide := file("bare.yaml", ""), file("wide.yaml", "yours: {skirt.gap: 12 mm}\n")
	questions := []string{"sensitivity", "tolerance", "search", "learn", "next", "why", "pots", "work", "boiling", "yaml"} // and boiling-1.yaml
	for _, args := range [][]string{
		{"sensitivity", bare, "--global", "--rows", "16"}, {"tolerance", bare, "--draws", "50"}, {"tolerance", bare, "--draws", "50", "--time", "5min"},
		{"search", bare, "--population", "8", "--generations", "2"}, {"search", bare, "--population", "8", "--generations", "1", "--within", "3min"},
		{"why", bare, wide}, {"why", bare, bare}, {"pots", bare, wide}, {"learn", bare}, {"next", bare, "--runs", "0"}, {"--help"}, {}, {"serch"},
		{"why", bare, wide, "--report", "x.doc"}, {"search", bare, "--air-ratio", "1"},
	} {
		args = append([]string{"explore"}, args...)
		_, out, said := run(t, message.Pseudo(), args...)
		hardCoded(t, slices.Concat(args, questions), strings.ReplaceAll(out+said, dir, ""))
	}
}
