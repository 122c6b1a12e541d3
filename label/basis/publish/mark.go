package publish

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"

	"vouchmark/assess"
	"vouchmark/label/basis/page"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// The two files that say which state of a site a folder shows. The head is written before the first
// page, so that from then on no older state is written over it, and stays if the other one is damaged;
// the mark comes last, with what is known of the pages.
const (
	headFile = "head.json"
	markFile = "site.json"
)

// mark identifies the site whose pages a folder holds, and its state.
type mark struct {
	Pages   string      `json:"pages"` // who made them
	Site    string      `json:"site"`
	Ledger  string      `json:"ledger"` // hash of its first line; "" for none yet
	Head    string      `json:"head"`   // of the last one
	Log     int         `json:"log"`    // entries of changes.toml, which only grows
	Checked assess.Date `json:"checked"`
	Layout  string      `json:"layout,omitempty"` // of a bucket

	had func(head string) bool // whether the ledger ever had this head; of a site that was read, with a ledger

	// Names and Summary are for an overview of many plants, which reads no further than that. The head, and
	// folders published by older versions, have none.
	Names   report.Names    `json:"names,omitempty"`
	Summary *report.Summary `json:"summary,omitempty"`

	// Program is the SHA-256 of the program that made the files, and Files are those
	// pages by name. The head, and folders published by older versions, have neither.
	Program string          `json:"program,omitempty"`
	Files   map[string]made `json:"files,omitempty"`
}

// made is a page as it was made.
type made struct {
	Data   string `json:"data"`   // the page's digest
	SHA256 string `json:"sha256"` // of the file
}

const maker = "vouchmark"

func newMark(b *page.Book) *mark {
	v := b.Shelf.Site
	m := &mark{Pages: maker, Site: v.Site.Policy.Name, Head: v.History.Ledger.Head(), Checked: v.Today}
	m.Log = len(v.Site.Log.Entries)
	if lines := v.History.Ledger.Lines; len(lines) > 0 {
		m.Ledger = lines[0].Hash
		m.had = func(head string) bool {
			return slices.ContainsFunc(lines, func(l record.Line) bool { return l.Hash == head })
		}
	}
	return m
}

// file is a mark as it is written: as [json.MarshalIndent] would write it. Of a large site nearly all of it is
// the list of files, whose form is simple.
func (m *mark) file(name string) ([]page.File, error) {
	short := *m
	short.Files = nil
	data, err := json.MarshalIndent(&short, "", "  ")
	if err == nil && len(m.Files) > 0 {
		data, err = appendFiles(bytes.TrimSuffix(data, []byte("\n}")), m.Files)
		data = append(data, "\n}"...)
	}
	return []page.File{{Name: name, Data: append(data, '\n')}}, err
}

// appendFiles adds the list of files to an object of JSON. The digests in it are hexadecimal digits.
func appendFiles(b []byte, files map[string]made) ([]byte, error) {
	b = append(slices.Grow(b, len(files)*300), ",\n  \"files\": {"...)
	for i, name := range slices.Sorted(maps.Keys(files)) {
		quoted, err := json.Marshal(name)
		if err != nil {
			return b, err
		}
		if i > 0 {
			b = append(b, ',')
		}
		f := files[name]
		b = append(append(b, "\n    "...), quoted...)
		b = append(append(b, ": {\n      \"data\": \""...), f.Data...)
		b = append(append(b, "\",\n      \"sha256\": \""...), f.SHA256...)
		b = append(b, "\"\n    }"...)
	}
	return append(b, "\n  }"...), nil
}

// noted is what a folder says about its pages. A file that is missing or damaged says nothing.
type noted struct {
	head, mark *mark
	damaged    []string // one of the two, if the other is sound
}

// noted reads both files. It refuses a folder in which neither can be read, unless that is new.
func (g *ground) noted() (n noted, err error) {
	var foreign, missing bool
	if n.mark, foreign, missing, err = g.read(markFile); err != nil {
		return n, err
	}
	head, _, none, err := g.read(headFile)
	if n.head = head; err != nil {
		return n, err
	}
	switch {
	case n.mark == nil && n.head != nil && !(missing && !g.finished()):
		n.damaged = []string{markFile}
	case n.mark != nil && n.head == nil && !none: // older versions wrote none
		n.damaged = []string{headFile}
	case n.mark != nil || n.head != nil:
	case foreign:
		return n, fmt.Errorf("%s has a %s that vouchmark did not write; choose a new folder", g.dir, markFile)
	case !missing || !none || g.finished():
		return n, g.unknown()
	default:
		return n, g.checkNew()
	}
	return n, nil
}

// finished reports whether the start page is there, which is written after all others.
func (g *ground) finished() bool {
	info, err := g.root.Lstat("index.html")
	return err == nil && info.Mode().IsRegular()
}

// unknown is the error for a folder of pages that no longer says which state of the site they show.
func (g *ground) unknown() error {
	return fmt.Errorf("%s has neither a readable %s nor a readable %s, which say what state of the site its pages show, so an older "+
		"copy of the site could replace newer pages; restore one of the two from a backup, or publish from the newest site folder "+
		"into a new folder (vouchmark publish %[1]s.new) and put that in its place", g.dir, markFile, headFile)
}

// read is the mark in a file; nil if it is missing, damaged, or, foreign, another program's.
func (g *ground) read(name string) (m *mark, foreign, missing bool, err error) {
	data, err := g.root.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, false, true, nil
	}
	if err != nil {
		return nil, false, false, g.wrong(name, err)
	}
	if name == markFile && g.last != nil && bytes.Equal(data, g.text) { // of a large site it is large
		return g.last, false, false, nil
	}
	m = &mark{}
	if json.Unmarshal(data, m) != nil {
		return nil, false, false, nil
	}
	if m.Pages != maker {
		return nil, true, false, nil
	}
	if name == markFile {
		g.text, g.last = data, m
	}
	return m, false, false, nil
}

// check refuses to overwrite the pages of another site, or of a later day or
// state of the same one: a withdrawn label must not hold again because an older
// copy of the folder was published. It gives the files that have to be repaired.
func (g *ground) check(m *mark) (damaged []string, err error) {
	n, err := g.noted()
	if err != nil {
		return nil, err
	}
	for _, old := range []*mark{n.head, n.mark} {
		if old == nil {
			continue
		}
		if err := m.follows(old, g.dir, "folder"); err != nil {
			return nil, err
		}
	}
	if g.new, err = newBatch(g.root); err != nil {
		return nil, g.wrong("", err)
	}
	return n.damaged, nil
}

// follows refuses a site that is not in the state that a place shows, or in a later one. kind is what the place is.
func (m *mark) follows(old *mark, place, kind string) error {
	switch {
	case old.Ledger != "" && old.Ledger != m.Ledger:
		return fmt.Errorf("%s holds the pages of %q, from another ledger; choose a separate %s for each site",
			place, old.Site, kind)
	case m.Checked.Before(old.Checked):
		return fmt.Errorf("the pages in %s were checked on %s, after %s; "+
			"publish with that date or a later one, or into another %s", place, old.Checked, m.Checked, kind)
	case old.Ledger != "" && !m.had(old.Head) || m.Log < old.Log:
		return fmt.Errorf("the pages in %s are from a later state of this site: the ledger or %s lacks entries that they show; "+
			"publish from the current folder, not from an older copy", place, assess.ChangesFile)
	}
	return nil
}
