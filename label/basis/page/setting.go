package page

import (
	"html/template"
	"strings"

	"vouchmark/label"
)

// setting is what all pages of a site share. A page is made of it and of data of its
// own, and has no way to anything else.
type setting struct {
	Site         string // its name
	Presentation label.Presentation
	Ask          string // whom a worker asks
	Today        string // "" for files
	StaleDays    int    // after which published pages are out of date
	Live         *Live
	Picture      Drawer
}

// planner plans pages: it gives each the digest of what it is made of.
type planner struct {
	*setting
	sum Digest // of the setting
}

// set is the setting of a book.
func (b *Book) set() planner {
	return b.shared.of(func() planner {
		p := &b.Shelf.Site.Site.Policy
		s := &setting{Site: p.Name, Presentation: b.presentation(), Ask: p.Ask, StaleDays: p.StaleDays, Live: b.Live, Picture: b.Picture}
		if b.Live != nil {
			s.Today = b.Shelf.Site.Today.String()
		}
		return planner{s, digest(s)}
	})
}

// texts are the texts in each language of the site that do not depend on a label.
func (s *setting) texts() []label.PageTexts { return s.Presentation.Texts(s.Ask) }

func (s *setting) frame(title, language string, depth int, body template.HTML) ([]byte, error) {
	return s.around(frame{Title: title, Language: language, Body: body, day: s.day(depth)})
}

// around makes the page that a frame describes, apart from what all pages share.
func (s *setting) around(f frame) ([]byte, error) {
	f.Site, f.StaleDays = s.Site, s.StaleDays
	return execute("frame.html", f)
}

// day is the day of the last check on a page so many folders below the start page.
func (s *setting) day(depth int) day {
	return day{strings.Repeat("../", depth), s.Live, dated{s.Today, s.texts()}}
}

// render makes the body of a page from its template, then the page.
func (s *setting) render(name, title, language string, depth int, data any) ([]byte, error) {
	body, err := execute(name, data)
	if err != nil {
		return nil, err
	}
	return s.frame(title, language, depth, template.HTML(body))
}

// planned is a page that is made of data and of the setting.
func planned[T any](p planner, name string, data T, makes func(*setting, T) ([]byte, error)) Page {
	return Page{name, digest(p.sum, name, data), func() ([]byte, error) { return makes(p.setting, data) }, false}
}
