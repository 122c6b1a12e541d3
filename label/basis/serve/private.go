package serve

import (
	"net/http"
	"path"
	"strings"
	"sync"

	"vouchmark/label/basis/page"
	"vouchmark/label/record"
)

// openFiles are the files that pages ask for, and what they frame: they say nothing about a site.
var openFiles = sync.OnceValue(func() map[string]bool {
	all := map[string]bool{"/checked.html": true}
	for _, p := range page.Served() {
		all["/"+p.Name] = true
	}
	return all
})

// isOpen reports whether an address may be read by everybody at a site where reading needs signing in: the page that a
// scanned label leads to, with all that it loads, and the pages for signing in.
func isOpen(address string) bool {
	if clean := path.Clean(address); address != clean && address != clean+"/" {
		return false
	}
	switch {
	case strings.HasPrefix(address, "/V/"), strings.HasPrefix(address, "/v/"), openFiles()[address]:
		return true
	}
	switch strings.TrimSuffix(address, "/") + "/" {
	case signInPath, signOutPath, whoPath:
		return true
	}
	return false
}

// private lets only people who are signed in read what is not open.
func (h *Handler) private(next http.Handler) http.Handler {
	if h.site.People == nil || !h.site.People.Private {
		return next
	}
	inside := h.needs(record.RoleRead, "Reading these pages", http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Cache-Control", "private, no-cache")
		next.ServeHTTP(w, r)
	}))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if isOpen(r.URL.Path) {
			next.ServeHTTP(w, r)
		} else {
			inside.ServeHTTP(w, r)
		}
	})
}
