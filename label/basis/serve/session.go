package serve

import (
	"context"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/alexedwards/scs/v2"

	"vouchmark/label/basis/people"
)

const (
	sessionCookie = "vouchmark-person"
	sessionLife   = 12 * time.Hour // from signing in
	sessionIdle   = 2 * time.Hour  // without a request
	mostSessions  = 16             // of one person; the oldest gives way
)

// What a session holds.
const (
	sessionName   = "name"
	sessionDigest = "digest" // of the person's entry: any change of it ends the session
	sessionFrom   = "from"   // the client's address, as it counts for limits
)

// sessions are the people who are signed in by a password. They are in memory: when the server stops, all end.
type sessions struct {
	manager *scs.SessionManager
	store   *sessionStore
	stolen  atomic.Int64 // cookies that came from another address
}

func newSessions() *sessions {
	s := &sessions{store: &sessionStore{all: map[string]*session{}}}
	// Not scs.New: it begins with a store that has no bound and never ends its own goroutine.
	s.manager = &scs.SessionManager{Store: s.store, Codec: scs.GobCodec{}, HashTokenInStore: true, Lifetime: sessionLife, IdleTimeout: sessionIdle,
		Cookie: scs.SessionCookie{Name: sessionCookie, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode}}
	return s
}

// loaded is the context of a request with its session, which is empty where it has none.
func (s *sessions) loaded(r *http.Request) (context.Context, error) {
	token := ""
	if c, err := r.Cookie(sessionCookie); err == nil {
		token = c.Value
	}
	return s.manager.Load(r.Context(), token)
}

// begin signs a person in: the session has a new token, whatever the browser had before.
func (s *sessions) begin(w http.ResponseWriter, r *http.Request, p *people.Person, from string, secure bool) error {
	ctx, err := s.loaded(r)
	if err == nil {
		err = s.manager.RenewToken(ctx)
	}
	if err != nil {
		return err
	}
	s.manager.Put(ctx, sessionName, p.Name)
	s.manager.Put(ctx, sessionDigest, p.Digest())
	s.manager.Put(ctx, sessionFrom, from)
	token, expiry, err := s.manager.Commit(context.WithValue(ctx, beginning{}, p.Name))
	if err != nil {
		return err
	}
	s.cookie(secure).WriteSessionCookie(ctx, w, token, expiry)
	return nil
}

// cookie is the manager that writes cookies of that kind.
func (s *sessions) cookie(secure bool) *scs.SessionManager {
	m := *s.manager
	m.Cookie.Secure = secure
	return &m
}

// end signs out.
func (s *sessions) end(w http.ResponseWriter, r *http.Request, secure bool) error {
	ctx, err := s.loaded(r)
	if err == nil {
		err = s.manager.Destroy(ctx)
	}
	s.cookie(secure).WriteSessionCookie(r.Context(), w, "", time.Time{})
	return err
}

// of is the person whom a request's session names; nil for nobody. A session whose person was changed since
// ends. One that comes from another address than it was started from counts as nobody's there: its cookie was copied.
func (s *sessions) of(r *http.Request, list *people.List, from string) (p *people.Person, stolen bool, err error) {
	if _, err := r.Cookie(sessionCookie); err != nil {
		return nil, false, nil
	}
	ctx, err := s.loaded(r)
	if err != nil {
		return nil, false, err
	}
	name := s.manager.GetString(ctx, sessionName)
	if name == "" {
		return nil, false, nil
	}
	if p = list.Find(name); p == nil || p.Digest() != s.manager.GetString(ctx, sessionDigest) {
		return nil, false, s.manager.Destroy(ctx)
	}
	if s.manager.GetString(ctx, sessionFrom) != from {
		return nil, true, nil
	}
	_, _, err = s.manager.Commit(ctx) // it was used just now
	return p, false, err
}

// isSecure reports whether a request came over TLS, to this server or to the one in front of it, so that the
// cookie must not travel without.
func (h *Handler) isSecure(r *http.Request) bool {
	if r.TLS != nil {
		return true
	}
	all := r.Header.Values("X-Forwarded-Proto")
	if !h.site.Forwarded || len(all) == 0 {
		return false
	}
	last := all[len(all)-1]
	return strings.EqualFold(strings.TrimSpace(last[strings.LastIndex(last, ",")+1:]), "https")
}

// beginning marks, in a context, that a session begins, with the name of its person.
type beginning struct{}

// sessionStore keeps sessions in memory, a bounded number for each person. Only one that begins is added: a request
// that is answered while its person signs out does not bring the session back.
type sessionStore struct {
	mu    sync.Mutex
	all   map[string]*session
	order []string // by when they began, oldest first
}

type session struct {
	person string
	data   []byte
	until  time.Time
}

// DeleteCtx implements scs.CtxStore.
func (s *sessionStore) DeleteCtx(_ context.Context, token string) error { return s.Delete(token) }

// FindCtx implements scs.CtxStore.
func (s *sessionStore) FindCtx(_ context.Context, token string) ([]byte, bool, error) {
	return s.Find(token)
}

// CommitCtx implements scs.CtxStore.
func (s *sessionStore) CommitCtx(ctx context.Context, token string, data []byte, until time.Time) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if is := s.all[token]; is != nil {
		is.data, is.until = data, until
		return nil
	}
	person, begins := ctx.Value(beginning{}).(string)
	if !begins {
		return nil
	}
	now, own := time.Now(), 1
	for i := len(s.order) - 1; i >= 0; i-- {
		is := s.all[s.order[i]]
		if is.person == person {
			own++
		}
		if is.until.Before(now) || is.person == person && own > mostSessions {
			s.drop(s.order[i])
		}
	}
	s.all[token], s.order = &session{person, data, until}, append(s.order, token)
	return nil
}

// Commit implements scs.Store.
func (s *sessionStore) Commit(token string, data []byte, until time.Time) error {
	return s.CommitCtx(context.Background(), token, data, until)
}

// Find implements scs.Store.
func (s *sessionStore) Find(token string) ([]byte, bool, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	is := s.all[token]
	if is == nil || is.until.Before(time.Now()) {
		return nil, false, nil
	}
	return is.data, true, nil
}

// Delete implements scs.Store.
func (s *sessionStore) Delete(token string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.drop(token)
	return nil
}

func (s *sessionStore) drop(token string) {
	if s.all[token] == nil {
		return
	}
	delete(s.all, token)
	for i := range s.order {
		if s.order[i] == token {
			s.order = append(s.order[:i:i], s.order[i+1:]...)
			break
		}
	}
}
