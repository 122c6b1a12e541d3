package serve

import (
	"net/http"
	"net/url"
	"strings"
)

// plant shows the tree of the plant. ?at= leads to the row of a location, or to a search for it.
func (h *Handler) plant(r *http.Request, s *snapshot) http.Handler {
	at := strings.TrimSpace(r.URL.Query().Get("at"))
	if at == "" {
		return h.file(r, s)
	}
	to := url.URL{RawQuery: url.Values{"q": {at}}.Encode()}
	if place, anchor, ok := s.book.Locate(at); ok {
		to = url.URL{Path: place, Fragment: anchor}
	}
	return moves(to)
}

// findings shows what check finds. ?at= leads to what it finds about a location, or to all of it.
func (h *Handler) findings(r *http.Request, s *snapshot) http.Handler {
	at := strings.TrimSpace(r.URL.Query().Get("at"))
	if at == "" {
		return h.file(r, s)
	}
	to := url.URL{Path: "findings/"}
	if place, anchor, ok := s.book.LocateFindings(at); ok {
		to = url.URL{Path: place, Fragment: anchor}
	}
	return moves(to)
}

// moves answers that what was asked for is elsewhere, from the start page.
func moves(to url.URL) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Location", strings.Repeat("../", depth(r.URL.Path))+to.String())
		w.WriteHeader(http.StatusFound)
	})
}
