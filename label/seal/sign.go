package seal

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/label/record"
)

// Ledger is the name under which the ledger itself is signed.
const Ledger = "ledger"

// SignInto signs what a person names, and notes the signature in the ledger: the
// record of a location's label or of a code, or the current ledger.
func SignInto(s *record.Store, h *record.History, name, private string, today assess.Date, tool string) (
	what string, err error) {
	err = s.Note(func(l *record.Ledger) (record.Line, error) {
		line := record.Line{Kind: record.Signed, Date: today, Applied: today, Tool: tool}
		text := ""
		if name == Ledger {
			if len(l.Lines) == 0 {
				return line, fmt.Errorf("the ledger is empty: there is nothing to sign")
			}
			line.Of = l.Head()
			text, what = HeadText(line.Of, len(l.Lines), today), fmt.Sprintf("the ledger to line %d, head %s", len(l.Lines), line.Of)
		} else {
			id, location, err := named(s, h, name)
			if err == nil {
				err = worthy(s, l, id)
			}
			if err != nil {
				return line, err
			}
			line.Labels = []record.Printed{{ID: location, Record: id.String()}}
			text, what = RecordText(id, location, today), fmt.Sprintf("the record of %s, %s", location, id.Code())
		}
		line.Signature, err = Sign(private, text)
		line.By, _, _ = strings.Cut(strings.TrimPrefix(line.Signature, "— "), " ")
		return line, err
	})
	return what, err
}

// named is the record that a person names, and its location.
func named(s *record.Store, h *record.History, name string) (record.ID, string, error) {
	alone, path := strings.CutPrefix(name, "/V/")
	code, err := record.ParseCode(alone)
	if p, ok := h.Last(name); ok && !(path && err == nil) {
		if other := h.Ledger.LocationOf(code); err == nil && other != "" && other != name {
			return record.ID{}, "", &record.AmbiguousError{Name: name, Code: code, Location: other, Own: p.ID.Code()}
		}
		return p.ID, name, p.Err
	}
	if err != nil {
		return record.ID{}, "", &near.UnknownID{What: "printed label", IDs: []string{name},
			Known: slices.Sorted(maps.Keys(h.Labels)), Else: fmt.Sprintf(", and it is neither a code nor %q", Ledger)}
	}
	id, err := s.Find(code)
	if err != nil {
		return id, "", err
	}
	r, err := s.Load(id)
	if err != nil {
		return id, "", err
	}
	return id, r.Location.ID, nil
}

// worthy refuses to sign a record that no print made, or that does not follow from
// its inputs.
func worthy(s *record.Store, l *record.Ledger, id record.ID) error {
	if !s.Replay(l, assess.Date{}, record.Records(id.String())).Record(id).Made() {
		return fmt.Errorf("not signed: the record %s was not made by any print in the ledger", id.Code())
	}
	r, err := s.Load(id)
	if err != nil {
		return err
	}
	if differs, _ := r.Differs(); differs != "" {
		return fmt.Errorf("not signed: the record %s does not follow from its inputs in this version (%s); "+
			"see vouchmark audit", id.Code(), differs)
	}
	return nil
}
