package all

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"stovewright/docs"
	"stovewright/proof"
)

// TestRegister runs every entry of the register, as the proof page does.
func TestRegister(t *testing.T) {
	checks := Checks()
	if err := proof.Validate(checks); err != nil {
		t.Fatal(err)
	}
	for _, r := range proof.Verify(checks) {
		if !r.Pass {
			t.Error(r)
		}
	}
}

// TestNoPackageIsForgotten finds every package that exports Checks.
func TestNoPackageIsForgotten(t *testing.T) {
	source, err := os.ReadFile("all.go")
	if err != nil {
		t.Fatal(err)
	}
	root := filepath.Join("..", "..")
	declares := regexp.MustCompile(`(?m)^func Checks\(\) \[\]proof\.Check`)
	walkSource(t, root, func(path, text string) {
		if !strings.HasSuffix(path, ".go") || !declares.MatchString(text) {
			return
		}
		dir, _ := filepath.Rel(root, filepath.Dir(path))
		if dir = filepath.ToSlash(dir); dir != "proof/all" && !strings.Contains(string(source), `"stovewright/`+dir+`"`) {
			t.Errorf("package %s has entries for the register that are not gathered here", dir)
		}
	})
}

var bibEntry = regexp.MustCompile(`(?m)^@\w+\{([A-Za-z0-9-]+),`)

// TestBibliography holds the bibliography and its use together: no key that is
// used and missing, none that is there and not used, none given twice.
func TestBibliography(t *testing.T) {
	known := make(map[string]bool)
	for _, m := range bibEntry.FindAllStringSubmatch(docs.Bibliography, -1) {
		if known[m[1]] {
			t.Errorf("%s stands twice in docs/sources.bib", m[1])
		}
		known[m[1]] = true
	}
	for _, c := range Checks() {
		if c.Source != "" && !known[c.Source] {
			t.Errorf("check %s cites %q, which docs/sources.bib does not have", c.ID, c.Source)
		}
	}
	cited := regexp.MustCompile(`(?m)["']?source["']?\s*:\s*"?([a-z][a-z0-9-]*[0-9][a-z0-9-]*)"?\s*[,}\n]`)
	used := make(map[string]bool)
	walkSource(t, filepath.Join("..", ".."), func(path, text string) {
		if strings.HasSuffix(path, ".yaml") || strings.HasSuffix(path, ".json") {
			for _, m := range cited.FindAllStringSubmatch(text, -1) {
				if !known[m[1]] {
					t.Errorf("%s cites %q, which docs/sources.bib does not have", path, m[1])
				}
			}
		}
		for key := range known {
			if strings.Contains(text, key) {
				used[key] = true
			}
		}
	})
	for key := range known {
		if !used[key] {
			t.Errorf("%s stands in docs/sources.bib and is used nowhere", key)
		}
	}
}

// walkSource calls fn with every source and data file of the project.
func walkSource(t *testing.T, root string, fn func(path, text string)) {
	t.Helper()
	err := filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if name := d.Name(); name == ".git" || name == "testdata" && strings.Contains(path, "fuzz") {
				return filepath.SkipDir
			}
			return nil
		}
		switch filepath.Ext(path) {
		case ".go", ".yaml", ".json", ".md":
			data, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			fn(path, string(data))
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
