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
	"strconv"
	"strings"
	"sync"

	"vouchmark/assess/site"
	"vouchmark/label/basis/page"
)

//go:embed *.html
var files embed.FS

var templates = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("").Funcs(template.FuncMap{"linked": page.Linked}).ParseFS(files, "*.html"))
})

// Content types of other answers than stored pages.
var htmlType, jsonType = page.TypeOf(".html"), page.TypeOf(".json")

// ServeHTTP answers with a stored page. A client that has it already gets no body.
func (b *body) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	head := w.Header()
	zipped := takesGzip(r.Header.Get("Accept-Encoding"))
	tag, size := `"`+b.etag+`"`, b.size
	if zipped { // its bytes differ, and so must its tag (RFC 9110, 8.8.3)
		tag, size = `"`+b.etag+`-gzip"`, len(b.zipped)
		head.Set("Content-Encoding", "gzip")
	}
	head.Set("ETag", tag)
	head.Add("Vary", "Accept-Encoding")
	if head.Get("Cache-Control") == "" {
		head.Set("Cache-Control", page.CacheOf(false))
	}
	if b.fixed {
		head.Set("Cache-Control", page.CacheOf(true))
	}
	if holds(r.Header.Get("If-None-Match"), tag) {
		head.Del("Content-Encoding")
		w.WriteHeader(http.StatusNotModified)
		return
	}
	head.Set("Content-Type", b.kind)
	head.Set("Content-Length", strconv.Itoa(size))
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
		v, err := strconv.ParseFloat(q, 64)
		return !(given && (err != nil || v <= 0))
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

// page is a page that is not stored.
func (h *Handler) page(status int, data []byte, err error) http.Handler {
	if err != nil {
		h.site.Log.Printf("a page cannot be shown: %v", err)
		return h.plain(http.StatusInternalServerError, "This page cannot be shown", "", []string{err.Error()})
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		head := w.Header()
		head.Set("Content-Type", htmlType)
		head.Set("Content-Length", strconv.Itoa(len(data)))
		if head.Get("Cache-Control") == "" {
			head.Set("Cache-Control", page.CacheOf(false))
		}
		w.WriteHeader(status)
		if r.Method != http.MethodHead {
			w.Write(data)
		}
	})
}

// framed is one of this package's own pages, in the frame of all pages.
func (h *Handler) framed(r *http.Request, s *snapshot, status int, title, name string, data any) http.Handler {
	var b bytes.Buffer
	if err := templates().ExecuteTemplate(&b, name, data); err != nil {
		return h.page(status, nil, err)
	}
	whole, err := s.book.Frame(title, "", depth(r.URL.Path), template.HTML(b.String()))
	return h.page(status, whole, err)
}

// noStore is an answer that no cache stores.
func noStore(answer http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Cache-Control", "no-store")
		answer.ServeHTTP(w, r)
	})
}

// plain is a page without the frame, for when the site cannot be read.
func (h *Handler) plain(status int, title, means string, lines []string) http.Handler {
	return noStore(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		var b bytes.Buffer
		data := map[string]any{"Title": title, "Means": means, "Lines": lines}
		if err := templates().ExecuteTemplate(&b, "plain.html", data); err != nil {
			h.site.Log.Printf("%s: %v", title, err)
		}
		w.Header().Set("Content-Type", htmlType)
		if status == http.StatusServiceUnavailable {
			w.Header().Set("Retry-After", "5")
		}
		w.WriteHeader(status)
		if r.Method != http.MethodHead {
			w.Write(b.Bytes())
		}
	}))
}

// unreadable answers where the site folder has problems: an older standing must
// not be shown as if it were today's.
func (h *Handler) unreadable(err error) http.Handler {
	lines := []string{err.Error()}
	var bad site.Problems
	if errors.As(err, &bad) {
		lines = nil
		for _, p := range bad {
			lines = append(lines, p.String())
		}
	}
	return h.plain(http.StatusServiceUnavailable, "The site folder has problems: no label can be confirmed",
		"Do not rely on any label until they are corrected. Standings shown earlier no longer count.", lines)
}

// refused says in one line why a request was not carried out.
func refused(status int, why string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { http.Error(w, why, status) })
}

func notAllowed(allow string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Allow", allow)
		http.Error(w, "this page accepts only "+allow, http.StatusMethodNotAllowed)
	})
}

// depth is how many folders an address is below the start page.
func depth(address string) int { return max(strings.Count(address, "/")-1, 0) }

// redirect leads to a place of the site by a relative link.
func redirect(place string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		to := url.URL{Path: strings.Repeat("../", depth(r.URL.Path)) + place}
		w.Header().Set("Location", to.EscapedPath())
		w.WriteHeader(http.StatusFound)
	})
}
