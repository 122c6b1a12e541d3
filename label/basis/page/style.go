package page

import "strings"

// Style gives, for a page that is not of one site, the name of the style sheet that all pages share, and the
// files that such a page needs for it: the sheet, the typefaces and their license.
func Style() (sheet string, files []File, err error) {
	sheet, err = assetName("vouchmark.css")
	for _, p := range Shared() {
		if err != nil {
			break
		}
		if p.Name != sheet && !strings.HasPrefix(p.Name, "fonts/") {
			continue
		}
		var data []byte
		data, err = p.Make()
		files = append(files, File{p.Name, data})
	}
	return sheet, files, err
}
