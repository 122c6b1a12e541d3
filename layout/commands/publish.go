package commands

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/pflag"

	pages "vouchmark/label/basis/page"
	"vouchmark/label/basis/publish"
	"vouchmark/label/report"
)

// Publish is the command of that name.
func Publish(fs *pflag.FlagSet) func(*Env, []string) error {
	stock := fs.String("stock", "", "`STOCK` the label stock to draw on the pages (default: the first [[stock]], else 4x4)")
	return func(e *Env, args []string) error {
		dir := args[0]
		if err := apart(dir, e.site); err != nil {
			return err
		}
		read := func() (*pages.Book, error) {
			b, err := e.book(*stock, nil, nil)
			if err == nil {
				b.Audit = e.audited(b.Shelf.Site)
			}
			return b, err
		}
		if _, err := os.Lstat(dir); err != nil { // write nothing if the folder cannot be read
			if _, err := read(); err != nil {
				return err
			}
		}
		s, err := publish.Write(dir, read, e.progress.of("writing page"))
		if err != nil {
			return err
		}
		err = e.tell(s, "%s: %s; %s written, %d unchanged; %d kB in all, %d kB per label\n",
			dir, report.Plural(s.Labels, "label"), report.Plural(s.Written, "file"), s.Unchanged,
			(s.Bytes+999)/1000, (s.PerLabel+999)/1000)
		for _, name := range s.Repaired {
			if !e.json {
				fmt.Fprintf(e.Stdout, "  %s was damaged; it is written again\n", name)
			}
		}
		for _, l := range s.Lost {
			if !e.json {
				fmt.Fprintf(e.Stdout, "  %s: %s; its page says so\n", l.Code, l.Why)
			}
			err = verdict(err, l.Stranger)
		}
		return err
	}
}

// apart refuses to publish over a site folder, into its own subfolders, or into
// a folder that contains the site folder.
func apart(dir, site string) error {
	for _, kept := range []string{"records", "curves", "wording"} {
		if inside(dir, filepath.Join(site, kept)) {
			return &usageError{text: "publish: the folder is inside a folder that the site uses; name a separate one"}
		}
	}
	if inside(site, dir) {
		return &usageError{text: "publish: that is the site folder, or contains it; " +
			"published files must not include the ledger and the policy"}
	}
	return nil
}
