package serve

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// ticking lets the site note what is on the equipment.
func (p *works) ticking() {
	p.site.Desk.See = func(v *plant.Plant, all []logbook.Look, by string) ([]logbook.Seen, error) {
		return logbook.See(v, record.Open(p.dir), all, false, by, "test")
	}
}

// tick sends ticks as the page of a round does.
func (p *works) tick(body string, head ...string) (status int, said string) {
	r := httptest.NewRequest(http.MethodPost, "/round/ticks", strings.NewReader(body))
	r.Host = "localhost"
	r.Header.Set("Content-Type", "application/json")
	for i := 0; i < len(head); i += 2 {
		r.Header.Set(head[i], head[i+1])
	}
	w := httptest.NewRecorder()
	p.ServeHTTP(w, r)
	return w.Code, w.Body.String()
}

// What a phone sends is noted once, however often it is sent; one bad tick holds up no other; something
// else under a known name is refused.
func TestTicks(t *testing.T) {
	p := newPlant(t, true)
	p.ticking()
	at := "TNK-SG1"
	if p.codes[at] == "" {
		t.Fatal(p.codes)
	}
	before := p.head(t)
	one := fmt.Sprintf(`{"tick":"%032d","at":%q,"read":%q,"day":"2020-01-01"}`, 1, at, p.codes[at])
	bad := fmt.Sprintf(`{"tick":"%032d","at":"NOPE","found":"missing"}`, 2)
	status, said := p.tick(`{"by":"A. Walker","ticks":[` + bad + `,` + one + `]}`)
	var answer struct {
		Ticks []struct {
			Tick, Found, Says string
			Status            int
			Already           bool `json:"noted_already"`
		}
	}
	if err := json.Unmarshal([]byte(said), &answer); err != nil || status != 200 || len(answer.Ticks) != 2 {
		t.Fatal(status, said)
	}
	if a, b := answer.Ticks[0], answer.Ticks[1]; a.Status != 422 || !strings.Contains(a.Says, "NOPE") || b.Status != 200 || b.Found != "right" || b.Already {
		t.Error(said)
	}
	after := p.head(t)
	if after == before {
		t.Error("nothing was noted")
	}
	for range 3 {
		if status, said = p.tick(`{"by":"Somebody else","ticks":[` + one + `]}`); status != 200 || !strings.Contains(said, `"noted_already":true`) {
			t.Error(status, said)
		}
	}
	other := strings.Replace(one, string(p.codes[at]), "", 1)
	other = strings.Replace(other, `"read"`, `"found":"missing","read"`, 1)
	if status, said = p.tick(`{"by":"A. Walker","ticks":[` + other + `]}`); status != 200 || !strings.Contains(said, `"status":409`) {
		t.Error(status, said)
	}
	if p.head(t) != after {
		t.Error("it was noted again")
	}
	lines := p.news(t, 0)
	last := lines[len(lines)-1]
	if s := last.Labels[0].Sight; last.Kind != record.Seen || last.By != "A. Walker" || s == nil || s.Clock.String() != "2020-01-01" || last.Applied != day {
		t.Errorf("%+v", last)
	}
}

// What cannot be ticks of a round is refused as a whole, and nothing is noted.
func TestWrongTicks(t *testing.T) {
	p := newPlant(t, true)
	p.ticking()
	before := p.head(t)
	tick := fmt.Sprintf(`{"tick":"%032d","at":"TNK-SG1","found":"missing"}`, 1)
	many := strings.TrimSuffix(strings.Repeat(tick+",", mostTicks+1), ",")
	for _, c := range []struct {
		status     int
		body, says string
		head       []string
	}{
		{400, `{"ticks":`, "cannot be read", nil},
		{400, `{"by":"A","ticks":[{"tick":"short","at":"TNK-SG1","found":"missing"}]}`, "has no name", nil},
		{413, `{"by":"A","ticks":[` + many + `]}`, "at most", nil},
		{413, `{"by":"` + strings.Repeat("A", mostSent) + `"}`, "larger than", nil},
		{415, `{"by":"A","ticks":[` + tick + `]}`, "application/json", []string{"Content-Type", "text/plain"}},
		{422, `{"by":" ","ticks":[` + tick + `]}`, "enter your name", nil},
		{422, `{"by":"` + strings.Repeat("A", record.LongestName+1) + `","ticks":[` + tick + `]}`, "at most", nil},
		{403, `{"by":"A","ticks":[` + tick + `]}`, "another site", []string{"Origin", "https://evil.example", "Sec-Fetch-Site", "cross-site"}},
		{403, `{"by":"A","ticks":[` + tick + `]}`, "another site", []string{"Origin", "null"}},
	} {
		if status, said := p.tick(c.body, c.head...); status != c.status || !strings.Contains(said, c.says) {
			t.Errorf("%.60s: %d %s", c.body, status, said)
		}
	}
	word, err := NewPassphrase("twelve characters")
	if err != nil {
		t.Fatal(err)
	}
	word.pause = 0
	p.site.Desk.Passphrase = word
	if status, said := p.tick(`{"by":"A","passphrase":"wrong","ticks":[` + tick + `]}`); status != 403 || !strings.Contains(said, "not the passphrase") {
		t.Error(status, said)
	}
	if p.head(t) != before {
		t.Error("something was noted")
	}
	if status, said := p.tick(`{"by":"A","passphrase":"twelve characters","ticks":[` + tick + `]}`); status != 200 || !strings.Contains(said, `"found":"missing"`) {
		t.Error(status, said)
	}
	if w := p.get("/round/ticks"); w.Code != http.StatusMethodNotAllowed {
		t.Error(w.Code)
	}
}
