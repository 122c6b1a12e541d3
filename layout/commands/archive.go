package commands

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/archive"
	"vouchmark/label/audit"
	"vouchmark/label/report"
)

// Export is the command of that name.
func Export(flags *pflag.FlagSet) func(*Env, []string) error {
	out := flags.String("out", "records.zip", "`FILE` the archive to write")
	return func(e *Env, _ []string) error {
		files, head, err := e.export(*out)
		if err != nil {
			return err
		}
		return e.tell(map[string]any{"file": *out, "files": files, "head": head},
			"%s: %s; keep a copy of the chain head elsewhere:\n%s\n", *out, report.Plural(files, "file"), head)
	}
}

// export writes an archive of the folder, if its records are intact.
func (e *Env) export(file string) (files int, head string, err error) {
	r, err := look(os.DirFS(e.site), e.today, audit.Options{Tool: version()})
	if err != nil {
		return 0, "", err
	}
	if !r.Sound() {
		return 0, "", fmt.Errorf("nothing was written: %s; run vouchmark audit", r.Problems[0])
	}
	files, err = archive.WriteFile(file, os.DirFS(e.site))
	return files, r.Head, err
}

// Import is the command of that name.
func Import(*pflag.FlagSet) func(*Env, []string) error {
	return func(e *Env, args []string) error {
		from, err := archive.Open(args[0])
		if err != nil {
			return err
		}
		defer from.Close()
		r, err := audit.Run(from, e.today, audit.Options{Tool: version()})
		if err != nil {
			return err
		}
		if !r.Sound() {
			return fmt.Errorf("%s does not verify; nothing was imported: %s", args[0], r.Problems[0])
		}
		if bad := e.owners(from, e.lacks); bad != nil {
			return bad
		}
		n, brought, err := archive.Import(from, e.store())
		if err != nil {
			return err
		}
		if len(brought) > 0 && !e.json {
			fmt.Fprintf(e.Stdout, "%s: restored %s that the folder did not have\n", e.site, strings.Join(brought, ", "))
		}
		return e.tell(map[string]any{"records": n, "head": r.Head, "files": append([]string{}, brought...)},
			"%s: %s and the ledger, up to the chain head\n%s\n", e.site, report.Plural(n, "record"), r.Head)
	}
}

// owners are the problems of those of the owner's files in an archive that are wanted; nil for
// none. Whoever takes an archive for sound restores a site from it one day.
func (e *Env) owners(from fs.FS, wanted func(name string) bool) (all site.Problems) {
	o := e.folder().options
	var policy, log error
	if _, err := fs.Stat(from, assess.PolicyFile); err == nil && wanted(assess.PolicyFile) {
		_, policy = site.ReadPolicy(from, o)
	}
	if wanted(assess.ChangesFile) {
		log = site.CheckLog(from, o)
	}
	errors.As(site.Join(policy, log), &all)
	return all
}

// lacks reports whether the site folder has no file of a name.
func (e *Env) lacks(name string) bool {
	_, err := os.Lstat(filepath.Join(e.site, name))
	return errors.Is(err, fs.ErrNotExist)
}
