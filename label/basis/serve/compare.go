package serve

import (
	"net/http"
	"strings"

	"vouchmark/label/record"
)

// compare shows a label next to the one that it replaced.
func (h *Handler) compare(r *http.Request, s *snapshot) http.Handler {
	name, _ := strings.CutSuffix(r.PathValue("file"), ".html")
	code, err := record.ParseCode(name)
	if err != nil {
		return h.missing(r, s)
	}
	for _, id := range s.book.Shelf.Printed() {
		if id.Code() != code {
			continue
		}
		if p := s.book.Compare(id); p != nil && r.URL.Path == "/"+p.Name {
			return h.keep(s, r.URL.Path, p)
		}
	}
	return h.missing(r, s)
}
