package page

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"fmt"
	"html/template"
	"path"
	"slices"
	"strings"
	"sync"

	"vouchmark/assess/standing"
	"vouchmark/fonts"
	"vouchmark/label"
	"vouchmark/label/audit"
	"vouchmark/label/basis"
	"vouchmark/label/basis/picture"
	"vouchmark/label/report"
)

//go:embed files
var files embed.FS

// templates are the bodies of the pages and the frame around them. Most commands need none of them.
var templates = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("").Funcs(template.FuncMap{
		"shape": shape, "found": report.FoundWords, "sign": Class, "signed": basis.SignatureWords, "few": report.Few,
		"table": func(name, root string, entries []entry) table { return table{name, root, entries} },
		"where": label.Where, "supply": label.Supply, "items": basis.Items, "policy": basis.PolicyItems,
		"noted": basis.NotedOf, "asset": assetName, "inWords": audit.InWords, "acceptance": func() string { return basis.AcceptanceMeans },
		"half":     func(name string, label compared) half { return half{name, label} },
		"under":    func(root string, b *branch) rooted { return rooted{root, b} },
		"answers":  func() []string { return []string{"elsewhere", "differs", "unknown"} },
		"cover":    func() string { return standing.Cover },
		"cautions": func() []string { return basis.Cautions },
	}).ParseFS(files, "files/*.html"))
})

// shape is the sign of a verdict or a standing; the word is next to it.
func shape(sign any) template.HTML {
	return template.HTML(`<svg class="shape" viewBox="0 0 24 24" aria-hidden="true">` +
		picture.Shape(fmt.Sprint(sign)) + `</svg>`)
}

// Class is a sign, or a standing, as the style sheet spells it.
func Class(sign any) string { return strings.ReplaceAll(fmt.Sprint(sign), " ", "-") }

// shared are the files that the pages share. They are part of the program. A digest of its bytes
// is in the name of each that a page asks for, so that a browser may keep it for good: other bytes
// have another name.
var shared = sync.OnceValue(func() (s struct {
	pages []Page
	live  []Page            // that only the pages of a server ask for
	names map[string]string // by the plain name
}) {
	s.names = map[string]string{}
	add := func(name string, data []byte) {
		ext := path.Ext(name)
		s.names[name] = fmt.Sprintf("%s.%x%s", strings.TrimSuffix(name, ext), sum5(data), ext)
		s.pages = append(s.pages, Page{s.names[name], digest(name), func() ([]byte, error) { return data, nil }, true})
	}
	for _, f := range fonts.Faces() {
		add("fonts/condensed-"+f.Name+".ttf", f.Bytes())
		add("fonts/condensed-"+f.Name+".woff2", f.Web())
	}
	for _, name := range []string{"vouchmark.css", "age.js", "checked.js", "unknown.js", "find.js", "keys.js", "language.js", "scan/jsqr.js", "scan/decode.js", "scan.js", "round.css", "round.js", "tree.css", "tree.js", "audit.css", "print.css", "compare.css"} {
		data := embedded(name)
		for plain, named := range s.names { // of the files that this one asks for, which come first
			data = bytes.ReplaceAll(data, []byte(`"`+plain+`"`), []byte(`"`+named+`"`))
		}
		add(name, data)
	}
	add("person.js", embedded("person.js"))
	last := len(s.pages) - 1
	s.pages, s.live = s.pages[:last:last], s.pages[last:]
	plain := func(name string, data []byte) {
		s.pages = append(s.pages, Page{name, digest(name), func() ([]byte, error) { return data, nil }, false})
	}
	plain("fonts/LICENSE", fonts.License())
	plain("scan/LICENSE", embedded("scan/LICENSE"))
	return s
})

func embedded(name string) []byte {
	data, err := files.ReadFile("files/" + name)
	if err != nil {
		panic(err) // a defect of the build
	}
	return data
}

// sum5 is the start of a SHA-256: enough to tell the versions of a file apart.
func sum5(data []byte) []byte {
	sum := sha256.Sum256(data)
	return sum[:5]
}

// assetName is the name of a shared file with its digest.
func assetName(plain string) (string, error) {
	if name := shared().names[plain]; name != "" {
		return name, nil
	}
	return "", fmt.Errorf("no shared file %s", plain)
}

// Shared gives the files that the pages ask for. They are to be written before any page.
func Shared() []Page { return shared().pages }

// Served are Shared, and the files that only the pages of a server ask for.
func Served() []Page { return slices.Concat(shared().pages, shared().live) }
