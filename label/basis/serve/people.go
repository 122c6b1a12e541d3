package serve

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"sync/atomic"

	"vouchmark/label/basis/people"
	"vouchmark/label/record"
)

// People are those who may use the server, for a site where people sign in.
type People struct {
	// Read is the list as it is now. It is asked for every request of somebody, so that a change counts at once.
	// Its error says why nobody can be signed in.
	Read func() (*people.List, error)
	// Private says that reading needs signing in too, except for what a scanned label leads to.
	Private bool
	// Front is the server in front that signs people in; nil for passwords.
	Front *Front
}

// signing is the state of signing in.
type signing struct {
	*tries
	sessions *sessions
	slow     slow
	hashes   *turns
	// right checks a password.
	right  func(*people.List, *people.Person, string) bool
	broken atomic.Pointer[string] // why the list could not be read last
	front  atomic.Int64           // headers that were refused
}

const (
	hashesAtOnce = 2  // each takes about 20 MB of memory and 20 ms of a core
	hashesWait   = 64 // at work or waiting
)

func newSigning() *signing {
	return &signing{tries: newTries(), sessions: newSessions(), right: (*people.List).Right, hashes: newTurns(hashesAtOnce, hashesWait, eachWaiting)}
}

// identity is who a request is from.
type identity struct {
	person  *people.Person // nil for nobody
	list    *people.List
	unknown bool  // the server in front names somebody who is not in the list
	err     error // why nobody can be signed in
}

type identityKey struct{}

// personOf is the person whom [Handler.needs] let in; nil where nobody signs in.
func personOf(r *http.Request) *people.Person {
	if id, ok := r.Context().Value(identityKey{}).(*identity); ok {
		return id.person
	}
	return nil
}

// identify finds out who a request is from.
func (h *Handler) identify(r *http.Request) *identity {
	if id, ok := r.Context().Value(identityKey{}).(*identity); ok {
		return id
	}
	list, err := h.site.People.Read()
	h.signing.note(h, err)
	id := &identity{list: list, err: err}
	switch {
	case err != nil:
	case h.site.People.Front != nil:
		if name := h.site.People.Front.name(r); name != "" {
			id.person = list.Find(name)
			id.unknown = id.person == nil
		}
	default:
		var stolen bool
		if id.person, stolen, id.err = h.signing.sessions.of(r, list, h.from(r)); stolen {
			h.site.Log.Printf("a session was used from another address than it was started from, %d since the server started",
				h.signing.sessions.stolen.Add(1))
		} else if id.err != nil {
			h.site.Log.Printf("a session cannot be read: %v", id.err)
		}
	}
	return id
}

// note logs why the list cannot be read, once.
func (s *signing) note(h *Handler, err error) {
	text := ""
	if err != nil {
		text = err.Error()
	}
	if was := s.broken.Swap(&text); text != "" && (was == nil || *was != text) {
		h.site.Log.Printf("nobody can be signed in: %v", err)
	}
}

// needs lets a request through that is from somebody of a role, or of one that may do more. Where nobody signs in, it
// lets all through. what names what the role is needed for, as the beginning of a sentence: "Settling a change".
func (h *Handler) needs(least record.Role, what string, next http.Handler) http.Handler {
	if h.site.People == nil {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		id := h.identify(r)
		h.varies(w)
		switch {
		case id.err != nil:
			h.nobody(r).ServeHTTP(w, r)
		case id.unknown:
			h.stranger(r).ServeHTTP(w, r)
		case id.person == nil:
			h.signedOut(w, r)
		case !id.person.Role.May(least):
			h.denied(w, r, id, least, what)
		default:
			next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), identityKey{}, id)))
		}
	})
}

// varies says of an answer on what it depends.
func (h *Handler) varies(w http.ResponseWriter) {
	if f := h.site.People.Front; f != nil {
		w.Header().Add("Vary", f.Header)
	} else {
		w.Header().Add("Vary", "Cookie")
	}
}

// wantsJSON reports whether a request is from a program.
func wantsJSON(r *http.Request) bool {
	return strings.Contains(r.Header.Get("Accept"), "application/json") || strings.HasPrefix(r.Header.Get("Content-Type"), "application/json")
}

// refusal is an answer that refuses a request because of who it is from: a program gets JSON.
func refusal(r *http.Request, status int, why string, page http.Handler) http.Handler {
	if !wantsJSON(r) {
		return page
	}
	return noStore(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		data, _ := json.Marshal(map[string]any{"error": why, "problems": []map[string]string{{"message": why}}}) // only texts, so it cannot fail
		w.Header().Set("Content-Type", jsonType)
		w.WriteHeader(status)
		w.Write(append(data, '\n'))
	}))
}

// nothing says of a form that it was not carried out.
func nothing(r *http.Request) string {
	if reading(r) {
		return ""
	}
	return "Nothing was written. "
}

// nobody answers where the list cannot be read. Why is in the log alone: it has names and places.
func (h *Handler) nobody(r *http.Request) http.Handler {
	why := nothing(r) + "The list of people cannot be read. Whoever keeps this server finds out why in its log."
	return refusal(r, http.StatusServiceUnavailable, why, h.plain(http.StatusServiceUnavailable, "Nobody can be signed in now", why, nil))
}

// stranger answers somebody whom the server in front signed in and whom the list does not have.
func (h *Handler) stranger(r *http.Request) http.Handler {
	const title = "You are signed in, but not known here"
	why := nothing(r) + "The server in front of this one signed you in under a name that is not in this site's list of people. " +
		"Ask whoever keeps this server to add you."
	return refusal(r, http.StatusForbidden, why, h.plain(http.StatusForbidden, title, why, nil))
}

// signedOut asks to sign in.
func (h *Handler) signedOut(w http.ResponseWriter, r *http.Request) {
	to := signInPath[1:]
	switch {
	case wantsJSON(r):
		refusal(r, http.StatusUnauthorized, "You are not signed in. Nothing was written.", nil).ServeHTTP(w, r)
	case reading(r):
		leads(to, r.URL.Path, r.URL.RawQuery).ServeHTTP(w, r)
	default:
		h.shown(func(r *http.Request, s *snapshot) http.Handler {
			data := map[string]any{"To": back(r), "Front": h.site.People.Front != nil,
				"Up": strings.Repeat("../", depth(r.URL.Path))}
			return noStore(h.framed(r, s, http.StatusUnauthorized, "Not signed in", "signedout.html", data))
		}).ServeHTTP(w, r)
	}
}

// leads leads to a page for signing in that leads back.
func leads(to, path, query string) http.Handler {
	back := strings.TrimPrefix(path, "/")
	if query != "" {
		back += "?" + query
	}
	if returning(back) == "" {
		back = ""
	}
	return noStore(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		place := url.URL{Path: strings.Repeat("../", depth(r.URL.Path)) + to}
		if back != "" {
			place.RawQuery = url.Values{"to": {back}}.Encode()
		}
		w.Header().Set("Location", place.String())
		w.WriteHeader(http.StatusSeeOther)
	}))
}

// mostNamed is how many people a refusal names.
const mostNamed = 12

// back is the query of the page for signing in that leads back to what was asked for.
func back(r *http.Request) string {
	to := strings.TrimPrefix(r.URL.Path, "/")
	if reading(r) && r.URL.RawQuery != "" {
		to += "?" + r.URL.RawQuery
	}
	return "?" + url.Values{"to": {to}}.Encode()
}

// denied refuses what a person's role does not allow, and says who may.
func (h *Handler) denied(w http.ResponseWriter, r *http.Request, id *identity, least record.Role, what string) {
	var who []string
	all := id.list.Who(least)
	for i, p := range all {
		if i == mostNamed {
			who = append(who, fmt.Sprintf("and %d more", len(all)-i))
			break
		}
		who = append(who, p.Words())
	}
	text := fmt.Sprintf("%s needs the role %s; you are signed in as %s. Nothing was written.", what, least, id.person.Words())
	refusal(r, http.StatusForbidden, text, h.shown(func(r *http.Request, s *snapshot) http.Handler {
		data := map[string]any{"What": what, "Least": least, "Person": id.person.Words(), "Who": who, "Up": strings.Repeat("../", depth(r.URL.Path)), "Cover": id.person.Role.May(record.RolePlanner),
			"To": back(r)}
		return noStore(h.framed(r, s, http.StatusForbidden, "Not in your role", "denied.html", data))
	})).ServeHTTP(w, r)
}

// desk is what can be done, in the name of the person who sent a request.
func (h *Handler) desk(r *http.Request) *Desk {
	if p := personOf(r); p != nil && h.site.Desk.As != nil {
		return h.site.Desk.As(p.Role)
	}
	return h.site.Desk
}
