package commands

import (
	"os"
	"path/filepath"

	"vouchmark/assess"
	"vouchmark/label/audit"
	pages "vouchmark/label/basis/page"
	"vouchmark/label/basis/serve"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/layout/press"
)

// audited is the audit that published pages show. It checks names, hashes and links only: to judge
// every record again would take longer than publishing.
func (e *Env) audited(v *plant.Plant) (made pages.Audit, intact map[record.ID]bool) {
	o := audit.Options{Names: true, Intact: make(map[record.ID]bool, len(v.History.Labels))}
	r, err := e.auditOf(v, o)
	if err != nil {
		return pages.Audit{Why: err.Error()}, nil
	}
	return pages.Audit{Report: r}, o.Intact
}

// auditOf audits the folder of a site that was judged.
func (e *Env) auditOf(v *plant.Plant, o audit.Options) (*audit.Report, error) {
	o.Tool, o.Keys = version(), v.Keys
	o.See(v)
	o.Site, o.Accept = v.Site.Policy.Name, v.Site.Policy.Accept
	return look(os.DirFS(e.site), v.Today, o)
}

// auditing is what the server does for an auditor. today is the day of a request.
func (e *Env) auditing(today func() assess.Date) *serve.Auditing {
	now := func() *Env {
		c := *e
		c.today, c.progress = today(), nil
		return &c
	}
	return &serve.Auditing{
		Run: func(v *plant.Plant) (*audit.Report, error) { return now().auditOf(v, audit.Options{}) },
		PDF: func(r *audit.Report, p *assess.Policy) ([]byte, error) {
			return press.AuditPDF(r, p, press.PaperOf(p))
		},
		Archive: func() (*serve.Archive, error) { return now().archived() },
	}
}

// archived is the archive of the folder in a file that is gone once it was read.
func (e *Env) archived() (*serve.Archive, error) {
	dir, err := os.MkdirTemp("", "vouchmark-")
	if err != nil {
		return nil, err
	}
	file := filepath.Join(dir, "records.zip")
	if _, _, err = e.export(file); err != nil {
		os.RemoveAll(dir)
		return nil, err
	}
	f, err := os.Open(file)
	if err != nil {
		os.RemoveAll(dir)
		return nil, err
	}
	info, err := f.Stat()
	if err != nil {
		f.Close()
		os.RemoveAll(dir)
		return nil, err
	}
	return &serve.Archive{ReadCloser: &passing{f, dir}, Size: info.Size()}, nil
}

// passing is a file in a folder of its own, which goes with it.
type passing struct {
	*os.File
	dir string
}

// Close closes the file and removes its folder.
func (p *passing) Close() error {
	err := p.File.Close()
	if e := os.RemoveAll(p.dir); err == nil {
		err = e
	}
	return err
}
