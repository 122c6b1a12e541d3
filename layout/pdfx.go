package layout

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"vouchmark/assess"
	"vouchmark/fonts"
)

// A document with a printing condition claims to be PDF/X-1a:2003 (ISO 15930-4): a print
// shop needs nothing but the file, and knows for which press its colors are mixed. Most of
// what that standard wants is true of every document made here: whole fonts or subsets of
// them in the file, no picture, transparency, annotation, action, script or encryption, a
// trim box on each page, two dates, an ID. What follows is the rest.

// PDFX is the version that is claimed. In the edition of 2003 it also says which
// conformance is meant, so that edition has no second key for it (from memory of ISO
// 15930-4, and as an open-source typesetting system writes it).
const PDFX = "PDF/X-1a:2003"

// pdfxRegistry is the registry that has the printing conditions' names.
const pdfxRegistry = "http://www.color.org"

// Why PDF/X-1a cannot be claimed of a page.
var (
	errNoTrim = errors.New(PDFX + ": a page has no trim box")
	errRGB    = errors.New(PDFX + ": a page is colored in rgb")
)

// claimable reports a page of which PDF/X-1a cannot be claimed.
func claimable(p *Page) error {
	if p.Trim.W <= 0 || p.Trim.H <= 0 {
		return errNoTrim
	}
	for _, d := range p.Drawings {
		if d.color == assess.RGB && d.uses(Signal) {
			return errRGB
		}
	}
	return nil
}

// head is the first lines of the file. In PDF/X they are of PDF 1.4, with a comment of four
// bytes above 127, so that the file is sent as binary.
func (d *Document) head() []byte {
	if d.Condition != "" {
		return []byte("%PDF-1.4\n%\xE2\xE3\xCF\xD3\n")
	}
	return []byte("%PDF-1.3\n")
}

// toPDFX makes PDF/X-1a:2003 of a document for a printing condition. info and root are
// the numbers of the objects with its properties and of its catalog.
func (o *objects) toPDFX(condition string, info, root int) error {
	var ok bool
	if o.body[info], ok = inserted(o.body[info], "<<\n",
		"/Creator (vouchmark)\n/GTS_PDFXVersion ("+PDFX+")\n/Trapped /False\n"); !ok {
		return errNotAsWritten
	}
	intent := fmt.Sprintf("/OutputIntents [<</Type /OutputIntent /S /GTS_PDFX\n/OutputConditionIdentifier (%s)\n"+
		"/OutputCondition (%[1]s)\n/RegistryName (%s)\n/Info (%[1]s)>>]\n", condition, pdfxRegistry)
	if o.body[root], ok = inserted(o.body[root], "<<\n/Type /Catalog\n", intent); !ok {
		return errNotAsWritten
	}
	// gofpdf writes a list of attachments even if there are none.
	o.body[root] = noAttachments.ReplaceAll(o.body[root], nil)
	return o.nameSubsets()
}

var (
	noAttachments = regexp.MustCompile(`/Names <<\n/EmbeddedFiles << /Names \[\s*\] >>\n>>\n`)
	fontFile      = regexp.MustCompile(`/FontName /utf8(\w+)\n[^>]*/FontFile2 (\d+) 0 R`)
	ownName       = regexp.MustCompile(`/(BaseFont|FontName) /utf8(\w+)`)
)

// nameSubsets gives the embedded fonts their own names, and before each the six letters
// and the plus sign that mark a subset (PDF Reference 1.4, 5.5.3). The letters are derived
// from the subset: equal subsets have equal names.
func (o *objects) nameSubsets() error {
	names := map[string]string{}
	for _, body := range o.body {
		found := fontFile.FindSubmatch(body)
		if found == nil {
			continue
		}
		num, _ := strconv.Atoi(string(found[2]))
		if num >= len(o.body) {
			return errNotAsWritten
		}
		if err := o.rebuildFont(num); err != nil {
			return err
		}
		sum := sha256.Sum256(o.body[num])
		var tag strings.Builder
		for _, b := range sum[:6] {
			tag.WriteByte('A' + b%26)
		}
		face := string(found[1])
		names[face] = fmt.Sprintf("%s+%s-%s%s", tag.String(), fonts.Family, strings.ToUpper(face[:1]), face[1:])
	}
	for n, body := range o.body {
		if bytes.HasPrefix(body, []byte("<</Type /Font")) {
			o.body[n] = ownName.ReplaceAllFunc(body, func(key []byte) []byte {
				m := ownName.FindSubmatch(key)
				return []byte("/" + string(m[1]) + " /" + names[string(m[2])])
			})
		}
	}
	return nil
}
