package docs_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"stovewright/internal/cli"
	"stovewright/message"
)

// TestCommandLinePage runs every example of cli.md and compares what it prints
// with the page. A line of "…" on the page stands for any lines.
func TestCommandLinePage(t *testing.T) {
	page, err := os.ReadFile("cli.md")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.CopyFS(dir+"/examples", os.DirFS("../examples")); err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	for _, file := range fenced(string(page), "yaml") {
		name, _, _ := strings.Cut(strings.TrimPrefix(file, "# "), "\n")
		if err := os.WriteFile(name, []byte(file), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	blocks := fenced(string(page), "console")
	if len(blocks) < 5 {
		t.Fatalf("only %d examples are found on the page", len(blocks))
	}
	code := 0
	for _, block := range blocks {
		for _, example := range strings.Split("\n"+block, "\n$ ")[1:] {
			command, want, _ := strings.Cut(example, "\n")
			var got string
			if command == "echo $?" {
				got = fmt.Sprintln(code)
			} else {
				got, code = run(t, command)
			}
			if !matches(strings.TrimRight(got, "\n"), strings.TrimRight(want, "\n")) {
				t.Errorf("%s prints\n%s\nand the page says\n%s", command, got, want)
			}
		}
	}
}

// fenced gives the code blocks of a language.
func fenced(page, language string) (list []string) {
	for _, m := range regexp.MustCompile("(?ms)^```"+language+"\n(.*?)^```$").FindAllStringSubmatch(page, -1) {
		list = append(list, m[1])
	}
	return list
}

// run runs a command of the page and gives what a terminal would show.
func run(t *testing.T, command string) (shown string, code int) {
	t.Helper()
	args := strings.Fields(command)
	if args[0] != "stovewright" {
		t.Fatalf("the page has a command of another program: %s", command)
	}
	var out bytes.Buffer
	p := cli.Program{Args: args[1:], Out: &out, Err: &out, Catalogue: message.English()}
	code = p.Run(context.Background())
	return out.String(), code
}

// matches compares an output with a page on which "…" lines stand for any.
func matches(got, want string) bool {
	var pattern strings.Builder
	for _, line := range strings.Split(want, "\n") {
		if strings.TrimSpace(line) == "…" {
			pattern.WriteString(`(?:.*\n)*`)
			continue
		}
		pattern.WriteString(regexp.QuoteMeta(line) + `\n`)
	}
	return regexp.MustCompile(`\A` + pattern.String() + `\z`).MatchString(got + "\n")
}
