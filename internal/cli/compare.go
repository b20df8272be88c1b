package cli

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"stovewright/bench"
	"stovewright/message"
	"stovewright/quantity"
)

type compareCmd struct {
	Files    []string          `arg:"" help:"${compare_files}" placeholder:"test.yaml"`
	Base     string            `help:"${compare_base}" placeholder:"stove"`
	Result   []string          `help:"${compare_result}" placeholder:"BF"`
	LeaveOut map[string]string `help:"${compare_leave_out}" placeholder:"B3=reason" mapsep:"none"`
	See      string            `help:"${compare_see}" placeholder:"10%" default:"10%"`
	Alike    string            `help:"${compare_alike}" placeholder:"10%" default:"10%"`
	Tiers    string            `help:"${compare_tiers}" enum:"default,high-ventilation,low-ventilation" default:"default" placeholder:"default"`
	Draws    int               `help:"${compare_draws}" placeholder:"10000"`
	reportFlags
	jsonFlag
}

// Run reads tests of two or more stoves, or rounds of a kitchen test, and says
// what they show and what not.
func (k *compareCmd) Run(c *call) error {
	st, err := k.study()
	if err != nil {
		return err
	}
	if err := k.writeStudy(c, st); err != nil {
		return err
	}
	if k.JSON {
		return writeJSON(c.Out, compareJSON(st, c.Catalogue))
	}
	comparePrinter{printer{c.Catalogue, c.Out}, st, len(k.Result) > 0}.study()
	return nil
}

func (k *compareCmd) study() (*bench.Study, error) {
	settings, err := k.settings()
	if err != nil {
		return nil, err
	}
	names, err := testFiles(k.Files)
	if err != nil {
		return nil, err
	}
	var files []bench.TestFile
	var logs []string
	var complaints message.InputErrors
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		if isLoggerFile(name, data) {
			logs = append(logs, name)
			continue
		}
		f, err := bench.ReadTest(name, data)
		if list, input := message.Complaints(err); input {
			inTestFile(name, err, true)
			complaints = append(complaints, list...)
			continue
		}
		if err != nil {
			return nil, err
		}
		if f.About.Stove == "" {
			f.About.Stove = stoveOf(name, k.Files)
		}
		files = append(files, f)
	}
	if len(complaints) > 0 {
		return nil, complaints
	}
	if err := k.leaveOut(files); err != nil {
		return nil, err
	}
	st, err := bench.NewStudy(files, k.Base, k.Result, settings)
	if err != nil {
		return nil, flagged(err)
	}
	if len(logs) > 0 {
		if err := stacking(st, logs, k.Files); err != nil {
			return nil, err
		}
	}
	return st, nothingToCompare(st, names)
}

// flagged turns the fields of a study into the flags that set them.
func flagged(err error) error {
	complaints, _ := message.Complaints(err)
	for _, c := range complaints {
		if c.Field == "base" || c.Field == "result" {
			c.Field = "--" + c.Field
			if c.Try != "" {
				c.Try = c.Field + " \"" + c.Try + "\""
			}
		}
	}
	return err
}

// nothingToCompare complains about tests of one stove alone.
func nothingToCompare(st *bench.Study, names []string) error {
	if len(st.Compared) > 0 || st.Kitchens != nil || st.Usage != nil {
		return nil
	}
	for _, s := range st.Sequence {
		if s.Report != nil {
			return nil
		}
	}
	for _, s := range st.Safety {
		if s.Agreement != nil {
			return nil
		}
	}
	return &message.InputError{Field: "files", Value: strings.Join(names, " "), Reason: message.T("cli.compare.one", "names", strings.Join(st.Stoves(), ", ")), Try: "stovewright compare stove-a stove-b"}
}

func (k *compareCmd) settings() (bench.Settings, error) {
	s := bench.DefaultSettings
	s.Draws = k.Draws // the log-ratio and Fieller intervals stand without; a bootstrap of five runs is too narrow
	s.Scale = "iso-" + k.Tiers
	if k.Draws != 0 && (k.Draws < 100 || k.Draws > 1_000_000) {
		return s, &message.InputError{Field: "--draws", Value: fmt.Sprint(k.Draws), Reason: message.T("cli.compare.draws"), Try: "--draws 10000"}
	}
	var err error
	if s.Level, err = levelOf(k.Level); err != nil {
		return s, err
	}
	s.Alpha = 1 - s.Level
	if s.Look, err = shareOf("--see", k.See); err != nil {
		return s, err
	}
	s.Alike, err = shareOf("--alike", k.Alike)
	return s, err
}

func shareOf(flag, text string) (float64, error) {
	v, err := quantity.Parse(text, quantity.Ratio, quantity.Percent)
	if err != nil || v < 0.005 || v > 1 {
		return 0, &message.InputError{Field: flag, Value: text, Reason: message.T("form.out-of-range"), Allowed: message.T("form.allowed-range", "low", "0.5 %", "high", "100 %"), Try: flag + " 10%"}
	}
	return v, nil
}

// testFiles lists the files named, and those in the folders named, sorted by
// name.
func testFiles(args []string) ([]string, error) {
	var names []string
	for _, arg := range args {
		info, err := os.Stat(arg)
		if err != nil {
			return nil, err
		}
		if !info.IsDir() {
			names = append(names, arg)
			continue
		}
		var inside []string
		err = filepath.WalkDir(arg, func(path string, d fs.DirEntry, err error) error {
			if err == nil && !d.IsDir() && slices.Contains([]string{".yaml", ".yml", ".json", ".csv", ".tsv"}, strings.ToLower(filepath.Ext(path))) {
				inside = append(inside, path)
			}
			return err
		})
		if err != nil {
			return nil, err
		}
		if len(inside) == 0 {
			return nil, &message.InputError{Field: "files", Value: arg, Reason: message.T("cli.compare.empty"), Try: "stovewright compare stove-a stove-b"}
		}
		names = append(names, inside...)
	}
	return names, nil
}

// stoveOf is the folder of a test that does not name its stove, else its file.
func stoveOf(name string, args []string) string {
	if dir := filepath.Base(filepath.Dir(name)); !slices.Contains(args, name) && dir != "." {
		return dir
	}
	return strings.TrimSuffix(filepath.Base(name), filepath.Ext(name))
}

// leaveOut marks tests, by the number of the test or its file, as kept and not
// counted.
func (k *compareCmd) leaveOut(files []bench.TestFile) error {
	for what, reason := range k.LeaveOut {
		found := false
		for i := range files {
			f := &files[i]
			base := filepath.Base(f.Name)
			if !strings.EqualFold(what, f.About.Test) && what != base && what != strings.TrimSuffix(base, filepath.Ext(base)) {
				continue
			}
			if strings.TrimSpace(reason) == "" {
				return &message.InputError{Field: "--leave-out", Value: what, Reason: message.T("cli.compare.no-reason"), Try: `--leave-out "` + what + `=the pot was knocked over"`}
			}
			found = true
			f.LeaveOut(strings.TrimSpace(reason))
		}
		if !found {
			return &message.InputError{Field: "--leave-out", Value: what, Reason: message.T("cli.compare.no-test"), Try: "--leave-out B3=reason"}
		}
	}
	return nil
}

// stacking pairs the loggers' files of two folders by their names: one folder
// holds the old stoves, the next the new ones.
func stacking(st *bench.Study, logs, folders []string) error {
	if len(folders) != 2 {
		return &message.InputError{Field: "files", Value: strings.Join(folders, " "), Reason: message.T("cli.compare.loggers"), Try: "stovewright compare old-stoves new-stoves"}
	}
	sides := map[string]int{} // records of a household
	for _, name := range logs {
		u, err := readUse(name)
		if err != nil {
			return err
		}
		u.Old = !strings.HasPrefix(filepath.Clean(name), filepath.Clean(folders[1])+string(filepath.Separator))
		u.Household = strings.TrimSuffix(filepath.Base(name), filepath.Ext(name))
		sides[u.Household]++
		st.Uses = append(st.Uses, u)
	}
	for _, u := range st.Uses {
		if sides[u.Household] != 2 {
			return &message.InputError{Field: "files", Value: u.Household, Reason: message.T("cli.compare.unpaired"), Try: "stovewright compare old-stoves new-stoves"}
		}
	}
	s, err := bench.StackRecords(st.Uses, st.Settings.Level)
	if err != nil {
		return &message.InputError{Field: "files", Value: fmt.Sprint(len(sides)), Reason: message.T("cli.compare.few-loggers"), Try: "stovewright compare old-stoves new-stoves"}
	}
	st.Usage = &s
	return nil
}

// readUse reads the record of one stove in use.
func readUse(name string) (u bench.UseRecord, err error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return u, err
	}
	sniff, err := bench.SniffLog(head(data))
	if err != nil {
		return u, inTestFile(name, err, true)
	}
	log, err := bench.ReadLog(strings.NewReader(string(data)), sniff.Layout)
	if err != nil {
		return u, err
	}
	u, ok := usage(filepath.Base(name), bench.DefaultUsageRule, log, sniff.Layout)
	if !ok {
		return u, &message.InputError{Field: name, Reason: message.T("cli.compare.no-temperature"), Try: "stovewright test " + name + " --preview"}
	}
	return u, nil
}

// comparePrinter lays a study out.
type comparePrinter struct {
	printer
	st    *bench.Study
	asked bool // the user named the results
}

func (p comparePrinter) study() {
	p.who()
	p.alarms("cli.test.alarms", p.st.Alarms())
	p.findings()
	p.kitchens()
	p.tiers()
	p.safety()
	p.usage()
	p.numbers()
	p.leftOut()
	p.drift()
	p.claims()
}

// who lists the stoves with their tests.
func (p comparePrinter) who() {
	for _, s := range p.st.Boiling {
		fmt.Fprintln(p.out, p.say.S("cli.compare.series", "stove", s.Name, "kind", bench.KindBoiling.Words(), "n", len(s.Runs), "dates", dates(s.Runs, func(r bench.Run) string { return r.Test.About.Date })))
	}
	for _, s := range p.st.Cooking {
		fmt.Fprintln(p.out, p.say.S("cli.compare.series", "stove", s.Name, "kind", bench.KindCooking.Words(), "n", len(s.Tests), "dates", dates(s.Tests, func(t bench.CookingTest) string { return t.About.Date })))
	}
	for _, s := range p.st.Sequence {
		fmt.Fprintln(p.out, p.say.S("cli.compare.series", "stove", s.Name, "kind", bench.KindSequence.Words(), "n", len(s.Runs), "dates", dates(s.Runs, func(r bench.SequenceRun) string { return r.Test.About.Date })))
	}
	seen := map[string]bool{}
	for _, f := range p.st.Files {
		if n := f.About.Note; n != "" && !seen[n] {
			seen[n] = true
			fmt.Fprintln(p.out, n)
		}
	}
}

// dates is the span of the dates of some tests.
func dates[T any](list []T, of func(T) string) string {
	var all []string
	for _, x := range list {
		if d := of(x); d != "" {
			all = append(all, d)
		}
	}
	if len(all) == 0 {
		return "–"
	}
	low, high := slices.Min(all), slices.Max(all)
	if low == high {
		return low
	}
	return low + " – " + high
}

// findings say in words what each comparison shows.
func (p comparePrinter) findings() {
	if len(p.st.Compared) == 0 {
		return
	}
	p.heading("cli.compare.findings")
	said := map[string]bool{}
	for _, c := range p.st.Compared {
		if !bench.Headline(c.ID) && !p.asked {
			continue // stands in the table
		}
		if words := p.say.Say(c.Words); !said[words] {
			said[words] = true
			fmt.Fprintln(p.out, words)
		}
	}
	if n := p.many(); n > 1 {
		fmt.Fprintln(p.out, p.say.S("cli.compare.many", "n", n))
	}
}

// many is how many results of merit were looked at.
func (p comparePrinter) many() (n int) {
	for _, c := range p.st.Compared {
		if c.Better != 0 {
			n++
		}
	}
	return n
}

// numbers print the figures behind the words.
func (p comparePrinter) numbers() {
	c := p.say
	type pair struct{ base, new string }
	done := map[pair]bool{}
	for _, first := range p.st.Compared {
		at := pair{first.Base, first.New}
		if done[at] || first.Comparison.Base.N == 0 {
			continue
		}
		done[at] = true
		p.heading("cli.compare.numbers")
		p.table(func(row func(...string)) {
			row("", at.base, at.new, c.S("cli.compare.change"), c.S("cli.compare.interval", "level", quantity.Pct(p.st.Settings.Level)), c.S("cli.compare.p"), c.S("cli.compare.p-adjusted"), c.S("cli.compare.p-ranks"), c.S("cli.compare.p-alike"), c.S("cli.compare.needed", "see", quantity.Pct(p.st.Settings.Look)), drawnHead(c, first))
			for _, k := range p.st.Compared {
				if k.Base == at.base && k.New == at.new && k.Comparison.Base.N > 0 {
					row(p.numberRow(k)...)
				}
			}
		})
		fmt.Fprintln(p.out, c.S("cli.compare.how"))
	}
}

func (p comparePrinter) numberRow(k bench.Compared) []string {
	c := p.say
	key := k.ID
	if _, after, ok := strings.Cut(k.ID, "."); ok {
		key = after
	}
	mean := func(m, sd float64, n int) string {
		v := bench.Shown(key, quantity.Value{SI: m, Unit: k.Unit})
		spread := bench.ShownSpread(key, quantity.Value{SI: sd, Unit: k.Unit})
		return c.S("cli.compare.mean", "mean", c.Value(v), "sd", c.Number(spread), "n", n)
	}
	needed := "–"
	if k.Needed > 0 {
		needed = fmt.Sprint(k.Needed)
	}
	adjusted := ""
	if k.Better != 0 {
		adjusted = pValue(c, k.AdjustedP)
	}
	b, n := k.Comparison.Base, k.Comparison.New
	return []string{c.Say(k.What), mean(b.Mean, b.SD, b.N), mean(n.Mean, n.SD, n.N), c.Signed(bench.ShownChange(k.Ratio.Value - 1)),
		c.Signed(bench.ShownChange(k.Ratio.Interval.Low-1)) + " … " + c.Signed(bench.ShownChange(k.Ratio.Interval.High-1)), pValue(c, k.P), adjusted, pValue(c, k.Ranks.P(0)), pValue(c, k.EquivalentP), needed, drawnAgain(c, k)}
}

// drawnHead and drawnAgain are the interval by drawing the tests again and again,
// where that was asked for.
func drawnHead(c *message.Catalogue, k bench.Compared) string {
	if k.Bootstrap.Draws == 0 {
		return ""
	}
	return c.S("cli.compare.bootstrap", "n", k.Bootstrap.Draws)
}

func drawnAgain(c *message.Catalogue, k bench.Compared) string {
	if k.Bootstrap.Draws == 0 {
		return ""
	}
	return c.Signed(bench.ShownChange(k.Bootstrap.BCa.Low-1)) + " … " + c.Signed(bench.ShownChange(k.Bootstrap.BCa.High-1))
}

// pValue prints a probability; below a thousandth only that it is.
func pValue(c *message.Catalogue, p float64) string {
	if p < 0.001 {
		return "< " + c.Value(bareNumber(0.001, 0.001))
	}
	return c.Value(bareNumber(p, 0.001))
}

func (p comparePrinter) kitchens() {
	k := p.st.Kitchens
	if k == nil {
		return
	}
	c := p.say
	p.heading("cli.compare.kitchens")
	id := "cli.compare.groups"
	if k.Paired {
		id = "cli.compare.pairs"
	}
	fmt.Fprintln(p.out, c.S(id, "n", k.Households, "saving", quantity.Pct(k.Saving), "level", quantity.Pct(k.Interval.Level), "low", quantity.Pct(k.Interval.Low), "high", quantity.Pct(k.Interval.High)))
	if k.Lost > 0 {
		fmt.Fprintln(p.out, c.S("cli.compare.lost", "n", k.Lost, "share", quantity.Pct(k.LossShare)))
	}
	if k.Needed > 0 {
		fmt.Fprintln(p.out, c.S("cli.compare.kitchens-needed", "n", k.Needed, "see", quantity.Pct(p.st.Settings.Look), "effect", bareNumber(k.Effect, 0.01)))
	}
	if k.Paired {
		fmt.Fprintln(p.out, c.S("cli.compare.kitchen-p", "t", pValue(c, k.PairedT.P(0)), "ranks", pValue(c, k.SignedRank.P(0))))
	}
}

func (p comparePrinter) tiers() {
	c := p.say
	for _, s := range p.st.Sequence {
		if s.Report == nil {
			continue
		}
		p.heading("cli.compare.tiers")
		fmt.Fprintln(p.out, s.Name)
		p.table(func(row func(...string)) {
			row("", c.S("cli.compare.tier-mean"), c.S("cli.compare.tier-interval"), c.S("cli.compare.tier-point"), c.S("cli.compare.tier-sure"))
			for _, line := range []struct {
				id string
				r  bench.TierReport
			}{{"cli.compare.tier-efficiency", s.Report.Efficiency}, {"cli.compare.tier-char", s.Report.WithChar}, {"cli.compare.tier-co", s.Report.CO}, {"cli.compare.tier-pm", s.Report.PM}} {
				if line.r.Summary.N == 0 {
					continue
				}
				value := func(si float64) string { return c.Value(line.r.Indicator.Value(si)) }
				interval := ""
				if line.r.Summary.N > 1 {
					interval = value(line.r.Interval.Low) + " … " + value(line.r.Interval.High)
				}
				row(c.S(line.id), value(line.r.Summary.Mean), interval, fmt.Sprint(line.r.Point.Low), fmt.Sprint(line.r.Conservative.Low))
			}
		})
		fmt.Fprintln(p.out, c.Say(s.Report.Words))
	}
}

func (p comparePrinter) safety() {
	for _, s := range p.st.Safety {
		a := s.Agreement
		if a == nil {
			continue
		}
		p.heading("cli.compare.safety")
		fmt.Fprintln(p.out, p.say.S("cli.compare.scorers", "stove", s.Name, "one", bareNumber(a.Totals[0], 0.5), "two", bareNumber(a.Totals[1], 0.5), "mean", bareNumber(a.Mean, 0.5), "spread", bareNumber(a.PlusLess, 0.5), "kappa", bareNumber(a.Kappa, 0.01)))
	}
}

func (p comparePrinter) usage() {
	u := p.st.Usage
	if u == nil {
		return
	}
	p.heading("cli.log.use")
	fmt.Fprintln(p.out, p.say.S("cli.compare.stacking", "n", u.Households, "old", quantity.Pct(u.OldShare), "oldlow", quantity.Pct(max(0, u.OldInterval.Low)), "oldhigh", quantity.Pct(min(1, u.OldInterval.High)),
		"days", quantity.Pct(u.NewDays), "low", quantity.Pct(max(0, u.NewInterval.Low)), "high", quantity.Pct(min(1, u.NewInterval.High)), "level", quantity.Pct(u.NewInterval.Level), "never", u.Abandoned))
}

// leftOut lists what does not count, and what lies oddly far out and counts.
func (p comparePrinter) leftOut() {
	out, far := p.st.LeftOut(), p.outliers()
	if len(out)+len(far) == 0 {
		return
	}
	p.heading("cli.compare.outliers")
	for _, l := range out {
		reason := l.Reason
		if reason == "" {
			reason = p.say.Say(l.Alarm)
		}
		fmt.Fprintln(p.out, p.say.S("cli.compare.left-out", "stove", l.Stove, "test", strings.Join(filled(l.Test, l.Date), ", "), "reason", reason))
	}
	for _, line := range far {
		fmt.Fprintln(p.out, line)
	}
}

func (p comparePrinter) outliers() (lines []string) {
	for _, o := range p.st.Outliers() {
		lines = append(lines, p.say.S("cli.compare.outlier", "stove", o.Stove, "test", strings.Join(filled(o.Test, o.Date), ", "), "what", o.What, "g", bareNumber(o.G, 0.01), "critical", bareNumber(o.Critical, 0.01)))
	}
	return lines
}

func (p comparePrinter) drift() {
	var lines []string
	for _, t := range p.st.Trends {
		if t.P < p.st.Settings.Alpha {
			lines = append(lines, p.say.S("cli.compare.drifts", "stove", t.Stove, "what", bench.ResultName(t.ID), "p", pValue(p.say, t.P)))
		}
	}
	if len(lines) == 0 {
		return
	}
	p.heading("cli.compare.drift")
	for _, l := range lines {
		fmt.Fprintln(p.out, l)
	}
}

// claims are the paragraph of what may and may not be said.
func (p comparePrinter) claims() {
	claims := bench.Claim(p.st.Evidence())
	for _, part := range []struct {
		heading string
		list    []message.Text
	}{{"cli.compare.may", claims.May}, {"cli.compare.may-not", claims.MayNot}} {
		if len(part.list) == 0 {
			continue
		}
		p.heading(part.heading)
		for _, t := range part.list {
			fmt.Fprintln(p.out, "- "+p.say.Say(t))
		}
	}
}
