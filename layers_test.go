package stovewright_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// floors is the building: a package may import packages on lower floors, and
// on its own floor only where beside says so. A package that is not listed
// fails the test, so that somebody decides where it belongs.
var floors = map[string]int{
	"quantity": 0, "message": 0, "proof": 0, "internal/num": 0, "internal/form": 0, "internal/xlsx": 0, "internal/outside": 0, "docs": 0, "examples": 0,
	"gas": 1, "fuel": 1, "material": 1, "stats": 1,
	"drawing": 2, "drawing/mesh": 2, "heat": 2, "internal/serial": 2,
	"stove": 3, "brick": 3, "brick/mixture": 3,
	"brick/figure": 4, "stove/figure": 4, "stove/stovetest": 4, "fire": 4, "bench": 4,
	"fire/figure": 5, "bench/figure": 5, "kit": 5, "kit/nest": 5, "kit/flat": 5, "explore": 5,
	"workshop": 6, "booklet": 6, "study": 6, "explore/figure": 6, "proof/all": 6,
	"internal/cli": 7, "internal/web": 7,
	"cmd/stovewright": 8,
}

// beside lists the imports that stay on one floor; each has a reason.
var beside = map[string][]string{
	"internal/num":  {"proof"},                // its checks
	"message":       {"quantity"},             // sentences hold values
	"internal/form": {"message", "quantity"},  // it reads values and complains in sentences
	"fuel":          {"gas"},                  // flue gas is made of gases
	"stove":         {"brick"},                // a lining is made of bricks
	"brick":         {"brick/mixture"},        // trials are planned as mixtures
	"kit":           {"kit/nest", "kit/flat"}, // parts of one job
	"internal/cli":  {"internal/web"},         // the command line opens the bench
	"fire":          {"bench"},                // a boil run is written as a boiling test
	"explore":       {"kit", "kit/nest"},      // cost and making errors
	"booklet":       {"explore/figure"},       // its pages hold pictures
}

// technology is what numeric packages must not know, so that they also compile
// for a browser.
var technology = []string{"database/sql", "modernc.org/sqlite", "net/http", "html/template", "github.com/alecthomas/kong"}

func TestLowFloorsKnowNothingOfHighOnes(t *testing.T) {
	for _, p := range packages(t) {
		floor, listed := floors[p.path]
		if !listed {
			t.Errorf("package %s is on no floor: add it to floors", p.path)
			continue
		}
		for _, imported := range p.imports {
			inside, ours := strings.CutPrefix(imported, "stovewright/")
			if !ours {
				continue
			}
			target := floors[inside]
			if target > floor || target == floor && !contains(beside[p.path], inside) && inside != p.path {
				t.Errorf("%s (floor %d) imports %s (floor %d)", p.path, floor, inside, target)
			}
		}
		if floor <= 5 {
			for _, tech := range technology {
				if contains(p.imports, tech) {
					t.Errorf("%s imports %s: numeric packages know neither store nor faces", p.path, tech)
				}
			}
		}
	}
}

type pkg struct {
	path    string
	imports []string
}

// packages reads the imports of every package of the module, tests left out.
func packages(t *testing.T) []pkg {
	t.Helper()
	found := make(map[string]*pkg)
	err := filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") && name != ".") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		dir := path.Dir(filepath.ToSlash(name))
		if found[dir] == nil {
			found[dir] = &pkg{path: dir}
		}
		for _, i := range file.Imports {
			if imported, err := strconv.Unquote(i.Path.Value); err == nil {
				found[dir].imports = append(found[dir].imports, imported)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	var list []pkg
	for _, p := range found {
		list = append(list, *p)
	}
	return list
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
