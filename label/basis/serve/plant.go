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
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Location", strings.Repeat("../", depth(r.URL.Path))+to.String())
		w.WriteHeader(http.StatusFound)
	})
}
