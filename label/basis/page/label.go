package page

import (
	"bytes"
	"cmp"
	"html/template"
	"slices"

	"vouchmark/assess"
	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/basis"
	"vouchmark/label/basis/picture"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// Place is where the page of a record is: the path in the label's link, after
// the host's part of it.
func Place(code record.Code, facts string) string { return "V/" + string(code) + "/" + facts + "/" }

// underCode is the page under a code alone.
func underCode(code record.Code) string { return "V/" + string(code) + "/index.html" }

// Label gives the files of one record: its page, the same for a program, and
// the page under its code alone, which leads there.
func (b *Book) Label(id record.ID) ([]File, error) {
	v, err := b.Shelf.View(id)
	if err != nil {
		return nil, err
	}
	s := shown{v}
	place := Place(s.Code(), s.Facts())
	html, err := b.LabelPage(v)
	data, failed := b.LabelJSON(v)
	lead, stopped := b.codePage(s)
	return []File{{place + "index.html", html}, {place + "basis.json", data}, {underCode(s.Code()), lead}},
		cmp.Or(err, failed, stopped)
}

// codePage is the page under a code alone.
func (b *Book) codePage(s shown) ([]byte, error) {
	p := &labelPage{shown: s, Said: b.said(s.View)}
	if s.NewerCode != "" {
		p.Newer = "../" + string(s.NewerCode) + "/index.html"
	}
	return b.render("code.html", string(s.Code()), "", 2, p)
}

// LabelJSON is the page of a view for a program. For files it leaves out the
// day, which is in the small file that all pages show.
func (b *Book) LabelJSON(v *basis.View) ([]byte, error) {
	shown := *v
	if b.Live == nil {
		shown.Today = assess.Date{}
		shown.Standing.Reasons = slices.Clone(v.Standing.Reasons)
		for i := range shown.Standing.Reasons {
			if r := &shown.Standing.Reasons[i]; r.Found {
				r.Since = assess.Date{}
			}
		}
	}
	var out bytes.Buffer
	err := report.WriteJSON(&out, shown.JSON())
	return out.Bytes(), err
}

// shown is a view with what the templates ask of it.
type shown struct{ *basis.View }

// Code is the code of the record.
func (s shown) Code() record.Code { return s.ID.Code() }

// Facts are what the QR code says.
func (s shown) Facts() string { return label.Facts(s.Record) }

// Until is the day after which a good verdict no longer counts; "" for none.
func (s shown) Until() string {
	switch standing.Status(s.Verdict().Sign) {
	case standing.Holds, standing.FallsDue:
		return s.Standing.Until.String()
	}
	return ""
}

// labelPage is what the page of a record shows.
type labelPage struct {
	shown
	Said       []label.Page // to whoever scans the label, in each language
	Picture    template.HTML
	PictureWhy string // why there is none
	Curve      template.HTML
	CurveWhy   string
	Headroom   []string         // in words
	Findings   []assess.Finding // of the row as it is now, where the label is mounted
	Newer      string           // the page of the label that replaced it
	Live       *Live
}

// LabelPage is the page of a view.
func (b *Book) LabelPage(v *basis.View) ([]byte, error) {
	r := v.Record
	p := labelPage{shown: shown{v}, Said: b.said(v), Headroom: report.HeadroomLines(&v.Headroom), Live: b.Live}
	svg, err := b.Picture(r, v.ID.Code())
	if err != nil {
		p.PictureWhy = err.Error()
	}
	p.Picture = template.HTML(svg)
	svg, p.CurveWhy = picture.Curve(r)
	p.Curve = template.HTML(svg)
	if v.Place != nil && v.Newest {
		p.Findings = v.Place.Assessment.Findings
	}
	if v.NewerCode != "" {
		p.Newer = "../../" + string(v.NewerCode) + "/index.html"
	}
	said := &p.Said[0]
	return b.render("label.html", r.Location.ID+": "+said.Verdict, said.Language, 3, &p)
}
