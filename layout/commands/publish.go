package commands

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	pages "vouchmark/label/basis/page"
	"vouchmark/label/basis/publish"
	"vouchmark/label/report"
)

// Publish is the command of that name.
func Publish(fs *pflag.FlagSet) func(*Env, []string) error {
	stock := fs.String("stock", "", "on what the pages draw a label (default: the first [[stock]], else 4x4)")
	return func(e *Env, args []string) error {
		dir := args[0]
		if err := apart(dir, e.site); err != nil {
			return err
		}
		read := func() (*pages.Book, error) {
			v, f, err := e.view()
			if err != nil {
				return nil, err
			}
			return e.book(v, f, *stock, nil)
		}
		if _, err := os.Lstat(dir); err != nil { // nothing is begun for a folder that cannot be read
			if _, err := read(); err != nil {
				return err
			}
		}
		s, err := publish.Write(dir, read, e.Progress)
		if err != nil {
			return err
		}
		if e.json {
			err = report.WriteJSON(e.Stdout, s)
		} else {
			_, err = fmt.Fprintf(e.Stdout, "%s: %s; %s written, %d as they were; %d kB, %d kB a label\n",
				dir, report.Plural(s.Labels, "label"), report.Plural(s.Written, "file"), s.Unchanged, (s.Bytes+999)/1000, (s.PerLabel+999)/1000)
			for _, l := range s.Lost {
				fmt.Fprintf(e.Stdout, "  %s: %s; its page says so\n", l.Code, l.Why)
			}
		}
		for _, l := range s.Lost {
			if err == nil && !l.Stranger {
				err = errSilent
			}
		}
		return err
	}
}

// apart refuses to publish over a site folder, into what it keeps, or where it
// would lie within what is published.
func apart(dir, site string) error {
	for _, path := range []*string{&dir, &site} {
		whole, err := filepath.Abs(*path)
		if err != nil {
			return err
		}
		*path = resolved(whole)
	}
	in := func(inner, outer string) bool {
		rel, err := filepath.Rel(outer, inner)
		return err == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(os.PathSeparator))
	}
	for _, kept := range []string{"records", "curves", "wording"} {
		if in(dir, filepath.Join(site, kept)) {
			return &usageError{"publish: the folder lies in what the site folder keeps; name one of its own"}
		}
	}
	if in(site, dir) {
		return &usageError{"publish: that is the site folder, or holds it; what is published must not hold the ledger and the policy"}
	}
	return nil
}

// resolved is a path without links, as far as it is there.
func resolved(path string) string {
	if real, err := filepath.EvalSymlinks(path); err == nil || filepath.Dir(path) == path {
		return cmp.Or(real, path)
	}
	return filepath.Join(resolved(filepath.Dir(path)), filepath.Base(path))
}
