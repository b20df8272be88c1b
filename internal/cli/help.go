package cli

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/alecthomas/kong"
)

// page is the width of the help page in characters, as the oldest terminals
// have it.
const page = 80

// help prints the help page of the program or of one command. Kong's own page
// is in English whatever the catalogue says.
func (p Program) help(_ kong.HelpOptions, ctx *kong.Context) error {
	node, line, text := ctx.Selected(), ctx.Model.Name, ctx.Model.Help
	if node == nil {
		node, line = ctx.Model.Node, line+" ["+p.Catalogue.S("cli.help-command")+"]"
	} else {
		line, text = path(node), node.Help
	}
	if node != ctx.Model.Node && len(node.Children) > 0 {
		line += " " + p.Catalogue.S("cli.help-command")
	}
	for _, a := range node.Positional {
		line += " " + a.Summary()
	}
	for _, f := range node.Flags {
		if f.Required {
			line += " --" + f.Name + " " + f.FormatPlaceHolder()
		}
	}
	line += " [" + p.Catalogue.S("cli.help-options") + "]"
	fmt.Fprintf(p.Out, "%s: %s\n\n%s\n", p.Catalogue.S("cli.help-usage"), line, strings.Join(wrap(text, page), "\n"))

	var arguments, commands, flags [][2]string
	for _, a := range node.Positional {
		arguments = append(arguments, [2]string{a.Summary(), a.Help})
	}
	for _, c := range node.Children {
		commands = append(commands, [2]string{c.Name, c.Help})
	}
	for _, group := range node.AllFlags(true) {
		for _, f := range group {
			flags = append(flags, [2]string{p.flagName(f), p.flagHelp(f)})
		}
	}
	p.listing("cli.help-commands", commands)
	p.listing("cli.help-arguments", arguments)
	p.listing("cli.help-flags", flags)
	if len(node.Children) > 0 {
		fmt.Fprintf(p.Out, "\n%s\n", p.Catalogue.S("cli.help-more", "command", path(node)))
	}
	return nil
}

func (p Program) flagName(f *kong.Flag) string {
	name := "    --" + f.Name
	if f.Short != 0 {
		name = "-" + string(f.Short) + ", --" + f.Name
	}
	if !f.IsBool() {
		name += " " + f.FormatPlaceHolder()
	}
	return name
}

func (p Program) flagHelp(f *kong.Flag) string {
	if f.Name == "help" {
		return p.Catalogue.S("cli.help.help")
	}
	return f.Help
}

// listing prints names and what they mean in two columns.
func (p Program) listing(heading string, rows [][2]string) {
	if len(rows) == 0 {
		return
	}
	width := 0
	for _, r := range rows {
		width = max(width, utf8.RuneCountInString(r[0]))
	}
	fmt.Fprintf(p.Out, "\n%s\n", p.Catalogue.S(heading))
	for _, r := range rows {
		name := r[0]
		for _, line := range wrap(r[1], page-width-4) {
			fmt.Fprintf(p.Out, "  %-*s  %s\n", width, name, line)
			name = ""
		}
	}
}

// wrap breaks a text into lines of no more than width characters where it can.
func wrap(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}
