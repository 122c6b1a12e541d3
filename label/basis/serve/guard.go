package serve

import (
	"net"
	"net/http"
	"slices"
	"strings"
)

// policy lets a page load what this server serves, and nothing else: a text of
// the site folder that got into a page as markup could do nothing.
const policy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; font-src 'self'; connect-src 'self'; " +
	"form-action 'self'; frame-ancestors 'none'; base-uri 'none'"

// guard sets the headers of every answer, and refuses requests under a name that
// is not this server's, or from a page of another site.
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
		// A page of another site could make this server work through the browsers of those who reach it.
		from := r.Header.Get("Sec-Fetch-Site")
		form := isForm(r.URL.Path)
		switch err := cross.Check(r); {
		case !h.answersTo(r):
			http.Error(w, "vouchmark does not answer under this name; if the name is right, start the server with it as --host",
				http.StatusMisdirectedRequest)
		case !strings.HasPrefix(r.URL.Path, "/"): // such as OPTIONS *
			notAllowed("GET, HEAD").ServeHTTP(w, r)
		case h.refusesName(w, r):
		case err != nil:
			h.site.Log.Printf("refused a form that came from another site: %v", err)
			http.Error(w, "this form was sent from a page of another site; nothing was written. "+
				"Open the form here and send it again", http.StatusForbidden)
		case form && (from == "cross-site" || from == "same-site"):
			http.Error(w, "open the forms from the pages of this server, not from another site; "+
				"start with its start page", http.StatusForbidden)
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// answersTo reports whether a request is meant for this server. One under a
// stranger's name that was made to lead to this machine (DNS rebinding) is not:
// a page of that name could read what is shown here, and fill in forms.
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
