package layout

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// The output of gofpdf v1.16.2 is split into its objects, corrected, and assembled
// again:
//
//   - Page boxes and spot colors, which gofpdf writes in the order of a Go map, are
//     sorted: the same job gives the same bytes.
//   - Fonts get short names in place of forty hex digits.
//   - Streams are compressed with one compressor for all pages. gofpdf makes a new one
//     for each page, which takes longer than everything except the QR codes, and
//     compresses less.
//   - The catalog gets further entries, and the trailer an /ID that is derived from the
//     content, not from the clock.
//   - A document for a printing condition becomes PDF/X-1a (pdfx.go).

// objects are the objects of a PDF.
type objects struct {
	head    []byte
	body    [][]byte // by object number; what follows "N 0 obj\n"
	order   []int    // object numbers in the order of the file
	trailer []byte   // the entries of the trailer's dictionary
}

var errNotAsWritten = errors.New("rewrite PDF: not as gofpdf writes it")

// crossReference is the end of a file: its table, and the trailer's entries.
var crossReference = regexp.MustCompile(
	`^\nxref\n0 \d+\n((?:\d{10} \d{5} [fn] \n){2,})trailer\n<<\n((?s).*)>>\nstartxref\n`)

// takeApart finds the objects by the cross-reference table.
func takeApart(pdf []byte) (*objects, error) {
	tail := max(0, bytes.LastIndex(pdf, []byte("\nxref\n")))
	found := crossReference.FindSubmatch(pdf[tail:])
	if found == nil {
		return nil, errNotAsWritten
	}
	var offset []int
	for entry := range bytes.Lines(found[1]) {
		at, _ := strconv.Atoi(string(entry[:10]))
		offset = append(offset, at)
	}
	o := &objects{body: make([][]byte, len(offset)), trailer: found[2]}
	for i := range offset[1:] {
		o.order = append(o.order, i+1)
	}
	slices.SortFunc(o.order, func(a, b int) int { return offset[a] - offset[b] })
	end := tail + 1
	for _, n := range slices.Backward(o.order) {
		body, ok := bytes.CutPrefix(pdf[min(offset[n], end):end], fmt.Appendf(nil, "%d 0 obj\n", n))
		if !ok {
			return nil, errNotAsWritten
		}
		o.body[n], end = body, offset[n]
	}
	o.head = pdf[:end]
	return o, nil
}

// inserted is body with more after a beginning that it must have.
func inserted(body []byte, after, more string) ([]byte, bool) {
	rest, ok := bytes.CutPrefix(body, []byte(after))
	return slices.Concat([]byte(after+more), rest), ok
}

// together assembles the PDF again.
func (o *objects) together() []byte {
	var b []byte
	b = append(b, o.head...)
	offset := make([]int, len(o.body))
	for _, n := range o.order {
		offset[n] = len(b)
		b = fmt.Appendf(b, "%d 0 obj\n", n)
		b = append(b, o.body[n]...)
	}
	xref := len(b)
	sum := sha256.Sum256(b)
	b = fmt.Appendf(b, "xref\n0 %d\n0000000000 65535 f \n", len(o.body))
	for _, at := range offset[1:] {
		b = fmt.Appendf(b, "%010d 00000 n \n", at)
	}
	return fmt.Appendf(b, "trailer\n<<\n%s/ID [<%x> <%x>]\n>>\nstartxref\n%d\n%%%%EOF\n",
		o.trailer, sum[:16], sum[:16], xref)
}

// rewrite corrects a PDF made by gofpdf. The page content refers to fonts by fontName.
func rewrite(pdf []byte, doc Document) ([]byte, error) {
	o, err := takeApart(pdf)
	if err != nil {
		return nil, err
	}
	o.sortPageBoxes()
	if err := o.sortSpots(); err != nil {
		return nil, err
	}
	names := o.shortFonts()
	o.body[resources] = shortened(names, o.body[resources])
	packer := zlib.NewWriter(nil)
	for _, n := range o.order {
		o.body[n] = packed(o.body[n], names, packer)
	}
	info, root := o.order[len(o.order)-2], o.order[len(o.order)-1]
	// Without scaling: a label printed "to fit" no longer has the size of its stock,
	// and its letters are below the legible minimum.
	var ok bool
	if o.body[root], ok = inserted(o.body[root], "<<\n/Type /Catalog\n",
		"/Lang ("+doc.Language+")\n/ViewerPreferences <</PrintScaling /None>>\n"); !ok {
		return nil, errNotAsWritten
	}
	o.body[info] = pdfDate.ReplaceAll(o.body[info], []byte("(D:${1}Z)")) // gofpdf omits the zone
	if doc.Condition != "" {
		if err := o.toPDFX(doc.Condition, info, root); err != nil {
			return nil, err
		}
	}
	return o.together(), nil
}

var pdfDate = regexp.MustCompile(`\(D:(\d{14})\)`)

var pageHead = []byte("<</Type /Page\n/Parent 1 0 R\n")

func (o *objects) sortPageBoxes() {
	for n, body := range o.body {
		rest, ok := bytes.CutPrefix(body, pageHead)
		if !ok {
			continue
		}
		at := bytes.Index(rest, []byte("/Resources"))
		lines := slices.SortedFunc(bytes.Lines(rest[:max(at, 0)]), bytes.Compare)
		o.body[n] = slices.Concat(pageHead, bytes.Join(lines, nil), rest[max(at, 0):])
	}
}

var (
	spotDict = regexp.MustCompile(`/ColorSpace <<\n((?:/CS\d+ \d+ 0 R\n)+)>>`)
	spotRef  = regexp.MustCompile(`/CS(\d+) (\d+) 0 R\n`)
)

// resources is the number of the object that gofpdf gives the resources.
const resources = 2

// sortSpots gives the spot colors their objects in the order in which they were added.
func (o *objects) sortSpots() error {
	dict := spotDict.FindSubmatchIndex(o.body[resources])
	if dict == nil {
		return nil
	}
	var ids, nums []int
	bodies := map[int][]byte{}
	for _, r := range spotRef.FindAllSubmatch(o.body[resources][dict[2]:dict[3]], -1) {
		id, _ := strconv.Atoi(string(r[1]))
		num, _ := strconv.Atoi(string(r[2]))
		if num >= len(o.body) || !bytes.HasPrefix(o.body[num], []byte("[/Separation ")) {
			return errNotAsWritten
		}
		ids, nums = append(ids, id), append(nums, num)
		bodies[id] = o.body[num]
	}
	slices.Sort(ids)
	slices.Sort(nums)
	var refs []byte
	for i, id := range ids {
		o.body[nums[i]] = bodies[id]
		refs = fmt.Appendf(refs, "/CS%d %d 0 R\n", id, nums[i])
	}
	body := o.body[resources]
	o.body[resources] = slices.Concat(body[:dict[2]], refs, body[dict[3]:])
	return nil
}

var (
	fontRef  = regexp.MustCompile(`(/F[0-9a-f]{40}) (\d+) 0 R\n`)
	baseFont = regexp.MustCompile(`/BaseFont /utf8(\w+)\n`)
)

// shortFonts replaces the names of the fonts with short ones.
func (o *objects) shortFonts() *strings.Replacer {
	var names []string
	for _, ref := range fontRef.FindAllSubmatch(o.body[resources], -1) {
		if num, _ := strconv.Atoi(string(ref[2])); num < len(o.body) {
			if face := baseFont.FindSubmatch(o.body[num]); face != nil {
				names = append(names, string(ref[1]), fontName(string(face[1])))
			}
		}
	}
	return strings.NewReplacer(names...)
}

func shortened(names *strings.Replacer, b []byte) []byte { return []byte(names.Replace(string(b))) }

// fontName is the name of a face's font in page content.
func fontName(face string) string { return "/" + face[:1] }

var streamHead = regexp.MustCompile(`^<</Length \d+>>\nstream\n`)

const streamEnd = "\nendstream\nendobj\n"

// packed is an object with its stream compressed, if it is not yet, and with the fonts
// under their short names; other objects are unchanged.
func packed(body []byte, names *strings.Replacer, w *zlib.Writer) []byte {
	head := len(streamHead.Find(body))
	stream, ok := bytes.CutSuffix(body[head:], []byte(streamEnd))
	if head == 0 || !ok {
		return body
	}
	var out bytes.Buffer // never fails
	w.Reset(&out)
	w.Write(shortened(names, stream))
	w.Close()
	return fmt.Appendf(nil, "<</Filter /FlateDecode /Length %d>>\nstream\n%s%s", out.Len(), out.Bytes(), streamEnd)
}
