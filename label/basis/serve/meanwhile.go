package serve

import (
	"bytes"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// A large site takes a while to be read again after an edit. Meanwhile pages are shown as they
// were, and say so first.

// patience is how long a page waits for the new site.
const patience = time.Second

// meanwhile is the current site, or, while that is being read, the one before; old is true
// for that.
func (h *Handler) meanwhile() (s *snapshot, old bool) {
	before := h.newest.Load()
	if s := h.fresh(); s != nil || before == nil || before.err != nil {
		return h.current(), false
	}
	read := make(chan *snapshot, 1)
	go func() { read <- h.current() }()
	wait := time.NewTimer(h.patience)
	defer wait.Stop()
	select {
	case s := <-read:
		return s, false
	case <-wait.C:
		return before, true
	}
}

// isOld is what a page of the site before says first. It must not be taken for the standing of
// today.
const isOld = `<p class="notice"><strong>DO NOT RELY ON THIS PAGE YET.</strong> The site has changed and is being read again. ` +
	`This page shows the site as it was before. Load it again in a moment.</p>`

// verdictPlace is where a page says its verdict apart from its body: in its title, and on each sheet of paper.
var verdictPlace = regexp.MustCompile(`<title[^>]*>|data-sheet="|<p class="sheet-name"[^>]*>`)

// marked answers from the site before: a page says so, anything else waits for the new site.
func (h *Handler) marked(w http.ResponseWriter, r *http.Request, old *snapshot, p show) {
	plain := r.Clone(r.Context())
	plain.Method = http.MethodGet
	plain.Header.Del("Accept-Encoding")
	plain.Header.Del("If-None-Match")
	answer := &held{head: http.Header{}, status: http.StatusOK}
	h.made(plain, old, p).ServeHTTP(answer, plain)
	before, after, whole := strings.Cut(answer.body.String(), "<body>")
	if !whole || answer.head.Get("Content-Type") != htmlType {
		h.answer(w, r, h.current(), p)
		return
	}
	const notCurrent = "${0}NOT CURRENT: "
	text := verdictPlace.ReplaceAllString(before, notCurrent) + `<body class="old">` + isOld + verdictPlace.ReplaceAllString(after, notCurrent)
	head := w.Header()
	head.Set("Content-Type", htmlType)
	head.Set("Content-Length", strconv.Itoa(len(text)))
	head.Set("Cache-Control", "no-store")
	w.WriteHeader(answer.status)
	if r.Method != http.MethodHead {
		w.Write([]byte(text))
	}
}

// held is an answer that is not yet sent.
type held struct {
	head   http.Header
	status int
	body   bytes.Buffer
}

func (a *held) Header() http.Header         { return a.head }
func (a *held) WriteHeader(status int)      { a.status = status }
func (a *held) Write(b []byte) (int, error) { return a.body.Write(b) }
