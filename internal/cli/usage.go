package cli

import (
	"errors"
	"regexp"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"stovewright/message"
	"stovewright/workshop"
)

// unknownCommand complains about a first word that is neither a command nor a
// workshop file: a misspelt command must not be taken for the name of a file.
func unknownCommand(app *kong.Application, args []string) error {
	i := slices.IndexFunc(args, func(a string) bool { return !strings.HasPrefix(a, "-") })
	if i < 0 || strings.HasSuffix(args[i], workshop.Extension) || i > 0 && !boolFlag(app, args[i-1]) {
		return nil
	}
	var names []string
	for _, c := range app.Children {
		names = append(names, c.Name)
	}
	if at := slices.Index(names, args[i]); at >= 0 {
		return unknownQuestion(app.Children[at], args[i+1:])
	}
	e := &message.InputError{Field: "command", Value: args[i], Reason: message.T("cli.usage.command"),
		Allowed: message.T("cli.usage.allowed", "list", strings.Join(names, ", ")), Try: "stovewright --help"}
	if near := message.Nearest(args[i], names); near != "" {
		e.Try = "stovewright " + near
	}
	return e
}

// unknownQuestion complains about a command of a group, such as the questions of
// explore, that is missing or misspelt.
func unknownQuestion(group *kong.Node, args []string) error {
	var names []string
	for _, c := range group.Children {
		names = append(names, c.Name)
	}
	if len(names) == 0 || slices.Contains(args, "--help") || slices.Contains(args, "-h") {
		return nil
	}
	e := &message.InputError{Field: group.Name, Reason: message.T("cli.usage.no-question"),
		Allowed: message.T("cli.usage.allowed", "list", strings.Join(names, ", ")), Try: "stovewright " + group.Name + " --help"}
	if len(args) == 0 || strings.HasPrefix(args[0], "-") {
		return e
	}
	if slices.Contains(names, args[0]) {
		return nil
	}
	e.Value, e.Reason = args[0], message.T("cli.usage.question")
	if near := message.Nearest(args[0], names); near != "" {
		e.Try = "stovewright " + group.Name + " " + near
	}
	return e
}

// boolFlag reports whether the word before an argument is a flag that takes no
// value, so that the argument is not its value.
func boolFlag(app *kong.Application, word string) bool {
	name := strings.TrimLeft(word, "-")
	if strings.Contains(name, "=") {
		return true
	}
	for _, node := range append([]*kong.Node{app.Node}, app.Children...) {
		for _, f := range node.Flags {
			if f.Name == name && f.IsBool() {
				return true
			}
		}
	}
	return false
}

// slips are what the parser of the command line says, by what it means. Where
// a slip names no field, the first group of its pattern is the field.
var slips = []struct {
	says                *regexp.Regexp
	field, id           string
	value, allowed, try int // the group that holds it, 0 for none
}{
	{says: regexp.MustCompile(`^unknown flag (\S+?)(?:, did you mean (?:one of )?"([^"]+)".*)?$`), field: "command", id: "cli.usage.flag", value: 1, try: 2},
	{says: regexp.MustCompile(`^unexpected argument (.+)$`), field: "command", id: "cli.usage.argument", value: 1},
	{says: regexp.MustCompile(`^expected "(.+)"$`), field: "command", id: "cli.usage.missing", value: 1},
	{says: regexp.MustCompile(`^missing flags: (--\S+?)=`), id: "cli.usage.flag-missing"},
	{says: regexp.MustCompile(`^flag (\S+) applies to the default command`), field: "command", id: "cli.usage.bench-flag", value: 1},
	{says: regexp.MustCompile(`^(--\S+): missing value`), id: "cli.usage.value"},
	{says: regexp.MustCompile(`^(--\S+): expected \S+ value but got "EOL"`), id: "cli.usage.value"},
	{says: regexp.MustCompile(`^(--\S+): expected u?int value but got "(-[\d.].*)" \(`), id: "cli.usage.below-zero", value: 2},
	{says: regexp.MustCompile(`^(--\S+): expected \S+ value but got "(-[\d.].*)" \(`), id: "cli.usage.minus", value: 2},
	{says: regexp.MustCompile(`^(--\S+): expected \S+ value but got "(.*)" \(`), id: "cli.usage.value", value: 2},
	{says: regexp.MustCompile(`^(--\S+) must be one of (.+) but got "(.*)"$`), id: "cli.usage.word", value: 3, allowed: 2},
	{says: regexp.MustCompile(`^(--\S+): expected a valid \d+ bit uint but got "(-\d+)"$`), id: "cli.usage.below-zero", value: 2},
	{says: regexp.MustCompile(`^(--\S+): expected a valid \d+ bit u?int but got "(.*)"$`), id: "cli.usage.number", value: 2},
	{says: regexp.MustCompile(`^(--\S+): expected "<key>=<value>" but got "(.*)"$`), id: "cli.usage.pair", value: 2},
	{says: regexp.MustCompile(`^(--\S+): invalid map value "(.*)"$`), id: "cli.usage.pair-number", value: 2},
	{says: regexp.MustCompile(`^(--\S+): bool value must be .* but got "(.*)"$`), id: "cli.usage.no-value", value: 2},
}

// usageError says in the user's language what is wrong with the words of the
// command. A complaint of the parser that is not known is passed on as it is.
func usageError(err error) error {
	said := err.Error()
	for _, s := range slips {
		m := s.says.FindStringSubmatch(said)
		if m == nil {
			continue
		}
		e := &message.InputError{Field: s.field, Reason: message.T(s.id), Try: helpFor(err)}
		if s.field == "" {
			e.Field = m[1]
			e.Try = exampleFor(err, m[1])
		}
		if s.value > 0 {
			e.Value = m[s.value]
		}
		if s.allowed > 0 {
			e.Allowed = message.T("cli.usage.allowed", "list", strings.NewReplacer(`,""`, "", `"`, "", ",", ", ").Replace(m[s.allowed]))
		}
		if s.try > 0 && m[s.try] != "" {
			e.Try = m[s.try]
		}
		return e
	}
	return &message.InputError{Field: "command", Reason: message.T("cli.usage.other", "reason", said), Try: helpFor(err)}
}

// helpFor is the command that prints the page that helps.
func helpFor(err error) string {
	var parse *kong.ParseError
	if errors.As(err, &parse) && parse.Context.Selected() != nil {
		return path(parse.Context.Selected()) + " --help"
	}
	return "stovewright --help"
}

// path is a command with those that it stands under, as it is written.
func path(node *kong.Node) string {
	if node.Parent == nil {
		return node.Name
	}
	return path(node.Parent) + " " + node.Name
}

// exampleFor shows how a flag of the command at hand is written.
func exampleFor(err error, flag string) string {
	var parse *kong.ParseError
	if errors.As(err, &parse) && parse.Context.Selected() != nil {
		for _, f := range parse.Context.Selected().Flags {
			if "--"+f.Name == flag && f.PlaceHolder != "" {
				return flag + " " + f.PlaceHolder
			}
		}
	}
	return example(flag)
}

// example shows how a flag is written that is called alike in all commands.
func example(flag string) string {
	switch flag {
	case "--set":
		return "--set skirt.gap=9mm"
	case "--power":
		return "--power 4kW"
	case "--water":
		return "--water 5L"
	case "--start":
		return "--start 25°C"
	case "--hold":
		return "--hold 45min"
	case "--sticks":
		return "--sticks 3x200g"
	case "--coefficients":
		return "--coefficients own.yaml"
	case "--against":
		return "--against other.yaml"
	case "--findings":
		return "--findings measured.yaml"
	case "--draws":
		return "--draws 1000"
	case "--seed":
		return "--seed 1"
	case "--test":
		return "--test computed.yaml"
	case "--port":
		return "--port 8417"
	case "--log":
		return "--log info"
	case "--paper":
		return "--paper a4"
	case "--out":
		return "--out kit"
	case "--bodies":
		return "--bodies series.yaml"
	case "--target":
		return "--target 0.6g/cm³"
	case "--trouble":
		return "--trouble list"
	case "--pictures":
		return "--pictures pictures"
	case "--forms":
		return "--forms forms"
	case "--gauges":
		return "--gauges gauges.pdf"
	case "--time", "--within":
		return flag + " 30min"
	case "--skin":
		return "--skin 80°C"
	case "--confidence":
		return "--confidence 90%"
	case "--air-ratio":
		return "--air-ratio 1.8"
	case "--hold-out", "--also":
		return flag + " other.yaml"
	case "--keep":
		return "--keep study.json"
	case "--learnt":
		return "--learnt learnt.yaml"
	case "--goal":
		return "--goal wood"
	case "--height":
		return "--height 45cm"
	case "--weight":
		return "--weight 25kg"
	case "--cost":
		return "--cost 500"
	case "--price":
		return "--price brick=40"
	case "--workers":
		return "--workers 2"
	case "--population", "--generations":
		return flag + " 24"
	}
	return flag
}
