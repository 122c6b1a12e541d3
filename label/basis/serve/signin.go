package serve

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"path"
	"strings"
	"unicode"

	"vouchmark/label/basis/people"
	"vouchmark/label/record"
)

// The addresses for signing in.
const (
	signInPath  = "/sign-in/"
	signOutPath = "/sign-out/"
	whoPath     = "/who/"
)

// signInShown is what the page for signing in shows.
type signInShown struct {
	Person string // who is signed in, with the role; "" for nobody
	Front  bool   // the server in front signs people in
	To     string // where to go back to, below the start page; "" for the start page
	Up     string // the way to the start page
	// Elsewhere says that the page was opened from another site, so that the browser sent no cookie.
	Elsewhere bool
	fields
}

// signs adds the pages for signing in.
func (h *Handler) signs(mux *http.ServeMux) {
	if h.site.People == nil {
		return
	}
	mux.Handle("GET "+signInPath+"{$}", h.browsed(h.shown(h.openSignIn)))
	mux.Handle("GET "+whoPath+"{$}", http.HandlerFunc(h.who))
	accepts := "GET, HEAD"
	if h.site.People.Front == nil {
		mux.Handle("POST "+signInPath+"{$}", h.browsed(h.sent(h.signIn)))
		mux.Handle("POST "+signOutPath+"{$}", h.sent(h.signOut))
		mux.Handle("GET "+signOutPath+"{$}", h.reads(func(*http.Request, *snapshot) http.Handler { return redirect(signInPath[1:]) }))
		accepts += ", POST"
	}
	mux.Handle(signInPath+"{$}", notAllowed(accepts))
	for _, p := range []string{signInPath, signOutPath} {
		lead := redirect(p[1:])
		mux.Handle(strings.TrimSuffix(p, "/"), h.reads(func(*http.Request, *snapshot) http.Handler { return lead }))
	}
}

// browsed notes the browser that a request is from: the form for signing in belongs to it.
func (h *Handler) browsed(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h.varies(w)
		who := "browser " + browserOf(w, r)
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), ownerKey{}, who)))
	})
}

// longestTo is the longest place to go back to.
const longestTo = 2000

// returning is a place of this server to go back to, below the start page; "" where the text is not one. It
// is a path without a scheme, a host, or steps up, so that a link cannot lead to another server.
func returning(to string) string {
	u, err := url.Parse(to)
	switch {
	case err != nil || len(to) > longestTo || u.Scheme != "" || u.Host != "" || u.User != nil || u.Opaque != "":
		return ""
	case strings.HasPrefix(to, "/") || strings.ContainsAny(to, "\\") || strings.ContainsFunc(to, unicode.IsControl):
		return ""
	case strings.HasPrefix(u.Path, "/") || strings.Contains("/"+u.Path+"/", "/../") || strings.Contains(u.Path, "//") || strings.ContainsAny(u.Path, "\\:"):
		return ""
	}
	switch at := "/" + strings.TrimSuffix(path.Clean(u.Path), "/") + "/"; at {
	case signInPath, signOutPath, whoPath:
		return ""
	}
	u.Fragment = ""
	return u.String()
}

func (h *Handler) openSignIn(r *http.Request, s *snapshot) http.Handler {
	id := h.identify(r)
	switch {
	case id.err != nil:
		return h.nobody(r)
	case id.unknown:
		return h.stranger(r)
	}
	f := h.blank(r)
	return h.askSignIn(r, s, http.StatusOK, id.person, r.URL.Query().Get("to"), &f)
}

// blank are the fields of the form for signing in.
func (h *Handler) blank(r *http.Request) fields {
	return fields{Ticket: h.tickets.issue(r.URL.Path, owner(r), h.now()), Value: map[string]string{}, Errors: map[string]string{}}
}

func (h *Handler) askSignIn(r *http.Request, s *snapshot, status int, p *people.Person, to string, f *fields) http.Handler {
	from := r.Header.Get("Sec-Fetch-Site")
	shown := &signInShown{Front: h.site.People.Front != nil, To: returning(to), Up: "../", fields: *f,
		Elsewhere: from == "cross-site" || from == "same-site"}
	title := "Sign in"
	if p != nil {
		shown.Person, title = p.Words(), "Signed in"
	}
	return h.ask(r, s, status, f, title, "signin.html", shown)
}

var errWho = errors.New("wrong name or password")

// signIn signs a person in. A wrong name and a wrong password get the same answer, after the same work.
func (h *Handler) signIn(r *http.Request, s *snapshot) http.Handler {
	if _, ok := h.ticket(r); !ok {
		return stale
	}
	list, err := h.site.People.Read()
	h.signing.note(h, err)
	if err != nil {
		return h.nobody(r)
	}
	f := h.blank(r)
	name := people.Fold(r.PostForm.Get("name"))
	f.Value["name"] = name
	for field, text := range map[string]string{"name": "enter your name", "password": "enter your password"} {
		if strings.TrimSpace(r.PostForm.Get(field)) == "" {
			f.Errors[field] = text
		}
	}
	to := r.PostForm.Get("to")
	if len(f.Errors) > 0 {
		return h.askSignIn(r, s, http.StatusUnprocessableEntity, nil, to, &f)
	}
	var p *people.Person
	err = h.signing.try(r.Context(), Who{h.from(r), owner(r)}, func() error {
		if !pause(r.Context(), h.signing.slow.wait(name, h.now())) {
			return errBusy
		}
		leave, err := h.signing.hashes.take(r.Context(), h.from(r))
		if err != nil {
			return errBusy
		}
		defer leave()
		known := list.Find(name)
		right := h.signing.right(list, known, r.PostForm.Get("password"))
		h.signing.slow.note(name, right, h.now())
		if !right {
			return errWho
		}
		p = known
		return nil
	})
	switch {
	case errors.Is(err, errBusy):
		f.Errors["password"] = err.Error()
		return h.askSignIn(r, s, http.StatusTooManyRequests, nil, to, &f)
	case err != nil:
		h.site.Log.Printf("wrong name or password, %d since the server started", h.signing.Failed())
		f.Errors["password"] = err.Error()
		return h.askSignIn(r, s, http.StatusForbidden, nil, to, &f)
	}
	return noStore(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := h.signing.sessions.begin(w, r, p, h.from(r), h.isSecure(r)); err != nil {
			h.site.Log.Printf("a session cannot be started: %v", err)
			h.nobody(r).ServeHTTP(w, r)
			return
		}
		w.Header().Set("Cache-Control", "no-store")
		w.Header().Set("Location", "../"+returning(to))
		w.WriteHeader(http.StatusSeeOther)
	}))
}

// signOut ends the session of a browser.
func (h *Handler) signOut(r *http.Request, _ *snapshot) http.Handler {
	next := ".." + signInPath
	if to := returning(r.PostForm.Get("to")); to != "" { // somebody else signs in, for that
		next += "?" + url.Values{"to": {to}}.Encode()
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := h.signing.sessions.end(w, r, h.isSecure(r)); err != nil {
			h.site.Log.Printf("a session cannot be ended: %v", err)
		}
		h.varies(w)
		w.Header().Set("Cache-Control", "no-store")
		w.Header().Set("Location", next)
		w.WriteHeader(http.StatusSeeOther)
	})
}

// who tells the script of the pages who is signed in: the pages themselves are the same for everybody.
func (h *Handler) who(w http.ResponseWriter, r *http.Request) {
	var is struct {
		Name *string      `json:"name"` // null for nobody
		Role *record.Role `json:"role"`
	}
	if id := h.identify(r); id.person != nil && id.err == nil {
		is.Name, is.Role = &id.person.Name, &id.person.Role
	}
	data, _ := json.Marshal(is) // only texts, so it cannot fail
	h.varies(w)
	head := w.Header()
	head.Set("Cache-Control", "no-store")
	head.Set("Content-Type", jsonType)
	head.Set("Content-Length", fmt.Sprint(len(data)+1))
	if r.Method != http.MethodHead {
		w.Write(append(data, '\n'))
	}
}
