package serve

import (
	"context"
	"crypto/rand"
	"net"
	"net/http"
	"net/netip"
	"strings"
)

// cookieName is the cookie that tells browsers apart where nobody signs in. It says nothing about a
// person, and is gone when the browser is closed.
const cookieName = "vouchmark"

// longestCookie is the longest value that is taken as a browser's own.
const longestCookie = 64

type ownerKey struct{}

// owned notes who a request is from: the person whom the site knows, else the browser. Forms belong to
// who opened them.
func (h *Handler) owned(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		who := ""
		if h.site.Owner != nil {
			who = h.site.Owner(r)
		}
		if who != "" {
			who = "person " + who
		} else {
			who = "browser " + browserOf(w, r)
		}
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), ownerKey{}, who)))
	})
}

// browserOf is the value of the browser's cookie; one without it gets a new one.
func browserOf(w http.ResponseWriter, r *http.Request) string {
	if c, err := r.Cookie(cookieName); err == nil && c.Value != "" && len(c.Value) <= longestCookie {
		return c.Value
	}
	value := rand.Text()
	http.SetCookie(w, &http.Cookie{Name: cookieName, Value: value, Path: "/", Secure: r.TLS != nil,
		HttpOnly: true, SameSite: http.SameSiteStrictMode})
	return value
}

// owner is who a request to a form is from.
func owner(r *http.Request) string {
	who, _ := r.Context().Value(ownerKey{}).(string)
	return who
}

// from is the address of a client, as it counts for limits: of IPv6 the network of 64 bits, since
// one client can have any address in it.
func (h *Handler) from(r *http.Request) string {
	at := r.RemoteAddr
	if all := r.Header.Values("X-Forwarded-For"); h.site.Forwarded && len(all) > 0 {
		last := all[len(all)-1] // earlier ones are what the client says
		last = strings.TrimSpace(last[strings.LastIndex(last, ",")+1:])
		if _, ok := addressOf(last); ok {
			at = last
		}
	}
	address, ok := addressOf(at)
	switch address = address.Unmap().WithZone(""); {
	case !ok:
		return at
	case address.Is6():
		net, _ := address.Prefix(64) // it has 128 bits
		return net.String()
	}
	return address.String()
}

func addressOf(text string) (netip.Addr, bool) {
	if host, _, err := net.SplitHostPort(text); err == nil {
		text = host
	}
	a, err := netip.ParseAddr(text)
	return a, err == nil
}
