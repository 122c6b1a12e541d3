package audit

import (
	"io/fs"
	"path"
	"strings"

	"vouchmark/label/record"
	"vouchmark/label/report"
)

// mostCopy is the size in bytes of the largest file that is looked at as a copy of the ledger.
const mostCopy = 1 << 30

// copies finds other ledgers in the folder: where two computers write at once, a drive that
// synchronizes keeps the file of one of them under another name. One that has nothing that
// the ledger lacks is only a backup.
func (a *audit) copies() error {
	entries, err := fs.ReadDir(a.folder, ".")
	if err != nil {
		return err
	}
	known := map[string]bool{}
	for i := range a.ledger.Lines {
		known[a.ledger.Lines[i].Hash] = true
	}
	for _, e := range entries {
		name := strings.ToLower(e.Name())
		if name == record.LedgerFile || !e.Type().IsRegular() || !strings.Contains(name, "ledger") || !strings.Contains(path.Ext(name), ".json") {
			continue
		}
		const move = "move it out of the folder"
		info, err := e.Info()
		if err != nil {
			return err
		}
		if info.Size() > mostCopy {
			a.problem(e.Name(), move, "it has the name of a copy of the ledger, and is too large for one")
			continue
		}
		data, err := fs.ReadFile(a.folder, e.Name())
		if err != nil {
			return err
		}
		other, _ := record.ParseLedger(data) // of one that is damaged, the lines before that
		var lacks []*record.Line
		for i := range other.Lines {
			if l := &other.Lines[i]; !known[l.Hash] {
				lacks = append(lacks, l)
			}
		}
		if len(lacks) > 0 {
			a.problem(e.Name(), "compare them, do again with the commands what only this one has, "+move+
				", and from now on write from one computer at a time",
				"a copy of the ledger with %s that %s lacks (the first: %s, %s): two computers wrote to this folder at once",
				report.Plural(len(lacks), "line"), record.LedgerFile, lacks[0].Kind, lacks[0].Date)
		}
	}
	return nil
}
