package serve

import (
	"bytes"
	"compress/gzip"
	"embed"
	"errors"
	"html/template"
	"io"
	"net/http"
	"net/url"
	"path"
	"strconv"
	"strings"

	"vouchmark/assess/site"
)

//go:embed *.html
var files embed.FS

var templates = template.Must(template.ParseFS(files, "*.html"))

// kinds are the content types of the files of the pages; the machine's own
// list may say anything.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
	".json": "application/json", ".svg": "image/svg+xml", ".txt": "text/plain; charset=utf-8",
	".woff2": "font/woff2", ".woff": "font/woff", ".ttf": "font/ttf", ".otf": "font/otf",
}

func typeOf(name string) string {
	if kind, ok := kinds[path.Ext(name)]; ok {
		return kind
	}
	return "application/octet-stream"
}

// send answers with a kept page. A client that has it already gets no body.
func (b *body) send(w http.ResponseWriter, r *http.Request) {
	head := w.Header()
	zipped := takesGzip(r.Header.Get("Accept-Encoding"))
	tag := `"` + b.etag + `"`
	if zipped { // other bytes, another tag (RFC 9110, 8.8.3)
		tag = `"` + b.etag + `-gzip"`
		head.Set("Content-Encoding", "gzip")
	}
	head.Set("ETag", tag)
	head.Set("Vary", "Accept-Encoding")
	head.Set("Cache-Control", "no-cache")
	if holds(r.Header.Get("If-None-Match"), tag) {
		head.Del("Content-Encoding")
		w.WriteHeader(http.StatusNotModified)
		return
	}
	head.Set("Content-Type", b.kind)
	if zipped {
		head.Set("Content-Length", strconv.Itoa(len(b.zipped)))
	} else {
		head.Set("Content-Length", strconv.Itoa(b.size))
	}
	switch {
	case r.Method == http.MethodHead:
	case zipped:
		w.Write(b.zipped)
	default:
		if z, err := gzip.NewReader(bytes.NewReader(b.zipped)); err == nil {
			io.Copy(w, z)
		}
	}
}

// takesGzip reads an Accept-Encoding (RFC 9110, 12.5.3).
func takesGzip(accept string) bool {
	for _, one := range strings.Split(accept, ",") {
		name, weight, _ := strings.Cut(one, ";")
		if !strings.EqualFold(strings.TrimSpace(name), "gzip") {
			continue
		}
		q, given := strings.CutPrefix(strings.ReplaceAll(strings.ToLower(weight), " ", ""), "q=")
		if v, err := strconv.ParseFloat(q, 64); given && (err != nil || v <= 0) {
			return false
		}
		return true
	}
	return false
}

// holds reports whether an If-None-Match names a tag.
func holds(header, tag string) bool {
	for _, one := range strings.Split(header, ",") {
		if one = strings.TrimSpace(one); one == "*" || strings.TrimPrefix(one, "W/") == tag {
			return true
		}
	}
	return false
}

// page answers with a page that is not kept.
func (h *Handler) page(w http.ResponseWriter, r *http.Request, status int, data []byte, err error) {
	if err != nil {
		h.site.Log.Printf("a page cannot be made: %v", err)
		h.plain(w, r, http.StatusInternalServerError, "This page cannot be made", "", []string{err.Error()})
		return
	}
	head := w.Header()
	head.Set("Content-Type", kinds[".html"])
	head.Set("Content-Length", strconv.Itoa(len(data)))
	if head.Get("Cache-Control") == "" {
		head.Set("Cache-Control", "no-cache")
	}
	w.WriteHeader(status)
	if r.Method != http.MethodHead {
		w.Write(data)
	}
}

// framed answers with one of this package's own pages, in the frame of all.
func (h *Handler) framed(
	w http.ResponseWriter, r *http.Request, s *snapshot, status int, title, name string, data any,
) {
	whole, err := s.frame(r, title, name, data)
	h.page(w, r, status, whole, err)
}

// frame makes one of this package's own pages.
func (s *snapshot) frame(r *http.Request, title, name string, data any) ([]byte, error) {
	var b bytes.Buffer
	if err := templates.ExecuteTemplate(&b, name, data); err != nil {
		return nil, err
	}
	return s.pages.Frame(title, depth(r.URL.Path), template.HTML(b.String()))
}

// plain answers without the frame: where the site cannot be read there is
// none.
func (h *Handler) plain(w http.ResponseWriter, r *http.Request, status int, title, means string, lines []string) {
	var b bytes.Buffer
	data := map[string]any{"Title": title, "Means": means, "Lines": lines}
	if err := templates.ExecuteTemplate(&b, "plain.html", data); err != nil {
		h.site.Log.Printf("%s: %v", title, err)
	}
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("Content-Type", kinds[".html"])
	w.WriteHeader(status)
	if r.Method != http.MethodHead {
		w.Write(b.Bytes())
	}
}

// unreadable answers where the folder is bad input: an older standing must not
// be shown as if it were today's.
func (h *Handler) unreadable(w http.ResponseWriter, r *http.Request, err error) {
	lines := []string{err.Error()}
	var bad site.Problems
	if errors.As(err, &bad) {
		lines = nil
		for _, p := range bad {
			lines = append(lines, p.String())
		}
	}
	w.Header().Set("Retry-After", "5")
	h.plain(w, r, http.StatusServiceUnavailable, "No standing can be shown: the site folder has problems",
		"Until they are put right, no label is known to hold. Nothing that was shown before counts.", lines)
}

func (h *Handler) notAllowed(w http.ResponseWriter, allow string) {
	w.Header().Set("Allow", allow)
	http.Error(w, "this page takes "+allow, http.StatusMethodNotAllowed)
}

// depth is how many folders below the start page an address is.
func depth(address string) int { return max(strings.Count(address, "/")-1, 0) }

// redirect leads to a place of the site by a relative link.
func redirect(w http.ResponseWriter, r *http.Request, place string) {
	to := url.URL{Path: strings.Repeat("../", depth(r.URL.Path)) + place}
	w.Header().Set("Location", to.EscapedPath())
	w.WriteHeader(http.StatusFound)
}
