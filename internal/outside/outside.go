// Package outside finds the programs of others that tests hold this one against,
// and asks them. Where one is lacking the test is skipped with a plain word, so
// that the tests pass on a machine that has nothing but Go; with CI=true in the
// environment it fails, so that no check is lost unseen.
package outside

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"testing"
)

// Lacks ends a test that needs what is not here, named with where it comes from.
func Lacks(t testing.TB, what string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s is not here, and CI must have it", what)
	}
	t.Skipf("%s is not here: this check is left out", what)
}

// Program is the path of a program by its name.
func Program(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		Lacks(t, name)
	}
	return path
}

// Python is an interpreter that has a module: Debian's before any other.
func Python(t testing.TB, module string) string {
	t.Helper()
	for _, python := range []string{"/usr/bin/python3", "python3"} {
		if exec.Command(python, "-c", "import "+module).Run() == nil {
			return python
		}
	}
	Lacks(t, "python3 with "+module)
	return ""
}

// Run gives what a program prints; a program that fails fails the test.
func Run(t testing.TB, command *exec.Cmd) []byte {
	t.Helper()
	var complaints bytes.Buffer
	command.Stderr = &complaints
	out, err := command.Output()
	if err != nil {
		t.Fatalf("%s: %v: %s%s", command.Path, err, complaints.Bytes(), out)
	}
	return out
}

// Answers asks a program one question a line, in JSON, and gives the list of
// numbers that it answers to each.
func Answers[Q any](t testing.TB, command *exec.Cmd, questions []Q) [][]float64 {
	t.Helper()
	var in bytes.Buffer
	encoder := json.NewEncoder(&in)
	for _, q := range questions {
		if err := encoder.Encode(q); err != nil {
			t.Fatal(err)
		}
	}
	command.Stdin = &in
	decoder := json.NewDecoder(bytes.NewReader(Run(t, command)))
	answers := make([][]float64, len(questions))
	for i := range answers {
		if err := decoder.Decode(&answers[i]); err != nil {
			t.Fatalf("answer %d of %d: %v", i+1, len(answers), err)
		}
	}
	return answers
}
