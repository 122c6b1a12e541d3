package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// text is a piece of a file that somebody reads.
type text struct {
	file  string
	line  int // on which it begins
	words string
	shown bool // by the program, or in a document; not a comment, not of a test
}

// readers says by its extension what of a file is read by a person. A file of
// another kind fails the test, so that none is left out unnoticed.
var readers = map[string]func(file string, data []byte) []text{
	".go": goTexts, ".html": htmlTexts,
	".css": whole, ".js": whole, ".c": whole, ".py": whole, ".sh": whole, ".md": whole, ".toml": whole, ".txt": whole, ".csv": whole,
	".golden": whole, "": whole,
	".png": nil, ".ttf": nil, ".woff2": nil, ".xlsx": nil, ".xls": nil, ".ods": nil, ".fods": nil,
	".mod": nil, ".sum": nil, ".jsonl": nil, ".json": nil,
}

// unread are paths that say what others said, or what an earlier version did.
var unread = []string{
	"LICENSE", "fonts/LICENSE", "assess/alike/LICENSE", "label/basis/page/files/scan/LICENSE", "label/basis/page/files/scan/jsqr.js", // as their authors wrote them
	"testdata/records1", // kept as earlier versions wrote them
	"testdata/records2",
	"testdata/words.toml", // the words themselves
	"words_test.go",
	"samples/mill/records", // kept as they were printed
}

// texts reads every file below a folder that somebody reads.
func texts(t *testing.T, root string) []text {
	t.Helper()
	var all []text
	ignored, err := os.ReadFile(filepath.Join(root, ".gitignore"))
	if err != nil {
		t.Fatal(err)
	}
	made := strings.Split(string(ignored), "\n") // what README's commands write into the checkout
	err = filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, name)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		if d.IsDir() {
			if rel == ".git" || isUnread(rel) {
				return fs.SkipDir
			}
			return nil
		}
		if isUnread(rel) || path.Base(rel) == ".gitignore" || slices.Contains(made, "/"+rel) {
			return nil
		}
		read, known := readers[path.Ext(rel)]
		if !known {
			t.Errorf("%s: no reader for this kind of file: add one to readers", rel)
		}
		if read == nil {
			return nil
		}
		data, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		all = append(all, read(rel, data)...)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func isUnread(rel string) bool {
	if strings.HasSuffix(rel, "testdata/fuzz") { // found by a machine
		return true
	}
	for _, u := range unread {
		if rel == u {
			return true
		}
	}
	return false
}

func whole(file string, data []byte) []text {
	return []text{{file, 1, string(data), true}}
}

// htmlTexts is a template without its actions, whose names are the program's.
func htmlTexts(file string, data []byte) []text {
	return whole(file, action.ReplaceAllFunc(data, func(m []byte) []byte {
		return []byte(strings.Repeat("\n", strings.Count(string(m), "\n")))
	}))
}

var action = regexp.MustCompile(`(?s)\{\{.*?\}\}`)

// goTexts are the comments and the strings of a Go file, without what is for the
// compiler or for other programs: names, paths of imports, tags of fields. A comment
// on a name does not count that name at its beginning.
func goTexts(file string, data []byte) []text {
	files := token.NewFileSet()
	f, err := parser.ParseFile(files, file, data, parser.ParseComments)
	if err != nil {
		return []text{{file, 1, err.Error(), false}}
	}
	var all []text
	named := declared(f)
	for _, group := range f.Comments {
		from, to := files.Position(group.Pos()), files.Position(group.End())
		words := string(data[from.Offset:to.Offset])
		if of := strings.Fields(words); len(of) > 1 && named[of[1]] {
			words = strings.Replace(words, of[1], "", 1)
		}
		all = append(all, text{file, from.Line, words, false})
	}
	shown := !strings.HasSuffix(file, "_test.go")
	tags := map[*ast.BasicLit]bool{}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec:
			return false
		case *ast.Field:
			tags[n.Tag] = true
		case *ast.BasicLit:
			if n.Kind != token.STRING || tags[n] {
				return true
			}
			if said, err := strconv.Unquote(n.Value); err == nil {
				if n.Value[0] == '"' { // its newlines are not those of the file
					said = strings.ReplaceAll(said, "\n", " ")
				}
				all = append(all, text{file, files.Position(n.Pos()).Line, said, shown})
			}
		}
		return true
	})
	return all
}

// declared are the names that a file gives to functions, methods, types,
// variables and constants.
func declared(f *ast.File) map[string]bool {
	names := map[string]bool{}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			names[n.Name.Name] = true
		case *ast.TypeSpec:
			names[n.Name.Name] = true
		case *ast.ValueSpec:
			for _, name := range n.Names {
				names[name.Name] = true
			}
		}
		return true
	})
	return names
}
