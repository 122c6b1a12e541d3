package serve

import (
	"regexp"
	"strings"
	"testing"

	"vouchmark/label/record"
)

// A code that was typed wrong leads on: which characters to check, and a search. Each of them is one
// that a code may have, and not read as the other.
func TestTypedCode(t *testing.T) {
	p := newPlant(t, true)
	w := p.get("/V/0000-0000-0000-0000/")
	body := w.Body.String()
	says(t, body, "If you typed the code, check", `<form class="find" action="../../" method="get" role="search">`, `name="q"`)
	_, hint, _ := strings.Cut(body, "If you typed the code, check ")
	hint, _, _ = strings.Cut(hint, ".</p>")
	pairs := regexp.MustCompile(`(\w) and (\w)`).FindAllStringSubmatch(hint, -1)
	if w.Code != 404 || len(pairs) != 3 {
		t.Errorf("%d, %q", w.Code, hint)
	}
	for _, pair := range pairs {
		var is [2]record.Code
		for i := range is {
			code, err := record.ParseCode(strings.Repeat(pair[i+1], 16))
			if err != nil || !strings.Contains(string(code), pair[i+1]) {
				t.Errorf("%q: %s, %v", pair[0], code, err)
			}
			is[i] = code
		}
		if is[0] == is[1] {
			t.Errorf("%q are one character", pair[0])
		}
	}
	none := p.get("/?q=nothing-like-it").Body.String()
	says(t, none, "0 found", "The first letters of the code are enough", `<a href="list/1.html">All labels</a>`)
	code := string(p.codes["TUB-MC4"])
	if found := p.get("/?q=" + code[:4]).Body.String(); strings.Contains(found, "0 found") || !strings.Contains(found, ">TUB-MC4<") {
		t.Error("the first letters of a code find nothing:", found)
	}
}
