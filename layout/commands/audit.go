package commands

import (
	"os"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/label/archive"
	"vouchmark/label/audit"
	"vouchmark/label/report"
)

// Audit is the command of that name.
func Audit(fs *pflag.FlagSet) func(*Env, []string) error {
	noted := fs.String("head", "", "a chain head that was noted outside the folder: from a job slip, or an earlier audit")
	keys := fs.String("keys", "", "a file with the public keys that you trust (default: the site's keys.txt)")
	return func(e *Env, args []string) error {
		o := audit.Options{Noted: strings.TrimSpace(*noted), Tool: version()}
		var err error
		if o.Keys, err = e.keys(*keys); err != nil {
			return err
		}
		folder := os.DirFS(e.site)
		if len(args) == 1 {
			opened, closer, err := archive.Open(args[0])
			if err != nil {
				return err
			}
			defer closer.Close()
			folder, o.Why = opened, "an archive holds no study"
		} else if o.View, _, err = e.view(); err != nil {
			o.View, o.Why = nil, strings.ReplaceAll(err.Error(), "\n", "; ")
		}
		r, err := audit.Run(folder, e.today, o)
		if err != nil {
			return err
		}
		if e.json {
			err = report.WriteJSON(e.Stdout, r)
		} else {
			err = r.Text(e.Stdout, e.Width)
		}
		if err == nil && !r.Sound() {
			err = errSilent
		}
		return err
	}
}
