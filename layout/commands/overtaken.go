package commands

import (
	"errors"
	"fmt"
	"hash/maphash"
	"io"
	"os"
	"path/filepath"
	"slices"

	"vouchmark/label/record"
	"vouchmark/layout/press"
)

// Between the judgment of a label and the lock under which it is printed, somebody else may log a
// change, withdraw the label or edit a file. So under the lock it is judged again, if anything did change.

// errOvertaken says that something else would be printed now.
var errOvertaken = errors.New("the site changes while labels are being printed: run the command again; nothing was printed")

// judgment is what was planned, and on what state of the site.
type judgment struct {
	state   uint64
	head    string
	items   []press.Item
	refused []press.Refusal
}

// holds plans again, under the lock, if the site has changed. It returns errOvertaken unless the same comes
// of it.
func (d *judgment) holds(e *Env, j *job, plan planner) error {
	state := make(chan uint64, 1)
	go func() { state <- stateOf(e.site) }()
	l, err := e.store().Ledger()
	if err != nil {
		return err
	}
	if l.Head() == d.head && <-state == d.state {
		return nil
	}
	v, f, err := e.viewOf(j.of...)
	if err != nil {
		return errOvertaken // the next attempt says what is wrong
	}
	policy := &v.Site.Policy
	p, err := plan(v, j.look(f, policy))
	same := func(a, b press.Item) bool { return a.Same(&b) }
	if err != nil || policy.Stopped() != "" || !slices.Equal(p.Refused, d.refused) || !slices.EqualFunc(p.Items, d.items, same) {
		return errOvertaken
	}
	return nil
}

// stateSeed makes states that only this process compares: nobody can make other files with the same.
var stateSeed = maphash.MakeSeed()

// stateOf changes as soon as a byte of the owner's files changes.
func stateOf(site string) uint64 {
	h := &maphash.Hash{}
	h.SetSeed(stateSeed)
	files := slices.Clone(siteFiles)
	for _, folder := range []string{"curves", "wording"} {
		in, _ := filepath.Glob(filepath.Join(site, folder, "*")) // what cannot be read is said when the site is read
		for _, file := range in {
			files = append(files, filepath.Join(folder, filepath.Base(file)))
		}
	}
	for _, name := range files {
		if name == record.LedgerFile {
			continue
		}
		fmt.Fprintf(h, "\n%q ", name)
		path := filepath.Join(site, name)
		info, err := os.Stat(path)
		if err != nil || !info.Mode().IsRegular() { // a pipe would never end
			fmt.Fprint(h, "none")
			continue
		}
		f, err := os.Open(path)
		if err != nil {
			fmt.Fprint(h, "none")
			continue
		}
		n, err := io.Copy(h, f)
		f.Close()
		fmt.Fprintf(h, " %d %v", n, err != nil)
	}
	return h.Sum64()
}
