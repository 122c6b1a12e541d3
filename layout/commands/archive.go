package commands

import (
	"fmt"
	"os"

	"github.com/spf13/pflag"

	"vouchmark/label/archive"
	"vouchmark/label/audit"
	"vouchmark/label/report"
)

// Export is the command of that name.
func Export(fs *pflag.FlagSet) func(*Env, []string) error {
	out := fs.String("out", "records.zip", "the archive to write")
	return func(e *Env, _ []string) error {
		r, err := audit.Run(os.DirFS(e.site), e.today, audit.Options{Tool: version()})
		if err != nil {
			return err
		}
		if !r.Sound() {
			return fmt.Errorf("nothing was written: %s; see vouchmark audit", r.Problems[0])
		}
		files, err := archive.WriteFile(*out, os.DirFS(e.site))
		if err != nil {
			return err
		}
		if e.json {
			return report.WriteJSON(e.Stdout, map[string]any{"file": *out, "files": files, "head": r.Head})
		}
		_, err = fmt.Fprintf(e.Stdout, "%s: %s; note the chain head elsewhere:\n%s\n", *out, report.Plural(files, "file"), r.Head)
		return err
	}
}

// Import is the command of that name.
func Import(*pflag.FlagSet) func(*Env, []string) error {
	return func(e *Env, args []string) error {
		from, closer, err := archive.Open(args[0])
		if err != nil {
			return err
		}
		defer closer.Close()
		r, err := audit.Run(from, e.today, audit.Options{Tool: version()})
		if err != nil {
			return err
		}
		if !r.Sound() {
			return fmt.Errorf("%s does not verify, nothing was imported: %s", args[0], r.Problems[0])
		}
		n, err := archive.Import(from, e.site)
		if err != nil {
			return err
		}
		if e.json {
			return report.WriteJSON(e.Stdout, map[string]any{"records": n, "head": r.Head})
		}
		_, err = fmt.Fprintf(e.Stdout, "%s: %s and the ledger, to the chain head\n%s\n", e.site, report.Plural(n, "record"), r.Head)
		return err
	}
}
