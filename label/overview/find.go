package overview

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"vouchmark/label"
	"vouchmark/label/report"
)

// Find keeps the plants that may have a label with an id or a code, however it is typed, or that of a scanned QR
// code, and those of which that is
// not known. It reports how many plants may have it.
func (o *Overview) Find(name string) (may int) {
	code := name
	if scanned, err := label.ParseQR(name); err == nil {
		code = string(scanned.Code)
	}
	o.Plants = slices.DeleteFunc(o.Plants, func(p Plant) bool {
		return p.twice || p.names != "" && !p.names.May(name) && !p.names.May(code)
	})
	for i := range o.Plants {
		if p := &o.Plants[i]; p.names != "" {
			p.MayHave = true
			may++
		}
	}
	return may
}

// NamesFile has the names of all plants for the search on the page: a script, so that a page opened from a disk
// reads it too.
const NamesFile = "names.js"

// mostNames is the longest text of it that a browser is asked to read: that of a million labels.
const mostNames = 8 << 20

// namesFile is the text of it: for each plant its name, the address of its search, and its names. It is nil where it
// would be too long.
func (o *Overview) namesFile() ([]byte, error) {
	all := [][3]string{}
	for i := range o.Plants {
		p := &o.Plants[i]
		if p.twice {
			continue
		}
		all = append(all, [3]string{p.Name(), p.Search(), string(p.names)})
	}
	data, err := json.Marshal(all)
	if err != nil || len(data) > mostNames {
		return nil, err
	}
	return fmt.Appendf(nil, "\"use strict\";\nconst plantNames = %s;\n", data), err
}

// FindText says in which plants a name may be.
func (o *Overview) FindText(name string) func(w io.Writer, width int) error {
	return func(w io.Writer, width int) error {
		may, unknown := 0, 0
		for i := range o.Plants {
			p := &o.Plants[i]
			if !p.MayHave {
				unknown++
				continue
			}
			may++
			at := p.Search()
			if at == "" {
				at = p.Place
			}
			if _, err := fmt.Fprintf(w, "%s  %s\n", p.Name(), at); err != nil {
				return err
			}
		}
		text := fmt.Sprintf("No plant has the id or code %s.\n", name)
		if may > 0 {
			text = fmt.Sprintf("%s may be in %s: ids and codes are compared by a short number.\n", name, report.Plural(may, "plant"))
		}
		if unknown > 0 {
			text += fmt.Sprintf("Of %s it is not known: published by an earlier version, or not to be read.\n", report.Plural(unknown, "more plant"))
		}
		_, err := io.WriteString(w, text)
		return err
	}
}
