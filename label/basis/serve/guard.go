package serve

import (
	"net"
	"net/http"
	"slices"
	"strings"
)

// policy lets a page load what this server serves, and nothing else: no text
// of a site folder that got into a page as markup could do anything.
const policy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; font-src 'self'; " +
	"form-action 'self'; frame-ancestors 'none'; base-uri 'none'"

// guard sets the headers that every answer has, and refuses what is asked of
// another name, or by another site.
func (h *Handler) guard(next http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		head := w.Header()
		head.Set("Content-Security-Policy", policy)
		head.Set("X-Content-Type-Options", "nosniff")
		head.Set("X-Frame-Options", "DENY")
		head.Set("Referrer-Policy", "same-origin") // the forms' Origin must survive
		head.Set("Cross-Origin-Opener-Policy", "same-origin")
		head.Set("Cross-Origin-Resource-Policy", "same-origin")
		// A page of another site could open forms without end, and push out the
		// tickets of those that people are filling in.
		from := r.Header.Get("Sec-Fetch-Site")
		form := r.URL.Path == "/reprint/" || r.URL.Path == "/change/"
		switch err := cross.Check(r); {
		case !h.answersTo(r):
			http.Error(w, "vouchmark does not answer under this name; if it is right, name it with --host",
				http.StatusMisdirectedRequest)
		case !strings.HasPrefix(r.URL.Path, "/"): // such as OPTIONS *
			notAllowed("GET, HEAD").ServeHTTP(w, r)
		case err != nil:
			h.site.Log.Printf("refused a form that came from another site: %v", err)
			http.Error(w, "a page of another site sent this form; nothing was written. "+
				"Open the form here and send it again", http.StatusForbidden)
		case form && (from == "cross-site" || from == "same-site"):
			http.Error(w, "the forms are opened from the pages of this server, not from another site; "+
				"begin with its start page", http.StatusForbidden)
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// answersTo reports whether a request was meant for this server. A name of
// somebody else's that was made to lead to this machine (DNS rebinding) was
// not: a page of that name would read what is shown here, and fill in forms.
func (h *Handler) answersTo(r *http.Request) bool {
	host := hostOf(r.Host)
	if host == "localhost" || slices.ContainsFunc(h.site.Names, func(n string) bool { return hostOf(n) == host }) {
		return host != ""
	}
	ip := net.ParseIP(host)
	if ip == nil || ip.IsLoopback() {
		return ip != nil
	}
	at, ok := r.Context().Value(http.LocalAddrContextKey).(net.Addr)
	if !ok {
		return false
	}
	local, _, err := net.SplitHostPort(at.String())
	local, _, _ = strings.Cut(local, "%") // the zone of a link-local address
	return err == nil && ip.Equal(net.ParseIP(local))
}

// hostOf is the name or address of a Host header, without port and brackets.
func hostOf(s string) string {
	if host, _, err := net.SplitHostPort(s); err == nil {
		s = host
	}
	s = strings.TrimSuffix(strings.TrimPrefix(s, "["), "]")
	return strings.ToLower(strings.TrimSuffix(s, "."))
}
