// Package bare is how published pages lie in a store that serves a file under exactly its key: no index
// file of a folder, no redirect. The page that a label's QR code leads to is then the file V/CODE/FACTS
// itself. Many stores cannot keep a file below another file, so nothing lies below that one.
//
//	bare.go  where a file lies
//	html.go  the references of a page
//	tag.go   the attributes of a tag
//
// Everything outside of V stays where it is in the layout with index files, for every link to it names its
// file. So style sheets, scripts and data are the same bytes in both layouts; a script that leads to the
// page of a label reads from its page how such an address looks.
package bare

import "strings"

// Key is where a file lies whose name is that with index files. The key of a page has no ending of its own:
// what is served with it, such as the content type, follows from the name. No two names have the same key,
// and of names none of which is a folder of another, neither is a key.
func Key(name string) string {
	switch p := strings.Split(name, "/"); {
	case p[0] == "V" && len(p) == 4 && isCode(p[1]) && isFacts(p[2]) && p[3] == indexFile:
		return "V/" + p[1] + "/" + p[2]
	case p[0] == "V" && len(p) == 4 && isCode(p[1]) && isFacts(p[2]) && p[3] == dataFile:
		return "V/" + p[1] + "/" + p[2] + dataEnding // facts have no small letters
	case p[0] == "V" && len(p) == 3 && isCode(p[1]) && p[2] == indexFile:
		return name // V/CODE is a folder
	case p[0] == "V", p[0] == rest:
		return rest + "/" + name
	}
	return name
}

// Name is the name of the file that lies at a key; false for a key at which none can lie.
func Name(key string) (name string, ok bool) {
	name = key
	if below, other := strings.CutPrefix(key, rest+"/"); other {
		name = below
	} else if p := strings.Split(key, "/"); p[0] == "V" && len(p) == 3 && p[2] != indexFile {
		if facts, data := strings.CutSuffix(p[2], dataEnding); data {
			name = "V/" + p[1] + "/" + facts + "/" + dataFile
		} else {
			name = key + "/" + indexFile
		}
	}
	return name, Key(name) == key
}

const (
	indexFile  = "index.html"
	dataFile   = "basis.json" // a label's page for a program
	dataEnding = ".json"
	rest       = "rest" // the folder of other files in V; publish writes none
)

// isCode reports whether a part of a name may be the code of a record.
func isCode(s string) bool { return s != "" && strings.Trim(s, signs) == "" }

// isFacts reports whether a part of a name may be the facts of a label.
func isFacts(s string) bool {
	return s != "" && s != "." && s != ".." && strings.Trim(s, signs+".") == ""
}

// signs are those of a code.
const signs = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-"
