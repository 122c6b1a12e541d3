package commands

import (
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"vouchmark/assess"
	"vouchmark/label/basis/serve"
	"vouchmark/label/record"
)

// Whatever form an engineer sends who signed in, the lines of the ledger have that name and role, whatever name was typed;
// those of commands have no role. The ledger is as commands write it, and an audit says who accepted what.
func TestFormsNoteTheRole(t *testing.T) {
	dir, file := printed(t), filepath.Join(t.TempDir(), "people.toml")
	overrate(t, dir)
	const by, day = "E. Sample, PE", "2026-05-01"
	if err := os.WriteFile(file, []byte("[[person]]\nname = \""+by+"\"\nrole = \"engineer\"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	today, err := assess.ParseDate(day)
	if err != nil {
		t.Fatal(err)
	}
	e := &Env{Stdout: os.Stdout, Stderr: os.Stderr, Now: time.Now, Width: 100, site: dir, today: today, todayGiven: true}
	s := serving{addr: "127.0.0.1:8484", writes: true, signing: signing{file: file}}
	shown := s.site(e, nil, nil)
	people := &peopleFile{path: file, site: dir}
	shown.People = &serve.People{Read: people.read, Front: &serve.Front{Header: "X-User", Trust: []netip.Prefix{netip.MustParsePrefix("192.0.2.1/32")}}}
	server := serve.New(shown)
	h := http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Header.Set("X-User", by)
		server.ServeHTTP(w, r)
	})
	before := len(linesOf(t, dir))
	for _, c := range []struct {
		path string
		form url.Values
		kind record.Kind
	}{
		{"/change/", url.Values{"at": {"REP-TX3"}, "kind": {"fuse replaced"}}, record.Entered},
		{"/overlay/?at=REP-LP1", url.Values{"stock": {"4x4"}}, record.Print},
		{"/mounted/?at=REP-LP1", url.Values{"what": {"overlay"}}, record.Mounted},
		{"/removed/?at=REP-LP1", url.Values{"what": {"overlay"}}, record.Removed},
		{"/interim/?at=REP-LP1", url.Values{"stock": {"4x4"}, "reason": {"burnt"}}, record.Reprint},
		{"/settle/?change=2026-05-01/REP-TX3", url.Values{"scope": {"REP-LP1", "REP-TX3"}, "reason": {"like for like"}}, record.Entered},
		{"/review/", url.Values{"scope": {"TUB-MC4"}, "finding": {"right"}, "reason": {"walked down"}}, record.Entered},
		{"/withdraw/?at=TUB-MC4", url.Values{"reason": {"scrapped"}}, record.Withdrawn},
		{"/accept/?at=GAL-SB2", url.Values{"finding": {"over-rating"}, "reason": {"series rated"}, "until": {"2027-01-01"}}, record.Accepted},
		{"/print/?only=GAL-SB2", url.Values{"stock": {"4x4"}}, record.Print},
	} {
		form := url.Values{"by": {"Q. Example"}, "date": {day}}
		for name := range c.form {
			form[name] = c.form[name]
		}
		send(t, h, c.path, form)
		lines, said := linesOf(t, dir), 0
		for _, l := range lines[before:] {
			switch {
			case l.By == "" && l.Role == "":
			case l.By != by || l.Role != record.RoleEngineer || l.Kind != c.kind:
				t.Errorf("%s: %+v", c.path, l)
			default:
				said++
			}
		}
		if said != 1 {
			t.Errorf("%s: %d lines of %s", c.path, said, c.kind)
		}
		before = len(lines)
	}
	for _, name := range []string{"changes.toml", "site.toml"} {
		if data, err := os.ReadFile(filepath.Join(dir, name)); err != nil || strings.Contains(string(data), "Q. Example") || !strings.Contains(string(data), by) {
			t.Errorf("%s: %v\n%s", name, err, data)
		}
	}
	code, text, stderr := runOf(append(written, Command{Name: "audit", Short: "audit", Operands: [2]int{0, 1}, Setup: Audit}), "audit", "--site", dir, "--today", day)
	if code != 0 || !strings.Contains(text, "by E. Sample, PE, engineer on 2026-05-01 until 2027-01-01") || strings.Contains(text, "not noted in the ledger") {
		t.Errorf("%d %s %s", code, text, stderr)
	}
	for _, want := range []string{"settlement of 2026-05-01/REP-TX3, by E. Sample, PE, engineer: like for like", "found right, by E. Sample, PE, engineer: walked down"} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
			t.Errorf("the audit does not say %q:\n%s", want, text)
		}
	}
	_, text, stderr = runOf(append(written, Command{Name: "history", Args: "ID", Short: "history", Operands: [2]int{1, 1}, Setup: History}), "history", "REP-LP1", "--site", dir, "--today", day)
	for _, want := range []string{"reported by E. Sample, PE, engineer", "settled for this label by E. Sample, PE, engineer: like for like",
		"removed on 2026-05-01, noted by E. Sample, PE, engineer", "reprinted by E. Sample, PE, engineer"} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
			t.Errorf("history does not say %q:\n%s%s", want, text, stderr)
		}
	}
	if code, _, stderr := runOf(written, "mounted", "REP-LP1", "--site", dir, "--today", day, "--by", by); code != 0 {
		t.Fatal(stderr)
	}
	if lines := linesOf(t, dir); lines[len(lines)-1].Role != "" {
		t.Error("a command noted a role")
	}
	if code, text, stderr := runOf(append(written, Command{Name: "audit", Short: "audit", Operands: [2]int{0, 1}, Setup: Audit}), "audit", "--site", dir, "--today", day); code != 0 {
		t.Error(text, stderr)
	}
}

// An audit tells acceptances that a command added from those that were typed, altered or removed by hand.
func TestAcceptancesByHand(t *testing.T) {
	dir := printed(t)
	overrate(t, dir)
	table := append(written, Command{Name: "audit", Short: "audit", Operands: [2]int{0, 1}, Setup: Audit})
	if code, _, stderr := runOf(table, "accept", "GAL-SB2", "over-rating", "--site", dir, "--today", "2026-05-01", "--by", "E. Sample, PE",
		"--reason", "series rated"); code != 0 {
		t.Fatal(stderr)
	}
	file := filepath.Join(dir, "site.toml")
	was, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	text, begin := string(was), strings.LastIndex(string(was), "[[accept]]")
	typed := text + "\n[[accept]]\nat = \"REP-LP1\"\nfinding = \"over-rating\"\nby = \"Q. Example\"\ndate = 2026-05-01\nreason = \"typed\"\n"
	for _, c := range []struct {
		text      string
		says, not []string
	}{
		{text, nil, []string{"note: ledger", "not noted in the ledger"}},
		{strings.Replace(text, "series rated", "series rated by hand", 1), []string{"accepted over-rating at GAL-SB2 on 2026-05-01; site.toml has another text of it now",
			"by hand (in site.toml; no label has been printed with it; not noted in the ledger)"}, []string{"was removed"}},
		{text[:begin], []string{"accepted over-rating at GAL-SB2 on 2026-05-01; it was removed from site.toml since"}, []string{"another text"}},
		{typed, []string{"REP-LP1, by Q. Example on 2026-05-01 until REVIEW BY", "not noted in the ledger"}, []string{"note: ledger"}},
	} {
		if err := os.WriteFile(file, []byte(c.text), 0o644); err != nil {
			t.Fatal(err)
		}
		code, out, stderr := runOf(table, "audit", "--site", dir, "--today", "2026-05-01")
		out = strings.Join(strings.Fields(out), " ")
		if code != 0 {
			t.Fatalf("%d %s%s", code, out, stderr)
		}
		for _, want := range c.says {
			if !strings.Contains(out, want) {
				t.Errorf("it does not say %q:\n%s", want, out)
			}
		}
		for _, not := range c.not {
			if strings.Contains(out, not) {
				t.Errorf("it says %q:\n%s", not, out)
			}
		}
	}
}
