package serve

import (
	"net/http"
	"net/url"
	"path"
	"strings"
)

// routes are the addresses, and what each shows. All redirects are relative, so
// that the pages may stand below a path of another server.
func (h *Handler) routes() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /{$}", h.shown(h.start))
	mux.Handle("GET /index.html", h.shown(h.start))
	for _, tail := range []string{
		"{code}", "{code}/{$}", "{code}/index.html",
		"{code}/{facts}", "{code}/{facts}/{$}", "{code}/{facts}/{file}",
	} {
		mux.Handle("GET /V/"+tail, h.shown(h.label))
		mux.Handle("GET /v/"+tail, h.shown(h.label))
	}
	if h.site.Desk != nil {
		mux.Handle("GET /reprint/{$}", h.shown(h.openReprint))
		mux.Handle("POST /reprint/{$}", h.shown(h.sendReprint))
		mux.Handle("GET /change/{$}", h.shown(h.openChange))
		mux.Handle("POST /change/{$}", h.shown(h.sendChange))
		for _, form := range []string{"reprint", "change"} {
			mux.HandleFunc("/"+form+"/{$}", func(w http.ResponseWriter, _ *http.Request) {
				h.notAllowed(w, "GET, HEAD, POST")
			})
			mux.Handle("/"+form, h.reads(func(w http.ResponseWriter, r *http.Request, _ *snapshot) {
				redirect(w, r, form+"/")
			}))
		}
	}
	rest := h.reads(h.file)
	mux.Handle("/", rest)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if reading(r) && r.URL.RawQuery == "" {
			if s := h.current(); s.err == nil && s.stored(w, r, r.URL.Path) { // most of all requests end here
				return
			}
		}
		switch clean := path.Clean(r.URL.Path); {
		case r.URL.Path != clean && r.URL.Path != strings.TrimSuffix(clean, "/")+"/":
			rest.ServeHTTP(w, r) // the mux would lead to the clean path by an absolute link
		case r.URL.RawPath != "": // an encoded slash is a slash, to the mux as to the guard
			plain := *r
			plain.URL = &url.URL{Path: r.URL.Path, RawQuery: r.URL.RawQuery}
			mux.ServeHTTP(w, &plain)
		default:
			mux.ServeHTTP(w, r)
		}
	})
}

// show answers a request from the site as it was read.
type show func(http.ResponseWriter, *http.Request, *snapshot)

// shown hands a page the site as it is, or says why that cannot be shown.
func (h *Handler) shown(p show) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if s := h.current(); s.err != nil {
			h.unreadable(w, r, s.err)
		} else {
			p(w, r, s)
		}
	})
}

// reads is shown for a page that is only read, whatever its pattern lets in.
func (h *Handler) reads(p show) http.Handler {
	next := h.shown(p)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if reading(r) {
			next.ServeHTTP(w, r)
		} else {
			h.notAllowed(w, "GET, HEAD")
		}
	})
}

func reading(r *http.Request) bool { return r.Method == http.MethodGet || r.Method == http.MethodHead }
