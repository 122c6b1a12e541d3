package commands

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Nothing of a site folder is ever an output, whether it exists or not.
func TestSiteIsNoOutput(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"site.toml", "locations.csv"} { // whoever tried the sample has a ledger there
		data, err := os.ReadFile(filepath.Join("../../samples/creamery", name))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	link := filepath.Join(t.TempDir(), "link")
	if err := os.Symlink(dir, link); err != nil {
		t.Fatal(err)
	}
	other := t.TempDir() // another site, without --site
	if err := os.CopyFS(other, os.DirFS(dir)); err != nil {
		t.Fatal(err)
	}
	table := []Command{{Name: "print", Setup: Print}, {Name: "walk", Setup: Walk}, {Name: "audit", Setup: Audit}}
	call := func(args ...string) (code int, errs string) {
		var out, err bytes.Buffer
		e := &Env{Stdout: &out, Stderr: &err, Width: 80, Now: func() time.Time { return time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC) }}
		code = Run(e, table, args)
		return code, err.String()
	}
	for _, name := range []string{"ledger.jsonl", "LEDGER.JSONL", "changes.toml", "devices.csv", "keys.txt", "records/x.pdf", "studies/new/x.pdf",
		"wording/x.pdf", "curves/x.csv", "ledger.torn-3-0123456789ab", "intake.toml", "site.toml", "./locations.csv"} {
		for _, site := range []string{dir, link, other} {
			for _, args := range [][]string{{"print", "--out"}, {"print", "--preview", "--out"}, {"walk", "--csv", "--out"}, {"audit", "--pdf"}} {
				code, errs := call(append(args, filepath.Join(site, name), "--site", dir)...)
				if code != 2 || !strings.Contains(errs, "belongs to the site folder; name another file") {
					t.Errorf("%v %s: exit %d, %s", args, name, code, errs)
				}
			}
		}
	}
	if _, err := os.Stat(filepath.Join(dir, "ledger.jsonl")); err == nil {
		t.Error("there is a ledger")
	}
	for _, name := range []string{"labels.pdf", "ledger.pdf", "records.pdf"} {
		if code, errs := call("print", "--out", filepath.Join(dir, name), "--site", dir); code != 0 {
			t.Errorf("%s: exit %d, %s", name, code, errs)
		}
	}
}
