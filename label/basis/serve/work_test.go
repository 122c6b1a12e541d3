package serve

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"vouchmark/label/basis"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
)

// from is do for a request from an address, by a browser with a cookie of its own.
func (p *works) from(address, browser, method, path string, form url.Values, head ...string) *httptest.ResponseRecorder {
	head = append(head, "Cookie", cookieName+"="+browser)
	r := request(method, path, form, head...)
	r.RemoteAddr = address + ":40000"
	w := httptest.NewRecorder()
	p.ServeHTTP(w, r)
	return w
}

const anotherBrowser = "ANOTHERANOTHERANOTHERANOTHER"

// However many forms somebody opens, those of others stay open, and the server keeps none of them in
// memory.
func TestOpenedFormsTakeNoRoom(t *testing.T) {
	p := newPlant(t, true)
	form := p.order(t)
	for range 5000 {
		if w := p.from("192.0.2.66", anotherBrowser, "GET", "/reprint/", nil); w.Code != 200 {
			t.Fatal(w.Code)
		}
	}
	for range 5000 {
		p.Handler.tickets.issue("/reprint/", anotherBrowser, start)
	}
	if n := len(p.Handler.used.carried) + len(p.Handler.used.running); n != 0 {
		t.Errorf("%d tickets of opened forms are kept", n)
	}
	if w := p.do("POST", "/reprint/", form); w.Code != 303 || p.prints.Load() != 1 {
		t.Error("the planner's form:", w.Code, w.Body)
	}
}

// A form works only for the browser that opened it, and only as the form that it is.
func TestFormsBelongToWhoOpenedThem(t *testing.T) {
	p := newPlant(t, true)
	first := p.do("GET", "/reprint/?code=TUB-MC4", nil, "Cookie", "")
	set := first.Result().Cookies()
	if len(set) != 1 || set[0].Name != cookieName || len(set[0].Value) < 26 || !set[0].HttpOnly ||
		set[0].SameSite != http.SameSiteStrictMode || set[0].Path != "/" || set[0].MaxAge != 0 {
		t.Fatalf("%+v", set)
	}
	form := p.order(t)
	form.Set("ticket", ticketForm.FindStringSubmatch(first.Body.String())[1])
	for name, cookie := range map[string]string{
		"no browser": "", "another browser": cookieName + "=" + anotherBrowser, "no value": cookieName + "=",
		"a long one": cookieName + "=" + strings.Repeat("A", 1000),
	} {
		if w := p.do("POST", "/reprint/", form, "Cookie", cookie); w.Code != 403 || p.prints.Load() != 0 {
			t.Errorf("%s: %d %s", name, w.Code, w.Body)
		}
	}
	change := p.told(t)
	change.Set("ticket", form.Get("ticket"))
	if w := p.do("POST", "/change/", change, "Cookie", cookieName+"="+set[0].Value); w.Code != 403 {
		t.Error("the ticket of another form:", w.Code)
	}
	w := p.do("POST", "/reprint/", form, "Cookie", cookieName+"="+set[0].Value)
	if w.Code != 303 || p.prints.Load() != 1 || len(w.Result().Cookies()) != 0 {
		t.Error("the browser that opened it:", w.Code, w.Body, w.Result().Cookies())
	}
	// Where people sign in, forms belong to them.
	p.Handler.site.Owner = func(r *http.Request) string { return r.Header.Get("X-Person") }
	form.Set("ticket", ticketForm.FindStringSubmatch(p.get("/reprint/?code=TUB-MC4", "X-Person", "A").Body.String())[1])
	if w := p.do("POST", "/reprint/", form, "X-Person", "B"); w.Code != 403 {
		t.Error("another person:", w.Code)
	}
	if w := p.do("POST", "/reprint/", form, "X-Person", "A"); w.Code != 303 {
		t.Error("the person who opened it:", w.Code)
	}
	// A form of another run of the program is stale: its key is gone.
	other := newPlant(t, true)
	if w := other.do("POST", "/reprint/", p.order(t)); w.Code != 403 {
		t.Error("a ticket of another server:", w.Code)
	}
}

// Any altered byte of a ticket makes it invalid.
func TestAlteredTickets(t *testing.T) {
	tickets := newTickets()
	good := tickets.issue("/change/", "me", start)
	if _, ok := tickets.check(good, "/change/", "me", start); !ok {
		t.Fatal("a good ticket is refused")
	}
	for i := range good {
		for _, c := range []byte("A-z\n") {
			bad := []byte(good)
			if bad[i] == c {
				continue
			}
			bad[i] = c
			if _, ok := tickets.check(string(bad), "/change/", "me", start); ok {
				t.Errorf("altered at %d: %q", i, bad)
			}
		}
	}
	for name, at := range map[string]time.Time{"before it was issued": start.Add(-1), "too late": start.Add(ticketLife + 1)} {
		if _, ok := tickets.check(good, "/change/", "me", at); ok {
			t.Error(name)
		}
	}
	// The parts of what is signed cannot be shifted into one another.
	if _, ok := tickets.check(tickets.issue("/a", "bc", start), "/ab", "c", start); ok {
		t.Error("form and owner run together")
	}
}

// A form sent again gets its answer only with the passphrase, and a guess at it counts as one.
func TestResentFormNeedsThePassphrase(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := newPlant(t, true)
		word, err := NewPassphrase("correct horse battery")
		if err != nil {
			t.Fatal(err)
		}
		p.site.Desk.Passphrase = word
		form := p.order(t)
		form.Set("passphrase", "correct horse battery")
		first := p.do("POST", "/reprint/", form)
		if first.Code != 303 {
			t.Fatal(first.Code, first.Body)
		}
		for i, try := range []string{"", "wrong"} {
			form.Set("passphrase", try)
			if w := p.do("POST", "/reprint/", form); w.Code != 403 || strings.Contains(w.Body.String(), "%PDF") || word.Failed() != int64(i+1) {
				t.Errorf("sent again with %q: %d, %d failed, %s", try, w.Code, word.Failed(), w.Body)
			}
		}
		form.Set("passphrase", "correct horse battery")
		if w := p.do("POST", "/reprint/", form); w.Code != 303 || w.Header().Get("Location") != first.Header().Get("Location") || p.prints.Load() != 1 {
			t.Error("sent again with it:", w.Code, p.prints.Load())
		}
	})
}

// Of the forms that were carried out the server remembers so many, and for each of the newest its
// answer. It never forgets one that could be carried out again: then it carries out no more.
func TestCarriedOutFormsAreBounded(t *testing.T) {
	p := newPlant(t, true)
	forms := make([]url.Values, mostAnswers+1)
	for i := range forms {
		forms[i] = p.order(t)
		if w := p.do("POST", "/reprint/", forms[i]); w.Code != 303 {
			t.Fatal(w.Code)
		}
	}
	w := p.do("POST", "/reprint/", forms[0])
	if w.Code != 409 || !strings.Contains(w.Body.String(), "was carried out") || int(p.prints.Load()) != len(forms) {
		t.Error("an answer that is no longer kept:", w.Code, w.Body)
	}
	for i := len(forms); i < mostUsed; i++ {
		u, err := p.Handler.used.claim(t.Context(), number{byte(i), byte(i >> 8), 1}, p.now())
		if err != nil {
			t.Fatal(i, err)
		}
		p.Handler.used.end(u, true, p.now())
	}
	if w := p.do("POST", "/reprint/", p.order(t)); w.Code != 503 || w.Header().Get("Retry-After") == "" || int(p.prints.Load()) != len(forms) {
		t.Error("with no room left:", w.Code, w.Body)
	}
	if w := p.do("POST", "/reprint/", forms[1]); w.Code != 409 || int(p.prints.Load()) != len(forms) {
		t.Error("one that was carried out:", w.Code)
	}
	p.clock.Add(int64(ticketLife + time.Second))
	if w := p.do("POST", "/reprint/", p.order(t)); w.Code != 303 || len(p.Handler.used.carried) != 1 {
		t.Error("after an hour:", w.Code, len(p.Handler.used.carried))
	}
}

// Of many previews at once one is worked on, some wait, and the others are told to come back. An address
// that sends many leaves room for others.
func TestPreviewsAreBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := newPlant(t, true)
		preview := p.site.Desk.Preview
		var at, most atomic.Int64
		goOn := make(chan struct{})
		p.site.Desk.Preview = func(v *plant.Plant, c logbook.Entry) (*logbook.Effect, error) {
			most.Store(max(most.Load(), at.Add(1)))
			defer at.Add(-1)
			<-goOn
			return preview(v, c)
		}
		form := p.told(t)
		before := snap(t, p.dir)
		var all sync.WaitGroup
		var done, busy atomic.Int64
		send := func(address string) {
			all.Go(func() {
				switch w := p.from(address, browser, "POST", "/change/", form); {
				case w.Code == 200 && strings.Contains(w.Body.String(), "Nothing is saved yet"):
					done.Add(1)
				case w.Code == 503 && w.Header().Get("Retry-After") != "" && strings.Contains(w.Body.String(), "Nothing was written"):
					busy.Add(1)
				default:
					t.Error(w.Code, w.Body)
				}
			})
		}
		for range 50 {
			send("192.0.2.66")
		}
		synctest.Wait()
		if n := busy.Load(); n != 50-eachWaiting || at.Load() != 1 {
			t.Errorf("%d of 50 are told to come back; %d are worked on", n, at.Load())
		}
		send("192.0.2.7")
		synctest.Wait()
		if busy.Load() != 50-eachWaiting {
			t.Error("there is no room for somebody else")
		}
		close(goOn)
		all.Wait()
		if done.Load() != eachWaiting+1 || most.Load() != 1 {
			t.Errorf("%d previews, %d of them at once", done.Load(), most.Load())
		}
		if snap(t, p.dir) != before {
			t.Error("a preview wrote")
		}
	})
}

// Nobody waits for ever behind work that does not end, and whoever leaves makes room.
func TestTurns(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		turns := newTurns(1, 4, 2)
		leave, err := turns.take(t.Context(), "a")
		if err != nil {
			t.Fatal(err)
		}
		begin := time.Now()
		if _, err := turns.take(t.Context(), "a"); err == nil || time.Since(begin) != longestWait {
			t.Errorf("%v after %v", err, time.Since(begin))
		}
		leave()
		leave() // once is enough
		for i := range 3 {
			leave, err := turns.take(t.Context(), "a")
			if err != nil {
				t.Fatal(i, err)
			}
			leave()
		}
		if turns.all != 0 || len(turns.from) != 0 || len(turns.slots) != 0 {
			t.Errorf("%d, %v", turns.all, turns.from)
		}
	})
}

// Pages that are not stored are made a few at a time.
func TestMakingPagesIsBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := newPlant(t, true)
		p.get("/")
		var at, most atomic.Int64
		goOn := make(chan struct{})
		p.site.Desk.Refused = func(*basis.View, What) []Refusal {
			most.Store(max(most.Load(), at.Add(1)))
			defer at.Add(-1)
			<-goOn
			return nil
		}
		var all sync.WaitGroup
		for range 100 {
			all.Go(func() {
				if w := p.from("192.0.2.66", anotherBrowser, "GET", "/reprint/?code=TUB-MC4", nil); w.Code != 200 {
					t.Error(w.Code)
				}
			})
		}
		synctest.Wait()
		if w := p.get("/"); w.Code != 200 {
			t.Error("a stored page:", w.Code)
		}
		close(goOn)
		all.Wait()
		if n := most.Load(); n > int64(cap(p.Handler.making.slots)) {
			t.Errorf("%d were made at once", n)
		}
	})
}

// Wrong passphrases from one address keep nobody else out, however many wait there: neither somebody at another
// address, nor at the same one a browser that has known the passphrase before.
func TestGuessesKeepNobodyOut(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := newPlant(t, true)
		word, err := NewPassphrase("correct horse battery")
		if err != nil {
			t.Fatal(err)
		}
		p.site.Desk.Passphrase = word
		form := p.order(t)
		form.Set("passphrase", "correct horse battery")
		if w := p.from("192.0.2.66", browser, "POST", "/reprint/", form); w.Code != 303 {
			t.Fatal(w.Code)
		}
		bad := p.order(t)
		bad.Set("ticket", ticketForm.FindStringSubmatch(p.from("192.0.2.66", anotherBrowser, "GET", "/reprint/?code=TUB-MC4", nil).Body.String())[1])
		bad.Set("passphrase", "a guess at the passphrase")
		var stop atomic.Bool
		var all sync.WaitGroup
		for range 20 {
			all.Go(func() {
				for !stop.Load() {
					w := p.from("192.0.2.66", anotherBrowser, "POST", "/reprint/", bad)
					if w.Code == 429 && w.Header().Get("Retry-After") == "" {
						t.Error("it is not said when to come back")
					}
					time.Sleep(time.Millisecond)
				}
			})
		}
		for range 5 {
			time.Sleep(2500 * time.Millisecond)
			for _, address := range []string{"192.0.2.7", "192.0.2.66"} {
				form := p.order(t)
				form.Set("passphrase", "correct horse battery")
				begin := time.Now()
				if w := p.from(address, browser, "POST", "/reprint/", form); w.Code != 303 || time.Since(begin) != 0 {
					t.Errorf("%s: %d after %v", address, w.Code, time.Since(begin))
				}
			}
		}
		stop.Store(true)
		all.Wait()
		if n := word.Failed(); n < 10 || n > 40 {
			t.Errorf("%d guesses in about 13 to 25 seconds from one address", n)
		}
	})
}

// At one address, wrong passphrases that fill the room to wait leave some for another browser: whether they come
// from one browser that keeps sending them, or from as many as can wait.
func TestGuessesLeaveRoomAtTheirAddress(t *testing.T) {
	for name, many := range map[string]bool{"one browser": false, "many browsers": true} {
		synctest.Test(t, func(t *testing.T) {
			word, err := NewPassphrase("correct horse battery")
			if err != nil {
				t.Fatal(err)
			}
			var stop atomic.Bool
			var all sync.WaitGroup
			for i := range mostTries + 1 {
				who := Who{"192.0.2.66", "guesser"}
				if many {
					who.Owner = fmt.Sprint("guesser ", i)
				}
				all.Go(func() {
					for again := true; again && !stop.Load(); again = !many {
						word.Check(t.Context(), who, "a guess")
						time.Sleep(time.Millisecond)
					}
				})
			}
			synctest.Wait()
			begin := time.Now()
			err = word.Check(t.Context(), Who{"192.0.2.66", "me"}, "correct horse battery")
			if waited := time.Since(begin); err != nil || waited > (mostTries+1)*time.Second {
				t.Errorf("%s: %v after %v", name, err, waited)
			}
			stop.Store(true)
			all.Wait()
			time.Sleep(time.Minute)
			synctest.Wait()
			if len(word.lanes) != 0 {
				t.Errorf("%s: %d lanes are left", name, len(word.lanes))
			}
		})
	}
}

// With more addresses than the server keeps apart, the others share one turn: guessing does not become
// faster, and memory does not grow.
func TestGuessesFromManyAddresses(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		word, err := NewPassphrase("correct horse battery")
		if err != nil {
			t.Fatal(err)
		}
		var all sync.WaitGroup
		for i := range mostLanes + 500 {
			all.Go(func() { word.Check(t.Context(), Who{Address: fmt.Sprint(i)}, "guess") })
		}
		synctest.Wait()
		if n := len(word.lanes); n > mostLanes+1 {
			t.Errorf("%d addresses are kept apart", n)
		}
		if n := word.Failed(); n != mostLanes+1 {
			t.Errorf("%d guesses at once", n)
		}
		all.Wait()
		time.Sleep(time.Minute)
		synctest.Wait()
		if n := len(word.lanes); n != 0 {
			t.Errorf("%d are kept for ever", n)
		}
	})
}

// The address of a client, as it counts for limits.
func TestAddresses(t *testing.T) {
	for _, c := range []struct {
		remote    string
		forwarded []string
		trusted   bool
		want      string
	}{
		{"192.0.2.7:4000", nil, false, "192.0.2.7"},
		{"[2001:db8:1:2:3:4:5:6]:4000", nil, false, "2001:db8:1:2::/64"},
		{"[::ffff:192.0.2.7]:4000", nil, false, "192.0.2.7"},
		{"[fe80::1%eth0]:4000", nil, false, "fe80::/64"},
		{"pipe", nil, false, "pipe"},
		{"192.0.2.7:4000", []string{"198.51.100.1"}, false, "192.0.2.7"},
		{"192.0.2.7:4000", nil, true, "192.0.2.7"},
		{"192.0.2.7:4000", []string{"198.51.100.1"}, true, "198.51.100.1"},
		{"192.0.2.7:4000", []string{"203.0.113.9, 198.51.100.1"}, true, "198.51.100.1"},
		{"192.0.2.7:4000", []string{"203.0.113.9", "198.51.100.1:5000"}, true, "198.51.100.1"},
		{"192.0.2.7:4000", []string{"[2001:db8::1]:5000"}, true, "2001:db8::/64"},
		{"192.0.2.7:4000", []string{"unknown"}, true, "192.0.2.7"},
	} {
		h := &Handler{site: Site{Forwarded: c.trusted}}
		r := httptest.NewRequest("GET", "/", nil)
		r.RemoteAddr = c.remote
		r.Header["X-Forwarded-For"] = c.forwarded
		if got := h.from(r); got != c.want {
			t.Errorf("%+v: %s", c, got)
		}
	}
}
