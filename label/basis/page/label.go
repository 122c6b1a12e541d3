package page

import (
	"bytes"
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

// Place is where the page of a record stands: the path that the label's link
// carries behind the host's part of it.
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
	place := Place(id.Code(), label.Facts(v.Record))
	html, err := b.LabelPage(v)
	if err != nil {
		return nil, err
	}
	data, err := b.LabelJSON(v)
	if err != nil {
		return nil, err
	}
	lead, err := b.render("code.html", string(id.Code()), 2, struct {
		Verdict basis.Verdict
		Until   string // on which the verdict would be another; "" for no such day
		Code    record.Code
		ID      string
		Facts   string
	}{v.Verdict(), until(v), id.Code(), v.Record.Location.ID, label.Facts(v.Record)})
	if err != nil {
		return nil, err
	}
	return []File{{place + "index.html", html}, {place + "basis.json", data}, {underCode(id.Code()), lead}}, nil
}

// LabelJSON is the page of a view for a program. For files it leaves out the
// day, which stands in the small file that all pages show.
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

// until is the day after which a good verdict is none.
func until(v *basis.View) string {
	switch standing.Status(v.Verdict().Sign) {
	case standing.Holds, standing.FallsDue:
		return v.Standing.Until.String()
	}
	return ""
}

// labelPage is what the page of a record shows.
type labelPage struct {
	*basis.View
	Verdict basis.Verdict
	Until   string // see until
	Code    record.Code
	Where   string
	Supply  string
	Facts   string
	Items   []basis.Item

	Picture    template.HTML
	PictureWhy string // why there is none
	Curve      template.HTML
	CurveWhy   string

	Headroom []string // in words
	Policy   []basis.Item
	Findings []assess.Finding // of the row as it is now, where the label hangs
	Cautions []string
	Newer    string // where the label that replaced it has its page
	Live     *Live
}

// LabelPage is the page of a view.
func (b *Book) LabelPage(v *basis.View) ([]byte, error) {
	r := v.Record
	p := labelPage{View: v, Verdict: v.Verdict(), Until: until(v), Code: v.ID.Code(), Where: label.Where(r), Supply: label.Supply(r), Facts: label.Facts(r),
		Items: basis.Items(r), Policy: basis.PolicyItems(r), Cautions: basis.Cautions, Live: b.Live, Headroom: report.HeadroomLines(&v.Headroom)}
	svg, err := b.Picture(r, v.ID.Code())
	if err != nil {
		p.PictureWhy = err.Error()
	}
	p.Picture = template.HTML(svg)
	svg, p.CurveWhy = picture.Curve(r)
	p.Curve = template.HTML(svg)
	if v.Place != nil && v.Hangs {
		p.Findings = v.Place.Assessment.Findings
	}
	if v.NewerCode != "" {
		p.Newer = "../../" + string(v.NewerCode) + "/index.html"
	}
	return b.render("label.html", r.Location.ID+": "+p.Verdict.Word, 3, &p)
}
