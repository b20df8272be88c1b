package bench

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"stovewright/message"
	"stovewright/quantity"
)

// symbolRow is one reading or constant of a protocol's data file.
type symbolRow struct {
	Key      string   `yaml:"key"`
	Symbol   string   `yaml:"symbol"`
	Unit     string   `yaml:"unit"`
	Scope    string   `yaml:"scope"` // test, phase, or row: measured on each pot, day or fuel
	Value    *float64 `yaml:"value"` // the default, of a constant
	Standing string   `yaml:"standing"`
	Source   string   `yaml:"source"`
}

// equationRow is one equation of a protocol.
type equationRow struct {
	Key      string   `yaml:"key"`
	Symbol   string   `yaml:"symbol"`
	Unit     string   `yaml:"unit"`
	Phases   []string `yaml:"phases"` // empty: of the whole test
	Case     string   `yaml:"case"`   // only where the phase says so, such as "char weighed"
	Formula  string   `yaml:"formula"`
	Standing string   `yaml:"standing"`
	Source   string   `yaml:"source"`
	Note     string   `yaml:"note"` // message id
}

// checkRow is one validity check: when it holds, something is wrong.
type checkRow struct {
	Key      string   `yaml:"key"`
	Phases   []string `yaml:"phases"`
	When     string   `yaml:"when"`
	Severity Severity `yaml:"severity"`
	Repeat   []string `yaml:"repeat"` // readings to take again
	Standing string   `yaml:"standing"`
	Source   string   `yaml:"source"`
}

// sheetFile is a protocol as its data file has it.
type sheetFile struct {
	Protocol    string        `yaml:"protocol"`
	Description string        `yaml:"description"`
	Source      string        `yaml:"source"`
	Standing    string        `yaml:"standing"`
	Phases      []string      `yaml:"phases"` // three; those of the boiling test when left out
	Constants   []symbolRow   `yaml:"constants"`
	Readings    []symbolRow   `yaml:"readings"`
	Before      []equationRow `yaml:"before"` // of the whole test, before the phases
	Phase       []equationRow `yaml:"phase"`
	After       []equationRow `yaml:"after"` // of the whole test, after the phases
	Checks      []checkRow    `yaml:"checks"`
}

// equation is an equationRow that has been read.
type equation struct {
	equationRow
	formula
	at   slot
	unit quantity.Unit
}

type check struct {
	checkRow
	formula
}

// sheet is a protocol ready to be computed.
type sheet struct {
	file                     sheetFile
	names                    scope
	symbols                  map[string]symbolRow
	before, phase, after     []equation
	checks                   []check
	scalarCount, perRowCount int
	kept                     []phaseSlots
}

// phaseSlots are where a quantity of a phase stands while the phase is computed
// and afterwards.
type phaseSlots struct {
	from int
	to   [3]int
}

// phases are the parts of a boiling test in their order.
var phases = []string{"cold", "hot", "simmer"}

// newSheet reads the formulas of a protocol and gives every name its slot.
// Names of a phase stand for the phase at hand in the phase's own equations,
// and with the phase before them ("cold.SC") in those of the whole test.
func newSheet(file sheetFile) (*sheet, error) {
	if len(file.Phases) == 0 {
		file.Phases = phases
	}
	s := &sheet{file: file, names: scope{}, symbols: map[string]symbolRow{}}
	declare := func(key, symbol, unit, scopeName string) error {
		if _, ok := units[unit]; !ok {
			return fmt.Errorf("bench: %s: unknown unit %q of %s", file.Protocol, unit, key)
		}
		if _, again := s.names[key]; again {
			return nil
		}
		s.names.add(key, scopeName == "row")
		s.symbols[key] = symbolRow{Key: key, Symbol: symbol, Unit: unit, Scope: scopeName}
		if scopeName == "phase" {
			k := phaseSlots{from: s.names[key].index}
			for i, ph := range file.Phases {
				k.to[i] = s.names.add(ph+"."+key, false).index
			}
			s.kept = append(s.kept, k)
		}
		return nil
	}
	for _, row := range append(append([]symbolRow{}, file.Constants...), file.Readings...) {
		if err := declare(row.Key, row.Symbol, row.Unit, row.Scope); err != nil {
			return nil, err
		}
		s.symbols[row.Key] = row
	}
	groups := []struct {
		rows  []equationRow
		scope string
		into  *[]equation
	}{{file.Before, "test", &s.before}, {file.Phase, "phase", &s.phase}, {file.After, "test", &s.after}}
	for _, g := range groups {
		for _, row := range g.rows {
			f, err := parseFormula(row.Formula, s.names)
			if err != nil {
				return nil, err
			}
			if err := declare(row.Key, row.Symbol, row.Unit, g.scope); err != nil {
				return nil, err
			}
			*g.into = append(*g.into, equation{row, f, s.names[row.Key], units[row.Unit]})
		}
	}
	for _, row := range file.Checks {
		f, err := parseFormula(row.When, s.names)
		if err != nil {
			return nil, err
		}
		s.checks = append(s.checks, check{row, f})
	}
	for _, at := range s.names {
		if at.perRow {
			s.perRowCount++
		} else {
			s.scalarCount++
		}
	}
	return s, nil
}

func mustSheet(file string) *sheet {
	s, err := newSheet(load[sheetFile](file))
	if err != nil {
		panic(err)
	}
	return s
}

// lazySheet reads a protocol when it is first computed.
func lazySheet(file string) func() *sheet {
	return sync.OnceValue(func() *sheet { return mustSheet(file) })
}

// calculation is one sheet being filled in.
type calculation struct {
	*sheet
	values
	steps   []Step
	found   []Alarm
	phaseAt string
	tracing bool
}

func (s *sheet) start(rows int, tracing bool) *calculation {
	c := &calculation{sheet: s, tracing: tracing}
	c.scalar = make([]float64, s.scalarCount)
	for i := range c.scalar {
		c.scalar[i] = math.NaN()
	}
	c.perRow = make([][]float64, s.perRowCount)
	for i := range c.perRow {
		c.perRow[i] = make([]float64, rows)
	}
	c.rows = rows
	return c
}

// set enters a reading or constant in the protocol's unit.
func (c *calculation) set(key string, number float64, origin Origin) {
	c.scalar[c.names[key].index] = number
	if c.tracing {
		row := c.symbols[key]
		c.steps = append(c.steps, Step{Phase: c.phaseAt, Key: key, Symbol: row.Symbol, Name: quantityName(key),
			Value: in(row.Unit, number), Origin: origin, Source: row.Source})
	}
}

// How is the way from what was read to a value, to be followed with a pencil; zero for
// what was read itself.
type How struct{ Equation, Numbers string }

// follow enters a measured value with the way to it.
func (c *calculation) follow(key string, number float64, how How) {
	c.set(key, number, Measured)
	if c.tracing && how != (How{}) {
		last := &c.steps[len(c.steps)-1]
		last.Equation, last.Numbers = how.Equation, how.Numbers
	}
}

func (c *calculation) setRows(key string, numbers []float64) {
	at := c.names[key]
	copy(c.perRow[at.index], numbers)
	if !c.tracing {
		return
	}
	row := c.symbols[key]
	for i, v := range numbers {
		symbol := row.Symbol
		if len(numbers) > 1 {
			symbol = fmt.Sprintf("%s%d", symbol, i+1)
		}
		c.steps = append(c.steps, Step{Phase: c.phaseAt, Key: key, Symbol: symbol, Name: quantityName(key), Value: in(row.Unit, v), Origin: Measured})
	}
}

// run computes equations in order. An equation whose inputs are missing (a
// phase that was not burnt) is left out.
func (c *calculation) run(equations []equation, cases map[string]bool) {
	for i := range equations {
		e := &equations[i]
		if (e.Case != "" && !cases[e.Case]) || !applies(e.Phases, c.phaseAt) {
			continue
		}
		v := e.eval(&c.values)
		c.scalar[e.at.index] = v
		if c.tracing && !math.IsNaN(v) {
			c.trace(e, v)
		}
	}
}

func applies(list []string, phase string) bool {
	if len(list) == 0 {
		return true
	}
	for _, p := range list {
		if p == phase {
			return true
		}
	}
	return false
}

func (c *calculation) trace(e *equation, v float64) {
	symbol := c.symbol(e.Key)
	step := Step{Phase: c.phaseAt, Key: e.Key, Symbol: symbol, Name: quantityName(e.Key), Value: in(e.Unit, v), Origin: Computed, Source: e.Source,
		Equation: symbol + " = " + e.print(shower{rows: c.rows, name: c.rowSymbol}),
		Numbers:  symbol + " = " + e.print(shower{rows: c.rows, name: func(s slot, row int) string { return pencil(c.number(s, row)) }})}
	if e.Case == "char assumed" {
		step.Origin = Assumed
	}
	if e.Note != "" {
		step.Note = message.T(e.Note)
	}
	c.steps = append(c.steps, step)
}

// symbol is how a name is printed: the phase of a name of the whole test stands
// behind it in words.
func (c *calculation) symbol(name string) string {
	if phase, key, ok := strings.Cut(name, "."); ok {
		return c.symbols[key].Symbol + "(" + phase + ")"
	}
	return c.symbols[name].Symbol
}

func (c *calculation) rowSymbol(s slot, row int) string {
	symbol := c.symbol(s.name)
	if s.perRow && c.rows > 1 {
		return fmt.Sprintf("%s%d", symbol, row+1)
	}
	return symbol
}

func (c *calculation) number(s slot, row int) float64 {
	if s.perRow {
		return c.perRow[s.index][row]
	}
	return c.scalar[s.index]
}

// get is a value in the protocol's unit; NaN when it was not computed.
func (c *calculation) get(key string) float64 { return c.scalar[c.names[key].index] }

// si is a value in SI.
func (c *calculation) si(key string) float64 {
	_, bare, ok := strings.Cut(key, ".")
	if !ok {
		bare = key
	}
	return units[c.symbols[bare].Unit].SI(c.get(key))
}

// keep copies the values of the phase at hand to their names with the phase,
// and clears them for the next.
func (c *calculation) keep(phase int) {
	for _, k := range c.kept {
		c.scalar[k.to[phase]] = c.scalar[k.from]
		c.scalar[k.from] = math.NaN()
	}
}

func in(unit string, number float64) quantity.Value {
	u := units[unit]
	return quantity.Value{SI: u.SI(number), Unit: u}
}

func quantityName(key string) message.Text { return message.T("bench.q." + key) }
