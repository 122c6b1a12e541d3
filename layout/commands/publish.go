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
	stock := fs.String("stock", "", "on what the pages draw a label (default: the first [[stock]], else 4x4)")
	return func(e *Env, args []string) error {
		dir := args[0]
		if err := apart(dir, e.site); err != nil {
			return err
		}
		read := func() (*pages.Book, error) { return e.book(*stock, nil) }
		if _, err := os.Lstat(dir); err != nil { // nothing is begun for a folder that cannot be read
			if _, err := read(); err != nil {
				return err
			}
		}
		s, err := publish.Write(dir, read, e.Progress)
		if err != nil {
			return err
		}
		err = e.tell(s, "%s: %s; %s written, %d as they were; %d kB, %d kB a label\n",
			dir, report.Plural(s.Labels, "label"), report.Plural(s.Written, "file"), s.Unchanged,
			(s.Bytes+999)/1000, (s.PerLabel+999)/1000)
		for _, l := range s.Lost {
			if !e.json {
				fmt.Fprintf(e.Stdout, "  %s: %s; its page says so\n", l.Code, l.Why)
			}
			err = verdict(err, l.Stranger)
		}
		return err
	}
}

// apart refuses to publish over a site folder, into what it keeps, or where it
// would lie within what is published.
func apart(dir, site string) error {
	for _, kept := range []string{"records", "curves", "wording"} {
		if inside(dir, filepath.Join(site, kept)) {
			return &usageError{"publish: the folder lies in what the site folder keeps; name one of its own"}
		}
	}
	if inside(site, dir) {
		return &usageError{"publish: that is the site folder, or holds it; " +
			"what is published must not hold the ledger and the policy"}
	}
	return nil
}
