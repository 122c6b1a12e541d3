package serve

import (
	"net/http"
	"net/netip"
	"slices"
	"strings"
)

// Front is a server in front that signs people in and names them in a header.
type Front struct {
	// Header is the name of the header.
	Header string
	// Trust are the addresses from which it is believed. Only the address of the connection counts, never one
	// that a header names.
	Trust []netip.Prefix
}

// name is whom the server in front names; "" for nobody. [Front.refuses] let the request through.
func (f *Front) name(r *http.Request) string { return strings.TrimSpace(r.Header.Get(f.Header)) }

// trusts reports whether a request came straight from the server in front.
func (f *Front) trusts(r *http.Request) bool {
	address, ok := addressOf(r.RemoteAddr)
	address = address.Unmap().WithZone("")
	return ok && slices.ContainsFunc(f.Trust, func(p netip.Prefix) bool { return p.Contains(address) })
}

// refuses is the status of a request whose header is not believed, and why; 0 for a good one.
func (f *Front) refuses(r *http.Request) (status int, why string) {
	values := r.Header.Values(f.Header)
	switch {
	case len(values) == 0:
		return 0, ""
	case !f.trusts(r):
		return http.StatusForbidden, "this request names a person in a header, and does not come from the server that may do that; nothing was written"
	case len(values) > 1:
		return http.StatusBadRequest, "this request names a person more than once; nothing was written"
	}
	return 0, ""
}

// refusesName refuses a request that names a person where it may not, and reports whether it did.
func (h *Handler) refusesName(w http.ResponseWriter, r *http.Request) bool {
	if h.site.People == nil || h.site.People.Front == nil {
		return false
	}
	status, why := h.site.People.Front.refuses(r)
	if status == 0 {
		return false
	}
	h.site.Log.Printf("refused a header that names a person, %d since the server started", h.signing.front.Add(1))
	http.Error(w, why, status)
	return true
}
