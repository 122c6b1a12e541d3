package page

import (
	"bytes"
	"html/template"
	"slices"
	"strings"
	"sync"

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

// Label gives the pages of one record: its page, the same for a program, and the
// page under its code alone, which leads there.
func (b *Book) Label(id record.ID) ([]Page, error) {
	p := b.set()
	k, r, err := b.Shelf.Known(id)
	if err != nil {
		return nil, err
	}
	if p.Live == nil { // the day is in the small file that all pages show
		k = k.Undated()
	}
	k.Cover = b.Shelf.Covers(id.Code())
	view := sync.OnceValues(func() (*basis.View, error) {
		r, err := b.Shelf.Load(id)
		if err != nil {
			return nil, err
		}
		return k.View(r), nil
	})
	sum, place := digest(p.sum, k), Place(id.Code(), label.Facts(r))
	one := func(name string, makes func(*setting, *basis.View) ([]byte, error)) Page {
		return Page{name, digest(sum, name), func() ([]byte, error) {
			v, err := view()
			if err != nil {
				return nil, err
			}
			return makes(p.setting, v)
		}, false}
	}
	return []Page{
		one(place+"index.html", (*setting).label), one(place+"basis.json", (*setting).labelJSON),
		one(underCode(id.Code()), (*setting).code),
	}, nil
}

// code is the page under a code alone.
func (s *setting) code(v *basis.View) ([]byte, error) {
	p := &labelPage{shown: shown{v}, Said: s.said(v)}
	if v.NewerCode != "" {
		p.Newer = "../" + string(v.NewerCode) + "/index.html"
	}
	return s.banded("code.html", string(p.Code()), "", 2, p)
}

// LabelJSON is the page of a view for a program.
func (b *Book) LabelJSON(v *basis.View) ([]byte, error) { return b.set().labelJSON(v) }

func (s *setting) labelJSON(v *basis.View) ([]byte, error) {
	var out bytes.Buffer
	err := report.WriteJSON(&out, v.JSON())
	return out.Bytes(), err
}

// said is what the page of a view says, in each language of the site.
func (s *setting) said(v *basis.View) []label.Page { return s.Presentation.Pages(v.Record, v.Told()) }

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
	Headroom   []string // in words
	Newer      string   // the page of the label that replaced it
	Live       *Live
	Sheet      string // names site, location and code on each sheet of paper
	Day        day
}

// LabelPage is the page of a view.
func (b *Book) LabelPage(v *basis.View) ([]byte, error) {
	own := *v
	own.Cover = b.Shelf.Covers(v.ID.Code())
	return b.set().label(&own)
}

func (s *setting) label(v *basis.View) ([]byte, error) {
	r := v.Record
	p := labelPage{shown: shown{v}, Said: s.said(v), Headroom: report.HeadroomLines(&v.Headroom), Live: s.Live}
	svg, err := s.Picture.Draw(r, v.ID.Code())
	if err != nil {
		p.PictureWhy = err.Error()
	}
	p.Picture = template.HTML(p.overprint(svg))
	svg, p.CurveWhy = picture.Curve(r)
	p.Curve = template.HTML(svg)
	if v.NewerCode != "" {
		p.Newer = "../../" + string(v.NewerCode) + "/index.html"
	}
	said := &p.Said[0]
	p.Sheet = s.Site + " · " + r.Location.ID + " · " + string(p.Code()) + " · " + said.Verdict
	return s.banded("label.html", r.Location.ID+": "+said.Verdict, said.Language, 3, &p)
}

// banded is a page that begins with a verdict, with the day of the last check in its band.
func (s *setting) banded(name, title, language string, depth int, p *labelPage) ([]byte, error) {
	p.Day = s.day(depth)
	body, err := execute(name, p)
	if err != nil {
		return nil, err
	}
	return s.around(frame{Title: title, Language: language, Body: template.HTML(body), Sheet: p.Sheet, Banded: true, day: p.Day})
}

// Many reports whether there are more cases than paper has room for.
func (p *labelPage) Many() bool { return len(p.Record.Location.Cases) > 2 }

// Aside reports whether a case is left out on paper: of many, one that decides nothing on the label.
func (p *labelPage) Aside(name string) bool {
	r := p.Record
	deciding := []string{r.Energy.Case, r.Boundary.Case, r.Fault.Case}
	if m := r.Maintenance; m != nil {
		deciding = append(deciding, m.Energy.Case, m.Boundary.Case)
	}
	return p.Many() && !slices.Contains(deciding, name)
}

// Void reports whether the label must not be relied on.
func (p *labelPage) Void() bool { return len(p.Said[0].Do) > 0 }

// overprint makes the title of a label's drawing say that the label must not be relied
// on: what lies over the drawing is not a part of it for a reader that asks for its name.
func (p *labelPage) overprint(svg []byte) []byte {
	if !p.Void() {
		return svg
	}
	var void []string
	for i := range p.Said {
		void = append(void, p.Said[i].Void)
	}
	const title = "<title>"
	return bytes.Replace(svg, []byte(title), []byte(title+template.HTMLEscapeString(strings.Join(void, ". "))+". "), 1)
}
