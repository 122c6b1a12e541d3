package commands

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"syscall"

	"github.com/spf13/pflag"

	pages "vouchmark/label/basis/page"
	"vouchmark/label/basis/publish"
	"vouchmark/label/bucket"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Publish is the command of that name.
func Publish(fs *pflag.FlagSet) func(*Env, []string) error {
	stock := fs.String("stock", "", "`STOCK` the label stock to draw on the pages (default: the first [[stock]], else 4x4)")
	layout := fs.String("layout", "", "`index|bare` where the pages are in a bucket: in V/CODE/FACTS/index.html, or, for a store that serves no "+
		"index files, in V/CODE/FACTS itself; chosen once (default: as they are there, else index)")
	return func(e *Env, args []string) error {
		read := func() (*pages.Book, error) {
			b, err := e.book(*stock, nil, nil)
			if err == nil {
				b.Audit, b.Shelf.Intact = e.audited(b.Shelf.Site)
			}
			return b, err
		}
		dir, at, err := destination(args[0])
		switch {
		case err != nil:
			return err
		case at != nil:
			return e.publishTo(at, *layout, read)
		case *layout != "":
			return &usageError{text: "publish: --layout is for a bucket; in a folder the pages are always in V/CODE/FACTS/index.html"}
		}
		if err := apart(dir, e.site); err != nil {
			return err
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
		return e.published(s)
	}
}

// destination is what an operand names: a folder, or else the address of a bucket.
func destination(operand string) (dir string, at *bucket.Address, err error) {
	if !bucket.Is(operand) && !strings.Contains(operand, "://") {
		return operand, nil, nil
	}
	if at, err = bucket.Parse(operand); err != nil {
		return "", nil, &usageError{text: "publish: " + err.Error()}
	}
	if at.Path != "" {
		return at.Path, nil, nil
	}
	return "", at, nil
}

// publishTo publishes into a bucket, until somebody stops the program.
func (e *Env) publishTo(at *bucket.Address, layout string, read func() (*pages.Book, error)) error {
	if known := publish.Layouts(); layout != "" && !slices.Contains(known, layout) {
		return wrongFlag("layout", fmt.Errorf("%q is not known; expected %s", layout, strings.Join(known, " or ")))
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop) // a second signal does not wait for requests
	store, err := at.Open(ctx)
	if err != nil {
		return &record.WriteError{Path: at.Name(), Err: err}
	}
	defer store.Close()
	s, err := publish.Publish(ctx, &publish.Store{Bucket: store, Name: at.Name(), Layout: layout, Say: func(line string) {
		e.progress.clear()
		fmt.Fprintln(e.Stderr, line)
	}}, read, e.progress.of("writing page"))
	if err != nil {
		return err
	}
	return e.published(s)
}

// published says what was published.
func (e *Env) published(s *publish.Summary) error {
	err := e.show(s, func(w io.Writer, _ int) error {
		fmt.Fprintf(w, "%s: %s; %s written, %d unchanged; %d kB in all, %d kB per label", s.Dir, report.Plural(s.Labels, "label"),
			report.Plural(s.Written, "file"), s.Unchanged, (s.Bytes+999)/1000, (s.PerLabel+999)/1000)
		if t := s.Traffic; t != nil {
			fmt.Fprintf(w, "; %s, %d kB sent", report.Plural(int(t.Requests), "request"), (t.Bytes+999)/1000)
		}
		_, err := fmt.Fprintln(w)
		if t := s.Traffic; t != nil && t.Altered == 1 {
			fmt.Fprintln(w, "  1 file was altered or missing in the bucket; it is written again")
		} else if t != nil && t.Altered > 1 {
			fmt.Fprintf(w, "  %d files were altered or missing in the bucket; they are written again\n", t.Altered)
		}
		for _, name := range s.Repaired {
			fmt.Fprintf(w, "  %s was damaged; it is written again\n", name)
		}
		for _, l := range s.Lost {
			fmt.Fprintf(w, "  %s: %s; its page says so\n", l.Code, l.Why)
		}
		return err
	})
	for _, l := range s.Lost {
		err = verdict(err, l.Stranger)
	}
	return err
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
