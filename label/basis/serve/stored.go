package serve

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"sync"
)

// mostKept is how many bytes of compressed pages a snapshot keeps.
const mostKept = 256 << 20

// body is a page as it is kept.
type body struct {
	kind   string // content type
	etag   string // of the plain bytes, without quotes
	zipped []byte
	size   int // of the plain bytes
}

func newBody(kind string, data []byte) *body {
	sum := sha256.Sum256(data)
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	z.Write(data) // a buffer takes everything
	z.Close()
	return &body{kind, hex.EncodeToString(sum[:]), b.Bytes(), len(data)}
}

// shelfOfPages keeps bodies by address, up to a number of bytes; the oldest
// make room.
type shelfOfPages struct {
	mu    sync.RWMutex
	all   map[string]*body
	order []string
	bytes int
	most  int // 0 is mostKept
}

func (k *shelfOfPages) get(path string) *body {
	k.mu.RLock()
	defer k.mu.RUnlock()
	return k.all[path]
}

func (k *shelfOfPages) put(path string, b *body) {
	k.mu.Lock()
	defer k.mu.Unlock()
	most := k.most
	if most == 0 {
		most = mostKept
	}
	if k.all == nil {
		k.all = map[string]*body{}
	}
	if k.all[path] != nil || len(b.zipped) > most {
		return
	}
	k.all[path] = b
	k.order = append(k.order, path)
	k.bytes += len(b.zipped)
	for k.bytes > most {
		k.bytes -= len(k.all[k.order[0]].zipped)
		delete(k.all, k.order[0])
		k.order = k.order[1:]
	}
}

// stored answers with a page that is kept, or reports that none is.
func (s *snapshot) stored(w http.ResponseWriter, r *http.Request, path string) bool {
	b := s.kept.get(path)
	if b != nil {
		b.send(w, r)
	}
	return b != nil
}

// serve answers with a page that is kept, or makes and keeps it.
func (s *snapshot) serve(
	w http.ResponseWriter, r *http.Request, h *Handler, path, kind string, render func() ([]byte, error),
) {
	if s.stored(w, r, path) {
		return
	}
	data, err := render()
	if err != nil {
		h.page(w, r, http.StatusOK, nil, err)
		return
	}
	b := newBody(kind, data)
	s.kept.put(path, b)
	b.send(w, r)
}
