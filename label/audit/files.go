package audit

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"path"
	"regexp"
	"runtime"
	"slices"
	"sync"

	"vouchmark/label/record"
)

// recordName is the name of a record's file: its SHA-256.
var recordName = regexp.MustCompile(`^[0-9a-f]{64}\.json$`)

// recordFolder is a folder of records, by the first two digits.
var recordFolder = regexp.MustCompile(`^records/[0-9a-f]{2}$`)

// mostRecord is more bytes than any record has: a larger file is not a record,
// and is not read to its end.
const mostRecord = 16 << 20

// files checks the records: that the bytes of each match its name, that the
// ledger names it, and that none is missing.
func (a *audit) files() error {
	if info, err := fs.Lstat(a.folder, "records"); err == nil && !info.IsDir() {
		a.problem("records", "find out what replaced it", "it is not a folder")
		return nil
	}
	var names []string
	err := fs.WalkDir(a.folder, "records", func(name string, d fs.DirEntry, err error) error {
		switch {
		case errors.Is(err, fs.ErrNotExist) && name == "records":
			return nil
		case err != nil:
			return err
		case d.IsDir():
			if name != "records" && !recordFolder.MatchString(name) {
				a.problem(name, "find out how it got there", "the program does not make this folder")
				return fs.SkipDir
			}
			return nil
		}
		base := path.Base(name)
		if !d.Type().IsRegular() || !recordName.MatchString(base) || path.Dir(name) != "records/"+base[:2] {
			what := "this file is not a record"
			if path.Ext(base) == ".tmp" {
				what, a.Passing = "a temporary file: a command is writing now, or it was left by a crash", true
			}
			a.problem(name, "the next command that writes removes what a crash left; find out how anything else got there",
				"%s", what)
			return nil
		}
		names = append(names, name)
		return nil
	})
	if err != nil {
		return err
	}
	a.Records = len(names)
	sums, err := hash(a.folder, names, mostRecord)
	if err != nil {
		return err
	}
	there := map[string]bool{}
	for i, file := range names {
		name := path.Base(file)[:2*sha256.Size]
		there[name] = true
		if sums[i] != name {
			a.problem(file, "restore it from a backup; do not rely on labels with its code",
				"its bytes do not match its name: it was altered or damaged")
		}
		if n := a.replay.Records[name]; n == nil || !n.Printed {
			a.Passing = true
			a.problem(file, "find out how it got there; do not rely on labels with its code",
				"no line of the ledger names it: no print of this site made it")
		}
	}
	var missing []string
	for name, n := range a.replay.Records {
		if n.Needed > 0 && !there[name] {
			missing = append(missing, name)
		}
	}
	needed := func(name string) int { return a.replay.Records[name].Needed }
	slices.SortFunc(missing, func(x, y string) int { return cmp.Or(needed(x)-needed(y), cmp.Compare(x, y)) })
	for _, name := range missing {
		a.problem(record.LineName(needed(name)),
			"restore the file from a backup, or print and mount new labels",
			"the record %s, on which the label of %s is based, is missing", name, a.location(name))
	}
	return nil
}

// location is the location whose label a record vouches for, and the code.
func (a *audit) location(name string) string {
	n := a.replay.Records[name]
	for _, p := range a.ledger.Lines[n.Needed-1].Labels {
		if n.Valid && p.Record == name {
			return p.ID + ", " + string(n.ID.Code())
		}
	}
	return "a location"
}

// hashOne is the SHA-256 of a file, or of its first bytes where it is too large.
func hashOne(folder fs.FS, name string, most int64) (string, error) {
	f, err := folder.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	_, err = io.Copy(h, io.LimitReader(f, most))
	return hex.EncodeToString(h.Sum(nil)), err
}

// hash gives the SHA-256 of files in their order, read on all cores; of each
// file at most this many bytes.
func hash(folder fs.FS, names []string, most int64) ([]string, error) {
	sums, errs := make([]string, len(names)), make([]error, len(names))
	workers := min(2*runtime.GOMAXPROCS(0), max(1, len(names)))
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for i := w; i < len(names); i += workers {
				sums[i], errs[i] = hashOne(folder, names[i], most)
			}
		})
	}
	wg.Wait()
	return sums, errors.Join(errs...)
}
