package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"stovewright/explore"
	"stovewright/message"
	"stovewright/stove"
)

// A kitchen with a drum that can be a body, so that a search has both ways to choose.
const withDrum = `pot: {name: beans pot, circumference: 75.4 cm, height: 17 cm, handle_height: 13.5 cm, fill: 5 L}
at_hand: {bodies: [{kind: drum, diameter: 38 cm, height: 50 cm}]}
`

func writeBrief(t *testing.T, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// sizedBrief is the stove of a brief in YAML.
func sizedBrief(t *testing.T, text string) *stove.Stove {
	t.Helper()
	form, err := stove.ParseForm([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	s, err := explore.Subject{Form: form}.Stove()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func searchedJSON(t *testing.T, args ...string) (doc exploreJSON) {
	t.Helper()
	code, out, said := run(t, message.English(), append([]string{"explore", "search", "--json"}, args...)...)
	if code != exitDone {
		t.Fatalf("%v: %d %s", args, code, said)
	}
	if err := json.Unmarshal([]byte(out), &doc); err != nil {
		t.Fatal(err)
	}
	return doc
}

// Whoever builds a design is told the ways of building that the search chose.
func TestSearchTellsTheWaysOfBuilding(t *testing.T) {
	brief := writeBrief(t, t.TempDir(), "drum.yaml", withDrum)
	args := []string{brief, "--population", "16", "--generations", "6"}
	start, doc, others := sizedBrief(t, withDrum), searchedJSON(t, args...), 0
	_, text, _ := run(t, message.English(), append([]string{"explore", "search"}, args...)...)
	for _, d := range doc.Designs {
		s := sizedBrief(t, d.Brief)
		for _, way := range []struct {
			key, word, says string
			is              bool
		}{
			{"chamber", "round", "Chamber round", start.Square && !s.Square},
			{"body", "rolled", "Body rolled from sheet", start.Container != nil && s.Container == nil},
		} {
			if way.is {
				others++
			}
			if (d.Choices[way.key] == way.word) != way.is || strings.Contains(d.Sets, way.says) != way.is {
				t.Errorf("the %s is otherwise: %v; told are %v, %s", way.key, way.is, d.Choices, d.Sets)
			}
		}
		if !strings.Contains(text, d.Sets) {
			t.Errorf("the text does not say: %s", d.Sets)
		}
	}
	if others == 0 {
		t.Fatal("no design is built otherwise: nothing was tried")
	}
}

// What cannot be written is said before the work begins: no study was kept.
func TestAnswersHaveAPlaceToGo(t *testing.T) {
	dir := t.TempDir()
	designs := filepath.Join(dir, "designs")
	if err := os.Mkdir(designs, 0o700); err != nil {
		t.Fatal(err)
	}
	file := writeBrief(t, designs, "design-3.yaml", withDrum)
	for _, c := range []struct {
		question, flag, path string
		code                 int
		want                 string
	}{
		{"search", "--out", designs, exitInput, "design-3.yaml"},
		{"search", "--out", file, exitFile, file},
		{"search", "--report", filepath.Join(file, "report.pdf"), exitFile, file},
		{"search", "--pictures", file, exitFile, file},
		{"tolerance", "--report", filepath.Join(file, "report.pdf"), exitFile, file},
		{"tolerance", "--gauges", designs, exitFile, designs},
		{"sensitivity", "--pictures", file, exitFile, file},
		{"learn", "--learnt", file, exitInput, "there already"},
		{"learn", "--learnt", filepath.Join(file, "learnt.yaml"), exitFile, file},
	} {
		keep := filepath.Join(dir, "keep.json")
		code, out, said := run(t, message.English(), "explore", c.question, beans, c.flag, c.path, "--keep", keep)
		if code != c.code || out != "" || !strings.Contains(said, c.want) {
			t.Errorf("%s %s %s: %d %q %s", c.question, c.flag, c.path, code, out, said)
		}
		if _, err := os.Stat(keep); err == nil {
			t.Fatalf("%s %s: the work was begun", c.question, c.flag)
		}
	}
	left, _ := os.ReadDir(designs)
	if len(left) != 1 {
		t.Errorf("trying left files behind: %v", left)
	}
}

// A stove that chokes has no answer as drawn but that which fire gives; a search can
// mend it.
func TestChokedStovesAreTold(t *testing.T) {
	_, _, fire := run(t, message.English(), "fire", beans, "--set", "skirt.gap=3mm")
	if !strings.Contains(fire, "Widen the gap around the pot") {
		t.Fatalf("fire says %s", fire)
	}
	for _, question := range []string{"sensitivity", "tolerance"} {
		code, out, said := run(t, message.English(), "explore", question, beans, "--set", "skirt.gap=3mm")
		if code != exitFailed || out != "" || said != fire {
			t.Errorf("%s: %d %q %s", question, code, out, said)
		}
	}
	narrow := writeBrief(t, t.TempDir(), "narrow.yaml", "name: Narrow\nyours: {skirt.gap: 3 mm}\n"+withDrum)
	if code, out, said := run(t, message.English(), "explore", "why", beans, narrow); code != exitFailed || out != "" || !strings.Contains(said, "Failed: Narrow ("+narrow+"): at ") || !strings.Contains(said, "Widen the gap") {
		t.Errorf("why: %d %q %s", code, out, said)
	}
	doc := searchedJSON(t, beans, "--set", "skirt.gap=3mm", "--population", "24", "--generations", "12")
	if len(doc.Designs) == 0 {
		t.Errorf("the search does not mend it: %v", doc.Says)
	}
	for _, d := range doc.Designs {
		if gap := sizedBrief(t, d.Brief).Value("skirt.gap").SI; gap <= 0.003 || d.AirRatio == nil || *d.AirRatio < 1.8 {
			t.Errorf("mended with a gap of %v", gap)
		}
	}
	if said := strings.Join(doc.Says, "\n"); !strings.Contains(said, "what the brief sets: Skirt gap.") {
		t.Errorf("nobody is told that the gap of the brief was changed: %s", said)
	}
}

// Goals are those that are asked for; cost is none where nothing has a price.
func TestSearchGoals(t *testing.T) {
	small := []string{beans, "--population", "8", "--generations", "2"}
	for _, c := range []struct {
		more  []string
		goals string
		cost  bool
	}{
		{nil, "steady time wood", false},
		{[]string{"--price", "liner=100"}, "steady time wood", false},
		{[]string{"--price", "brick=4"}, "cost steady time wood", true},
		{[]string{"--price", "brick=4", "--goal", "wood"}, "wood", true},
		{[]string{"--goal", "time", "--goal", "steady"}, "steady time", false},
		{[]string{"--goal", "cost", "--price", "sheet=12"}, "cost", true},
	} {
		doc := searchedJSON(t, append(small, c.more...)...)
		if len(doc.Designs) == 0 {
			t.Fatalf("%v: nothing was found", c.more)
		}
		for _, d := range doc.Designs {
			var goals []string
			for _, g := range []string{"cost", "steady", "time", "wood"} {
				if d.Objectives[g] != nil {
					goals = append(goals, g)
				}
			}
			if strings.Join(goals, " ") != c.goals || len(goals) != len(d.Objectives) || (d.Cost != nil) != c.cost {
				t.Errorf("%v: goals %v, cost %v", c.more, d.Objectives, d.Cost)
			}
		}
		_, out, said := run(t, message.English(), append(append([]string{"explore", "search"}, small...), c.more...)...)
		if strings.Contains(out, "least cost") != strings.Contains(c.goals, "cost") {
			t.Errorf("%v: %s", c.more, out)
		}
		if strings.Contains(said, "cost cannot count") != (len(c.more) > 1 && c.more[1] == "liner=100") {
			t.Errorf("%v: says %s", c.more, said)
		}
	}
}

// Limits of the command take the place of those of the brief.
func TestSearchLimits(t *testing.T) {
	base := searchedJSON(t, beans, "--population", "8", "--generations", "4")
	heavy := 0.0
	for _, d := range base.Designs {
		heavy = max(heavy, *d.Mass)
	}
	if len(base.Designs) == 0 {
		t.Fatal("nothing was found")
	}
	for _, d := range searchedJSON(t, beans, "--population", "24", "--generations", "6", "--weight", fmt.Sprintf("%.1fkg", heavy-0.5), "--height", "60cm").Designs {
		if rim := sizedBrief(t, d.Brief).RimLevel(); *d.Mass > heavy-0.5+0.05 || rim > 0.6 {
			t.Errorf("a design weighs %v, with its rim at %v", *d.Mass, rim)
		}
	}
	_, out, _ := run(t, message.English(), "explore", "search", beans, "--population", "8", "--generations", "1", "--height", "20cm", "--weight", "3kg", "--cost", "2", "--price", "brick=10")
	for _, want := range []string{"height of the pot's rim ≤ 200 mm; weight ≤ 3.0 kg; cost ≤ 2.00.", "the one that comes closest:", "at most 200 mm is allowed."} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
}

// What is held stays as drawn, whether the brief sets it or the rules do.
func TestSearchHoldsDimensions(t *testing.T) {
	file, err := os.ReadFile(beans)
	if err != nil {
		t.Fatal(err)
	}
	drawn := sizedBrief(t, string(file))
	for _, gap := range []string{drawn.Value("skirt.gap").String(), "9.0 mm"} {
		gap = strings.ReplaceAll(gap, "\u00a0", " ")
		doc := searchedJSON(t, beans, "--set", "skirt.gap="+gap, "--hold", "skirt.gap,chamber.width", "--population", "16", "--generations", "4")
		if len(doc.Designs) == 0 {
			t.Fatal("nothing was found")
		}
		for _, d := range doc.Designs {
			s := sizedBrief(t, d.Brief)
			if got := s.Value("chamber.width").String(); got != drawn.Value("chamber.width").String() {
				t.Errorf("the chamber was held and is %s wide", got)
			}
			if got := strings.ReplaceAll(s.Value("skirt.gap").String(), "\u00a0", " "); got != gap {
				t.Errorf("the gap was held at %s and is %s", gap, got)
			}
		}
		if said := strings.Join(doc.Says, "\n"); strings.Contains(said, "--hold") {
			t.Errorf("says %s", said)
		}
	}
	all := "power.fire,chamber.width,mouth.height,brick.courses,brick.thickness,fill.least,gap.throat,gap.edge,skirt.gap,skirt.rise,choices.chamber"
	if code, _, said := run(t, message.English(), "explore", "search", beans, "--hold", all); code != exitInput || !strings.Contains(said, "nothing is left") {
		t.Errorf("with all held: %d %s", code, said)
	}
}

// A search that is stopped before its first generation is done says so, and writes no
// pictures of nothing.
func TestSearchStoppedEarly(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	pictures := filepath.Join(t.TempDir(), "pictures")
	var out, said bytes.Buffer
	p := Program{Args: []string{"explore", "search", beans, "--pictures", pictures}, Out: &out, Err: &said, Catalogue: message.English()}
	code := p.Run(ctx)
	if code != exitFailed || !strings.Contains(out.String(), "stopped before the first generation") || strings.Contains(out.String(), "None was found") || said.String() != "Failed: interrupted\n" {
		t.Errorf("%d %s %s", code, out.String(), said.String())
	}
	if _, err := os.Stat(pictures); err == nil {
		t.Error("a folder was made for no pictures")
	}
}

// Whatever is cut from a kept study or changed in it, it is refused by its name.
func TestDamagedKeepFilesAreRefused(t *testing.T) {
	keep := filepath.Join(t.TempDir(), "study.json")
	ask := func() (int, string, string) {
		return run(t, message.English(), "explore", "search", beans, "--population", "8", "--generations", "2", "--keep", keep)
	}
	if code, _, said := ask(); code != exitDone {
		t.Fatal(code, said)
	}
	whole, err := os.ReadFile(keep)
	if err != nil {
		t.Fatal(err)
	}
	var file map[string]json.RawMessage
	if err := json.Unmarshal(whole, &file); err != nil {
		t.Fatal(err)
	}
	var study map[string]json.RawMessage
	if err := json.Unmarshal(file["study"], &study); err != nil {
		t.Fatal(err)
	}
	damaged := map[string][]byte{"nothing": {}, "no study": []byte("{}"), "half": whole[:len(whole)/2], "other bytes": bytes.Replace(whole, []byte("0."), []byte("7."), 1)}
	for key := range study {
		less := make(map[string]json.RawMessage)
		for k, v := range study {
			if k != key {
				less[k] = v
			}
		}
		inner, err := json.Marshal(less)
		if err != nil {
			t.Fatal(err)
		}
		damaged["without "+key] = bytes.Replace(whole, file["study"], inner, 1)
	}
	for what, data := range damaged {
		if err := os.WriteFile(keep, data, 0o600); err != nil {
			t.Fatal(err)
		}
		code, out, said := ask()
		if code != exitInput || out != "" || !strings.Contains(said, "--keep: "+keep) || !strings.Contains(said, "damaged") || !strings.Contains(said, "Begin anew") {
			t.Errorf("%s: %d %s", what, code, said)
		}
		if after, _ := os.ReadFile(keep); !bytes.Equal(after, data) {
			t.Errorf("%s: the file was changed", what)
		}
	}
}

// FuzzKeptStudies holds that nothing is taken up but what was written whole.
func FuzzKeptStudies(f *testing.F) {
	study, err := json.Marshal(&explore.Search{})
	if err != nil {
		f.Fatal(err)
	}
	whole, err := json.Marshal(kept{"asked", hashOf(study), study})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(whole)
	f.Add(append([]byte(" "), whole...))
	f.Add(whole[:len(whole)/2])
	f.Add([]byte(`{"question": "asked"}`))
	f.Add([]byte(`{"question": "other", "whole": "", "study": {}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		why := takeUp(data, "asked", new(explore.Search))
		if why == "" && !bytes.Contains(data, study) || why != "" && bytes.Equal(data, whole) {
			t.Errorf("%q: %s", data, why)
		}
	})
}

// Two pots of one name are told apart, by their files or by their numbers.
func TestPotsOfOneNameAreToldApart(t *testing.T) {
	dir := t.TempDir()
	small := writeBrief(t, dir, "small.yaml", "pot: {name: beans pot, circumference: 75.4 cm, height: 17 cm, handle_height: 13.5 cm, fill: 5 L}\n")
	large := writeBrief(t, dir, "large.yaml", "pot: {name: beans pot, circumference: 95 cm, height: 20 cm, handle_height: 16 cm, fill: 9 L}\n")
	both := writeBrief(t, dir, "both.yaml", "pot: {name: beans pot, circumference: 75.4 cm, height: 17 cm, handle_height: 13.5 cm, fill: 5 L}\n"+
		"more_pots: [{name: beans pot, circumference: 95 cm, height: 20 cm, handle_height: 16 cm, fill: 9 L}, {name: tea pot, circumference: 60 cm, height: 14 cm, handle_height: 11 cm, fill: 2 L}]\n")
	for _, c := range []struct {
		args []string
		want []string
	}{
		{[]string{small, large}, []string{"\nbeans pot (" + small + ")  ", "\nbeans pot (" + large + ")  "}},
		{[]string{both}, []string{"\nbeans pot (1)  ", "\nbeans pot (2)  ", "\ntea pot  "}},
		{[]string{both, large}, []string{"\nbeans pot (" + both + ", 1)  ", "\nbeans pot (" + both + ", 2)  ", "\nbeans pot (" + large + ")  ", "\ntea pot  "}},
	} {
		code, out, said := run(t, message.English(), append([]string{"explore", "pots"}, c.args...)...)
		if code != exitDone {
			t.Fatal(code, said)
		}
		for _, want := range c.want {
			if !strings.Contains(out, want) {
				t.Errorf("%q is not in\n%s", want, out)
			}
		}
	}
}

// Two stoves that are made for one pot are told apart by their skirts.
func TestStovesForOnePotAreToldApart(t *testing.T) {
	brief := writeBrief(t, t.TempDir(), "low.yaml", "pot: {name: beans pot, circumference: 75.4 cm, height: 17 cm, handle_height: 13.5 cm, fill: 5 L}\n"+
		"more_pots: [{name: low pot, circumference: 75.4 cm, height: 12 cm, handle_height: 6 cm, fill: 3 L}, {name: lower pot, circumference: 75.4 cm, height: 12 cm, handle_height: 4 cm, fill: 3 L}]\n")
	code, out, said := run(t, message.English(), "explore", "pots", brief)
	if code != exitDone {
		t.Fatal(code, said)
	}
	two := regexp.MustCompile(`Two sizes: one made for (.*), one for (.*), with \d+ g of wood`).FindStringSubmatch(out)
	if two == nil || !strings.HasPrefix(two[1], "beans pot (skirt gap ") || !strings.HasPrefix(two[2], "beans pot (skirt gap ") || two[1] == two[2] {
		t.Fatalf("%q of\n%s", two, out)
	}
	for _, name := range two[1:] {
		if !strings.Contains(out, "on the stove made for "+name+", ") {
			t.Errorf("no pot is on the stove for %s:\n%s", name, out)
		}
	}
}
