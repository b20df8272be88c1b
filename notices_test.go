package stovewright_test

import (
	"bytes"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// phrases tell a licence by its own words, in the texts of the Open Source
// Initiative (https://opensource.org/licenses). Only these licences may be
// linked: they are permissive, and their terms are met by carrying their text.
var phrases = map[string][]string{
	"MIT":          {"Permission is hereby granted, free of charge", "The above copyright notice and this permission notice"},
	"BSD-3-Clause": {"Redistribution and use in source and binary forms", "Neither the name"},
	"BSD-2-Clause": {"Redistribution and use in source and binary forms"},
	"Apache-2.0":   {"Apache License", "Version 2.0, January 2004"},
	"OFL-1.1":      {"SIL OPEN FONT LICENSE Version 1.1"},
}

// unlike are words that a licence of that name does not have.
var unlike = map[string]string{"BSD-2-Clause": "Neither the name"}

// systems are those that the program is built for.
var systems = []string{"linux", "windows", "darwin"}

const (
	goRow   = "Go standard library and runtime"
	fontRow = "Liberation Sans (fonts)"
)

// TestNotices holds THIRD_PARTY.md to what is linked into the program: every
// module is listed, nothing else is, its licence is permissive and is the one
// in the module itself, and its text is carried along unchanged.
func TestNotices(t *testing.T) {
	rows := noticed(t)
	linked := linked(t)
	linked[goRow] = goroot(t)
	linked[fontRow] = filepath.Join("drawing", "fonts")
	for name, dir := range linked {
		row, ok := rows[name]
		if !ok {
			t.Errorf("%s is linked and not in THIRD_PARTY.md", name)
			continue
		}
		t.Run(name, func(t *testing.T) { row.check(t, name, dir) })
	}
	for name := range rows {
		if _, ok := linked[name]; !ok {
			t.Errorf("%s is in THIRD_PARTY.md and not linked", name)
		}
	}
	carried, err := os.ReadDir(carriedDir)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range carried {
		if name := c.Name(); name != "stovewright" && !slices.ContainsFunc(keys(linked), func(k string) bool { return folder(k) == name }) {
			t.Errorf("%s/%s is of nothing that is linked", carriedDir, name)
		}
	}
}

const carriedDir = "docs/licences"

// folder is where the texts of a row are carried.
func folder(name string) string {
	switch name {
	case goRow:
		return "go"
	case fontRow:
		return "liberation-sans"
	}
	return strings.ReplaceAll(name, "/", "_")
}

type notice struct{ licence, copyright string }

// check holds a row to the licence files of its source, and the texts that are
// carried to those.
func (n notice) check(t *testing.T, name, source string) {
	wants, allowed := phrases[n.licence]
	if !allowed {
		t.Fatalf("%q is not one of the licences that may be linked", n.licence)
	}
	var own string // the texts of the source, in one
	carried := filepath.Join(carriedDir, folder(name))
	count := 0
	err := filepath.WalkDir(carried, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		inside, err := filepath.Rel(carried, path)
		if err != nil {
			return err
		}
		want, err := os.ReadFile(filepath.Join(source, inside))
		if err != nil {
			return err
		}
		got, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s is not the text of the source", path)
		}
		if inside == "LICENSE" || inside == "COPYING" || inside == "OFL.txt" {
			own += string(want)
		}
		count++
		return nil
	})
	if err != nil || count == 0 {
		t.Fatalf("the texts cannot be compared: %d files, %v", count, err)
	}
	plain := strings.Join(strings.Fields(own), " ")
	for _, w := range wants {
		if !strings.Contains(plain, w) {
			t.Errorf("the licence is not %s: it lacks %q", n.licence, w)
		}
	}
	if w := unlike[n.licence]; w != "" && strings.Contains(plain, w) {
		t.Errorf("the licence is not %s: it has %q", n.licence, w)
	}
	// the text of the Apache licence names nobody: then the source files do
	if !strings.Contains(own, n.copyright) && !(n.licence == "Apache-2.0" && headed(source, n.copyright)) {
		t.Errorf("neither the licence nor the source has a line %q", n.copyright)
	}
	complete(t, source, carried)
}

// headed reports whether a Go file of a folder has a line at its head.
func headed(dir, line string) bool {
	files, _ := filepath.Glob(filepath.Join(dir, "*.go"))
	for _, name := range files {
		if data, err := os.ReadFile(name); err == nil && bytes.Contains(data[:min(len(data), 300)], []byte(line)) {
			return true
		}
	}
	return false
}

// complete finds licence files of a module that are not carried along.
func complete(t *testing.T, source, carried string) {
	entries, err := os.ReadDir(source)
	if err != nil {
		t.Fatal(err)
	}
	file := regexp.MustCompile(`^(LICEN[CS]E|COPYING|NOTICE|OFL)`)
	for _, e := range entries {
		if e.IsDir() || !file.MatchString(e.Name()) || e.Name() == "LICENSE-LOGO" { // of a picture that is not linked
			continue
		}
		if _, err := os.Stat(filepath.Join(carried, e.Name())); err != nil {
			t.Errorf("%s is not carried along", e.Name())
		}
	}
}

// noticed reads the table of THIRD_PARTY.md.
func noticed(t *testing.T) map[string]notice {
	t.Helper()
	data, err := os.ReadFile("THIRD_PARTY.md")
	if err != nil {
		t.Fatal(err)
	}
	rows := make(map[string]notice)
	for _, m := range regexp.MustCompile(`(?m)^\| ([^|]+) \| ([^|]+) \| ([^|]+) \|$`).FindAllStringSubmatch(string(data), -1) {
		if m[1] != "what" {
			rows[m[1]] = notice{m[2], m[3]}
		}
	}
	return rows
}

// linked gives the modules of the packages that the program is built from, on
// any of the systems it is built for, with their folders.
func linked(t *testing.T) map[string]string {
	t.Helper()
	list := make(map[string]string)
	for _, system := range systems {
		cmd := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Dir}}{{end}}{{end}}", "./cmd/stovewright")
		cmd.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		var complaints bytes.Buffer
		cmd.Stderr = &complaints
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("go list: %v\n%s", err, complaints.String())
		}
		for _, line := range strings.Split(string(out), "\n") {
			if path, dir, ok := strings.Cut(line, "\t"); ok {
				list[path] = dir
			}
		}
	}
	if len(list) == 0 {
		t.Fatal("nothing is linked")
	}
	return list
}

func goroot(t *testing.T) string {
	t.Helper()
	out, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(string(out))
}

func keys(m map[string]string) (list []string) {
	for k := range m {
		list = append(list, k)
	}
	return list
}

// TestOwnLicence holds the texts that the program carries of itself to those
// of the project.
func TestOwnLicence(t *testing.T) {
	for _, name := range []string{"LICENSE", "NOTICE"} {
		want, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		got, err := os.ReadFile(filepath.Join(carriedDir, "stovewright", name))
		if err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s is carried otherwise: %v", name, err)
		}
	}
	text, err := os.ReadFile("LICENSE")
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range phrases["Apache-2.0"] {
		if !strings.Contains(string(text), w) {
			t.Errorf("LICENSE lacks %q", w)
		}
	}
}
