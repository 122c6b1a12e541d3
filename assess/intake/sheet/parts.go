package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
)

// parts are the files within a workbook, which is a ZIP archive of XML files (ECMA-376 part 2).
type parts struct {
	files  map[string]*zip.File // by name in lower case, without a leading slash
	budget *int                 // bytes that may still be unpacked
	markup int                  // see limits
}

const (
	saveAgain = "open it in the spreadsheet program and save it as .xlsx again, or ask for the file again"
	onlySheet = "save the sheet with the results alone as a file of its own"
)

// openParts opens a ZIP archive and reports one that is not a workbook.
func (r *reader) openParts(data []byte) (*parts, bool) {
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		r.report("", 0, "", "a workbook that is damaged or was cut off: "+err.Error(), "a workbook (.xlsx)", "ask for the file again")
		return nil, false
	}
	budget := r.limits.unzipped
	p := &parts{files: map[string]*zip.File{}, budget: &budget, markup: r.limits.markup}
	for _, f := range archive.File {
		name := strings.ToLower(strings.TrimPrefix(strings.ReplaceAll(f.Name, `\`, "/"), "/"))
		switch {
		case f.Flags&1 != 0:
			r.report("", 0, "", "an archive that is protected by a password", "a workbook (.xlsx)", encrypt)
			return nil, false
		case p.files[name] != nil:
			r.report("", 0, "", "a damaged workbook with two parts named "+quote(f.Name), "one part of a name", saveAgain)
			return nil, false
		}
		p.files[name] = f
	}
	if other := p.otherKind(); other.found != "" {
		r.report("", 0, "", other.found, "a workbook (.xlsx) or a text file (.csv, .txt)", other.do)
		return nil, false
	}
	return p, true
}

// otherKind is what an archive is that is not a workbook of this format.
func (p *parts) otherKind() fileKind {
	has := func(name string) bool { return p.files[name] != nil }
	switch {
	case has("xl/workbook.bin"):
		return fileKind{found: "a binary workbook (.xlsb)", do: saveAs}
	case has("word/document.xml"):
		return fileKind{found: "a text document (.docx)", do: askFor}
	case has("ppt/presentation.xml"):
		return fileKind{found: "a presentation (.pptx)", do: askFor}
	case has("mimetype") && has("content.xml"):
		return fileKind{found: "an OpenDocument file (.ods or another)", do: saveAs}
	case !has("[content_types].xml"):
		return fileKind{found: "a ZIP archive that is not a workbook", do: unpack}
	}
	return fileKind{}
}

// Faults of a part, each with its own message.
var (
	errTooBig  = errors.New("too much to unpack")
	errTooLong = errors.New("too long a text")
	errAbsent  = errors.New("the part is missing")
	errDeep    = errors.New("too many nested elements")
	errOpen    = errors.New("the part is cut off")
)

// partFault reports why a part cannot be read.
func (r *reader) partFault(sheet, part string, err error) {
	switch {
	case errors.Is(err, errTooBig):
		r.report(sheet, 0, "", "a workbook of more than "+mebibytes(r.limits.unzipped)+" when unpacked", "at most that", onlySheet)
	case errors.Is(err, errTooLong):
		r.report(sheet, 0, "", "a cell or another piece of more than "+mebibytes(r.limits.markup), "at most that", onlySheet)
	default:
		r.report(sheet, 0, "", fmt.Sprintf("a damaged workbook: %s: %v", part, err), "a workbook (.xlsx)", saveAgain)
	}
}

// stream reads the elements of a part one after the other. Names are local ones:
// the formats called transitional and strict differ in their namespaces alone.
type stream struct {
	*xml.Decoder
	depth int
}

// deepest is how deep elements may be nested; a sheet needs seven.
const deepest = 64

// walk opens a part and hands it to a function, which reads it to its end.
func (p *parts) walk(name string, f func(*stream) error) error {
	file := p.files[strings.ToLower(name)]
	if file == nil {
		return errAbsent
	}
	in, err := file.Open()
	if err != nil {
		return err
	}
	defer in.Close()
	return f(&stream{Decoder: xml.NewDecoder(&guard{in: in, budget: p.budget, most: p.markup})})
}

// next is the next beginning or end of an element, or a text. It is io.EOF only after
// the last element.
func (s *stream) next() (xml.Token, error) {
	token, err := s.RawToken()
	switch token.(type) {
	case xml.StartElement:
		if s.depth++; s.depth > deepest {
			return nil, errDeep
		}
	case xml.EndElement:
		s.depth--
	}
	if err == io.EOF && s.depth != 0 || s.depth < 0 {
		return nil, errOpen
	}
	return token, err
}

// each calls a function for every element within the one that was opened last, or for
// every outermost one, up to its end. Whatever the function does not read of an element
// is skipped.
func (s *stream) each(f func(xml.StartElement) error) error {
	within := s.depth
	for {
		token, err := s.next()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		switch t := token.(type) {
		case xml.StartElement:
			if err := f(t); err != nil {
				return err
			}
			if err := s.leave(within); err != nil {
				return err
			}
		case xml.EndElement:
			if s.depth < within {
				return nil
			}
		}
	}
}

// leave reads on until all elements deeper than a depth are closed.
func (s *stream) leave(depth int) error {
	for s.depth > depth {
		if _, err := s.next(); err != nil {
			return err
		}
	}
	return nil
}

// text is the text of the element that was opened last, up to its end.
func (s *stream) text() (string, error) {
	within := s.depth
	first, more := "", []byte(nil)
	for s.depth >= within {
		token, err := s.next()
		if err != nil {
			return "", err
		}
		if t, ok := token.(xml.CharData); ok && s.depth == within {
			if first == "" {
				first = string(t)
			} else {
				more = append(more, t...)
			}
		}
	}
	return first + string(more), nil
}

// attr is an attribute of an element, "" without it.
func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// yes reports whether an attribute is true (xsd:boolean).
func yes(e xml.StartElement, name string) bool {
	v := attr(e, name)
	return v == "1" || v == "true"
}

// guard reads a part. It returns an error if the part is larger than what may be
// unpacked, or if no tag begins for too long, since a decoder keeps a whole text in
// memory.
type guard struct {
	in     io.Reader
	budget *int
	most   int
	since  int // bytes since a tag began
}

func (g *guard) Read(p []byte) (int, error) {
	n, err := g.in.Read(p)
	if *g.budget -= n; *g.budget < 0 {
		return 0, errTooBig
	}
	read := p[:n]
	for {
		at := bytes.IndexByte(read, '<')
		if at < 0 {
			break
		}
		if g.since+at > g.most {
			return 0, errTooLong
		}
		g.since, read = 0, read[at+1:]
	}
	if g.since += len(read); g.since > g.most {
		return 0, errTooLong
	}
	return n, err
}

// relations reads which parts a part refers to. By id, it gives the name of each part
// within the file, and the last word of its type.
func (p *parts) relations(of string) (target, kind map[string]string, err error) {
	target, kind = map[string]string{}, map[string]string{}
	dir, base := path.Split(of)
	err = p.walk(dir+"_rels/"+base+".rels", func(s *stream) error {
		return s.each(func(xml.StartElement) error {
			return s.each(func(e xml.StartElement) error {
				if e.Name.Local != "Relationship" || attr(e, "TargetMode") == "External" {
					return nil
				}
				to := strings.ReplaceAll(attr(e, "Target"), `\`, "/")
				if !strings.HasPrefix(to, "/") {
					to = path.Join("/", dir, to)
				}
				target[attr(e, "Id")] = strings.TrimPrefix(path.Clean(to), "/")
				kind[attr(e, "Id")] = path.Base(attr(e, "Type"))
				return nil
			})
		})
	})
	return target, kind, err
}
