package serve

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"vouchmark/label/basis/people"
	"vouchmark/label/logbook"
	"vouchmark/label/plant"
	"vouchmark/label/record"
)

// peopled is a plant where people sign in. list is what people.toml says; a test may replace it.
type peopled struct {
	*works
	list   *people.List
	broken error
}

const (
	reader, planner, engineer = "R. Example", "M. Sample", "E. Sample, PE"
	password                  = "correct horse battery"
)

// hash is of the password, with as little work as a test needs.
var hash = sync.OnceValue(func() string {
	h, err := people.Hash(password, people.Strength{Memory: 64, Iterations: 1, Parallelism: 1, SaltLength: 16, KeyLength: 32})
	if err != nil {
		panic(err)
	}
	return h
})

func listOf(t *testing.T, all ...people.Person) *people.List {
	t.Helper()
	var text []byte
	var err error
	for _, p := range all {
		if text, err = people.Add(people.File, text, p); err != nil {
			t.Fatal(err)
		}
	}
	l, err := people.Parse(people.File, text)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func newPeopled(t *testing.T, with People) *peopled {
	t.Helper()
	p := &peopled{works: newPlant(t, true)}
	p.list = listOf(t, people.Person{Name: reader, Role: record.RoleRead, Password: hash()},
		people.Person{Name: planner, Role: record.RolePlanner, Password: hash()},
		people.Person{Name: engineer, Role: record.RoleEngineer, Password: hash()})
	with.Read = func() (*people.List, error) { return p.list, p.broken }
	s := p.site
	s.People = &with
	desk := s.Desk
	desk.As = func(role record.Role) *Desk {
		p.store.Role = role
		return desk
	}
	now, patience := p.now, p.patience
	p.Handler = New(s)
	p.now, p.patience = now, patience
	return p
}

// visitor is a browser at an address.
type visitor struct {
	*peopled
	address string
	cookies map[string]string
	form    url.Values // for signing in, as it was opened first
}

func (p *peopled) visitor(address string) *visitor {
	return &visitor{peopled: p, address: address, cookies: map[string]string{}}
}

func (v *visitor) do(method, path string, form url.Values, head ...string) *httptest.ResponseRecorder {
	r := request(method, path, form, head...)
	r.RemoteAddr = v.address + ":40000"
	r.Header.Del("Cookie")
	for name, value := range v.cookies {
		r.AddCookie(&http.Cookie{Name: name, Value: value})
	}
	w := httptest.NewRecorder()
	v.ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		if c.MaxAge < 0 {
			delete(v.cookies, c.Name)
		} else {
			v.cookies[c.Name] = c.Value
		}
	}
	return w
}

func (v *visitor) get(path string, head ...string) *httptest.ResponseRecorder {
	return v.do("GET", path, nil, head...)
}

// signIn sends the form for signing in.
func (v *visitor) signIn(name, password, to string) *httptest.ResponseRecorder {
	if v.form == nil {
		v.form = keep(v.get("/sign-in/").Body.String())
	}
	v.form.Set("name", name)
	v.form.Set("password", password)
	v.form.Set("to", to)
	return v.do("POST", "/sign-in/", v.form)
}

// is signs in, or fails.
func (v *visitor) is(t *testing.T, name string) *visitor {
	t.Helper()
	if w := v.signIn(name, password, ""); w.Code != 303 || v.cookies[sessionCookie] == "" {
		t.Fatalf("%s is not signed in: %d %s", name, w.Code, w.Body)
	}
	return v
}

// who is whom the server takes a visitor for.
func (v *visitor) who() string { return strings.TrimSpace(v.get("/who/").Body.String()) }

const isNobody = `{"name":null,"role":null}`

func TestSignIn(t *testing.T) {
	p := newPeopled(t, People{})
	v := p.visitor("192.0.2.7")
	w := v.get("/settle/?change=2026-05-01/REP-TX3")
	if to := w.Header().Get("Location"); w.Code != 303 || to != "../sign-in/?to=settle%2F%3Fchange%3D2026-05-01%2FREP-TX3" {
		t.Fatal(w.Code, to)
	}
	says(t, v.get("/sign-in/?to=settle%2F%3Fchange%3D2026-05-01%2FREP-TX3").Body.String(), `name="to" value="settle/?change=2026-05-01/REP-TX3"`)
	w = v.signIn(engineer, password, "settle/?change=2026-05-01/REP-TX3")
	if to := w.Header().Get("Location"); w.Code != 303 || to != "../settle/?change=2026-05-01/REP-TX3" || w.Header().Get("Cache-Control") != "no-store" {
		t.Fatal(w.Code, w.Header())
	}
	set := w.Header().Get("Set-Cookie")
	for _, want := range []string{sessionCookie + "=", "HttpOnly", "SameSite=Strict", "Path=/"} {
		if !strings.Contains(set, want) {
			t.Errorf("%q lacks %s", set, want)
		}
	}
	if strings.Contains(set, "Secure") || strings.Contains(set, "Expires") {
		t.Errorf("%q: without TLS it would not come back, or it stays when the browser is closed", set)
	}
	if got := v.who(); got != `{"name":"E. Sample, PE","role":"engineer"}` {
		t.Error(got)
	}
	// Whatever name is sent, the ledger has the one that signed in, with its role.
	before := len(p.news(t, 0))
	form := keep(v.get("/mounted/?at=TUB-MC4").Body.String())
	if form.Has("by") {
		t.Error("the name is typed")
	}
	form.Set("by", "Q. Example, PE")
	form.Set("date", "2026-05-01")
	if w := v.do("POST", "/mounted/", form); w.Code != 303 {
		t.Fatal(w.Code, w.Body)
	}
	if line := p.news(t, before)[0]; line.Kind != record.Mounted || line.By != engineer || line.Role != record.RoleEngineer {
		t.Errorf("%+v", line)
	}
	says(t, v.get(p.place("TUB-MC4")).Body.String(), "noted by E. Sample, PE, engineer")
	// An old cookie is worth nothing after signing in again, and none after signing out.
	old := v.cookies[sessionCookie]
	v.is(t, engineer)
	stale := p.visitor("192.0.2.7")
	stale.cookies[sessionCookie] = old
	if got := stale.who(); got != isNobody {
		t.Error("the token before signing in again:", got)
	}
	stale.cookies[sessionCookie] = v.cookies[sessionCookie]
	w = v.do("POST", "/sign-out/", url.Values{})
	if to := w.Header().Get("Location"); w.Code != 303 || to != "../sign-in/" || v.cookies[sessionCookie] != "" {
		t.Error(w.Code, to, v.cookies)
	}
	if got := stale.who(); got != isNobody {
		t.Error("after signing out:", got)
	}
	if w := stale.do("POST", "/mounted/", form); w.Code != 401 || !strings.Contains(w.Body.String(), "Nothing was written") || !strings.Contains(w.Body.String(), `href="../sign-in/?to=mounted%2F"`) {
		t.Error(w.Code, w.Body)
	}
	// A wrong name and a wrong password read the same, and the log has no name.
	one, other := v.signIn(engineer, "wrong horse battery", ""), p.visitor("192.0.2.8").signIn("Nobody Atall", "wrong horse battery", "")
	plain := func(w *httptest.ResponseRecorder) string {
		return ticketForm.ReplaceAllString(regexp.MustCompile(`name="name" value="[^"]*"`).ReplaceAllString(w.Body.String(), ""), "")
	}
	if one.Code != 403 || plain(one) != plain(other) {
		t.Errorf("%d and %d:\n%s\n%s", one.Code, other.Code, plain(one), plain(other))
	}
	if text := p.log.String(); strings.Contains(text, "Sample") || strings.Contains(text, "Nobody") || !strings.Contains(text, "wrong name or password, 2 since") {
		t.Error(text)
	}
	// Over TLS, here or in front, the cookie is for TLS alone.
	p.site.Forwarded = true
	r := keep(v.get("/sign-in/").Body.String())
	r.Set("name", engineer)
	r.Set("password", password)
	if w := v.do("POST", "/sign-in/", r, "X-Forwarded-Proto", "https"); !strings.Contains(w.Header().Get("Set-Cookie"), "; Secure") {
		t.Error(w.Code, w.Header())
	}
}

func TestWhereToGoBack(t *testing.T) {
	for to, want := range map[string]string{"": "", "settle/?change=2026-05-01/A": "settle/?change=2026-05-01/A", "list/2.html": "list/2.html", "?q=LP-1": "?q=LP-1",
		"https://labels.example.net/": "", "//labels.example.net": "", "/list/": "", `\\labels.example.net`: "", `list\..\..`: "", "../x": "", "a/../../x": "",
		"javascript:alert(1)": "", "a//b": "", "a\nb": "", "sign-in/": "", "sign-out/": "", "x:y": "", "./sign-in/": "", "%2e%2e/x": "", "mailto:x@example.org": "",
		strings.Repeat("a", 2001): ""} {
		if got := returning(to); got != want {
			t.Errorf("%.40q leads to %q, want %q", to, got, want)
		}
	}
}

// Each form needs its role, opened or sent; whoever has a lower one reads who may, and nothing is written.
func TestRoles(t *testing.T) {
	p := newPeopled(t, People{})
	before := snap(t, p.dir)
	nobody := p.visitor("192.0.2.1")
	for i, name := range []string{reader, planner, engineer} {
		v, role := p.visitor("192.0.2.7").is(t, name), record.Roles[i]
		for _, f := range forms {
			path := "/" + f.name + "/"
			form := url.Values{"ticket": {"x"}, "save": {"yes"}}
			opened, sent := v.get(path), v.do("POST", path, form)
			if role.May(f.role) {
				if opened.Code != 200 || sent.Code != 403 || !strings.Contains(sent.Body.String(), "this form is too old") {
					t.Errorf("%s, %s: opened %d, sent %d", role, path, opened.Code, sent.Code)
				}
				continue
			}
			for _, w := range []*httptest.ResponseRecorder{opened, sent} {
				text := text(w)
				if w.Code != 403 || !strings.Contains(text, f.what+" needs the role "+string(f.role)) || !strings.Contains(text, "You are signed in as "+role.With(name)) ||
					!strings.Contains(text, "Nothing was written") || !strings.Contains(text, "E. Sample, PE, engineer") || strings.Contains(text, "R. Example, read ") {
					t.Errorf("%s, %s: %d %s", role, path, w.Code, text)
				}
			}
			if w := v.do("POST", path, form, "Accept", "application/json"); w.Code != 403 || !strings.Contains(w.Body.String(), `"message":"`+f.what+" needs the role") {
				t.Errorf("%s, %s, JSON: %d %s", role, path, w.Code, w.Body)
			}
		}
	}
	for _, f := range forms {
		path := "/" + f.name + "/"
		if w := nobody.get(path); w.Code != 303 || !strings.Contains(w.Header().Get("Location"), "sign-in/?to="+url.QueryEscape(f.name+"/")) {
			t.Error(path, w.Code, w.Header())
		}
		if w := nobody.do("POST", path, url.Values{}); w.Code != 401 {
			t.Error(path, w.Code)
		}
		if w := nobody.do("POST", path, url.Values{}, "Content-Type", "application/json"); w.Code != 401 || w.Header().Get("Content-Type") != "application/json" {
			t.Error(path, w.Code, w.Body)
		}
	}
	if snap(t, p.dir) != before {
		t.Error("something was written")
	}
}

// A form, and what came of it, belong to the person, on whatever device.
func TestFormsBelongToThePerson(t *testing.T) {
	p := newPeopled(t, People{})
	v := p.visitor("192.0.2.7").is(t, engineer)
	form := keep(v.get("/mounted/?at=TUB-MC4").Body.String())
	form.Set("date", "2026-05-01")
	if w := p.visitor("192.0.2.8").is(t, planner).do("POST", "/mounted/", form); w.Code != 403 {
		t.Error("somebody else's form:", w.Code)
	}
	w := p.visitor("192.0.2.9").is(t, engineer).do("POST", "/mounted/", form)
	if w.Code != 303 {
		t.Fatal(w.Code, w.Body)
	}
	place := strings.TrimPrefix(w.Header().Get("Location"), "..")
	if w := v.get(place); w.Code != 200 {
		t.Error(w.Code)
	}
	if w := p.visitor("192.0.2.8").is(t, planner).get(place); w.Code != 404 {
		t.Error("somebody else reads what came of it:", w.Code)
	}
}

// A thousand wrong passwords from one address keep nobody out, take two hashes at a time and no memory that stays; under
// attack a name is slower, and not locked.
func TestThousandWrongPasswords(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := newPeopled(t, People{})
		var atWork, most, hashes atomic.Int64
		p.signing.right = func(_ *people.List, is *people.Person, try string) bool {
			hashes.Add(1)
			if n := atWork.Add(1); n > most.Load() {
				most.Store(n)
			}
			defer atWork.Add(-1)
			time.Sleep(20 * time.Millisecond)
			return is != nil && try == password
		}
		before := snap(t, p.dir)
		bad := p.visitor("192.0.2.66")
		form := keep(bad.get("/sign-in/").Body.String())
		form.Set("name", engineer)
		form.Set("password", "a guess at the password")
		browser := bad.cookies[cookieName]
		var all sync.WaitGroup
		var answers [600]atomic.Int64
		for i := range 1000 {
			all.Go(func() {
				time.Sleep(time.Duration(i) * 10 * time.Millisecond)
				r := request("POST", "/sign-in/", form, "Cookie", cookieName+"="+browser)
				r.RemoteAddr = "192.0.2.66:40000"
				w := httptest.NewRecorder()
				p.ServeHTTP(w, r)
				answers[w.Code].Add(1)
			})
		}
		time.Sleep(5 * time.Second)
		begin := time.Now()
		p.visitor("192.0.2.7").is(t, planner)
		if waited := time.Since(begin); waited > 100*time.Millisecond {
			t.Errorf("somebody else waited %v", waited)
		}
		begin = time.Now()
		p.visitor("192.0.2.8").is(t, engineer)
		if waited := time.Since(begin); waited > slowest+100*time.Millisecond {
			t.Errorf("whose password is guessed waited %v", waited)
		}
		all.Wait()
		if answers[429].Load()+answers[403].Load() != 1000 || answers[403].Load() > 20 || hashes.Load() > 30 || most.Load() > hashesAtOnce {
			t.Errorf("%d refused, %d wrong, %d hashes, %d at once", answers[429].Load(), answers[403].Load(), hashes.Load(), most.Load())
		}
		time.Sleep(time.Minute)
		synctest.Wait()
		if len(p.signing.lanes) != 0 || len(p.signing.sessions.store.all) != 2 || len(p.signing.slow.wrong) > 1 {
			t.Errorf("%d lanes, %d sessions, %d names are left", len(p.signing.lanes), len(p.signing.sessions.store.all), len(p.signing.slow.wrong))
		}
		if snap(t, p.dir) != before {
			t.Error("something was written")
		}
	})
}

// From many addresses no more than two passwords are hashed at a time.
func TestHashesAreBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := newPeopled(t, People{})
		var atWork, most atomic.Int64
		p.signing.right = func(*people.List, *people.Person, string) bool {
			if n := atWork.Add(1); n > most.Load() {
				most.Store(n)
			}
			defer atWork.Add(-1)
			time.Sleep(20 * time.Millisecond)
			return false
		}
		var all sync.WaitGroup
		for i := range 50 {
			all.Go(func() {
				p.visitor(fmt.Sprintf("192.0.2.%d", i+1)).signIn(fmt.Sprint("Name ", i), "wrong horse battery", "")
			})
		}
		all.Wait()
		if most.Load() != 2 {
			t.Errorf("%d hashes at once, want 2", most.Load())
		}
		for i := range 2 * mostSlow {
			p.signing.slow.note(fmt.Sprint(i), false, start)
		}
		if n := len(p.signing.slow.wrong); n != mostSlow {
			t.Errorf("%d names are remembered, want %d", n, mostSlow)
		}
	})
}

// Wrong passwords for one name, from wherever they come, make its tries slower, and no others; whoever knows the
// password is let in, and from then on it is fast again.
func TestNamesAreSlow(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := newPeopled(t, People{})
		took := func(address, name, password string) time.Duration {
			begin := time.Now()
			p.visitor(address).signIn(name, password, "")
			return time.Since(begin)
		}
		for i := range 30 {
			want := min(time.Duration(i)*slowStep, 5*time.Second)
			if got := took(fmt.Sprintf("192.0.2.%d", i+1), engineer, "wrong horse battery"); got != want {
				t.Errorf("after %d wrong ones a try took %v, want %v", i, got, want)
			}
		}
		if got := took("192.0.2.101", planner, password); got != 0 {
			t.Errorf("another name took %v", got)
		}
		if got := took("192.0.2.102", engineer, password); got != 5*time.Second {
			t.Errorf("the right one took %v", got)
		}
		if got := took("192.0.2.103", engineer, password); got != 0 {
			t.Errorf("after the right one it took %v", got)
		}
		for i := range 8 {
			took(fmt.Sprintf("192.0.2.%d", i+1), "Nobody Atall", "wrong horse battery")
		}
		if got := took("192.0.2.104", "Nobody Atall", "wrong horse battery"); got != 8*slowStep {
			t.Errorf("a name that nobody has took %v: the time tells it", got)
		}
		p.clock.Store(int64(slowForget + time.Second))
		if got := took("192.0.2.105", "Nobody Atall", "wrong horse battery"); got != 0 {
			t.Errorf("it is remembered for longer than %v: %v", slowForget, got)
		}
	})
}

// The form for signing in works only in the browser that opened it.
func TestSignInBelongsToTheBrowser(t *testing.T) {
	p := newPeopled(t, People{})
	v, other := p.visitor("192.0.2.7"), p.visitor("192.0.2.7")
	other.get("/sign-in/")
	v.form = keep(other.get("/sign-in/").Body.String())
	if w := v.signIn(engineer, password, ""); w.Code != 403 || v.cookies[sessionCookie] != "" {
		t.Error("a form that another browser opened:", w.Code)
	}
	v.form = url.Values{}
	if w := v.signIn(engineer, password, ""); w.Code != 403 || v.cookies[sessionCookie] != "" {
		t.Error("without a ticket:", w.Code)
	}
	if w := v.do("POST", "/sign-in/", v.form, "Sec-Fetch-Site", "cross-site"); w.Code != 403 {
		t.Error("from a page of another site:", w.Code)
	}
	says(t, v.get("/sign-in/?to=due/", "Sec-Fetch-Site", "cross-site").Body.String(), `If you are, <a href="../due/">continue</a>`)
}

func TestStolenSession(t *testing.T) {
	p := newPeopled(t, People{})
	v := p.visitor("192.0.2.7").is(t, engineer)
	thief := p.visitor("192.0.2.66")
	thief.cookies[sessionCookie] = v.cookies[sessionCookie]
	if got := thief.who(); got != isNobody {
		t.Error(got)
	}
	if w := thief.do("POST", "/settle/", url.Values{}); w.Code != 401 {
		t.Error(w.Code)
	}
	if text := p.log.String(); !strings.Contains(text, "another address than it was started from, 2 since") || strings.Contains(text, "Sample") {
		t.Error(text)
	}
	if w := v.get("/settle/"); w.Code != 200 {
		t.Error("its owner is signed out:", w.Code)
	}
	if w := p.visitor("192.0.2.66"); w.get("/settle/").Code != 303 {
		t.Error("without a cookie")
	}
}

// A session ends after two hours without use, and twelve hours after signing in.
func TestSessionsEnd(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := newPeopled(t, People{})
		v := p.visitor("192.0.2.7").is(t, engineer)
		time.Sleep(sessionIdle - time.Second)
		if v.who() == isNobody {
			t.Error("it ended before it was idle for so long")
		}
		time.Sleep(sessionIdle + time.Second)
		if v.who() != isNobody {
			t.Error("it did not end")
		}
		v.is(t, engineer)
		for range 11 {
			time.Sleep(time.Hour)
			if v.who() == isNobody {
				t.Fatal("it ended although it was used")
			}
		}
		time.Sleep(time.Hour + time.Second)
		if v.who() != isNobody {
			t.Error("it lasts longer than twelve hours")
		}
	})
}

func TestSessionsAreBounded(t *testing.T) {
	p := newPeopled(t, People{})
	first := p.visitor("192.0.2.7").is(t, engineer)
	other := p.visitor("192.0.2.7").is(t, planner)
	for range mostSessions {
		p.visitor("192.0.2.7").is(t, engineer)
	}
	if n := len(p.signing.sessions.store.all); n != mostSessions+1 {
		t.Errorf("%d sessions", n)
	}
	if first.who() != isNobody || other.who() == isNobody {
		t.Error("the oldest session did not give way, or that of another person did")
	}
	for i := range 100 {
		v := p.visitor("192.0.2.7")
		v.cookies[sessionCookie] = fmt.Sprint("made up ", i)
		v.who()
	}
	if n := len(p.signing.sessions.store.all); n != mostSessions+1 {
		t.Errorf("cookies that were made up take memory: %d", n)
	}
}

// Signing out ends a session although another request with it is being answered.
func TestSignOutCounts(t *testing.T) {
	p := newPeopled(t, People{})
	v := p.visitor("192.0.2.7").is(t, engineer)
	s := p.signing.sessions
	r := request("GET", "/who/", nil, "Cookie", sessionCookie+"="+v.cookies[sessionCookie])
	ctx, err := s.loaded(r)
	if err != nil {
		t.Fatal(err)
	}
	v.do("POST", "/sign-out/", url.Values{})
	if _, _, err := s.manager.Commit(ctx); err != nil {
		t.Fatal(err)
	}
	if len(s.store.all) != 0 {
		t.Error("the session came back")
	}
}

// A change of people.toml counts at once, and what is wrong with it is in the log alone.
func TestChangedPeople(t *testing.T) {
	p := newPeopled(t, People{})
	v := p.visitor("192.0.2.7").is(t, engineer)
	was := p.list
	for what, list := range map[string]*people.List{
		"another role":     listOf(t, people.Person{Name: engineer, Role: record.RolePlanner, Password: hash()}),
		"no password":      listOf(t, people.Person{Name: engineer, Role: record.RoleEngineer}),
		"no longer listed": listOf(t, people.Person{Name: planner, Role: record.RolePlanner, Password: hash()}),
	} {
		p.list = list
		if w := v.get("/settle/"); w.Code != 303 {
			t.Errorf("%s: %d", what, w.Code)
		}
		if p.list = was; v.who() != isNobody {
			t.Errorf("%s: the session came back", what)
		}
		v.is(t, engineer)
	}
	before := snap(t, p.dir)
	p.broken = errors.New("people.toml:7: found E. Sample a second time")
	for _, w := range []*httptest.ResponseRecorder{v.get("/settle/"), v.do("POST", "/settle/", url.Values{}), v.get("/sign-in/"),
		v.do("POST", "/settle/", url.Values{}, "Accept", "application/json")} {
		if w.Code != 503 || strings.Contains(w.Body.String(), "second time") {
			t.Errorf("%d %s", w.Code, w.Body)
		}
	}
	if w := v.get(p.place("TUB-MC4")); w.Code != 200 || v.who() != isNobody {
		t.Error("a page that is only read:", w.Code)
	}
	if n := strings.Count(p.log.String(), "nobody can be signed in: people.toml:7"); n != 1 {
		t.Errorf("it is in the log %d times", n)
	}
	if snap(t, p.dir) != before {
		t.Error("something was written")
	}
	p.broken = nil
	if v.who() == isNobody {
		t.Error("the file is right again, and the session is gone")
	}
}

// The header of a server in front is believed only from its own address.
func TestServerInFront(t *testing.T) {
	p := newPeopled(t, People{Front: &Front{Header: "X-Forwarded-User", Trust: []netip.Prefix{netip.MustParsePrefix("192.0.2.0/30"), netip.MustParsePrefix("2001:db8::5/128")}}})
	front, before := p.visitor("192.0.2.2"), snap(t, p.dir)
	if got := strings.TrimSpace(front.get("/who/", "X-Forwarded-User", planner).Body.String()); got != `{"name":"M. Sample","role":"planner"}` {
		t.Error(got)
	}
	if w := front.get("/change/", "X-Forwarded-User", planner); w.Code != 200 || !strings.Contains(w.Body.String(), "M. Sample, planner") {
		t.Error(w.Code)
	}
	if w := front.get("/settle/", "X-Forwarded-User", planner); w.Code != 403 {
		t.Error(w.Code)
	}
	for _, address := range []string{"192.0.2.4", "[2001:db8::6]", "127.0.0.1"} {
		for _, path := range []string{"/", "/settle/", "/who/", p.place("TUB-MC4")} {
			if w := p.visitor(address).get(path, "X-Forwarded-User", engineer, "X-Forwarded-For", "192.0.2.2"); w.Code != 403 || !strings.Contains(w.Body.String(), "nothing was written") {
				t.Errorf("%s from %s: %d", path, address, w.Code)
			}
		}
	}
	for _, address := range []string{"[::ffff:192.0.2.1]", "[2001:db8::5]"} {
		if w := p.visitor(address).get("/settle/", "X-Forwarded-User", engineer); w.Code != 200 {
			t.Errorf("from %s: %d", address, w.Code)
		}
	}
	if text := p.log.String(); !strings.Contains(text, "refused a header that names a person, 12 since") || strings.Contains(text, "Sample") {
		t.Error(text)
	}
	two := request("GET", "/settle/", nil)
	two.RemoteAddr = "192.0.2.2:40000"
	two.Header["X-Forwarded-User"] = []string{engineer, engineer}
	w := httptest.NewRecorder()
	if p.ServeHTTP(w, two); w.Code != 400 {
		t.Error("two values:", w.Code)
	}
	if w := front.get("/settle/", "X-Forwarded-User", "Nobody Atall"); w.Code != 403 || !strings.Contains(w.Body.String(), "not in this site’s list") && !strings.Contains(w.Body.String(), "not in this site&#39;s list") {
		t.Error(w.Code, w.Body)
	}
	if w := front.get(p.place("TUB-MC4"), "X-Forwarded-User", "Nobody Atall"); w.Code != 200 {
		t.Error("the page of a label:", w.Code)
	}
	if w := front.get("/settle/"); w.Code != 303 {
		t.Error("without the header:", w.Code)
	}
	says(t, front.get("/sign-in/").Body.String(), "The server in front of this one signs people in")
	for _, path := range []string{"/sign-in/", "/sign-out/"} {
		if w := front.do("POST", path, url.Values{"name": {engineer}, "password": {password}}); w.Code != 405 {
			t.Errorf("POST %s: %d", path, w.Code)
		}
	}
	if snap(t, p.dir) != before {
		t.Error("something was written")
	}
}

var loads = regexp.MustCompile(`(?:src|href)="([^"]+\.(?:css|js|svg|woff2|html))"`)

// Where reading is private, a scanned label still leads to its page, with all that the page loads.
func TestPrivate(t *testing.T) {
	p := newPeopled(t, People{Private: true})
	v := p.visitor("192.0.2.7")
	for _, path := range []string{"/", "/list/1.html", "/due/", "/labels.csv", "/labels.js", "/plant/", "/audit/", "/change/", "/compare/x.html", "/V/../due/", "/%2e%2e/due/", "/nothing", "/?q=TUB-MC4"} {
		w := v.get(path)
		if to := w.Header().Get("Location"); w.Code != 303 || !strings.Contains(to, "sign-in/") {
			t.Errorf("%s: %d %s", path, w.Code, to)
		}
	}
	if w := v.get("/", "Accept", "application/json"); w.Code != 401 {
		t.Error(w.Code)
	}
	page := v.get(p.place("TUB-MC4"))
	if page.Code != 200 || page.Header().Get("Cache-Control") != "no-cache" {
		t.Fatal(page.Code, page.Header())
	}
	for _, path := range []string{p.place("TUB-MC4") + "basis.json", "/v/" + strings.ToLower(string(p.codes["TUB-MC4"])) + "/x/", "/checked.html", "/who/", "/sign-in/"} {
		if w := v.get(path); w.Code != 200 && w.Code != 302 {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
	base, found := &url.URL{Path: p.place("TUB-MC4")}, 0
	for _, m := range loads.FindAllStringSubmatch(page.Body.String(), -1) {
		to, err := base.Parse(m[1])
		if err != nil || strings.Contains(m[1], "list/") {
			continue
		}
		found++
		if w := v.get(to.Path); w.Code != 200 {
			t.Errorf("the page of a label loads %s: %d", to.Path, w.Code)
		}
	}
	if found < 3 {
		t.Errorf("it loads %d files", found)
	}
	v.is(t, reader)
	for range 2 { // made, then as it is kept
		w := v.get("/due/")
		if w.Code != 200 || w.Header().Get("Cache-Control") != "private, no-cache" || !strings.Contains(strings.Join(w.Header().Values("Vary"), " "), "Cookie") {
			t.Error(w.Code, w.Header())
		}
	}
	if w := p.visitor("192.0.2.8").get("/due/"); w.Code != 303 {
		t.Error("a page that is kept is shown to everybody:", w.Code)
	}
	p.broken = errors.New("gone")
	if w := v.get("/due/"); w.Code != 503 {
		t.Error(w.Code)
	}
	if w := v.get(p.place("TUB-MC4")); w.Code != 200 {
		t.Error(w.Code)
	}
}

// What an engineer accepts is in the ledger with the role, and so is what is settled.
func TestRoleIsNoted(t *testing.T) {
	p := newPeopled(t, People{})
	v := p.visitor("192.0.2.7").is(t, planner)
	form := keep(v.get("/change/").Body.String())
	for name, value := range map[string]string{"at": "REP-TX3", "kind": "fuse replaced", "date": "2026-05-01"} {
		form.Set(name, value)
	}
	save := keep(v.do("POST", "/change/", form).Body.String())
	save.Set("save", "yes")
	before := len(p.news(t, 0))
	if w := v.do("POST", "/change/", save); w.Code != 303 {
		t.Fatal(w.Code, w.Body)
	}
	if line := p.news(t, before)[0]; line.Kind != record.Entered || line.By != planner || line.Role != record.RolePlanner {
		t.Errorf("%+v", line)
	}
	says(t, v.get(p.place("REP-TX3")).Body.String(), "by M. Sample, planner")
	p.list = listOf(t, people.Person{Name: planner, Role: record.RoleRead, Password: hash()})
	says(t, v.get(p.place("REP-TX3")).Body.String(), "by M. Sample, planner")
	h, err := p.store.History(day)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range h.Replay.Wrong {
		t.Error(w)
	}
}

// What a round sends is noted in the name of who signed in, and not where somebody else noted it on the same device; who may not note it gets an error that
// the page of the round shows, and keeps what it has.
func TestRoundOfAPerson(t *testing.T) {
	p := newPeopled(t, People{})
	p.site.Desk.See = func(v *plant.Plant, all []logbook.Look, by string) ([]logbook.Seen, error) {
		return logbook.See(v, p.store, all, false, by, "test")
	}
	by := ""
	sends := func(v *visitor) *httptest.ResponseRecorder {
		r := httptest.NewRequest("POST", "http://localhost:8484/round/ticks", strings.NewReader(
			`{"by":"`+by+`","ticks":[{"tick":"0123456789abcdef","at":"TUB-MC4","found":"right","day":"2026-05-01"}]}`))
		r.RemoteAddr = v.address + ":40000"
		r.Header.Set("Content-Type", "application/json")
		for name, value := range v.cookies {
			r.AddCookie(&http.Cookie{Name: name, Value: value})
		}
		w := httptest.NewRecorder()
		v.ServeHTTP(w, r)
		return w
	}
	before := len(p.news(t, 0))
	for name, want := range map[string]struct {
		status int
		text   string
	}{"": {401, "You are not signed in. Nothing was written."}, reader: {403, "Noting what was seen needs the role planner"}} {
		v := p.visitor("192.0.2.7")
		if name != "" {
			v.is(t, name)
		}
		var said struct{ Error string }
		w := sends(v)
		if err := json.Unmarshal(w.Body.Bytes(), &said); err != nil || w.Code != want.status || !strings.HasPrefix(said.Error, want.text) {
			t.Errorf("%q: %d %v %s", name, w.Code, err, w.Body)
		}
	}
	if n := len(p.news(t, before)); n != 0 {
		t.Fatalf("%d lines were written", n)
	}
	v := p.visitor("192.0.2.7").is(t, planner)
	by = "Q. Example"
	if w := sends(v); w.Code != 409 || !strings.Contains(w.Body.String(), "Q. Example noted it") || len(p.news(t, before)) > 0 {
		t.Error(w.Code, w.Body)
	}
	by = planner
	if w := sends(v); w.Code != 200 || !strings.Contains(w.Body.String(), `"status":200`) {
		t.Fatal(w.Code, w.Body)
	}
	for _, line := range p.news(t, before) {
		if line.By != planner || line.Role != record.RolePlanner {
			t.Errorf("%+v", line)
		}
	}
	if form := keep(v.get("/seen/?at=TUB-MC4").Body.String()); form.Get("ticket") == "" || form.Has("by") {
		t.Errorf("the form without a script: %v", form)
	}
}
