package page

import (
	"embed"
	"fmt"
	"html/template"
	"strings"

	"vouchmark/assess/standing"
	"vouchmark/fonts"
	"vouchmark/label"
	"vouchmark/label/basis"
	"vouchmark/label/basis/picture"
	"vouchmark/label/report"
)

//go:embed files
var files embed.FS

// templates are the bodies of the pages and the frame around them.
var templates = template.Must(template.New("").Funcs(template.FuncMap{
	"shape": shape, "sign": class, "signed": basis.SignatureWords, "few": report.Few,
	"table": func(name, root string, entries []entry) table { return table{name, root, entries} },
	"where": label.Where, "supply": label.Supply, "items": basis.Items, "policy": basis.PolicyItems,
	"noted":    basis.NotedOf,
	"answers":  func() []string { return []string{"elsewhere", "differs", "unknown"} },
	"cover":    func() string { return standing.Cover },
	"cautions": func() []string { return basis.Cautions },
}).ParseFS(files, "files/*.html"))

// shape is the sign of a verdict or a standing; the word is next to it.
func shape(sign any) template.HTML {
	return template.HTML(`<svg class="shape" viewBox="0 0 24 24" aria-hidden="true">` +
		picture.Shape(fmt.Sprint(sign)) + `</svg>`)
}

// class is a sign as the style sheet spells it.
func class(sign any) string { return strings.ReplaceAll(fmt.Sprint(sign), " ", "-") }

// assets are the files that the pages share. They are part of the program.
func assets() (all []Page) {
	add := func(name string, data []byte) {
		all = append(all, Page{name, digest(name), func() ([]byte, error) { return data, nil }})
	}
	add("fonts/LICENSE", fonts.License())
	for _, f := range fonts.Faces() {
		add("fonts/condensed-"+f.Name+".ttf", f.Bytes())
	}
	for _, name := range []string{"vouchmark.css", "age.js", "checked.js", "find.js", "language.js"} {
		data, err := files.ReadFile("files/" + name)
		if err != nil {
			panic(err) // it is embedded
		}
		add(name, data)
	}
	return all
}
