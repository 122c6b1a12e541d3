package record

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/infile"
)

// Taken is a study to be taken into a site folder.
type Taken struct {
	Date     assess.Date
	By, Tool string
	Study    Kept       // the file as delivered, under the name that [StudyName] gave it
	Files    []Replaced // the owner's, in the order in which they are replaced; locations.csv is one of them
}

// Kept is a file for studies/.
type Kept struct {
	Name string
	Data []byte
}

// Replaced is one of the owner's files.
type Replaced struct {
	Name string
	Old  []byte // as it was read when the plan was made; nil where there was none
	New  []byte // nil where it stays unchanged and was only read for the plan
}

// change reports whether the file's bytes change.
func (f *Replaced) change() bool { return f.New != nil && (f.Old == nil || !bytes.Equal(f.Old, f.New)) }

// last is the content of the file in the end.
func (f *Replaced) last() []byte {
	if f.New == nil {
		return f.Old
	}
	return f.New
}

// TakenIn is the result.
type TakenIn struct {
	Line    Line     // of the ledger, which notes the intake
	Already bool     // nothing to do: the same study with the same result was the last one taken in
	Wrote   []string // the files that were written, in order; nil where all were already up to date
}

// TakeIn takes a study into the folder, under the lock: the study file and the
// locations.csv that it replaces go into studies/, where nothing is overwritten;
// then the owner's files are replaced; then the ledger notes it. All files are on
// disk before the first one is moved into place. If one of the owner's files
// changed since the plan read it, nothing is written. A crash between two steps
// does no harm, and the same call again finishes the work: it writes what is not
// there yet, and adds the line if it is missing.
func (s *Store) TakeIn(t Taken) (*TakenIn, error) {
	if err := t.check(); err != nil {
		return nil, unwritten(err)
	}
	w, err := s.lockLedger()
	if err != nil {
		return nil, err
	}
	defer w.close()
	i := &intake{s: s, w: w, t: &t}
	defer i.discard()
	for _, step := range []func() error{i.unchanged, i.plan, i.prepare} {
		if err := step(); err != nil {
			return nil, unwritten(err)
		}
	}
	if err := i.commit(); err != nil {
		return nil, i.broken(err)
	}
	if err := i.note(); err != nil {
		return nil, i.broken(err)
	}
	return &TakenIn{i.line, i.already, i.wrote}, nil
}

// check refuses what no ledger could note, before anything is written.
func (t *Taken) check() error {
	switch locations := t.locations(); {
	case !StudyFile(t.Study.Name):
		return fmt.Errorf("%q is not a name for a file in %s", t.Study.Name, StudiesFolder)
	case len(t.Study.Data) == 0:
		return fmt.Errorf("%s is empty", t.Study.Name)
	case len(t.Study.Data) > MostStudy:
		return fmt.Errorf("%s has more than %d MiB", t.Study.Name, MostStudy>>20)
	case locations == nil || len(locations.last()) == 0 || len(locations.last()) > MostStudy || len(locations.Old) > MostStudy:
		return fmt.Errorf("no %s with at most %d MiB", assess.LocationsFile, MostStudy>>20)
	}
	seen := map[string]bool{LedgerFile: true}
	for i := range t.Files {
		name := t.Files[i].Name
		if name != filepath.Base(name) || strings.HasPrefix(name, ".") || seen[name] {
			return fmt.Errorf("%q is not one of the owner's files, or comes twice", name)
		}
		seen[name] = true
	}
	line := t.line()
	if text := line.Unprintable(); text != "" {
		return unseen(text)
	}
	return nil
}

// locations is the locations.csv among the owner's files, or nil.
func (t *Taken) locations() *Replaced {
	i := slices.IndexFunc(t.Files, func(f Replaced) bool { return f.Name == assess.LocationsFile })
	if i < 0 {
		return nil
	}
	return &t.Files[i]
}

// line is what the ledger notes, without the locations.csv that was replaced.
func (t *Taken) line() Line {
	return Line{Kind: Intake, Date: t.Date, By: t.By, Tool: t.Tool, Study: stored(t.Study),
		Locations: SHA256(t.locations().last())}
}

// intake is a TakeIn in progress.
type intake struct {
	s       *Store
	w       *writer
	t       *Taken
	line    Line
	already bool
	keep    []Kept // files for studies/ that are not there yet
	names   []string
	pending []*Pending // the files of names, in the order in which they are moved into place
	wrote   []string
}

// unchanged refuses owner's files that changed since the plan read them.
func (i *intake) unchanged() error {
	for k := range i.t.Files {
		f := &i.t.Files[k]
		is, err := infile.ReadPath(filepath.Join(i.s.dir, f.Name), MostStudy)
		if err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
		if there := err == nil; there != (f.Old != nil) || !bytes.Equal(is, f.Old) {
			return fmt.Errorf("%s has changed in the meantime: run the command again", f.Name)
		}
	}
	return nil
}

// plan finds what studies/ lacks, and what the ledger must note.
func (i *intake) plan() error {
	n, err := i.w.names(os.DirFS(i.s.dir))
	if err != nil {
		return err
	}
	if err := i.store(n, i.t.Study); err != nil {
		return err
	}
	i.line = i.t.line()
	last := i.w.lastIntake()
	if last != nil && *last.Study == *i.line.Study && last.Locations == i.line.Locations && !i.t.locations().change() {
		i.line, i.already = *last, true
		return nil
	}
	return i.before(n)
}

// store plans to put a file into studies/, unless it is already there.
func (i *intake) store(n *names, k Kept) error {
	key := strings.ToLower(k.Name)
	known, there := n.known[key], n.there[key]
	another := fmt.Errorf("%s is now a different file: run the command again", StudyPath(k.Name))
	switch {
	case known != nil && *known != *stored(k), there != "" && there != k.Name:
		return another
	case there == "":
		i.keep = append(i.keep, k)
		n.there[key] = k.Name
		return nil
	}
	same, err := n.same(k.Name, k.Data)
	switch {
	case err != nil:
		return err
	case !same && known != nil:
		return fmt.Errorf("%s was altered: it is not the file that the ledger names; move it away and run the command again, "+
			"which puts the right one there", StudyPath(k.Name))
	case !same:
		return another
	}
	return nil
}

// before plans to keep the locations.csv that is replaced. If it is already
// replaced and the ledger does not say so, an earlier call was interrupted after
// that: the file that it kept is the last of its series that no line names.
func (i *intake) before(n *names) error {
	f := i.t.locations()
	stem, ext := beforeBase(i.t.Study.Name)
	if f.change() {
		if len(f.Old) == 0 {
			return nil
		}
		name, err := n.free(stem, ext, f.Old)
		if err != nil {
			return err
		}
		k := Kept{name, f.Old}
		i.line.Before = stored(k)
		return i.store(n, k)
	}
	name := n.unnamed(stem, ext)
	if name == "" {
		return nil
	}
	data, err := infile.ReadPath(filepath.Join(i.s.dir, StudiesFolder, name), MostStudy)
	if k := stored(Kept{name, data}); err == nil && k.valid() && k.SHA256 != i.line.Locations {
		i.line.Before = k
	}
	return err
}

// unnamed is the last existing file of a series that no line names; "" for none.
func (n *names) unnamed(stem, ext string) (last string) {
	for i := 1; ; i++ {
		name := numbered(stem, ext, i)
		key := strings.ToLower(name)
		switch {
		case n.known[key] == nil && n.there[key] == "":
			return last
		case n.known[key] == nil && n.there[key] == name:
			last = name
		}
	}
}

// lastIntake is the last line that took a study in, or nil.
func (l *Ledger) lastIntake() *Line {
	for i := len(l.Lines) - 1; i >= 0; i-- {
		if l.Lines[i].Kind == Intake && l.Lines[i].Study != nil {
			return &l.Lines[i]
		}
	}
	return nil
}

// prepare writes all files under temporary names.
func (i *intake) prepare() error {
	if len(i.keep) > 0 {
		if err := mkdir(filepath.Join(i.s.dir, StudiesFolder)); err != nil {
			return err
		}
	}
	for _, k := range i.keep {
		if err := i.add(StudyPath(k.Name), k.Data, 0o444); err != nil {
			return err
		}
	}
	for k := range i.t.Files {
		f := &i.t.Files[k]
		if !f.change() {
			continue
		}
		mode := os.FileMode(0o644)
		if info, err := os.Stat(filepath.Join(i.s.dir, f.Name)); err == nil {
			mode = info.Mode().Perm()
		}
		if err := i.add(f.Name, f.New, mode); err != nil {
			return err
		}
	}
	return nil
}

func (i *intake) add(name string, data []byte, mode os.FileMode) error {
	p, err := Prepare(filepath.Join(i.s.dir, filepath.FromSlash(name)), data, mode)
	if err == nil {
		i.names, i.pending = append(i.names, name), append(i.pending, p)
	}
	return err
}

func (i *intake) discard() {
	for _, p := range i.pending {
		p.Discard()
	}
}

// commit moves the files into place.
func (i *intake) commit() error {
	for k, p := range i.pending {
		err := p.Commit()
		if p.placed {
			i.wrote = append(i.wrote, i.names[k])
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// note adds the line to the ledger, unless it is there.
func (i *intake) note() error {
	if i.already {
		return nil
	}
	hash, err := i.w.append(i.line)
	switch {
	case err == nil:
		i.line = i.w.Lines[len(i.w.Lines)-1]
	case hash != "":
		i.already = true // it may not last, as the error says
	}
	return err
}

// broken adds to an error what was written before it, what was not, and that
// nothing is lost.
func (i *intake) broken(err error) error {
	left := slices.Clone(i.names[len(i.wrote):])
	if !i.already {
		left = append(left, "the line of "+LedgerFile)
	}
	switch {
	case len(left) == 0:
		return fmt.Errorf("%w; everything is written", err)
	case len(i.wrote) == 0:
		return unwritten(err)
	}
	return fmt.Errorf("%w; written: %s; not written: %s; run the same command again to finish", err,
		strings.Join(i.wrote, ", "), strings.Join(left, ", "))
}
