package serve

import (
	"io"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"vouchmark/assess"
	"vouchmark/label/audit"
	"vouchmark/label/basis/page"
	"vouchmark/label/plant"
)

// Auditing is what a server does for an auditor, as the commands do it.
type Auditing struct {
	// Run audits the folder. The site is as it was judged.
	Run func(*plant.Plant) (*audit.Report, error)
	// PDF is the report on paper.
	PDF func(*audit.Report, *assess.Policy) ([]byte, error)
	// Archive makes the archive, or says why its records are not intact. Closing it
	// removes it.
	Archive func() (*Archive, error)
}

// Archive is an archive to be sent.
type Archive struct {
	io.ReadCloser
	Size int64
}

// longestSending is how long an archive may take on its way, in place of the limit of pages.
const longestSending = 10 * time.Minute

// Audits take time and memory, so one is made at a time, and few may wait.
const (
	auditsWaiting     = 8
	auditsFromAddress = 2
)

// audit shows the auditor's pages: of the audit that was made last, on whatever day that was.
func (h *Handler) audit(r *http.Request, s *snapshot) http.Handler {
	if h.site.Audit == nil {
		return h.missing(r, s)
	}
	made := page.Audit{}
	if last := h.audited.Load(); last != nil {
		made = *last
	}
	name := r.URL.Path[1:]
	switch name {
	case "audit":
		return redirect("audit/")
	case "audit/labels":
		return redirect("audit/labels/")
	case "audit/report.pdf":
		return h.report(r, s, made.Report)
	case "audit/", "audit/labels/":
		name += "index.html"
	}
	for _, p := range s.book.AuditPages(made) {
		if p.Name == name {
			data, err := p.Make()
			return h.page(http.StatusOK, data, err)
		}
	}
	return h.missing(r, s)
}

// report is the report of the last audit on paper.
func (h *Handler) report(r *http.Request, s *snapshot, made *audit.Report) http.Handler {
	if made == nil {
		return h.missing(r, s)
	}
	pdf, err := h.site.Audit.PDF(made, &s.book.Shelf.Site.Site.Policy)
	if err != nil {
		return h.page(http.StatusInternalServerError, nil, err)
	}
	return &File{Name: "audit-" + made.Today.String() + ".pdf", Data: pdf}
}

// makeAudit makes an audit when it is its turn, and leads to it.
func (h *Handler) makeAudit(r *http.Request, s *snapshot) http.Handler {
	if h.site.Audit == nil {
		return h.missing(r, s)
	}
	leave, err := h.audits.take(r.Context(), h.from(r))
	if err != nil {
		return h.busy(r, err)
	}
	defer leave()
	made := &page.Audit{}
	if made.Report, err = h.site.Audit.Run(s.book.Shelf.Site); err != nil {
		made.Why = err.Error()
	}
	h.audited.Store(made)
	return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Location", "./")
		w.WriteHeader(http.StatusSeeOther)
	})
}

func (h *Handler) openArchive(r *http.Request, s *snapshot) http.Handler {
	if h.site.Audit == nil {
		return h.missing(r, s)
	}
	f := h.fields(r)
	return h.askArchive(r, s, http.StatusOK, &f)
}

func (h *Handler) askArchive(r *http.Request, s *snapshot, status int, f *fields) http.Handler {
	return h.ask(r, s, status, f, "Make an archive of the records", "archive.html", f)
}

// sendArchive makes the archive and sends it. It holds more than the pages show, such as the
// study files, so that it needs the passphrase like whatever writes.
func (h *Handler) sendArchive(r *http.Request, s *snapshot) http.Handler {
	if h.site.Audit == nil {
		return h.missing(r, s)
	}
	if _, ok := h.ticket(r); !ok {
		return stale
	}
	f := h.fields(r)
	if status := h.allowed(r, &f); status != http.StatusOK {
		return h.askArchive(r, s, status, &f)
	}
	leave, err := h.audits.take(r.Context(), h.from(r))
	if err != nil {
		return h.busy(r, err)
	}
	defer leave()
	made, err := h.site.Audit.Archive()
	if err != nil {
		return h.failed(r, err)
	}
	policy := &s.book.Shelf.Site.Site.Policy
	return &sending{made, archiveName(policy.Name, h.site.Today())}
}

// archiveName is the name under which a browser saves an archive: of the site and the day, in
// characters that every disk takes.
func archiveName(site string, day assess.Date) string {
	words := strings.FieldsFunc(site, func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9')
	})
	name := strings.Join(words, "-")
	name = strings.TrimRight(name[:min(len(name), longestSite)], "-")
	return strings.Join(slices.DeleteFunc([]string{"records", name, day.String()}, func(s string) bool { return s == "" }), "-") + ".zip"
}

// longestSite is how much of a site's name the name of a file has.
const longestSite = 60

// sending is an archive on its way.
type sending struct {
	*Archive
	name string
}

// ServeHTTP sends the archive.
func (a *sending) ServeHTTP(w http.ResponseWriter, _ *http.Request) {
	defer a.Close()
	http.NewResponseController(w).SetWriteDeadline(time.Now().Add(longestSending)) // without it, a slow client gets a part
	head := w.Header()
	head.Set("Content-Type", "application/zip")
	head.Set("Content-Disposition", `attachment; filename="`+a.name+`"`)
	head.Set("Content-Length", strconv.FormatInt(a.Size, 10))
	head.Set("Cache-Control", "no-store")
	io.Copy(w, a)
}
