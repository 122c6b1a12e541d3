package browser

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A planner signs in on a phone, logs a change and is refused to settle it, and reads who may; an engineer signs
// in and settles it. The ledger has both names with their roles, and nobody typed one.
func TestPeople(t *testing.T) {
	source := axe(t)
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	list, word := filepath.Join(t.TempDir(), "people.toml"), filepath.Join(t.TempDir(), "word")
	const password = "correct horse battery"
	if err := os.WriteFile(word, []byte(password+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, role := range map[string]string{"M. Sample": "planner", "E. Sample, PE": "engineer"} {
		run(t, p.program, "person", "add", name, "--role", role, "--people", list, "--password-file", word)
	}
	url := p.serve(t, "--allow-writes", "--people", list)
	w := open(t)
	fine := func(name string) { // a page that refuses is an error to the browser, and no defect
		t.Helper()
		w.check(source, name)
		w.checkDark(source, name)
		var wide int64
		if w.eval(`document.scrollingElement.scrollWidth`, &wide); wide > 390 {
			t.Errorf("%s is %d wide", name, wide)
		}
		w.look("people-" + name)
	}
	header := func(want string) {
		t.Helper()
		var got string
		w.eval(`new Promise(done => { const until = Date.now() + 10000, look = () => {
			const text = document.querySelector("header .person").textContent;
			text === `+"`"+want+"`"+` || Date.now() > until ? done(text) : setTimeout(look, 20); }; look(); })`, &got)
		if got != want {
			t.Errorf("the header says %q, want %q", got, want)
		}
	}
	in := func(name, password string) {
		t.Helper()
		w.fill(map[string]string{"name": name, "password": password})
		w.press("form button")
	}
	says := func(texts ...string) {
		t.Helper()
		got := w.text("main")
		for _, text := range texts {
			if !strings.Contains(got, text) {
				t.Errorf("the page does not say %q: %.600s", text, got)
			}
		}
	}

	w.show(url + "/change/?at=REP-TX3")
	says("Sign in", "Your name, as it was added")
	header("Sign in")
	fine("sign-in")
	in("M. Sample", "correct horse batter")
	says("You are not signed in", "wrong name or password")
	fine("sign-in-wrong")
	w.clearRefused()
	in("M. Sample", password)
	says("Log a change", "M. Sample, planner") // where they wanted to go
	header("M. Sample, planner")
	w.look("people-change")
	w.fill(map[string]string{"kind": "fuse replaced"})
	w.press("form button")
	w.press(`[name="save"]`)
	says("The change is logged")
	w.show(url + "/settle/?change=" + today + "/REP-TX3")
	says("Settling a change needs the role engineer", "You are signed in as M. Sample, planner", "Nothing was written", "E. Sample, PE, engineer")
	fine("refused")
	w.clearRefused()
	w.press(`main a[href*="sign-in/"]`)
	says("You are signed in as M. Sample, planner")
	fine("signed-in")
	w.press("form button")
	says("Your name, as it was added")
	header("Sign in")
	in("E. Sample, PE", password) // and is where the planner wanted to go
	says("Settle a change", "E. Sample, PE, engineer", "logged by M. Sample, planner")
	w.look("people-settle")
	w.fill(map[string]string{"reason": "like for like"})
	w.eval(`document.querySelector('[value="REP-LP1"]').checked = true, 0`, nil)
	w.press("form button")
	w.press(`[name="save"]`)
	says("The change is settled for 1 label", "REP-LP1 holds again")
	w.look("people-settled")
	w.show(url + "/?q=REP-LP1")
	header("E. Sample, PE, engineer")
	w.clean(url)
	ledger := read(t, p.dir, "ledger.jsonl")
	for _, want := range []string{`"by":"M. Sample","role":"planner"`, `"by":"E. Sample, PE","role":"engineer"`} {
		if !strings.Contains(ledger, want) {
			t.Errorf("the ledger lacks %s:\n%s", want, ledger)
		}
	}
	// What somebody else noted on the same device is not sent in this name without asking.
	w.show(url + "/round/")
	w.eval(`localStorage.setItem("vouchmark tick /round/ 0123456789abcdef", JSON.stringify({tick: "0123456789abcdef", at: "TUB-MC4", read: "", found: "missing",
		day: "`+today+`", by: "M. Sample", at_ms: 1})), 0`, nil)
	w.show(url + "/round/")
	w.until(`document.getElementById("sent-not").textContent.includes("1 noted by M. Sample")`)
	fine("round-of-another")
	if got := len(p.sightings(t)); got != 0 {
		t.Errorf("%d were sent", got)
	}
	w.click("#sent-not button")
	w.until(`document.getElementById("waits").textContent === ""`)
	if line := read(t, p.dir, "ledger.jsonl"); !strings.Contains(line, `"kind":"seen"`) || len(p.sightings(t)) != 1 {
		t.Error("it was not sent")
	}
	for _, size := range []int64{820, 1440} {
		w.size(size, 900)
		w.show(url + "/settle/?change=" + today + "/REP-TX3")
		header("E. Sample, PE, engineer")
		w.look("people-wide")
	}
}

// clearRefused forgets that the page was refused: the browser notes each such answer as an error.
func (w *window) clearRefused() {
	w.mu.Lock()
	defer w.mu.Unlock()
	var others []string
	for _, f := range w.faults {
		if !strings.HasPrefix(f, "Failed to load resource: the server responded with a status of 403") {
			others = append(others, f)
		}
	}
	w.faults = others
}
