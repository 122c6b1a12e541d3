package press

import (
	"cmp"
	"errors"

	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/layout"
)

// GuidePDF is the page that teaches how to read a site's labels, one in each of its
// languages. The example is the first label in walking order that has a kit; if no
// label has one, the first that prints.
func GuidePDF(v *plant.Plant, paper layout.Paper, look Look) ([]byte, error) {
	p, err := New(v, Choice{}, look)
	if err != nil {
		return nil, err
	}
	if len(p.Items) == 0 {
		return nil, errors.New("no label of this site prints, so the guide has no example; run vouchmark check")
	}
	i := -1
	var parts label.GuideParts
	for k := range p.Items {
		l := p.Items[k].Label()
		if i < 0 && l.Chosen >= 0 {
			i = k
		}
		parts.See(p.Items[k].Record, l)
	}
	i = max(0, i)
	var pages []layout.Page
	document := layout.Document{Language: look.Languages[0], Date: newest(p.Items[i : i+1])}
	for _, lang := range look.Languages {
		g := label.ComposeGuide(&v.Site.Policy, p.Items[i].Record, p.Items[i].Code, lang, parts, look.Presentation)
		document.Title = cmp.Or(document.Title, g.Title)
		one, err := layout.GuidePage(g, paper)
		if err != nil {
			return nil, err
		}
		pages = append(pages, one...)
	}
	return layout.WritePages(document, pages)
}
