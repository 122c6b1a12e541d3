package serve

import (
	"net/http"
	"net/url"
	"path"
	"regexp"
	"strings"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// The link of a site may have a path. Then the pages are below that path too, as the QR codes say.

// pathsOf are the paths of a site's links.
func pathsOf(p *assess.Policy) *[]string {
	var paths []string
	for _, link := range p.Links() {
		_, rest, _ := strings.Cut(link, "://")
		if i := strings.IndexByte(rest, '/'); i >= 0 {
			paths = append(paths, rest[i:])
		}
	}
	return &paths
}

// inside is a request for what is below the path of a link as one for the same below the root.
func (h *Handler) inside(r *http.Request) *http.Request {
	if h.paths.Load() == nil {
		return r
	}
	for _, below := range *h.paths.Load() {
		if len(r.URL.Path) <= len(below) || r.URL.Path[len(below)] != '/' || !strings.EqualFold(r.URL.Path[:len(below)], below) {
			continue
		}
		rest := r.URL.Path[len(below):]
		typed := strings.HasPrefix(rest, "/v/") || strings.HasPrefix(rest, "/V/")
		if !strings.HasPrefix(r.URL.Path, below) && !typed || isLabel(r.URL.Path) && !isLabel(rest) {
			continue
		}
		plain := *r
		plain.URL = &url.URL{Path: rest, RawQuery: r.URL.RawQuery}
		return &plain
	}
	return r
}

// entrance leads from the path of a link, without a slash at its end, to the start page there.
func (h *Handler) entrance(address string) http.Handler {
	if paths := h.paths.Load(); paths != nil {
		for _, below := range *paths {
			if address == below {
				return redirect(address[1:] + "/")
			}
		}
	}
	return nil
}

var labelPath = regexp.MustCompile(`^(/[^/]+)*/[Vv]/([^/]+)(?:/.*)?$`)

// isLabel reports whether an address is that of a label below the root.
func isLabel(address string) bool {
	m := labelPath.FindStringSubmatch(address)
	return m != nil && m[1] == "" && isCode(m[2])
}

// elsewhere reports whether an address is that of a label below another path.
func elsewhere(address string) bool {
	m := labelPath.FindStringSubmatch(address)
	return m != nil && m[1] != "" && isCode(m[2]) && strings.TrimSuffix(address, "/") == path.Clean(address)
}

func isCode(s string) bool {
	_, err := record.ParseCode(s)
	return err == nil
}
