package commands

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/assess/site"
	"vouchmark/fonts"
	"vouchmark/label"
	"vouchmark/label/basis"
	pages "vouchmark/label/basis/page"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/seal"
	"vouchmark/layout"
	"vouchmark/layout/press"
)

// folder is the site folder as a command reads it. Its err is kept until the
// rest of the folder has been read, so that all problems are reported at once.
type folder struct {
	fs        fs.FS
	options   site.Options
	catalogue *label.Catalogue
	err       error
}

func (e *Env) folder() folder {
	f := folder{fs: os.DirFS(e.site), options: site.Options{Missing: fonts.Missing, Command: command}}
	f.catalogue, f.err = label.ReadCatalogue(f.fs, f.options)
	if f.catalogue != nil {
		f.options.Languages = f.catalogue.Languages()
	}
	return f
}

// store is the records of the site folder.
func (e *Env) store() *record.Store {
	s := record.Open(e.site)
	s.Last, s.Role = e.last, e.role
	if e.wrote != nil {
		s.Wrote = e.wrote.add
	}
	s.Say = func(text string) {
		e.progress.clear()
		fmt.Fprintf(e.Stderr, "vouchmark: %s\n", text)
	}
	return s
}

// look says how the site's labels are drawn.
func (f *folder) look(p *assess.Policy) press.Look {
	return press.Look{Presentation: label.Presentation{Link: p.Link, Catalogue: f.catalogue, Languages: p.Languages,
		Site: p.Name, Ask: p.Ask}}
}

// view reads and judges the whole site folder.
func (e *Env) view() (*plant.Plant, folder, error) {
	f := e.folder()
	s, err := site.Read(f.fs, f.options)
	if err = site.Join(f.err, err); err != nil {
		return nil, f, err
	}
	store := e.store()
	store.Progress = e.progress.of("reading record")
	h, err := store.History(e.today)
	if err != nil {
		return nil, f, err
	}
	s.Progress = e.progress.of("checking location")
	v, err := plant.New(s, h, e.today, command)
	if err != nil {
		return nil, f, err
	}
	v.Keys, err = e.keys("")
	return v, f, err
}

// viewLike is view for a folder of which only the log of changes was edited since it was
// judged, and the ledger says nothing new but that.
func (e *Env) viewLike(before *plant.Plant) (*plant.Plant, folder, error) {
	f := e.folder()
	l, err := e.store().Ledger()
	if f.err != nil || err != nil {
		return e.view()
	}
	h := before.History.Continued(l)
	if h == nil {
		return e.view()
	}
	s, err := site.ReadLog(f.fs, f.options, before.Site)
	if err != nil {
		return nil, f, err
	}
	v, err := before.With(s, h)
	return v, f, err
}

// book makes the pages of the site, with the labels drawn as on a stock; "" is
// the site's usual one. before is the site before an edit of its log of changes alone;
// nil reads and judges everything.
func (e *Env) book(stock string, live *pages.Live, before *pages.Book) (*pages.Book, error) {
	v, f, err := (*plant.Plant)(nil), folder{}, error(nil)
	if before == nil {
		v, f, err = e.view()
	} else {
		v, f, err = e.viewLike(before.Shelf.Site)
	}
	if err != nil {
		return nil, err
	}
	on, err := layout.Choose(stock, v.Site.Policy.Stocks)
	if err != nil {
		return nil, wrongFlag("stock", err)
	}
	return &pages.Book{
		Shelf:     basis.NewShelf(v, e.store()),
		Catalogue: f.catalogue,
		Picture:   drawer{on, f.look(&v.Site.Policy)},
		Live:      live,
	}, nil
}

// drawer draws labels for the pages.
type drawer struct {
	on   layout.Stock
	look press.Look
}

func (d drawer) Draw(r *record.Record, c record.Code) ([]byte, error) {
	return press.Picture(r, c, d.on, d.look)
}

// inside reports whether a path, with links followed, is in a folder or is that
// folder.
func inside(path, folder string) bool {
	rel, err := filepath.Rel(resolved(folder), resolved(path))
	return err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator))
}

// resolved is an absolute path without links, as far as the path exists.
func resolved(path string) string {
	if whole, err := filepath.Abs(path); err == nil {
		path = whole
	}
	if target, err := filepath.EvalSymlinks(path); err == nil {
		return target
	}
	if filepath.Dir(path) == path {
		return path
	}
	return filepath.Join(resolved(filepath.Dir(path)), filepath.Base(path))
}

// keys returns the trusted public keys: those of a file, else the site's.
func (e *Env) keys(file string) (*seal.Keyring, error) {
	data, err := infile.ReadPath(cmp.Or(file, filepath.Join(e.site, seal.KeysFile)), site.SizeLimit(seal.KeysFile))
	if err != nil && (file != "" || !errors.Is(err, os.ErrNotExist)) {
		return nil, err
	}
	return seal.ParseKeys(cmp.Or(file, seal.KeysFile), data)
}
