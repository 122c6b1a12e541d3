package commands

import (
	"io/fs"
	"os"
	"regexp"
	"runtime"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/archive"
	"vouchmark/label/audit"
	"vouchmark/label/record"
	"vouchmark/layout"
	"vouchmark/layout/press"
)

// headForm is a chain head: a SHA-256.
var headForm = regexp.MustCompile(`^[0-9a-f]{64}$`)

// Audit is the command of that name.
func Audit(flags *pflag.FlagSet) func(*Env, []string) error {
	noted := flags.String("head", "",
		"`HEAD` a chain head (64 digits) kept outside the folder, from a job slip or an earlier audit")
	keys := flags.String("keys", "", "`FILE` a file with the public keys that you trust (default: the site's keys.txt)")
	second := flags.String("mirror", "",
		"`URL` also compare with the mirror at this address, line by line and file by file; give it from your own notes, since whoever can "+
			"write to the folder can alter mirror.toml")
	full := flags.Bool("full", false, "read every file of the mirror back, instead of believing the store's list for all but 100")
	pdf := flags.String("pdf", "", "`FILE` also write the report as a PDF to this file")
	on := paperFlag(flags)
	return func(e *Env, args []string) error {
		o := audit.Options{Noted: strings.TrimSpace(*noted), Tool: version(), Progress: e.progress.of("judging record")}
		if o.Noted = strings.ToLower(o.Noted); flags.Changed("head") && !headForm.MatchString(o.Noted) {
			return &usageError{text: "--head: a chain head has 64 digits of 0 to 9 and a to f, " +
				"as the job slip and vouchmark audit show it"}
		}
		if *full && *second == "" {
			return &usageError{text: "--full goes with --mirror"}
		}
		var err error
		if o.Keys, err = e.keys(*keys); err != nil {
			return err
		}
		folder, run := os.DirFS(e.site), look
		if len(args) == 1 {
			opened, err := archive.Open(args[0])
			if err != nil {
				return err
			}
			defer opened.Close()
			folder, run, o.Why = opened, audit.Run, "an archive holds no locations.csv" // nobody writes to it
		} else if v, _, err := e.view(); err != nil {
			o.Why = strings.ReplaceAll(err.Error(), "\n", "; ")
		} else {
			o.See(v)
			e.last = &record.LastRead{} // what was read for it need not stay in memory either
			runtime.GC()                // so that the records are judged in the memory that the plant had
		}
		if *second != "" {
			if o.Mirror, err = e.compare(*second, folder, *full, len(args) == 1); err != nil {
				return err
			}
		}
		policy, err := site.ReadPolicy(folder, e.folder().options)
		if err == nil {
			o.Site, o.Accept = policy.Name, policy.Accept
		} else {
			policy = nil
		}
		r, err := run(folder, e.today, o)
		if err != nil {
			return err
		}
		e.noteMirror(r, *second, len(args) == 1)
		if len(args) == 1 {
			for _, p := range e.owners(folder, func(string) bool { return true }) {
				where, what, _ := strings.Cut(p.String(), ": ")
				r.Problems = append(r.Problems, audit.Problem{Where: where, What: what,
					Do: "correct it in the folder and make another archive; records import refuses this one"})
			}
		}
		if *pdf != "" {
			paper, err := on(policy)
			if err != nil {
				return err
			}
			if err := writeAudit(r, policy, paper, *pdf); err != nil {
				return err
			}
		}
		return verdict(e.show(r, r.Text), r.Sound())
	}
}

// look audits, and audits again where a write in progress may have caused the problem.
func look(folder fs.FS, today assess.Date, o audit.Options) (r *audit.Report, err error) {
	for range 3 {
		clear(o.Intact)
		if r, err = audit.Run(folder, today, o); err != nil || !r.Passing {
			break
		}
		time.Sleep(300 * time.Millisecond)
	}
	return r, err
}

// writeAudit writes the report as a PDF. policy is nil if none can be read.
func writeAudit(r *audit.Report, policy *assess.Policy, paper layout.Paper, file string) error {
	pdf, err := press.AuditPDF(r, policy, paper)
	if err != nil {
		return err
	}
	f, err := record.PreparePDF(file, pdf)
	if err != nil {
		return err
	}
	return f.Commit()
}
