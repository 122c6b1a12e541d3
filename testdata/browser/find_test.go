package browser

import (
	"maps"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// The search of published files leads where that of the server leads: a desk scanner
// types the text of a QR code and presses Enter.
func TestFind(t *testing.T) {
	p := newPlant(t, "creamery")
	p.call(t, "print", "--out", p.pdf)
	public := filepath.Join(t.TempDir(), "public")
	p.call(t, "publish", public)
	labels, err := filepath.Glob(filepath.Join(public, "V", "*", "SEP-MC2-*"))
	if err != nil || len(labels) != 1 {
		t.Fatal(err, labels)
	}
	facts := filepath.Base(labels[0])
	code := filepath.Base(filepath.Dir(labels[0]))
	w := open(t)
	enter := func(text string) {
		w.show("file://" + public + "/index.html")
		w.fill(map[string]string{"q": text})
		w.eval(`document.querySelector("form.find").requestSubmit(), 0`, nil)
	}
	for _, text := range []string{"SEP-MC2", "sepmc2", code, strings.ToLower(strings.ReplaceAll(code, "-", "")), code + " " + facts,
		link + "/V/" + code + "/" + facts, strings.ToLower(link) + "/v/" + code + "/" + facts + "/", "http://localhost:8470/V/" + code} {
		enter(text)
		w.do(chromedp.WaitVisible(".place", chromedp.ByQuery))
		if got := w.text(".place"); got != "SEP-MC2" {
			t.Errorf("%q leads to %q", text, got)
		}
	}
	for text, want := range map[string]struct{ id, says string }{
		link + "/V/" + code + "/" + strings.Replace(facts, "CAL", "0CAL", 1): {"differs", "DIFFERS from its record. Do not use this label."},
		"HTTPS://OTHER.EXAMPLE.ORG/V/" + code + "/" + facts:                  {"elsewhere", "Not a label of this site."},
		link + "/NORTH/V/" + code:                                            {"elsewhere", "Not a label of this site."},
		"0000-0000-0000-0000":                                                {"unknown", "UNKNOWN LABEL. Do not use this label."},
	} {
		enter(text)
		w.do(chromedp.WaitVisible("#"+want.id, chromedp.ByQuery))
		if got := w.text("#" + want.id); !strings.HasPrefix(got, want.says) {
			t.Errorf("%q says %q", text, got)
		}
		var must string // an altered code leads to the label that it must be
		w.eval(`(document.querySelector("#`+want.id+` .must a") || {getAttribute: () => ""}).getAttribute("href")`, &must)
		if (must == "V/"+code+"/"+facts+"/index.html") != (want.id == "differs") {
			t.Errorf("%q leads to %q", text, must)
		}
		w.look("find-" + want.id)
	}
	var all []map[string]string
	for _, url := range []string{"file://" + public + "/index.html", p.serve(t) + "/"} {
		counts := map[string]string{}
		for _, query := range []string{"q=danger", "q=kit+c", "q=kit+b+warning", "q=sep-mc", "kit=Kit+B&sort=energy", "signal=DANGER", "standing=holds&area=Churn+hall", "sort=area&area=Churn+hall", "q=no+such+thing"} {
			w.show(url + "?" + query)
			heading := "main section h2"
			if strings.HasPrefix(url, "file:") {
				heading = "#found-count"
			}
			w.do(chromedp.WaitVisible(heading, chromedp.ByQuery))
			counts[query], _, _ = strings.Cut(w.text(heading), " found")
			var first string
			w.eval(`(document.querySelector("#found-rows th a, section .rows tbody th a") || {textContent: ""}).textContent`, &first)
			counts[query] += " " + first
		}
		if counts["q=no+such+thing"][:2] != "0 " || counts["q=danger"][:2] != "2 " || counts["signal=DANGER"] != counts["q=danger"] {
			t.Errorf("%s: %v", url, counts)
		}
		all = append(all, counts)
	}
	if !maps.Equal(all[0], all[1]) {
		t.Errorf("files find %v, the server %v", all[0], all[1])
	}
	w.look("find-filters")
	// A list that a person changes acts at once, also on the pages of a server, which are open now.
	w.eval(`(() => { const list = document.querySelector("[name=signal]"); list.value = "DANGER"; list.dispatchEvent(new Event("change", {bubbles: true})); })(), 0`, nil)
	w.do(chromedp.WaitVisible("details[open] [name=signal]", chromedp.ByQuery)) // on the next page
	var query, focus string
	w.eval(`location.search`, &query)
	w.eval(`document.activeElement.name || ""`, &focus)
	if !strings.Contains(query, "signal=DANGER") || focus != "signal" {
		t.Errorf("a changed list asks for %q, and the focus is on %q", query, focus)
	}
}
