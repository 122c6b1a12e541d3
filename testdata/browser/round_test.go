package browser

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// sighting is what the ledger has of a tick.
type sighting struct {
	ID    string
	Sight struct{ Found, Tick, Clock string }
}

// sightings are what the ledger notes of the equipment, in order.
func (p *plant) sightings(t *testing.T) (all []sighting) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(p.dir, "ledger.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(bytes.NewReader(data))
	lines.Buffer(nil, len(data)+1)
	for lines.Scan() {
		var line struct {
			Kind   string
			Labels []sighting
		}
		if err := json.Unmarshal(lines.Bytes(), &line); err != nil {
			t.Fatal(err)
		}
		if line.Kind == "seen" {
			all = append(all, line.Labels...)
		}
	}
	return all
}

// film is a camera that shows all labels, one after the other, again and again.
func (p *plant) film(t *testing.T) string {
	t.Helper()
	need(t, "pdftoppm")
	at := filepath.Join(t.TempDir(), "label")
	run(t, "pdftoppm", "-r", "110", "-jpeg", p.pdf, at)
	pictures, err := filepath.Glob(at + "*.jpg")
	if err != nil || len(pictures) < 2 {
		t.Fatal(err, pictures)
	}
	var film bytes.Buffer
	const frames = 8 // of 30 a second
	for _, name := range pictures {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		film.Write(bytes.Repeat(data, frames))
	}
	name := filepath.Join(t.TempDir(), "camera.mjpeg")
	if err := os.WriteFile(name, film.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return name
}

// until waits until a script says so.
func (w *window) until(script string) { w.t.Helper(); w.do(chromedp.Poll(script, nil)) }

// click clicks an element without a new page, once the element no longer moves: what was said last may have moved it.
func (w *window) click(selector string) {
	w.t.Helper()
	w.do(chromedp.ScrollIntoView(selector, chromedp.ByQuery))
	w.eval(fmt.Sprintf(`new Promise(done => {
		let last = "", since = 0;
		const look = () => {
			const e = document.querySelector(%q), r = e && e.getBoundingClientRect(), now = r && [r.x, r.y, r.width, r.height, e.disabled, scrollY].join();
			since = now && now === last && !e.disabled ? since + 1 : 0;
			last = now;
			since > 2 ? done(0) : setTimeout(look, 30);
		};
		look();
	})`, selector), nil)
	w.do(chromedp.Click(selector, chromedp.ByQuery))
}

// Somebody walks the plant with a phone and scans each label where it is mounted. Reception is lost in
// the middle, the page is loaded again, and what waits is sent twice: the ledger has each label once.
func TestRound(t *testing.T) {
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	url := p.serve(t, "--allow-writes")
	w := open(t, chromedp.Flag("use-fake-device-for-media-stream", true), chromedp.Flag("use-fake-ui-for-media-stream", true),
		chromedp.Flag("use-file-for-fake-video-capture", p.film(t)))
	w.phone()
	w.show(url + "/round/")
	w.until(`!document.getElementById("round").hidden`)
	w.do(chromedp.SendKeys("#by", "A. Walker", chromedp.ByQuery))
	// Another user of the camera keeps it running, else its film begins again with each label.
	running := func() {
		t.Helper()
		w.eval(`navigator.mediaDevices.getUserMedia({video: true}).then(s => { window.running = s; return 0; })`, nil)
	}
	running()
	var labels int
	w.eval(`document.querySelectorAll(".door").length`, &labels)
	if labels != 30 {
		t.Fatalf("%d labels", labels)
	}
	noted := map[string]bool{}
	scan := func() {
		t.Helper()
		w.click(".camera")
		w.until(`document.getElementById("here").open`)
		id := w.text("#here-title")
		if noted[id] {
			w.click("#here .cancel")
			return
		}
		if text := w.text("#here-says"); !strings.Contains(text, "This is the label of "+id) {
			t.Fatalf("%s: %s", id, text)
		}
		noted[id] = true
		w.click(`#here button[value="yes"]`)
	}
	waiting := func(n int) {
		t.Helper()
		w.until(fmt.Sprintf(`document.getElementById("waits").textContent.startsWith(%q)`, map[bool]string{true: fmt.Sprint(n, " not sent")}[n > 0]))
		if n == 0 {
			w.until(`document.getElementById("waits").textContent === ""`)
		}
	}
	for len(noted) < 10 {
		scan()
	}
	waiting(0)
	w.do(network.SetBlockedURLs([]string{"*/round/ticks"}))
	for len(noted) < 20 {
		scan()
	}
	waiting(10)
	w.look("round-waiting")
	if text := w.text("#sent-not"); !strings.Contains(text, "No reception") {
		t.Errorf("%q", text)
	}
	w.show(url + "/round/") // the page is loaded again while nothing can be sent
	w.until(`!document.getElementById("round").hidden`)
	waiting(10)
	running()
	for len(noted) < labels {
		scan()
	}
	waiting(20)
	// What waits is sent, and its answer is lost.
	w.do(network.SetBlockedURLs([]string{}))
	// Something that is not a tick holds up none.
	w.eval(`localStorage.setItem("vouchmark tick /round/ 0", "{"), 0`, nil)
	w.eval(`(async () => {
		const all = Object.keys(localStorage).filter(k => k.startsWith("vouchmark tick ") && !k.endsWith(" 0")).map(k => JSON.parse(localStorage.getItem(k)));
		const answer = await fetch("ticks", {method: "POST", headers: {"Content-Type": "application/json"},
			body: JSON.stringify({by: "A. Walker", ticks: all.slice(0, 15).map(t => ({tick: t.tick, at: t.at, read: t.read, found: t.found, day: t.day}))})});
		return answer.status;
	})()`, nil)
	w.click("#send")
	waiting(0)
	w.until(`document.querySelectorAll(".badge.right:not(.waiting)").length === 30`)

	all := p.sightings(t)
	ids, ticks := map[string]int{}, map[string]bool{}
	for _, s := range all {
		ids[s.ID]++
		ticks[s.Sight.Tick] = true
		if s.Sight.Found != "right" || s.Sight.Clock == "" { // the site's day is before the browser's
			t.Errorf("%+v", s)
		}
	}
	if len(all) != labels || len(ids) != labels || len(ticks) != labels {
		t.Errorf("%d sightings of %d locations with %d names: %v", len(all), len(ids), len(ticks), ids)
	}
	w.show(url + "/round/")
	var counts []string
	w.eval(`Array.from(document.querySelectorAll(".areas .count"), e => e.textContent)`, &counts)
	if slices.ContainsFunc(counts, func(c string) bool { a, b, _ := strings.Cut(c, " of "); return a != b }) {
		t.Errorf("%v", counts)
	}
	w.look("round-done")
	w.mu.Lock()
	w.faults = slices.DeleteFunc(w.faults, func(f string) bool { return strings.Contains(f, "ERR_BLOCKED") })
	w.mu.Unlock()
	w.clean(url)
	if got := p.call(t, "audit"); !strings.Contains(got, "30 of 30 labels seen") || !strings.Contains(got, "Records intact") {
		t.Error(got)
	}
}

// What is not right on the equipment is told in words, on the page and in what falls due: the wrong label,
// an older one, one of another site, none, a damaged one. The page is accessible, the questions too.
func TestRoundWrong(t *testing.T) {
	axe := axe(t)
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	old := p.codes(t)
	policy := filepath.Join(p.dir, "site.toml")
	data, err := os.ReadFile(policy)
	if err != nil {
		t.Fatal(err)
	}
	sooner := strings.Replace(string(data), "review_months = 60", "review_months = 48", 1)
	if sooner == string(data) {
		t.Fatal("no interval to change")
	}
	if err := os.WriteFile(policy, []byte(sooner), 0o644); err != nil {
		t.Fatal(err)
	}
	p.call(t, "print", "--changed", "--out", p.pdf)
	now := p.codes(t)
	url := p.serve(t, "--allow-writes")
	w := open(t)
	w.phone()
	w.show(url + "/round/")
	w.until(`!document.getElementById("round").hidden`)
	w.check(axe, "round")
	at := func(id string) {
		t.Helper()
		w.click(`.door[data-id="` + id + `"] .note`)
		w.until(`document.getElementById("here").open`)
	}
	typed := func(code string) {
		t.Helper()
		w.do(chromedp.SendKeys("#here-code", code, chromedp.ByQuery))
		w.click(`#here button[value="typed"]`)
	}
	says := func(id, badge, text string) {
		t.Helper()
		w.until(fmt.Sprintf(`(d => d.querySelector(".badge").textContent === %q && d.querySelector(".says").textContent.includes(%q))(document.querySelector('.door[data-id="%s"]'))`,
			badge, text, id))
	}
	at("TNK-US1")
	w.look("round-here")
	w.check(axe, "round, a question")
	w.click(`#here button[value="right"]`)
	w.until(`document.getElementById("sent-not").textContent.startsWith("Enter your name")`) // nothing is lost
	w.do(chromedp.SendKeys("#by", "A. Walker", chromedp.ByQuery))
	w.eval(`document.getElementById("by").dispatchEvent(new Event("change")), 0`, nil)
	says("TNK-US1", "right label", "")

	at("TNK-SG1")
	w.click(`#here button[value="type"]`)
	typed(old["TNK-SG1"])
	w.until(`document.getElementById("here-says").textContent.includes("not the present label")`)
	w.look("round-differs")
	w.click(`#here button[value="note"]`)
	says("TNK-SG1", "older label", "replace it with label "+now["TNK-SG1"])

	at("TNK-TX1")
	w.click(`#here button[value="type"]`)
	typed(strings.ToLower(strings.ReplaceAll(now["TNK-TX2"], "-", "")))
	w.until(`document.getElementById("here-says").textContent.includes("This is the label of TNK-TX2")`)
	w.click(`#here button[value="note"]`)
	says("TNK-TX1", "label of other equipment", "the label of TNK-TX2; replace it with label "+now["TNK-TX1"])

	w.click(".typed") // without saying where first
	typed("3HM9-0000-0000-0000")
	w.until(`document.getElementById("here-says").textContent.includes("On which equipment")`)
	w.check(axe, "round, where it is")
	w.do(chromedp.SetValue("#here-at", "GAL-SB1", chromedp.ByQuery))
	w.click(`#here button[value="at"]`)
	says("GAL-SB1", "not of this site", "replace it with label "+now["GAL-SB1"])

	at("GAL-SB2")
	w.click(`#here button[value="missing"]`)
	says("GAL-SB2", "no label", "mount label "+now["GAL-SB2"])
	at("RAW-MC1")
	w.click(`#here button[value="damaged"]`)
	says("RAW-MC1", "damaged", "replace it with label "+now["RAW-MC1"])
	w.look("round-wrong")

	w.show(url + "/round/")
	w.check(axe, "round, with what is not right")
	w.checkDark(axe, "round")
	says("TNK-TX1", "label of other equipment", "the label of TNK-TX2")
	w.look("round-again")
	w.show(url + "/due/")
	due := w.text("main")
	for _, want := range []string{": the label of TNK-TX2 (" + now["TNK-TX2"] + ")", ": a label that is not of this site, or was altered",
		": no label", ": a damaged label", ": a label that is no longer in use (" + old["TNK-SG1"] + ")"} {
		if !strings.Contains(due, want) {
			t.Errorf("what falls due does not say: %s", want)
		}
	}
	w.show(url + "/")
	if start := w.text("main"); !strings.Contains(start, "Not right on the equipment") || !strings.Contains(start, "the label of TNK-TX2") {
		t.Error(start)
	}
	w.check(axe, "start, with what is not right")
	w.look("round-start")
	w.show(url + "/walk/")
	if walk := w.text(`tr:has(a[href*="` + now["TNK-TX1"] + `"])`); !strings.Contains(walk, "remove "+now["TNK-TX2"]) || !strings.Contains(walk, "mount "+now["TNK-TX1"]) {
		t.Error(walk)
	}
	w.check(axe, "walk, with what is not right")
	w.look("round-walk")
	if walk := w.text("main"); !strings.Contains(walk, "found on 2026-05-02: the label of other equipment") {
		t.Error(walk)
	}
	w.show(url + "/V/" + now["TNK-TX2"] + "/") // as somebody at TNK-TX1 scans it
	if page := w.text("main"); !strings.Contains(page, "Are you at TNK-TX1? This label was found there, and it is wrong there: it belongs on TNK-TX2.") {
		t.Error(page)
	}
	w.check(axe, "a label found on other equipment")
	w.look("round-stray")
	w.clean(url)

	// Without a script there is a form for each location.
	w.do(emulation.SetScriptExecutionDisabled(true))
	w.show(url + "/round/")
	w.press(`.door[data-id="CHN-MC3"] .note`)
	w.do(chromedp.Click("#found-missing", chromedp.ByQuery), chromedp.SendKeys("#by", "A. Walker", chromedp.ByQuery))
	w.press("form.sheet button")
	if got := w.text("main"); !strings.Contains(got, "CHN-MC3: no label. Mount label "+now["CHN-MC3"]) {
		t.Error(got)
	}
	if got := len(p.sightings(t)); got != 7 {
		t.Errorf("%d sightings", got)
	}
}

// codes are the codes of the labels by their locations.
func (p *plant) codes(t *testing.T) map[string]string {
	t.Helper()
	var site struct {
		Locations []struct{ ID, Code string }
	}
	if err := json.Unmarshal([]byte(p.call(t, "check", "--json")), &site); err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, l := range site.Locations {
		all[l.ID] = l.Code
	}
	return all
}
