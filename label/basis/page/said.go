package page

import "vouchmark/label"

// What a page says to whoever scans a label it says in each language of the
// site, in elements of the class "said" with a lang attribute. A script hides
// all but the language that the browser asks for. Without the script, or where
// the browser asks for none of them, every language is shown, the first one
// first. All else is for whoever keeps the labels, in English.

// presentation is the languages of the pages.
func (b *Book) presentation() label.Presentation {
	p := label.Presentation{Catalogue: b.Catalogue, Languages: b.Shelf.Site.Site.Policy.Languages}
	if len(p.Languages) == 0 {
		p.Languages = []string{"en"}
	}
	return p
}

// Texts are the texts in each language of the site that do not depend on a label.
func (b *Book) Texts() []label.PageTexts { return b.set().texts() }

// dated are the texts of a page with the day of the standings; "" where the page
// does not name it.
type dated struct {
	Today string
	Texts []label.PageTexts
}
