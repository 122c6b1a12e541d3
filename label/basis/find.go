package basis

import (
	"fmt"
	"strings"

	"vouchmark/assess/near"
	"vouchmark/label"
	"vouchmark/label/record"
)

// Find is the view of the record that a person names: by the id of a location,
// for its label printed last, by a code, or by the text of a QR code. A name alone that is an
// id counts as that; one that is also the code of another location's label is refused. A code after
// /V/ is always a code.
func (h *Shelf) Find(name string) (*View, error) {
	scanned, err := label.ParseQR(name)
	_, listed := h.Site.Place(name)
	printing, printed := h.Site.History.Last(name)
	switch isCode, isID := err == nil, listed || printed; {
	case isID && isCode && !scanned.Path:
		if err := h.ambiguous(name, scanned.Code); err != nil {
			return nil, err
		}
	case isCode:
		if links := h.Site.Site.Policy.Links(); !scanned.Of(links) {
			return nil, &ElsewhereError{Scanned: scanned, Links: links}
		}
		return h.Scan(scanned)
	case !isID:
		return nil, &near.UnknownID{What: "location or printed label", IDs: []string{name}, Known: h.Site.Known(),
			Else: ", and it is neither a code nor the text of a QR code", Cause: ErrNotPrinted}
	}
	if !printed {
		return nil, fmt.Errorf("%q: %w", name, ErrNotPrinted)
	}
	return h.View(printing.ID)
}

// ambiguous is the error for an id that is also the code of another location's label; nil for one
// that only looks like a code.
func (h *Shelf) ambiguous(name string, code record.Code) error {
	other := h.Site.History.Ledger.LocationOf(code)
	if other == "" || other == name {
		return nil
	}
	e := &record.AmbiguousError{Name: name, Code: code, Location: other}
	if own, printed := h.Site.History.Last(name); printed {
		e.Own = own.ID.Code()
	}
	return e
}

// ElsewhereError is the error for a link that is not that of a label of this site. Two sites may have
// printed the same label, with the same code.
type ElsewhereError struct {
	label.Scanned
	Links []string // of this site
}

func (e *ElsewhereError) Error() string {
	return fmt.Sprintf("not a label of this site: its link begins with %s, those of this site begin with %s; if labels were printed with it "+
		"before the link was changed, list it under former_links in site.toml; to see what this site has under that code, give the code alone, %s",
		e.Link, strings.Join(e.Links, " or "), e.Code)
}

// Unwrap says that no label was printed under that name.
func (e *ElsewhereError) Unwrap() error { return ErrNotPrinted }
