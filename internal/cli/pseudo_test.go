package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"stovewright/brick"
	"stovewright/message"
	"stovewright/proof/all"
	"stovewright/stove"
)

// The pseudo-language puts every sentence of the catalogue between ‹ and ›, so
// the words outside are hard-coded, or they are names, ids and units.
var (
	spoken = regexp.MustCompile(`‹[^›]*›`)
	word   = regexp.MustCompile(`[\pL_]{2,}`)
)

// unspoken are words outside the catalogue that are no sentences.
var unspoken = regexp.MustCompile(strings.Join([]string{
	`\b[a-z]+(\.[a-z_]+)+(\[\d+\])?(\.[a-z_]+)*\b`, // dimensions, fields and files: pot.height, at_hand.sheets[1].width
	`(^|\s)--?[a-z-]+`, // options
	`<[a-z]+>`,         // arguments
	`\b(mm|cm|cm²|kg/h|kg|kW|min|MJ/kg|W/cm²|°C|in|ft|kB)\b`, // units
	`(^|\n)/\S+`,                          // files of a kit
	`\d(mm|cm)\b`,                         // values as they were typed
	`\bstovewright( [a-z]+)*( --help)?\b`, // commands to try
}, "|"))

func TestNoWordsAreHardCoded(t *testing.T) {
	dir := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	const pot = "pot: {circumference: 75.4 cm, height: 17 cm, handle_height: 13.5 cm}\n"
	bare := file("bare.yaml", pot)
	busy := file("busy.yaml", `pot: {circumference: 88 cm, height: 19 cm, handle_height: 9 cm, base: round, fill: 9 L}
more_pots: [{circumference: 110 cm, height: 30 cm, handle_height: 25 cm}, {circumference: 50 cm, height: 9 cm, handle_height: 8 cm}]
kitchen: {posture: squatting}
fuel: {kind: charcoal, moisture: 40 %, moisture_basis: dry, stick: 100 mm}
place: {altitude: 3000 m}
at_hand: {bodies: [{kind: drum, diameter: 57 cm, height: 88 cm, coating: painted}], fill: perlite-cement, rod: 4 mm}
limits: {height: 40 cm, weight: 10 kg}
choices: {skirt: galvanised}
`)
	bad := file("bad.yaml", "pot: {circumference: 7 cm, height: x, base: oval}\nkichen: 3\nkitchen: {people: 0}\n")
	worse := file("worse.yaml", pot+"fuel: {moisture: 3 %}\nkitchen: {people: 0}\nchoices: {chamber: oval}\n")
	for _, args := range [][]string{
		{"--help"}, {"bench", "--help"}, {"size", "--help"}, {"kit", "--help"}, {"proof", "--help"}, {"import", "--help"}, {"export", "--help"},
		{"size", bare}, {"size", busy}, {"size", bare, "--set", "skirt.gap=9cm"}, {"size", bare, "--set", "skirt.gpa=9cm"},
		{"size", bad}, {"size", worse}, {"size", "none"}, {"size", dir}, {"size"}, {"sise"}, {"size", bare, bare}, {"size", "--st"}, {"size", "--set", "x", bare},
		{"bench", "--port", "x"}, {"bench", "--log", "x"}, {"kit", bare}, {"kit", bare, "--out", bare}, {"kit", bare, "--out", dir},
		{"proof", "none"}, {"export", "none.stovewright", "x"}, {"import", "none", "x"}, {"import", dir, filepath.Join(dir, "x.stovewright")},
		{"kit", busy, "--out", filepath.Join(dir, "kit")},
	} {
		_, out, said := run(t, message.Pseudo(), args...)
		text := strings.ReplaceAll(out+said, dir, "")
		hardCoded(t, args, text)
	}
}

func hardCoded(t *testing.T, args []string, text string) {
	t.Helper()
	if strings.Contains(text, "«") {
		t.Errorf("%v: an id that the catalogue lacks: %s", args, text)
	}
	if list := outside(args, text); len(list) > 0 {
		t.Errorf("%v: %q are hard-coded: %s", args, list, text)
	}
}

// outside lists the words that are neither of the catalogue nor names.
func outside(args []string, text string) (list []string) {
	fine := known()
	for _, w := range args {
		fine[filepath.Base(w)] = true
	}
	rest := unspoken.ReplaceAllString(spoken.ReplaceAllString(text, " "), " ")
	for _, w := range word.FindAllString(rest, -1) {
		if !fine[w] {
			list = append(list, w)
		}
	}
	return list
}

// TestBrickSpeaksTheLanguage holds the words of the brick command to the
// catalogue; what stands outside are the names in its files and units.
func TestBrickSpeaksTheLanguage(t *testing.T) {
	names := regexp.MustCompile(`stream clay|mill dust|light lining|lining brick|first fifty stoves|brick with the red mark|third load|below the ford|invented example(; nobody made these bricks)?|(top|bottom): |\b(g/cm³|W/\(m·K\)|J/\(kg·K\)|W/m|MPa|MJ|m²)`)
	files := brickFiles(t)
	var symptoms []string
	for _, x := range brick.Symptoms() {
		symptoms = append(symptoms, strings.Split(x.Key, "-")...)
	}
	for _, args := range [][]string{files, {files[0], "--target", "x"}, {"--trouble", "list"}, {"--trouble", "crumbles", "../../examples/bricks/light-lining.yaml"}, {"--help"}} {
		_, out, said := run(t, message.Pseudo(), append([]string{"brick"}, args...)...)
		hardCoded(t, append(append(symptoms, "symptom"), args...), names.ReplaceAllString(out+said, ""))
	}
}

// TestHardCodedWordsAreFound holds the test above to finding something: in
// plain English every sentence is outside the brackets.
func TestHardCodedWordsAreFound(t *testing.T) {
	for _, args := range [][]string{{"--help"}, {"sise"}, {"size", "none"}} {
		_, out, said := run(t, message.English(), args...)
		if list := outside(args, out+said); len(list) < 3 {
			t.Errorf("%v: only %q are found in %s", args, list, out+said)
		}
	}
}

// known are the words of the files and the command line: what a brief may hold
// and what may be typed.
func known() map[string]bool {
	list := make(map[string]bool)
	for _, f := range stove.Fields {
		for _, o := range append(f.Options, strings.Split(f.Path, ".")...) {
			for _, w := range word.FindAllString(o, -1) {
				list[w] = true
			}
		}
	}
	for _, w := range []string{"bench", "size", "fire", "kit", "brick", "explore", "test", "compare", "plan", "tiers", "trouble", "form", "proof", "export", "import", "command", "file", "folder", "debug", "info", "warn", "error", "letter", "more_pots", "kichen", "oval"} {
		list[w] = true
	}
	return list
}

// TestProofSpeaksTheLanguage holds the words around the register to the
// catalogue. The entries themselves are in English: they quote their sources.
func TestProofSpeaksTheLanguage(t *testing.T) {
	_, out, _ := run(t, message.Pseudo(), "proof", "stove/")
	for _, c := range all.Checks() {
		out = strings.ReplaceAll(out, c.Quantity+" ("+c.Inputs+")", "")
		out = strings.ReplaceAll(out, c.ID, "")
		if c.Source != "" {
			out = strings.ReplaceAll(out, c.Source, "")
		}
	}
	hardCoded(t, []string{"proof"}, out)
}
