package brick

import (
	"os"
	"path/filepath"
	"regexp"
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
	for _, glob := range []string{"*.go", "data/*.yaml"} {
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
