package serve

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"fmt"
	"net/http"
	"sync"

	"vouchmark/label/basis/page"
)

// mostKept is how many bytes of compressed pages a snapshot stores.
const mostKept = 256 << 20

// body is a page as it is stored.
type body struct {
	kind   string // content type
	etag   string // of the plain bytes, without quotes
	zipped []byte
	size   int         // of the plain bytes
	digest page.Digest // of what the page was made of
	fixed  bool        // its address leads to these bytes for good
}

func newBody(kind string, data []byte) *body {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	z.Write(data) // writing to a buffer never fails
	z.Close()
	return &body{kind: kind, etag: fmt.Sprintf("%x", sha256.Sum256(data)), zipped: b.Bytes(), size: len(data)}
}

// shelfOfPages stores bodies by address, up to a number of bytes; the oldest
// make room for new ones.
type shelfOfPages struct {
	mu    sync.RWMutex
	all   map[string]*body
	order []string
	bytes int
	most  int
}

func (k *shelfOfPages) get(path string) *body {
	k.mu.RLock()
	defer k.mu.RUnlock()
	return k.all[path]
}

func (k *shelfOfPages) put(path string, b *body) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.all == nil {
		k.all = map[string]*body{}
	}
	if len(b.zipped) > k.most {
		return
	}
	if old := k.all[path]; old != nil {
		k.bytes -= len(old.zipped)
	} else {
		k.order = append(k.order, path)
	}
	k.all[path] = b
	k.bytes += len(b.zipped)
	for k.bytes > k.most {
		k.bytes -= len(k.all[k.order[0]].zipped)
		delete(k.all, k.order[0])
		k.order = k.order[1:]
	}
}

// keep is a stored page; one that is not stored yet is made and stored. A page of an
// earlier snapshot is used again if nothing that it is made of has changed.
func (h *Handler) keep(s *snapshot, path string, p *page.Page) http.Handler {
	if b := s.kept.get(path); b != nil {
		return b
	}
	b := h.earlier.get(path)
	if b == nil || b.digest != p.Digest {
		data, err := p.Make()
		if err != nil {
			return h.page(http.StatusOK, nil, err)
		}
		b = newBody(page.TypeOf(p.Name), data)
		b.digest, b.fixed = p.Digest, p.Fixed
		h.earlier.put(path, b)
	}
	s.kept.put(path, b)
	return b
}
