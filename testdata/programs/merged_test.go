package programs

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Two branches of a site folder are written to and merged with git, which leaves its marks in
// the ledger or, told to, the lines of both. Every command that needs the ledger refuses and says
// why, and nothing is lost: the remedy that it names leads to a folder in order.
func TestMergedBranches(t *testing.T) {
	need(t, "git")
	g := newGrounds(t)
	for name, attributes := range map[string]string{"marks": "", "both": "ledger.jsonl merge=union\n"} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			run(t, "cp", "-r", g.base+"/.", dir)
			site := filepath.Join(dir, "site")
			git := func(args ...string) said {
				c := exec.Command("git", args...)
				c.Env = append(os.Environ(), "GIT_CONFIG_GLOBAL=/dev/null", "GIT_AUTHOR_NAME=tester", "GIT_AUTHOR_EMAIL=tester@example.org",
					"GIT_COMMITTER_NAME=tester", "GIT_COMMITTER_EMAIL=tester@example.org")
				return answer(t, c, site)
			}
			must := func(s said) said {
				t.Helper()
				if s.code != 0 {
					t.Fatalf("%+v", s)
				}
				return s
			}
			must(git("init", "-q", "-b", "main", "."))
			if err := os.WriteFile(filepath.Join(site, ".gitattributes"), []byte(attributes), 0o644); err != nil {
				t.Fatal(err)
			}
			must(git("add", "-A"))
			must(git("commit", "-qm", "before"))
			must(git("checkout", "-qb", "two"))
			must(g.run(t, dir, words("print --site site --only TNK-US1 --out out/labels.pdf --by two")...))
			must(g.run(t, dir, words("change add --site site --at GAL-BY1 --kind renovation --by two")...))
			must(git("add", "-A"))
			must(git("commit", "-qm", "two"))
			must(git("checkout", "-q", "main"))
			must(g.run(t, dir, words("withdraw GAL-DC1 --site site --reason torn --by one")...))
			must(git("commit", "-qam", "one"))
			must(git("tag", "one"))
			if s := git("merge", "-q", "two"); (s.code == 0) != (attributes != "") {
				t.Fatalf("%+v", s)
			}

			merged := string(content(t, filepath.Join(site, "ledger.jsonl")))
			for _, by := range []string{`"one"`, `"two"`} {
				if !strings.Contains(merged, by) {
					t.Errorf("git lost the lines by %s", by)
				}
			}
			for _, args := range []string{"audit --site site", "check --site site", "print --site site --only GAL-BY1 --out out/labels.pdf", "reprint GAL-BY1 --site site --out out/labels.pdf",
				"mounted GAL-DC1 --site site", "withdraw GAL-BY1 --site site --reason torn --by one", "sign ledger --site site --key out/key",
				"change add --site site --at GAL-BY1 --kind renovation --by one", "records export --site site --out out/records.zip", "publish pages --site site"} {
				if s := g.run(t, dir, words(args)...); s.code != 1 || !strings.Contains(strings.Join(strings.Fields(s.out+s.errors), " "), "two copies of this folder were written, and their ledgers were merged") {
					t.Errorf("%s: %+v", args, s)
				}
			}
			if now := string(content(t, filepath.Join(site, "ledger.jsonl"))); now != merged {
				t.Errorf("a merged ledger was written to:\n%s", now)
			}

			// The remedy: one copy's ledger, all records, and what the other printed again.
			one := must(git("show", "one:ledger.jsonl")).out
			if err := os.WriteFile(filepath.Join(site, "ledger.jsonl"), []byte(one), 0o644); err != nil {
				t.Fatal(err)
			}
			must(git("checkout", "-q", "two", "--", "changes.toml", "records"))
			if s := g.run(t, dir, words("audit --site site")...); s.code != 1 || !strings.Contains(s.out, "no line of the ledger names it") {
				t.Errorf("the other copy's record: %+v", s)
			}
			listed := must(g.run(t, dir, words("change note --site site")...)).out
			mark, _, _ := strings.Cut(listed, " ")
			if !strings.Contains(listed, `at = "GAL-BY1"`) {
				t.Fatalf("the other copy's change: %s", listed)
			}
			must(g.run(t, dir, "change", "note", mark, "--site", "site", "--by", "one"))
			must(g.run(t, dir, words("print --site site --only TNK-US1 --out out/labels.pdf --by one")...))
			must(g.run(t, dir, words("audit --site site")...))
		})
	}
}
