package commands

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/intake"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// intakeFlags hold what a person says about a study's file.
type intakeFlags struct {
	sheet, dateForm, encoding, delimiter, by string
	headingRow                               int
	columns, leave, give, modes              []string
	skip                                     []int
	write, drop                              bool
}

func (f *intakeFlags) add(fs *pflag.FlagSet) {
	fs.StringVar(&f.sheet, "sheet", "", "`NAME` the sheet with the results, in a workbook (default: the only one with headings)")
	fs.IntVar(&f.headingRow, "heading-row", 0, "`ROW` the row with the headings (default: found in the file)")
	fs.StringArrayVar(&f.columns, "column", nil, "`HEADING=COLUMN` what a heading means, as a column with its unit, such as \"Trip Time=clear_s\"; repeatable")
	fs.StringArrayVar(&f.leave, "leave", nil, "`HEADING` ignore this heading; repeatable")
	fs.StringArrayVar(&f.give, "give", nil, "`COLUMN=VALUE` a value for all rows that do not state their own, such as supply=ac3; repeatable")
	fs.StringArrayVar(&f.modes, "mode", nil, "`CASE=MODE` whether the arc-reducing maintenance switch is on in a case: maintenance or normal; repeatable")
	fs.IntSliceVar(&f.skip, "skip", nil, "`ROWS` the numbers of rows to ignore; repeatable, or separated by commas")
	fs.StringVar(&f.dateForm, "date-form", "", "`m/d/y|d/m/y` how the file writes dates such as 3/4/2026 (default: found from its other dates)")
	fs.StringVar(&f.delimiter, "delimiter", "", "`comma|semicolon|tab|bar` what separates the cells of a text file (default: found in the file)")
	fs.StringVar(&f.encoding, "encoding", "", "`UTF-8|UTF-16|Windows-1252` the encoding of a text file (default: found in the file)")
	fs.BoolVar(&f.write, "write", false, "write locations.csv, keep the file in studies/, and enter both in the ledger")
	fs.BoolVar(&f.drop, "drop-missing", false, "delete the rows of locations that the study does not have (only for a study of the whole site), and add their ids to former in site.toml")
	fs.StringVar(&f.by, "by", "", "`NAME` who takes the study into the folder, for the ledger (default: by in site.toml, else the login name)")
}

// answers turns the flags into the answers that the reader of studies takes.
func (f *intakeFlags) answers() (*intake.Answers, error) {
	a := &intake.Answers{Sheet: f.sheet, HeadingRow: f.headingRow, Leave: f.leave, Skip: f.skip, DateForm: f.dateForm}
	if f.dateForm != "" && !slices.Contains(site.DateForms(), f.dateForm) {
		return nil, &usageError{text: fmt.Sprintf("--date-form: %q is not one of %s", f.dateForm, strings.Join(site.DateForms(), ", "))}
	}
	var wrong []error
	for _, text := range f.columns {
		one, err := intake.ParseAnswer(text)
		wrong = append(wrong, wrongFlag("column", err))
		a.Columns = append(a.Columns, one)
	}
	for _, text := range f.give {
		one, err := intake.ParseGiven(text)
		wrong = append(wrong, wrongFlag("give", err))
		a.Give = append(a.Give, one)
	}
	for _, text := range f.modes {
		one, err := intake.ParseMode(text)
		wrong = append(wrong, wrongFlag("mode", err))
		a.Modes = append(a.Modes, one)
	}
	return a, errors.Join(wrong...)
}

var delimiters = map[string]rune{"": 0, "comma": ',', "semicolon": ';', "tab": '\t', "bar": '|'}

// read reads the file as a grid.
func (f *intakeFlags) read(path string) ([]byte, *sheet.Book, error) {
	comma, ok := delimiters[f.delimiter]
	if !ok {
		return nil, nil, &usageError{text: fmt.Sprintf("--delimiter: %q is not comma, semicolon, tab or bar", f.delimiter)}
	}
	data, err := infile.ReadPath(path, record.MostStudy)
	var in *infile.Error
	switch {
	case errors.As(err, &in):
		return nil, nil, badStudy(path, in.Found, in.Expected, in.Do)
	case err != nil:
		return nil, nil, badStudy(path, reason(err), "the study's file", "")
	}
	book, err := sheet.Read(filepath.Base(path), data, sheet.Options{Sheet: f.sheet, Delimiter: comma, Encoding: f.encoding})
	var bad sheet.Error
	if errors.As(err, &bad) {
		var problems site.Problems
		for _, p := range bad {
			at := p.Column
			if p.Sheet != "" {
				at = strings.TrimPrefix(at+" on sheet "+p.Sheet, " on ")
			}
			problems = append(problems, site.Problem{File: p.File, Line: p.Line, Column: at, Found: p.Found,
				Expected: p.Expected, Do: p.Do})
		}
		return nil, nil, problems
	}
	return data, book, err
}

func reason(err error) string {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}

func badStudy(path, found, expected, do string) error {
	return site.Problems{{File: path, Found: found, Expected: expected, Do: do}}
}

// studied is a study together with the site that it is for.
type studied struct {
	report.Intake
	folder  folder
	data    []byte // of the study's file
	old     map[string][]byte
	policy  *assess.Policy
	new     map[string][]byte // the owner's files as they would be
	history *record.History
}

// Intake is the command of that name.
func Intake(fs *pflag.FlagSet) func(*Env, []string) error {
	var f intakeFlags
	f.add(fs)
	asCSV := fs.Bool("csv", false, "write what changes for each label as a spreadsheet (CSV) to standard output")
	on := paperFlag(fs)
	pdf := fs.String("pdf", "", "`FILE` also write what changes for each label as a PDF to this file")
	return func(e *Env, args []string) error {
		s, err := e.study(&f, args[0])
		if err != nil {
			return err
		}
		open := len(s.Study.Questions) > 0
		if f.write && !open && s.Problems == nil {
			if err := s.take(e, &f); err != nil {
				return err
			}
		}
		if *pdf != "" && s.Restudy != nil {
			paper, err := on(s.policy)
			if err != nil {
				return err
			}
			if err := s.page(*pdf, paper); err != nil {
				return err
			}
		}
		switch {
		case *asCSV && s.Restudy != nil:
			err = report.RestudyCSV(e.raw, s.Restudy)
		case e.json:
			err, e.shown = report.WriteJSON(e.Stdout, report.IntakeJSON(&s.Intake)), true
		default:
			err = report.IntakeText(&s.Intake, e.Stdout, e.Width)
		}
		if err == nil && s.Problems != nil {
			return s.Problems
		}
		return verdict(err, !open)
	}
}

// study reads a study's file and judges the site as it would be with it.
func (e *Env) study(f *intakeFlags, path string) (*studied, error) {
	answers, err := f.answers()
	if err != nil {
		return nil, err
	}
	if err := said("by", &f.by, record.LongestName); err != nil {
		return nil, err
	}
	s := &studied{folder: e.folder(), old: map[string][]byte{}, new: map[string][]byte{}}
	s.policy, err = site.ReadPolicy(s.folder.fs, s.folder.options)
	if err = site.Join(s.folder.err, err); err != nil {
		return nil, err
	}
	for _, name := range []string{assess.LocationsFile, assess.PolicyFile, intake.LayoutFile} {
		data, err := infile.ReadPath(filepath.Join(e.site, name), min(site.SizeLimit(name), record.MostStudy))
		if err != nil && !errors.Is(err, os.ErrNotExist) {
			return nil, err
		}
		s.old[name] = data
	}
	before, err := s.table()
	if err != nil {
		return nil, err
	}
	layouts, err := intake.ParseLayouts(s.old[intake.LayoutFile])
	if err != nil {
		return nil, err
	}
	if s.history, err = e.store().History(e.today); err != nil {
		return nil, err
	}
	data, book, err := f.read(path)
	if err != nil {
		return nil, err
	}
	s.data = data
	name := filepath.Base(path)
	s.Study, err = intake.Read(book, name, answers, s.context(before, layouts))
	if none := (*intake.NoTableError)(nil); errors.As(err, &none) {
		return nil, badStudy(name, none.Why, "", none.Do)
	} else if err != nil {
		return nil, err
	}
	if s.Stored, err = record.StudyName(s.folder.fs, name, data); err != nil {
		return nil, err
	}
	if len(s.Study.Missing) > 0 {
		return s, nil // no site can be made of it yet
	}
	return s, s.plan(e, f, before)
}

// table is locations.csv as it is; nil if there is none, or if it is the
// starter's, whose rows are invented.
func (s *studied) table() (*site.Table, error) {
	old := s.old[assess.LocationsFile]
	if len(bytes.TrimSpace(old)) == 0 || site.IsStarter(old) {
		return nil, nil
	}
	return site.ReadTable(s.folder.fs, s.folder.options)
}

// context is what the site says about how to read the study.
func (s *studied) context(before *site.Table, layouts []intake.Layout) intake.Context {
	c := intake.Context{Hertz: float64(s.policy.FrequencyHz), Defaults: s.policy.Defaulted, Has: map[string]bool{},
		Layouts: layouts, Labels: len(s.history.Labels) > 0}
	if before == nil {
		return c
	}
	for i := range before.Columns {
		col := &before.Columns[i]
		if col.Column == nil {
			continue
		}
		c.Has[col.Name] = true
		if col.Name != "id" {
			continue
		}
		for _, r := range before.Rows {
			if !slices.Contains(c.IDs, r[i]) {
				c.IDs = append(c.IDs, r[i])
			}
		}
	}
	return c
}

// plan makes the owner's files as they would be after the intake, and judges the site with them.
func (s *studied) plan(e *Env, f *intakeFlags, before *site.Table) (err error) {
	if s.Locations, err = s.Study.Locations(before, s.Stored, f.drop); err != nil {
		return err
	}
	s.new[assess.LocationsFile] = s.Locations.CSV
	if s.new[intake.LayoutFile], err = s.Study.AppendLayout(s.old[intake.LayoutFile]); err != nil {
		return err
	}
	with := site.With(s.folder.fs, assess.LocationsFile, s.Locations.CSV)
	if len(s.Locations.Dropped) > 0 {
		policy, err := site.AddFormer(s.old[assess.PolicyFile], s.Locations.Dropped)
		if err != nil {
			return err
		}
		s.new[assess.PolicyFile] = policy
		with = site.With(with, assess.PolicyFile, policy)
	}
	after, err := site.Read(with, s.folder.options)
	if err != nil {
		s.Problems = s.inStudy(err)
		return nil
	}
	after.Progress = e.progress.of("checking location")
	if s.After, err = plant.New(after, s.history, e.today, command); err != nil {
		return err
	}
	assessments := make([]assess.Assessment, len(s.After.Places))
	for i := range s.After.Places {
		assessments[i] = *s.After.Places[i].Assessment
	}
	s.Differs, s.Pairs = s.Study.Compare(assessments)
	s.Again = before != nil || len(s.history.Labels) > 0
	var was *plant.Plant
	if before != nil {
		if was, _, err = e.view(); err != nil {
			return err
		}
	}
	in := map[string]bool{}
	for i := range s.Study.Rows {
		in[s.Study.Rows[i].Cells["id"]] = true
	}
	s.Restudy = plant.NewRestudy(was, s.After, func(id string) bool { return in[id] })
	return nil
}

// inStudy says for problems in the rows that would be written in which row of
// the study they are.
func (s *studied) inStudy(err error) error {
	var bad site.Problems
	if !errors.As(err, &bad) {
		return err
	}
	for i := range bad {
		p := &bad[i]
		if row := s.Locations.Lines[p.Line]; p.File == assess.LocationsFile && row > 0 {
			p.File, p.Line = s.Study.File, row
			p.Expected = onLine.ReplaceAllStringFunc(p.Expected, func(text string) string {
				n, _ := strconv.Atoi(strings.TrimPrefix(text, "on line "))
				if other := s.Locations.Lines[n]; other > 0 {
					return fmt.Sprintf("in row %d", other)
				}
				return text + " of locations.csv"
			})
		}
		if p.File == assess.PolicyFile && p.Column == "sources" {
			p.Do = "list there the ids of the study that are fed from outside the plant"
		}
	}
	return bad
}

var onLine = regexp.MustCompile(`on line \d+`)

// take writes it.
func (s *studied) take(e *Env, f *intakeFlags) error {
	t := record.Taken{Date: e.today, By: printer(f.by, s.policy.By), Tool: version(),
		Study: record.Kept{Name: s.Stored, Data: s.data}}
	for _, name := range []string{intake.LayoutFile, assess.PolicyFile, assess.LocationsFile} {
		t.Files = append(t.Files, record.Replaced{Name: name, Old: s.old[name], New: s.new[name]})
	}
	done, err := e.store().TakeIn(t)
	if err != nil {
		return err
	}
	s.Written, s.Already = done.Wrote, done.Already
	return nil
}
