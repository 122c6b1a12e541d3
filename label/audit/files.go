package audit

import (
	"cmp"
	"crypto/sha256"
	"errors"
	"io/fs"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"

	"vouchmark/label/record"
)

// recordName is the name of a record's file: its SHA-256.
var recordName = regexp.MustCompile(`^[0-9a-f]{64}\.json$`)

// recordFolder is a folder of records, by the first two digits.
var recordFolder = regexp.MustCompile(`^records/[0-9a-f]{2}$`)

// file is a record: its file, what the ledger's lines say about it, and what
// reading it found.
type file struct {
	name  string        // the SHA-256 that names it
	there bool          // in records/, as the program puts it there
	named *record.Named // nil where no line names it
	sum   string        // of its bytes
	err   error         // why they could not be read
	found
}

// list finds the records in the folder. What else is there is told by [audit.files].
func (a *audit) list() error {
	if info, err := fs.Lstat(a.folder, "records"); err == nil && !info.IsDir() {
		a.strays = append(a.strays, Problem{"records", "it is not a folder", "find out what replaced it"})
		return nil
	}
	a.there = map[string]bool{}
	full := map[string]bool{} // whether a folder of records holds anything
	err := fs.WalkDir(a.folder, "records", func(name string, d fs.DirEntry, err error) error {
		switch {
		case errors.Is(err, fs.ErrNotExist) && name == "records":
			return nil
		case err != nil:
			return err
		case d.IsDir():
			if name != "records" && !recordFolder.MatchString(name) {
				a.strays = append(a.strays, Problem{name, "the program does not make this folder", "find out how it got there"})
				return fs.SkipDir
			}
			if name != "records" {
				full[name] = false
			}
			return nil
		}
		full[path.Dir(name)] = true
		base := path.Base(name)
		if !d.Type().IsRegular() || !recordName.MatchString(base) || path.Dir(name) != "records/"+base[:2] {
			what := "this file is not a record"
			if path.Ext(base) == ".tmp" {
				what, a.Passing = "a temporary file: a command is writing now, or it was left by a crash", true
			}
			a.strays = append(a.strays, Problem{name, what,
				"the next command that writes removes what a crash left; find out how anything else got there"})
			return nil
		}
		a.there[base[:2*sha256.Size]] = true
		a.Records++
		return nil
	})
	for _, name := range slices.Sorted(maps.Keys(full)) {
		if !full[name] {
			a.note("%s is empty: a print is in progress or could not be finished, or files were removed from it; "+
				"no record that the ledger needs was in it unless a problem above says so", name)
		}
	}
	return err
}

// gather puts together the records in the folder and those that lines name, by name.
func (a *audit) gather() {
	a.records = make([]file, 0, max(len(a.there), len(a.replay.Records)))
	for name := range a.there {
		a.records = append(a.records, file{name: name, there: true, named: a.replay.Records[name]})
	}
	for name, n := range a.replay.Records {
		if !a.there[name] {
			a.records = append(a.records, file{name: name, named: n})
		}
	}
	slices.SortFunc(a.records, func(x, y file) int { return strings.Compare(x.name, y.name) })
}

// path is where the file is, with slashes.
func (f *file) path() string { return path.Join("records", f.name[:2], f.name+".json") }

// files checks the records: that the bytes of each match its name, that the
// ledger names it, and that none is missing.
func (a *audit) files() error {
	a.add(a.strays...)
	var unread []error
	var missing []*file
	for i := range a.records {
		f := &a.records[i]
		switch {
		case f.there:
			unread = append(unread, f.err)
		case f.named.Needed > 0:
			missing = append(missing, f)
		}
	}
	if err := errors.Join(unread...); err != nil {
		return err
	}
	for i := range a.records {
		f := &a.records[i]
		if !f.there {
			continue
		}
		if f.sum != f.name {
			a.problem(f.path(), "restore it from a backup; do not rely on labels with its code",
				"its bytes do not match its name: it was altered or damaged")
		} else if a.o.Intact != nil && f.named != nil && f.named.Valid {
			a.o.Intact[f.named.ID] = true
		}
		if f.named == nil || !f.named.Printed {
			a.Passing = true
			a.problem(f.path(), "find out how it got there; do not rely on labels with its code",
				"no line of the ledger names it: no print of this site made it")
		}
	}
	if a.there == nil {
		return nil // all are missing, and why was told
	}
	slices.SortStableFunc(missing, func(x, y *file) int { return cmp.Compare(x.named.Needed, y.named.Needed) })
	for _, f := range missing {
		a.problem(record.LineName(f.named.Needed),
			"restore the file from a backup, or print and mount new labels",
			"the record %s, on which the label of %s is based, is missing", f.name, a.location(f))
	}
	return nil
}

// location is the location whose label a record vouches for, and the code.
func (a *audit) location(f *file) string {
	n := f.named
	for _, p := range a.ledger.Lines[n.Needed-1].Labels {
		if n.Valid && p.Record == f.name {
			return p.ID + ", " + string(n.ID.Code())
		}
	}
	return "a location"
}
