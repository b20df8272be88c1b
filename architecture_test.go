package stovewright_test

import (
	"os"
	"regexp"
	"strconv"
	"testing"
)

// TestArchitecturePage holds the table of docs/architecture.md to the floors
// of the packages that there are.
func TestArchitecturePage(t *testing.T) {
	page, err := os.ReadFile("docs/architecture.md")
	if err != nil {
		t.Fatal(err)
	}
	onPage := make(map[string]int)
	name := regexp.MustCompile("`([a-z/]+)`")
	for _, row := range regexp.MustCompile(`(?m)^\| (\d) \| ([^|]+) \|`).FindAllStringSubmatch(string(page), -1) {
		floor, err := strconv.Atoi(row[1])
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range name.FindAllStringSubmatch(row[2], -1) {
			onPage[m[1]] = floor
		}
	}
	there := make(map[string]bool)
	for _, p := range packages(t) {
		there[p.path] = true
		if floor, ok := onPage[p.path]; !ok || floor != floors[p.path] {
			t.Errorf("%s stands on floor %d, on the page %d (%v)", p.path, floors[p.path], floor, ok)
		}
	}
	for p := range onPage {
		if !there[p] {
			t.Errorf("%s is on the page, and there is no such package", p)
		}
	}
}
