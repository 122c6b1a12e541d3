package logbook

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// works is an invented plant on disk: SWB feeds MCC and LP, all with labels.
type works struct {
	*testing.T
	dir   string
	store *record.Store
	today assess.Date
}

const (
	policy = `name = "Invented"
units = "us"
edition = "NFPA 70E-2024"
cutoff_cal_cm2 = 40.0
review_months = 60
sources = ["SWB"]
[[ladder]]
kit = "Kit A"
rating_cal_cm2 = 40.0
wear = ["arc-rated suit"]
`
	rows = `id,equipment,fed_from,supply,voltage_v,fault_ka,energy_cal_cm2,boundary_in,distance_in,surveyed,prepared
SWB,Switchboard,,ac3,480,20,2.5,30,18,2026-02-01,2026-03-14
MCC,Motor control center,SWB,ac3,480,18,2.5,30,18,2026-02-01,2026-03-14
LP,Lighting panel,SWB,ac3,480,12,2.5,30,18,2026-02-01,2026-03-14
`
	// Entries as a person types them.
	typedChange  = "\n[[change]]\ndate = 2026-05-20\nat = \"LP\"\nkind = \"fuse replaced\"\nby = \"N. Example\"\n"
	typedSettled = "\n[[settlement]]\nchange = \"2026-05-10/MCC\"\ndate = 2026-05-20\nby = \"N. Example\"\nreason = \"same fuse\"\nscope = \"all\"\n"
	typedRight   = "\n[[review]]\ndate = 2031-02-20\nby = \"N. Example\"\nscope = \"all\"\nfinding = \"right\"\nreason = \"looked at\"\n"
	typedWrong   = "\n[[review]]\ndate = 2026-05-20\nby = \"N. Example\"\nscope = [\"LP\"]\nfinding = \"wrong\"\nreason = \"looked at\"\n"
)

func day(t *testing.T, s string) assess.Date {
	t.Helper()
	d, err := assess.ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func newWorks(t *testing.T) *works {
	t.Helper()
	w := &works{t, t.TempDir(), nil, day(t, "2026-06-01")}
	w.store = record.Open(w.dir)
	w.write("site.toml", policy)
	w.write("locations.csv", rows)
	job := record.Job{Kind: record.Print, Date: day(t, "2026-05-01"), Stock: "4x4", By: "N. Example"}
	v := w.view()
	for i := range v.Places {
		job.Sheet = append(job.Sheet, record.Sheet{Record: v.Places[i].Record})
	}
	if err := w.store.Carry(job); err != nil {
		t.Fatal(err)
	}
	return w
}

func (w *works) write(name, text string) {
	w.Helper()
	if err := os.WriteFile(filepath.Join(w.dir, name), []byte(text), 0o644); err != nil {
		w.Fatal(err)
	}
}

func (w *works) read(name string) string {
	w.Helper()
	data, err := os.ReadFile(filepath.Join(w.dir, name))
	if err != nil && !os.IsNotExist(err) {
		w.Fatal(err)
	}
	return string(data)
}

// typed appends to changes.toml by hand.
func (w *works) typed(text string) {
	w.Helper()
	w.write(assess.ChangesFile, w.read(assess.ChangesFile)+text)
}

// edited replaces a text in changes.toml by hand.
func (w *works) edited(old, text string) {
	w.Helper()
	log := w.read(assess.ChangesFile)
	if strings.Count(log, old) == 0 {
		w.Fatalf("no %q in\n%s", old, log)
	}
	w.write(assess.ChangesFile, strings.Replace(log, old, text, 1))
}

func (w *works) site() *Site {
	w.Helper()
	h, err := w.store.History(w.today)
	if err != nil {
		w.Fatal(err)
	}
	return &Site{Folder: os.DirFS(w.dir), History: h, Today: w.today}
}

func (w *works) view() *plant.Plant {
	w.Helper()
	s := w.site()
	v, err := s.view(assess.ChangesFile, []byte(w.read(assess.ChangesFile)))
	if err != nil {
		w.Fatal(err)
	}
	return v
}

// states are the standings of the labels, in the order of the rows.
func (w *works) states() string {
	w.Helper()
	v := w.view()
	var all []string
	for i := range v.Places {
		all = append(all, v.Places[i].State())
	}
	return strings.Join(all, ", ")
}

func (w *works) are(what, states string) {
	w.Helper()
	if got := w.states(); got != states {
		w.Errorf("%s: SWB, MCC, LP are %s; want %s", what, got, states)
	}
}

func (w *works) add(e Entry) *Effect {
	w.Helper()
	s := w.site()
	preview, err := s.Preview(w.view(), e)
	if err != nil {
		w.Fatal(err)
	}
	effect, err := s.Add(w.store, "test", e, nil)
	if err != nil {
		w.Fatal(err)
	}
	if !reflect.DeepEqual(preview, effect) {
		w.Errorf("previewed %+v\nthen %+v", preview, effect)
	}
	return effect
}

func (w *works) change(date, at string) *Effect {
	w.Helper()
	return w.add(&Change{Date: day(w.T, date), At: at, Kind: "fuse replaced", By: "A. Sample"})
}

func (w *works) settle(change string, scope ...string) *Effect {
	w.Helper()
	return w.add(&Settlement{Change: change, Date: w.today, By: "E. Sample, PE", Reason: "same fuse", Scope: scope})
}

// note notes what is not noted and begins with a word.
func (w *works) note(words string) error {
	w.Helper()
	var marks []string
	for _, u := range w.view().Logged.Unnoted {
		if strings.HasPrefix(u.Words(), words) {
			marks = append(marks, u.Mark())
		}
	}
	if marks == nil {
		w.Fatalf("no entry %q lacks a note", words)
	}
	_, err := w.site().Note(w.store, "test", "E. Sample, PE", marks)
	return err
}

// codes are the findings about the log.
func (w *works) codes() (all []string) {
	w.Helper()
	for _, f := range w.view().LogFindings() {
		all = append(all, string(f.Code))
	}
	return all
}

const (
	allHold = "holds, holds, holds"
	mccOpen = "holds, in question, holds"
)
