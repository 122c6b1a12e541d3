package serve

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"path"
	"strings"

	"vouchmark/label/record"
)

// routes are the addresses, and what each shows. All redirects are relative, so
// that the pages can be placed below a path of another server.
func (h *Handler) routes() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /{$}", h.shown(h.start))
	mux.Handle("GET /index.html", h.shown(h.start))
	mux.Handle("GET /plant/{$}", h.shown(h.plant))
	mux.Handle("GET /findings/{$}", h.shown(h.findings))
	for _, tail := range []string{
		"{code}", "{code}/{$}", "{code}/index.html",
		"{code}/{facts}", "{code}/{facts}/{$}", "{code}/{facts}/{file}",
	} {
		mux.Handle("GET /V/"+tail, h.shown(h.label))
		mux.Handle("GET /v/"+tail, h.shown(h.label))
	}
	mux.Handle("GET /compare/{file}", h.shown(h.compare))
	for _, tail := range []string{"", "/{$}", "/index.html", "/report.pdf", "/labels", "/labels/{rest...}"} {
		mux.Handle("GET /audit"+tail, h.shown(h.audit))
	}
	mux.Handle("POST /audit/{$}", h.shown(h.makeAudit))
	mux.Handle("/audit/{$}", notAllowed("GET, HEAD, POST"))
	h.signs(mux)
	if h.site.Desk != nil {
		for _, form := range forms {
			show := func(p func(*Handler, *http.Request, *snapshot) http.Handler) show {
				return func(r *http.Request, s *snapshot) http.Handler { return p(h, r, s) }
			}
			mux.Handle("GET /"+form.name+"/{$}", h.needs(form.role, form.what, h.owned(h.shown(show(form.open)))))
			mux.Handle("POST /"+form.name+"/{$}", h.needs(form.role, form.what, h.owned(h.sent(show(form.sent)))))
			mux.Handle("/"+form.name+"/{$}", notAllowed("GET, HEAD, POST"))
			lead := redirect(form.name + "/")
			mux.Handle("/"+form.name, h.reads(func(*http.Request, *snapshot) http.Handler { return lead }))
		}
		mux.Handle("POST /round/ticks", h.needs(record.RolePlanner, "Noting what was seen", h.owned(http.HandlerFunc(h.ticks))))
		mux.Handle("/round/ticks", notAllowed("POST"))
		came := h.needs(record.RoleRead, "Reading what came of a form", h.owned(h.shown(h.done)))
		mux.Handle("GET "+donePath+"{word}/{$}", came)
		mux.Handle("GET "+donePath+"{word}/{file}", came)
	}
	rest := h.reads(h.file)
	mux.Handle("/", rest)
	return h.private(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if reading(r) && r.URL.RawQuery == "" {
			if s := h.fresh(); s != nil && s.err == nil {
				if b := s.kept.get(r.URL.Path); b != nil { // most requests end here
					b.ServeHTTP(w, r)
					return
				}
			}
		}
		if lead := h.entrance(r.URL.Path); lead != nil && reading(r) {
			lead.ServeHTTP(w, r)
			return
		}
		switch clean := path.Clean(r.URL.Path); {
		case r.URL.Path != clean && r.URL.Path != strings.TrimSuffix(clean, "/")+"/":
			rest.ServeHTTP(w, r) // the mux would redirect to the clean path by an absolute link
		case r.URL.RawPath != "": // to the mux, as to the guard, an encoded slash is a slash
			plain := *r
			plain.URL = &url.URL{Path: r.URL.Path, RawQuery: r.URL.RawQuery}
			mux.ServeHTTP(w, &plain)
		default:
			mux.ServeHTTP(w, r)
		}
	}))
}

// show answers a request from the site as it was read.
type show func(*http.Request, *snapshot) http.Handler

// shown gives a page the current site, or says why that cannot be shown.
func (h *Handler) shown(p show) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !reading(r) {
			h.answer(w, r, h.current(), p)
		} else if s, old := h.meanwhile(); old {
			h.marked(w, r, s, p)
		} else {
			h.answer(w, r, s, p)
		}
	})
}

func (h *Handler) answer(w http.ResponseWriter, r *http.Request, s *snapshot, p show) {
	if s.err != nil {
		h.unreadable(s.err).ServeHTTP(w, r)
	} else {
		h.made(r, s, p).ServeHTTP(w, r)
	}
}

// mostSent is the largest form, in bytes.
const mostSent = 64 << 10

// sent is shown for a form that was sent. A form that cannot be read is refused.
func (h *Handler) sent(p show) http.Handler {
	return http.MaxBytesHandler(h.shown(func(r *http.Request, s *snapshot) http.Handler {
		if err := r.ParseForm(); err != nil {
			status, why := http.StatusBadRequest, err.Error()
			if tooLarge := (*http.MaxBytesError)(nil); errors.As(err, &tooLarge) {
				status, why = http.StatusRequestEntityTooLarge, fmt.Sprintf("it is larger than %d bytes", mostSent)
			}
			return refused(status, "this form cannot be read: "+why+"; nothing was written")
		}
		return p(r, s)
	}), mostSent)
}

// reads is shown for pages that are only read, whatever methods their pattern
// accepts.
func (h *Handler) reads(p show) http.Handler {
	next := h.shown(p)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if reading(r) {
			next.ServeHTTP(w, r)
		} else {
			notAllowed("GET, HEAD").ServeHTTP(w, r)
		}
	})
}

func reading(r *http.Request) bool { return r.Method == http.MethodGet || r.Method == http.MethodHead }
