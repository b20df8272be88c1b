package brick

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"stovewright/message"
)

// Every id written in the sources or the data files has its English, and
// every English sentence is used.
func TestMessageIDs(t *testing.T) {
	pattern := regexp.MustCompile(`brick\.[a-z0-9]+[a-z0-9.-]*[a-z0-9]`)
	used := make(map[string]bool)
	var files []string
	for _, glob := range []string{"*.go", "figure/*.go", "data/*.yaml"} {
		names, err := filepath.Glob(glob)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, names...)
	}
	prefixes := make(map[string]bool) // ids completed at run time: "brick.axis."+a.String()
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`"(brick\.[a-z0-9.-]*)\.?"`).FindAllStringSubmatch(string(data), -1) {
			if strings.HasSuffix(m[1], ".") || strings.HasSuffix(m[1], "-") {
				prefixes[m[1]] = true
			}
		}
		if strings.HasSuffix(name, ".yaml") {
			for _, id := range pattern.FindAllString(string(data), -1) {
				used[id] = true
			}
			continue
		}
		for _, m := range regexp.MustCompile(`"(brick\.[a-z0-9.-]*[a-z0-9])"`).FindAllStringSubmatch(string(data), -1) {
			used[m[1]] = true
		}
	}
	english := message.English()
	for id := range used {
		if !english.Has(id) {
			t.Errorf("%s is used and has no English", id)
		}
	}
	for _, id := range english.IDs() {
		if !strings.HasPrefix(id, "brick.") || used[id] {
			continue
		}
		completed := false
		for p := range prefixes {
			completed = completed || strings.HasPrefix(id, p)
		}
		if !completed {
			t.Errorf("%s is in the catalogue and used nowhere", id)
		}
	}
}

// What is put together at run time has its English too.
func TestComposedMessageIDs(t *testing.T) {
	english := message.English()
	has := func(text message.Text) {
		if !english.Has(text.ID) {
			t.Errorf("%s has no English", text.ID)
		}
	}
	for _, fields := range [][]Field{ClayFields, SeriesFields, KilnFields, DryingFields, MouldFields, BatchFields} {
		for _, f := range fields {
			has(f.Name())
		}
	}
	for _, test := range clayTests {
		has(message.T("brick.clay." + test.Key + ".limits"))
		for _, g := range test.Grades {
			has(message.T("brick.clay." + test.Key + "." + g.Grade))
		}
		for _, w := range test.Words {
			has(message.T("brick.clay." + test.Key + "." + strings.ReplaceAll(w, " ", "-")))
			if f, ok := ClayFields.Find(test.Key); !ok || !slices.Contains(f.Options, w) {
				t.Errorf("the clay card does not know %s %s", test.Key, w)
			}
		}
	}
	for _, b := range append(HeatingBands(), CoolingBands()...) {
		has(b.Why())
		if b.Hold > 0 && b.At > 0 {
			has(message.T("brick.firing.hold." + b.Key))
		}
	}
	for _, c := range firingTable.Colours {
		has(message.T("brick.firing.colour." + c.Key))
	}
	for _, s := range Symptoms() {
		has(s.Text)
		causes := Causes(s.Key, Facts{})
		if len(causes) < 2 {
			t.Errorf("%s has %d causes", s.Key, len(causes))
		}
		for _, c := range causes {
			has(c.Text)
			has(c.Try)
			has(c.Because)
		}
	}
}

// Every mass, share and word of the tables is sound, and every value that
// claims a source names one.
func TestTables(t *testing.T) {
	sound := func(name string, p Param) {
		if !(p.Min <= p.Low && p.Low <= p.High && p.High <= p.Max && p.Min <= p.Default && p.Default <= p.Max) {
			t.Errorf("%s is out of order: %+v", name, p)
		}
		if strings.HasPrefix(p.Standing, "published") != (p.Source != "") {
			t.Errorf("%s: standing %q with source %q", name, p.Standing, p.Source)
		}
	}
	for _, r := range ingredientTable {
		sound(r.Key+" moisture", r.Moisture)
		sound(r.Key+" loss", r.Loss)
		if r.Grain < 100 || r.Fired < 1000 {
			t.Errorf("%s: %+v", r.Key, r)
		}
		if (r.Role == "pore former") != (r.Heat > 0) {
			t.Errorf("%s: role %s and heat %v", r.Key, r.Role, r.Heat)
		}
	}
	f := FormingDefaults()
	for name, p := range map[string]Param{"air": f.Air, "drained": f.Drained, "drying": f.Drying, "firing": f.Firing} {
		sound(name, p)
	}
	for i := 1; i < len(coneTable); i++ {
		if coneTable[i].At <= coneTable[i-1].At {
			t.Errorf("cone %s is not above %s", coneTable[i].Name, coneTable[i-1].Name)
		}
	}
}
