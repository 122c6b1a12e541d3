// Command vouchmark takes a site's arc-flash study results, checks them,
// judges them by the owner's own PPE ladder and cutoff, and prints warning
// labels that are each vouched for by a stored calculation.
package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/user"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"
	"golang.org/x/term"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/assess/suppose"
	"vouchmark/fonts"
	"vouchmark/label"
	"vouchmark/label/basis"
	"vouchmark/label/logbook"
	"vouchmark/label/record"
	"vouchmark/label/report"
	"vouchmark/layout"
	"vouchmark/layout/press"
)

// command is one command of the table below.
type command struct {
	name, args, short string
	operands          [2]int // least and most; -1 for any number
	setup             func(fs *pflag.FlagSet) func(e *env, args []string) error
}

// commands are the commands in the order of the help.
var commands = []command{
	{"init", "DIR", "make a commented starter folder", [2]int{1, 1}, initCommand},
	{"check", "", "judge every location and list what a person must look at", [2]int{0, 0}, checkCommand},
	{"print", "", "print labels, and store the calculation behind each", [2]int{0, 0}, printCommand},
	{"reprint", "ID|CODE", "print one label again, from its record alone", [2]int{1, 1}, reprintCommand},
	{"guide", "", "make the page that teaches how to read this site's labels", [2]int{0, 0}, guideCommand},
	{"walk", "", "make the list with which a person walks the plant and changes labels", [2]int{0, 0}, walkCommand},
	{"arc", "", "compute one case without a site folder, with the steps", [2]int{0, 0}, arcCommand},
	{"basis", "ID|CODE|LINK", "show where each number of a label comes from", [2]int{1, 1}, basisCommand},
	{"due", "", "list what has to be done about labels, by month and by cause", [2]int{0, 0}, dueCommand},
	{"change add", "", "log what was altered on the power system", [2]int{0, 0}, changeAddCommand},
	{"change settle", "CHANGE", "clear a change for labels that hold all the same", [2]int{1, 1}, changeSettleCommand},
	{"change review", "", "log a review of the study: found right or wrong", [2]int{0, 0}, changeReviewCommand},
	{"suppose", "", "what a change would make of the labels, before it is made", [2]int{0, 0}, supposeCommand},
	{"withdraw", "ID", "take a label out of use", [2]int{1, 1}, withdrawCommand},
}

const exitCodes = `Exit codes:
  0  fine; there may be cautions and lapsed labels
  1  an error finding, a refusal, or an unknown id
  2  wrong usage
  3  bad input in the site folder
  4  the output could not be written
`

// env is the world as the program sees it; tests fill it otherwise.
type env struct {
	stdout, stderr io.Writer
	now            func() time.Time
	width          int                 // of the terminal
	progress       func(done, all int) // shows long work on a terminal; nil in a pipe
	json           bool                // set by the flags below
	site           string
	today          assess.Date
}

// errSilent ends with exit code 1 where the output has said why.
var errSilent = errors.New("see above")

// usageError is a mistake in the words of a call.
type usageError struct{ text string }

func (e *usageError) Error() string { return e.text }

func main() {
	e := &env{stdout: standardOutput{}, stderr: os.Stderr, now: time.Now, width: 100}
	if w, _, err := term.GetSize(int(os.Stdout.Fd())); err == nil && w >= 60 {
		e.width = w
	}
	if term.IsTerminal(int(os.Stderr.Fd())) {
		e.progress = showProgress
	}
	os.Exit(run(e, os.Args[1:]))
}

// showProgress counts labels on one line, and clears it at the end.
func showProgress(done, all int) {
	const few = 100 // they are drawn before a person has read the line
	switch {
	case all < few:
	case done == all:
		fmt.Fprint(os.Stderr, "\r\033[K")
	case done%10 == 0:
		fmt.Fprintf(os.Stderr, "\rdrawing label %d of %d", done, all)
	}
}

// standardOutput is the program's output; what it does not take is an output
// that could not be written.
type standardOutput struct{}

func (standardOutput) Write(b []byte) (int, error) {
	n, err := os.Stdout.Write(b)
	if err != nil {
		err = &record.WriteError{Path: "standard output", Err: err}
	}
	return n, err
}

// run carries out one call and gives its exit code.
func run(e *env, args []string) int {
	if len(args) == 0 || args[0] == "--help" || args[0] == "-h" || args[0] == "help" && len(args) == 1 {
		fmt.Fprint(e.stdout, help())
		return 0
	}
	if args[0] == "--version" {
		fmt.Fprintln(e.stdout, "vouchmark", version())
		return 0
	}
	if args[0] == "help" {
		args = append(args[1:], "--help")
	}
	for _, c := range commands {
		if words := strings.Fields(c.name); len(args) >= len(words) && slices.Equal(words, args[:len(words)]) {
			return e.exit(c.call(e, args[len(words):]))
		}
	}
	var of []string
	for _, c := range commands {
		if strings.HasPrefix(c.name, args[0]+" ") {
			of = append(of, c.name)
		}
	}
	if last := args[len(args)-1]; of != nil && (last == "--help" || last == "-h") {
		fmt.Fprintf(e.stdout, "%s is one of: %s; each has a --help\n", args[0], strings.Join(of, ", "))
		return 0
	}
	if of != nil {
		return e.exit(&usageError{fmt.Sprintf("%s is one of: %s", args[0], strings.Join(of, ", "))})
	}
	return e.exit(&usageError{fmt.Sprintf("no command %q; vouchmark --help lists them", args[0])})
}

// call parses the flags of a command and runs it.
func (c *command) call(e *env, args []string) error {
	fs := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	fs.SetOutput(io.Discard)
	fs.SortFlags = false
	today := ""
	if c.name != "init" && c.name != "arc" {
		fs.StringVar(&e.site, "site", ".", "the site folder")
		fs.StringVar(&today, "today", "", "the date to judge by, such as 2026-05-01 (default: the calendar's)")
	}
	if c.name != "init" {
		fs.BoolVar(&e.json, "json", false, "write JSON to standard output")
	}
	do := c.setup(fs)
	if err := fs.Parse(args); errors.Is(err, pflag.ErrHelp) {
		fmt.Fprintf(e.stdout, "Usage: vouchmark %s\n%s.\n\n%s\n%s", strings.TrimSpace(c.name+" [flags] "+c.args), sentence(c.short), fs.FlagUsages(), exitCodes)
		return nil
	} else if err != nil {
		return &usageError{err.Error()}
	}
	if n := fs.NArg(); n < c.operands[0] || c.operands[1] >= 0 && n > c.operands[1] {
		return &usageError{fmt.Sprintf("usage: vouchmark %s", strings.TrimSpace(c.name+" [flags] "+c.args))}
	}
	e.today = assess.DateOf(e.now())
	if today != "" {
		d, err := assess.ParseDate(today)
		if err != nil {
			return &usageError{"--today: " + err.Error()}
		}
		e.today = d
	}
	return do(e, fs.Args())
}

// exit says what went wrong and turns it into an exit code.
func (e *env) exit(err error) int {
	var bad site.Problems
	var usage *usageError
	var wrong *logbook.WrongError
	var write *record.WriteError
	switch {
	case err == nil:
		return 0
	case errors.Is(err, errSilent):
		return 1
	case errors.As(err, &bad):
		if e.json {
			report.WriteJSON(e.stdout, map[string]any{"problems": bad})
		}
		report.Problems(e.stderr, bad)
		return 3
	}
	if e.json {
		report.WriteJSON(e.stdout, map[string]any{"problems": []map[string]string{{"message": err.Error()}}})
	}
	fmt.Fprintf(e.stderr, "vouchmark: %v\n", err)
	switch {
	case errors.As(err, &usage), errors.As(err, &wrong):
		return 2
	case errors.As(err, &write):
		return 4
	}
	return 1
}

func help() string {
	var b strings.Builder
	b.WriteString("vouchmark prints arc-flash labels that are each vouched for by a stored calculation.\n\nUsage: vouchmark COMMAND [flags]\n\nCommands:\n")
	for _, c := range commands {
		fmt.Fprintf(&b, "  %-22s %s\n", c.name+" "+c.args, c.short)
	}
	b.WriteString("\nvouchmark COMMAND --help shows the flags of a command; --version the version.\n\n" + exitCodes)
	b.WriteString("\nFor qualified persons. The owner of the equipment answers for the labels.\n")
	return b.String()
}

func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// version is what the Go toolchain noted when it built the program.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	v := info.Main.Version
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" && (v == "" || v == "(devel)") {
			v = s.Value[:min(12, len(s.Value))]
		}
	}
	return v
}

// folder is the site folder as a command reads it. Its err is kept until the
// rest of the folder was read too, so that all problems come at once.
type folder struct {
	fs        fs.FS
	options   site.Options
	catalogue *label.Catalogue
	err       error
}

func (e *env) folder() folder {
	f := folder{fs: os.DirFS(e.site), options: site.Options{Missing: fonts.Missing}}
	f.catalogue, f.err = label.ReadCatalogue(f.fs, f.options)
	if f.catalogue != nil {
		f.options.Languages = f.catalogue.Languages()
	}
	return f
}

// view reads and judges the site folder.
func (e *env) view() (*report.View, folder, error) {
	f := e.folder()
	s, err := site.Read(f.fs, f.options)
	if err = site.Join(f.err, err); err != nil {
		return nil, f, err
	}
	h, err := record.Open(e.site).History(e.today)
	if err != nil {
		return nil, f, err
	}
	v, err := report.New(s, h, e.today)
	return v, f, err
}

func initCommand(*pflag.FlagSet) func(*env, []string) error {
	return func(e *env, args []string) error {
		if err := site.Start(args[0]); err != nil {
			if errors.Is(err, os.ErrExist) {
				return err
			}
			return &record.WriteError{Path: args[0], Err: err}
		}
		fmt.Fprintf(e.stdout, "%s: a starter folder; put your own policy into site.toml and your study into locations.csv, then\n  vouchmark check --site %s\n", args[0], args[0])
		return nil
	}
}

func checkCommand(*pflag.FlagSet) func(*env, []string) error {
	return func(e *env, _ []string) error {
		v, _, err := e.view()
		if err != nil {
			return err
		}
		v.MeasureHeadroom()
		if e.json {
			err = v.JSON(e.stdout)
		} else {
			err = v.Table(e.stdout, e.width)
		}
		if err == nil && v.Refused() {
			err = errSilent
		}
		return err
	}
}

// job are the flags that print and reprint share.
type job struct {
	stock, out, by, applied, reason, interim string
	start, copies                            int
	slip                                     bool
}

func (j *job) flags(fs *pflag.FlagSet, out string) {
	fs.StringVar(&j.stock, "stock", "", "what to print on: a [[stock]] of site.toml, or "+strings.Join(layout.StockNames(), ", ")+" (default: the first [[stock]], else 4x4)")
	fs.StringVar(&j.out, "out", out, "the PDF to write")
	fs.IntVar(&j.start, "start", 1, "first free place of a partly used sheet")
	fs.IntVar(&j.copies, "copies", 1, "how many of each")
	fs.StringVar(&j.by, "by", "", "who prints, for the ledger (default: by in site.toml, else the account)")
	fs.StringVar(&j.interim, "interim", "", "print what has lapsed or is in question too, with a visible strip; say why, for the ledger")
	fs.StringVar(&j.applied, "applied", "", "the date on which the labels are mounted (default: a blank box)")
}

// look is how labels are presented.
func (j *job) look(p *assess.Policy, f folder) (press.Look, error) {
	if j.interim != "" && strings.TrimSpace(j.interim) == "" {
		return press.Look{}, &usageError{"--interim: say why the labels are printed all the same"}
	}
	if j.applied != "" {
		if _, err := assess.ParseDate(j.applied); err != nil {
			return press.Look{}, &usageError{"--applied: " + err.Error()}
		}
	}
	return press.Look{Presentation: label.Presentation{Link: p.Link, Catalogue: f.catalogue, Languages: p.Languages, Applied: j.applied}, Interim: j.interim, Ask: p.Ask}, nil
}

// carry draws a plan, then stores and writes it, and says what was made.
func (j *job) carry(e *env, plan *press.Plan, kind record.Kind, whole bool, p *assess.Policy) error {
	stock, err := layout.Choose(j.stock, p.Stocks)
	if err != nil {
		return &usageError{"--stock: " + err.Error()}
	}
	if j.start < 1 || j.start > stock.Places() || j.copies < 1 || j.copies > 999 {
		return &usageError{fmt.Sprintf("stock %s has the places 1 to %d for --start, not %d; --copies is from 1 to 999", stock.Name, stock.Places(), j.start)}
	}
	o := press.Options{Stock: stock, Start: j.start, Copies: j.copies, Progress: e.progress}
	if j.slip {
		l, err := record.Open(e.site).Ledger()
		if err != nil {
			return err
		}
		o.Slip = &press.Slip{Site: p.Name, Date: e.today.String(), By: printer(j.by, p.By), ChainHead: l.Head(), Paper: press.PaperOf(p)}
	}
	outputs, err := plan.Print(o)
	if err != nil {
		return err
	}
	if whole && len(plan.Refused) > 0 {
		outputs = nil
	}
	job := record.Job{Kind: kind, Date: e.today, Thing: string(plan.Thing), Stock: stock.Name, Reason: j.reason, Interim: j.interim, By: printer(j.by, p.By), Tool: version()}
	if err := press.Carry(record.Open(e.site), job, outputs, j.out); err != nil {
		return err
	}
	made := plan.Summary(j.out, stock, outputs)
	if e.json {
		err = report.WriteJSON(e.stdout, made)
	} else {
		_, err = io.WriteString(e.stdout, made.String())
	}
	if err == nil && len(plan.Refused) > 0 {
		err = errSilent
	}
	return err
}

// printer is who prints: as the call says, as the policy says, or the account.
func printer(flag, policy string) string {
	if flag != "" || policy != "" {
		return firstOf(flag, policy)
	}
	if u, err := user.Current(); err == nil {
		return u.Username
	}
	return "unknown"
}

func firstOf(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

func printCommand(fs *pflag.FlagSet) func(*env, []string) error {
	var j job
	j.flags(fs, "labels.pdf")
	only := fs.StringArray("only", nil, "print these ids alone; repeat it, or part them by commas")
	kind := fs.String("kind", "label", "what to print: label, fault (available fault current markings) or overlay (strips over labels that do not hold)")
	fs.BoolVar(&j.slip, "slip", false, "add a job slip behind the labels")
	whole := fs.Bool("all-or-none", false, "print nothing if any label is refused")
	return func(e *env, _ []string) error {
		v, f, err := e.view()
		if err != nil {
			return err
		}
		look, err := j.look(&v.Site.Policy, f)
		if err != nil {
			return err
		}
		ids := v.IDs(*only)
		if fs.Changed("only") && len(ids) == 0 {
			return &usageError{"--only names no id; leave it out to print all"}
		}
		var plan *press.Plan
		switch *kind {
		case "label":
			plan, err = press.New(v, ids, look)
		case "fault":
			plan, err = press.NewMarkings(v, ids, look)
		case "overlay":
			plan, err = press.NewOverlays(v, ids, look)
		default:
			err = &usageError{fmt.Sprintf("--kind: %q is not label, fault or overlay", *kind)}
		}
		if err != nil {
			return err
		}
		return j.carry(e, plan, record.Print, *whole, &v.Site.Policy)
	}
}

func reprintCommand(fs *pflag.FlagSet) func(*env, []string) error {
	var j job
	j.flags(fs, "label.pdf")
	fs.StringVar(&j.reason, "reason", "", "why it is printed again, for the ledger")
	return func(e *env, args []string) error {
		v, f, err := e.view()
		if err != nil {
			return err
		}
		look, err := j.look(&v.Site.Policy, f)
		if err != nil {
			return err
		}
		b, err := basis.Find(v, record.Open(e.site), args[0])
		if err != nil {
			return err
		}
		return j.carry(e, press.Again(b, look), record.Reprint, true, &v.Site.Policy)
	}
}

func basisCommand(*pflag.FlagSet) func(*env, []string) error {
	return func(e *env, args []string) error {
		site, _, err := e.view()
		if err != nil {
			return err
		}
		v, err := basis.Find(site, record.Open(e.site), args[0])
		if _, listed := site.Place(args[0]); listed && errors.Is(err, basis.ErrNotPrinted) {
			v, err = basis.Draft(site, args[0])
		}
		if err != nil {
			return err
		}
		if e.json {
			err = report.WriteJSON(e.stdout, v.JSON())
		} else {
			err = v.Text(e.stdout, e.width)
		}
		if err == nil && len(v.Differences) > 0 {
			err = errSilent
		}
		return err
	}
}

func arcCommand(fs *pflag.FlagSet) func(*env, []string) error {
	for _, name := range site.CaseColumns() {
		fs.String(strings.ReplaceAll(name, "_", "-"), "", site.CaseHelp(name))
	}
	curve := fs.String("curve", "", "a file with the device's clearing curve")
	hertz := fs.Float64("frequency-hz", 60, "50 or 60: turns cycles into milliseconds")
	return func(e *env, _ []string) error {
		values := map[string]string{}
		for _, name := range site.CaseColumns() {
			if f := fs.Lookup(strings.ReplaceAll(name, "_", "-")); f.Changed {
				values[name] = f.Value.String()
			}
		}
		var points []byte
		if *curve != "" {
			var err error
			if points, err = os.ReadFile(*curve); err != nil {
				return &usageError{"--curve: " + err.Error()}
			}
		}
		if *hertz != 50 && *hertz != 60 {
			return &usageError{"--frequency-hz: expected 50 or 60"}
		}
		s, err := site.OneCase(values, points, *hertz)
		if err != nil {
			return err
		}
		one := report.NewCase(s)
		if e.json {
			err = report.WriteJSON(e.stdout, one.JSON())
		} else {
			err = one.Text(e.stdout, e.width)
		}
		if err == nil && one.Result == nil {
			err = errSilent
		}
		return err
	}
}

// page are the flags of a page for reading.
type page struct{ paper, out string }

func (g *page) flags(fs *pflag.FlagSet, out string) {
	fs.StringVar(&g.paper, "paper", "", "letter or a4 (default: letter, a4 where the site's units are si)")
	fs.StringVar(&g.out, "out", out, "the PDF to write")
}

// on is the paper that was asked for.
func (g *page) on(p *assess.Policy) (layout.Paper, error) {
	if g.paper == "" {
		return press.PaperOf(p), nil
	}
	paper, err := layout.PaperNamed(g.paper)
	if err != nil {
		return paper, &usageError{"--paper: " + err.Error()}
	}
	return paper, nil
}

// write writes the page, and tells that it did.
func (g *page) write(e *env, pdf []byte, said any) error {
	f, err := record.PreparePDF(g.out, pdf)
	if err != nil {
		return fmt.Errorf("%w; nothing was written", err)
	}
	if err := f.Commit(); err != nil {
		return err
	}
	if e.json {
		return report.WriteJSON(e.stdout, said)
	}
	_, err = fmt.Fprintf(e.stdout, "%s: print at 100 %%, no scaling\n", g.out)
	return err
}

func guideCommand(fs *pflag.FlagSet) func(*env, []string) error {
	var g page
	g.flags(fs, "guide.pdf")
	return func(e *env, _ []string) error {
		v, f, err := e.view()
		if err != nil {
			return err
		}
		paper, err := g.on(&v.Site.Policy)
		if err != nil {
			return err
		}
		look, _ := (&job{}).look(&v.Site.Policy, f)
		pdf, err := press.GuidePDF(v, paper, look)
		if err != nil {
			return err
		}
		return g.write(e, pdf, map[string]string{"file": g.out})
	}
}

func walkCommand(fs *pflag.FlagSet) func(*env, []string) error {
	var g page
	g.flags(fs, "walk.pdf")
	return func(e *env, _ []string) error {
		v, _, err := e.view()
		if err != nil {
			return err
		}
		paper, err := g.on(&v.Site.Policy)
		if err != nil {
			return err
		}
		rows := press.NewWalk(v)
		pdf, err := press.WalkPDF(rows, v, paper)
		if err != nil {
			return err
		}
		return g.write(e, pdf, map[string]any{"file": g.out, "rows": rows})
	}
}

func dueCommand(fs *pflag.FlagSet) func(*env, []string) error {
	within := fs.Int("within", 0, "only what is due within so many days, beside what does not hold already")
	csv := fs.Bool("csv", false, "as a spreadsheet")
	ics := fs.Bool("ics", false, "as a calendar (RFC 5545)")
	return func(e *env, _ []string) error {
		if *csv && *ics || e.json && (*csv || *ics) {
			return &usageError{"--json, --csv and --ics exclude each other"}
		}
		if !fs.Changed("within") {
			within = nil
		} else if *within < 0 || *within > 36525 {
			return &usageError{"--within: from 0 to 36525 days"}
		}
		v, _, err := e.view()
		if err != nil {
			return err
		}
		d := report.NewDue(v, within)
		switch {
		case e.json:
			return report.WriteJSON(e.stdout, d)
		case *csv:
			return d.CSV(e.stdout)
		case *ics:
			err := d.Calendar(e.stdout, v.Site.Policy.NoticeDays)
			if nothing := (*report.ErrNothingDue)(nil); errors.As(err, &nothing) {
				fmt.Fprintf(e.stderr, "vouchmark: %v\n", err)
				return nil
			}
			return err
		}
		return d.Text(e.stdout, e.width)
	}
}

// entry are the flags of what is appended to changes.toml.
type entry struct{ date, by string }

func (t *entry) flags(fs *pflag.FlagSet, day string) {
	fs.StringVar(&t.date, "date", "", "the day of the "+day+" (default: today)")
	fs.StringVar(&t.by, "by", "", "whose word it is (default: by in site.toml, else the account)")
}

// of is the day and the name of an entry.
func (t *entry) of(e *env, v *report.View) (assess.Date, string, error) {
	by := printer(t.by, v.Site.Policy.By)
	if t.date == "" {
		return e.today, by, nil
	}
	d, err := assess.ParseDate(t.date)
	if err != nil {
		err = &usageError{"--date: " + err.Error()}
	}
	return d, by, err
}

// log adds an entry to changes.toml, and says what became of the labels.
func (e *env) log(entry func(v *report.View) (logbook.Entry, error)) error {
	v, f, err := e.view()
	if err != nil {
		return err
	}
	new, err := entry(v)
	if err != nil {
		return err
	}
	effect, err := logbook.Add(f.fs, f.options, record.Open(e.site), v.History, e.today, version(), new)
	if err != nil {
		return err
	}
	if e.json {
		return report.WriteJSON(e.stdout, effect)
	}
	return effect.Text(e.stdout, e.width)
}

func changeAddCommand(fs *pflag.FlagSet) func(*env, []string) error {
	var t entry
	var c logbook.Change
	t.flags(fs, "change")
	fs.StringVar(&c.At, "at", "", "the location at which something was changed")
	fs.StringVar(&c.Kind, "kind", "", "what was changed: "+site.Kinds())
	fs.StringVar(&c.Note, "note", "", "more about it")
	fs.StringArrayVar(&c.FaultKA, "new-fault-ka", nil, "fault current of a location after the change, such as MCC-4=19.2; repeat it")
	fs.StringArrayVar(&c.ClearMS, "new-clear-ms", nil, "arc duration at the arcing current, likewise")
	fs.StringArrayVar(&c.ClearReducedMS, "new-clear-reduced-ms", nil, "arc duration at the reduced arcing current, likewise")
	return func(e *env, _ []string) error {
		return e.log(func(v *report.View) (_ logbook.Entry, err error) {
			c.Date, c.By, err = t.of(e, v)
			return &c, err
		})
	}
}

func changeSettleCommand(fs *pflag.FlagSet) func(*env, []string) error {
	var t entry
	var s logbook.Settlement
	t.flags(fs, "settlement")
	fs.StringArrayVar(&s.Scope, "scope", nil, "all, or the ids of the labels that hold; repeat it, or part them by commas")
	fs.StringVar(&s.Reason, "reason", "", "why they hold all the same")
	return func(e *env, args []string) error {
		return e.log(func(v *report.View) (_ logbook.Entry, err error) {
			s.Change = args[0]
			s.Date, s.By, err = t.of(e, v)
			return &s, err
		})
	}
}

func changeReviewCommand(fs *pflag.FlagSet) func(*env, []string) error {
	var t entry
	var r logbook.Review
	t.flags(fs, "review")
	fs.StringArrayVar(&r.Scope, "scope", nil, "all, or the ids of the reviewed locations; repeat it, or part them by commas")
	fs.StringVar(&r.Finding, "finding", "", "right (a new interval begins) or wrong (in question until a later survey)")
	return func(e *env, _ []string) error {
		return e.log(func(v *report.View) (_ logbook.Entry, err error) {
			r.Date, r.By, err = t.of(e, v)
			return &r, err
		})
	}
}

func supposeCommand(fs *pflag.FlagSet) func(*env, []string) error {
	var a suppose.Asked
	supposeFlags(fs, &a)
	return func(e *env, _ []string) error {
		h, err := a.Hypothesis()
		if err != nil {
			return &usageError{err.Error()}
		}
		v, _, err := e.view()
		if err != nil {
			return err
		}
		if h.Curve, err = e.curve(a.Curve, v.Site.Policy.FrequencyHz); err != nil {
			return err
		}
		r, err := v.Suppose(h)
		if err != nil {
			return err
		}
		if e.json {
			return report.WriteJSON(e.stdout, r.JSON())
		}
		return r.Text(e.stdout, e.width)
	}
}

func supposeFlags(fs *pflag.FlagSet, a *suppose.Asked) {
	fs.StringVar(&a.At, "at", "", "the location at which something would be changed")
	fs.StringVar(&a.FaultKA, "fault-ka", "", "its fault current after a change above it")
	fs.StringVar(&a.KVA, "kva", "", "power of another transformer there, where site.toml has the present nameplate")
	fs.StringVar(&a.ImpedancePercent, "impedance-percent", "", "impedance of another transformer there")
	fs.StringVar(&a.Device, "device", "", "of the devices that stand there, this one (default: all)")
	fs.StringVar(&a.ClearMS, "clear-ms", "", "arc duration at the arcing current that the device would give")
	fs.StringVar(&a.ClearReducedMS, "clear-reduced-ms", "", "arc duration at the reduced arcing current")
	fs.StringVar(&a.Curve, "curve", "", "in place of durations: a file with the device's clearing curve")
}

// curve reads a clearing curve from anywhere; "" is none.
func (e *env) curve(file string, hertz float64) (*assess.Curve, error) {
	if file == "" {
		return nil, nil
	}
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, &usageError{"--curve: " + err.Error()}
	}
	return site.ReadCurve(file, data, hertz)
}

func withdrawCommand(fs *pflag.FlagSet) func(*env, []string) error {
	reason := fs.String("reason", "", "why it is taken out of use")
	by := fs.String("by", "", "who takes it off (default: by in site.toml, else the account)")
	return func(e *env, args []string) error {
		if strings.TrimSpace(*reason) == "" {
			return &usageError{"--reason: say why the label is taken out of use"}
		}
		v, _, err := e.view()
		if err != nil {
			return err
		}
		h, err := record.Open(e.site).Withdraw(args[0], e.today, *reason, printer(*by, v.Site.Policy.By), version())
		if err != nil {
			return err
		}
		if e.json {
			return report.WriteJSON(e.stdout, map[string]any{"id": args[0], "code": h.ID.Code(), "date": e.today, "reason": *reason})
		}
		_, err = fmt.Fprintf(e.stdout, "%s: the label %s is withdrawn; take it off the equipment\n", args[0], h.ID.Code())
		return err
	}
}
