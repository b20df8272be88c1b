package bench

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A formula is written once, in the data files, as plain text:
//
//	(f_m*(LHV*(1-m) - m*B) - dc*LHV_char)/LHV
//
// It is computed from that text, and shown from that text with symbols or with
// the numbers in place, so that what is printed is what was computed.
//
// Grammar, loosest first: "a or b", "a and b", comparisons < > <= >= (which
// give 1 or 0), + and -, * and /, unary -, power ^, numbers, names, brackets,
// and the functions sum (over the pots, days or fuels), min, max, ln, exp, sqrt. Names may
// hold letters, digits, _ and a dot ("cold.SC").
type formula struct {
	text string
	root node
}

// node is one part of a parsed formula.
type node interface {
	eval(v *values) float64
	write(b *strings.Builder, show shower)
}

// values holds the numbers of one calculation: slot by slot, and for what is
// measured on each pot, day or fuel, row by row.
type values struct {
	scalar []float64
	perRow [][]float64
	row    int // the row that sum is at
	rows   int
}

// shower says how a name is printed at a row: as symbol or as number.
type shower struct {
	name func(slot slot, row int) string
	rows int
	row  int
}

// slot is where a name's number stands.
type slot struct {
	name   string
	index  int
	perRow bool
}

// scope gives the slots of names.
type scope map[string]slot

func (s scope) add(name string, perRow bool) slot {
	index := 0
	for _, other := range s {
		if other.perRow == perRow {
			index++
		}
	}
	at := slot{name, index, perRow}
	s[name] = at
	return at
}

func parseFormula(text string, names scope) (formula, error) {
	p := &formulaParser{rest: text, names: names}
	p.next()
	root := p.either()
	if p.err == nil && p.token != "" {
		p.fail("unexpected %q", p.token)
	}
	if p.err != nil {
		return formula{}, fmt.Errorf("bench: formula %q: %w", text, p.err)
	}
	return formula{text, root}, nil
}

type formulaParser struct {
	rest, token string
	names       scope
	inSum       bool
	depth       int
	err         error
}

func (p *formulaParser) fail(format string, args ...any) {
	if p.err == nil {
		p.err = fmt.Errorf(format, args...)
	}
	p.rest, p.token = "", ""
}

// next reads one token: a number, a name, an operator or the end.
func (p *formulaParser) next() {
	p.rest = strings.TrimLeft(p.rest, " ")
	if p.rest == "" {
		p.token = ""
		return
	}
	r, size := utf8.DecodeRuneInString(p.rest)
	end := size
	switch {
	case unicode.IsDigit(r) || r == '.':
		end = numberEnd(p.rest)
	case unicode.IsLetter(r):
		for end < len(p.rest) {
			r, size := utf8.DecodeRuneInString(p.rest[end:])
			if !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '_' && r != '.' {
				break
			}
			end += size
		}
	case (r == '<' || r == '>') && strings.HasPrefix(p.rest[1:], "="):
		end = 2
	}
	p.token, p.rest = p.rest[:end], p.rest[end:]
}

func numberEnd(s string) int {
	end := 0
	for end < len(s) && (s[end] >= '0' && s[end] <= '9' || s[end] == '.') {
		end++
	}
	if end+1 < len(s) && s[end] == 'e' && (s[end+1] == '-' || s[end+1] >= '0' && s[end+1] <= '9') {
		for end += 2; end < len(s) && s[end] >= '0' && s[end] <= '9'; end++ {
		}
	}
	return end
}

func (p *formulaParser) take(tokens ...string) string {
	for _, t := range tokens {
		if p.token == t {
			p.next()
			return t
		}
	}
	return ""
}

// level parses a row of operands joined by operators of one rank.
func (p *formulaParser) level(operand func() node, operators ...string) node {
	left := operand()
	for op := p.take(operators...); op != ""; op = p.take(operators...) {
		left = binary{op, left, operand()}
	}
	return left
}

func (p *formulaParser) either() node { return p.level(p.both, "or") }
func (p *formulaParser) both() node   { return p.level(p.compare, "and") }
func (p *formulaParser) compare() node {
	return p.level(p.total, "<=", ">=", "<", ">")
}
func (p *formulaParser) total() node   { return p.level(p.product, "+", "-") }
func (p *formulaParser) product() node { return p.level(p.unary, "*", "/") }

func (p *formulaParser) unary() node {
	if p.take("-") != "" {
		return negative{p.unary()}
	}
	base := p.primary()
	if p.take("^") != "" {
		return binary{"^", base, p.unary()}
	}
	return base
}

const deepest = 100 // brackets within brackets; no equation of the trade comes near

func (p *formulaParser) primary() node {
	if p.depth++; p.depth > deepest {
		p.fail("too deep")
	}
	defer func() { p.depth-- }()
	token := p.token
	p.next()
	r, _ := utf8.DecodeRuneInString(token)
	switch {
	case token == "(":
		inner := p.either()
		if p.take(")") == "" {
			p.fail("a bracket is not closed")
		}
		return brackets{inner}
	case token != "" && (unicode.IsDigit(r) || r == '.'):
		v, err := strconv.ParseFloat(token, 64)
		if err != nil {
			p.fail("%q is not a number", token)
		}
		return number{v, token}
	case unicode.IsLetter(r) && p.token == "(":
		return p.call(token)
	case unicode.IsLetter(r):
		at, ok := p.names[token]
		switch {
		case !ok:
			p.fail("unknown name %q", token)
		case at.perRow && !p.inSum:
			p.fail("%q is measured row by row and must stand in sum( )", token)
		}
		return name{at}
	}
	p.fail("unexpected %q", token)
	return number{}
}

var functions = map[string]struct {
	arguments int
	apply     func(a, b float64) float64
}{
	"min":  {2, math.Min},
	"max":  {2, math.Max},
	"ln":   {1, func(a, _ float64) float64 { return math.Log(a) }},
	"exp":  {1, func(a, _ float64) float64 { return math.Exp(a) }},
	"sqrt": {1, func(a, _ float64) float64 { return math.Sqrt(a) }},
}

func (p *formulaParser) call(function string) node {
	p.next()
	if function == "sum" {
		if p.inSum {
			p.fail("sum within sum")
		}
		p.inSum = true
		inner := p.either()
		p.inSum = false
		if p.take(")") == "" {
			p.fail("a bracket is not closed")
		}
		return sum{inner}
	}
	f, ok := functions[function]
	if !ok {
		p.fail("unknown function %q", function)
		return number{}
	}
	c := call{name: function, apply: f.apply, arguments: []node{p.either()}}
	for p.take(",") != "" {
		c.arguments = append(c.arguments, p.either())
	}
	if p.take(")") == "" || len(c.arguments) != f.arguments {
		p.fail("%s takes %d arguments", function, f.arguments)
	}
	return c
}

type number struct {
	value float64
	text  string
}

func (n number) eval(*values) float64               { return n.value }
func (n number) write(b *strings.Builder, _ shower) { b.WriteString(n.text) }

type name struct{ slot }

func (n name) eval(v *values) float64 {
	if n.perRow {
		return v.perRow[n.index][v.row]
	}
	return v.scalar[n.index]
}

func (n name) write(b *strings.Builder, show shower) { b.WriteString(show.name(n.slot, show.row)) }

type negative struct{ inner node }

func (n negative) eval(v *values) float64 { return -n.inner.eval(v) }
func (n negative) write(b *strings.Builder, show shower) {
	b.WriteString("−")
	n.inner.write(b, show)
}

type brackets struct{ inner node }

func (n brackets) eval(v *values) float64 { return n.inner.eval(v) }
func (n brackets) write(b *strings.Builder, show shower) {
	b.WriteString("(")
	n.inner.write(b, show)
	b.WriteString(")")
}

type binary struct {
	op          string
	left, right node
}

func (n binary) eval(v *values) float64 {
	a, b := n.left.eval(v), n.right.eval(v)
	switch n.op {
	case "+":
		return a + b
	case "-":
		return a - b
	case "*":
		return a * b
	case "/":
		return a / b
	case "^":
		return math.Pow(a, b)
	case "<":
		return truth(a < b)
	case ">":
		return truth(a > b)
	case "<=":
		return truth(a <= b)
	case ">=":
		return truth(a >= b)
	case "and":
		return truth(a != 0 && b != 0)
	}
	return truth(a != 0 || b != 0)
}

func truth(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

var printed = map[string]string{"-": " − ", "+": " + ", "*": "·", "/": "/", "^": "^",
	"<": " < ", ">": " > ", "<=": " ≤ ", ">=": " ≥ ", "and": " and ", "or": " or "}

func (n binary) write(b *strings.Builder, show shower) {
	n.left.write(b, show)
	b.WriteString(printed[n.op])
	n.right.write(b, show)
}

type call struct {
	name      string
	apply     func(a, b float64) float64
	arguments []node
}

func (n call) eval(v *values) float64 {
	a := n.arguments[0].eval(v)
	if len(n.arguments) == 1 {
		return n.apply(a, 0)
	}
	return n.apply(a, n.arguments[1].eval(v))
}

func (n call) write(b *strings.Builder, show shower) {
	b.WriteString(n.name + "(")
	for i, a := range n.arguments {
		if i > 0 {
			b.WriteString(", ")
		}
		a.write(b, show)
	}
	b.WriteString(")")
}

// sum adds its inner formula over the rows.
type sum struct{ inner node }

func (n sum) eval(v *values) float64 {
	total := 0.0
	for v.row = 0; v.row < v.rows; v.row++ {
		total += n.inner.eval(v)
	}
	v.row = 0
	return total
}

// write prints the terms of the rows one after the other; for one row the sum
// disappears.
func (n sum) write(b *strings.Builder, show shower) {
	b.WriteString("(")
	for show.row = 0; show.row < show.rows; show.row++ {
		if show.row > 0 {
			b.WriteString(" + ")
		}
		n.inner.write(b, show)
	}
	b.WriteString(")")
}

func (f formula) eval(v *values) float64 { return f.root.eval(v) }

// print writes the formula with whatever show makes of the names.
func (f formula) print(show shower) string {
	var b strings.Builder
	f.root.write(&b, show)
	return strings.TrimSuffix(trimOuter(b.String()), " ")
}

// trimOuter drops one pair of brackets around the whole.
func trimOuter(s string) string {
	if !strings.HasPrefix(s, "(") || !strings.HasSuffix(s, ")") {
		return s
	}
	depth := 0
	for i, r := range s {
		switch r {
		case '(':
			depth++
		case ')':
			depth--
		}
		if depth == 0 && i < len(s)-1 {
			return s
		}
	}
	return s[1 : len(s)-1]
}

// names lists the names a formula uses.
func (f formula) uses() []string {
	seen := map[string]bool{}
	var list []string
	f.print(shower{rows: 1, name: func(s slot, _ int) string {
		if !seen[s.name] {
			seen[s.name] = true
			list = append(list, s.name)
		}
		return s.name
	}})
	return list
}
