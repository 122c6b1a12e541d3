package audit

import (
	"errors"
	"io/fs"

	"vouchmark/label/record"
	"vouchmark/label/report"
)

// torn checks the files with half a line that the ledger notes: that each is there with
// its bytes. What such a line said cannot be known, so a person must look at it.
func (a *audit) torn() error {
	known := map[string]bool{}
	for _, t := range a.ledger.Asides() {
		known[t.File] = true
		where := record.LineName(t.Line)
		info, err := fs.Lstat(a.folder, t.File)
		if errors.Is(err, fs.ErrNotExist) {
			a.problem(where, "restore the file from a backup", "%s is missing, which holds half a line that the ledger once ended in", t.File)
			continue
		}
		if err != nil {
			return err
		}
		if !info.Mode().IsRegular() {
			a.problem(t.File, "find out what replaced it, and restore the file from a backup", "it is not a regular file")
			continue
		}
		sum, err := hashOne(a.folder, t.File, t.Bytes+1)
		if err != nil {
			return err
		}
		if sum != t.SHA256 {
			a.problem(t.File, "restore the file from a backup", "its bytes do not match %s: it was altered or damaged", where)
		}
		a.note("the ledger once ended in half a line, before %s: a command was stopped while it wrote, or somebody cut off the end. "+
			"It is in %s (%s): look at it, and enter again what you rely on", where, t.File, report.Plural(int(t.Bytes), "byte"))
	}
	files, err := fs.Glob(a.folder, "ledger.torn-*")
	for _, f := range files {
		if !known[f] {
			a.note("%s is not named by any line of the ledger: the next command that writes notes it if it holds half a line of the ledger", f)
		}
	}
	return err
}
