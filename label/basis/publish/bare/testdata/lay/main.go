// Command lay copies a published folder to another one, each file under its key in a store that serves exact
// keys alone. It is for tests with other programs:
//
//	go run ./label/basis/publish/bare/testdata/lay FROM TO
package main

import (
	"io/fs"
	"log"
	"os"
	"path/filepath"

	"vouchmark/label/basis/publish/bare"
)

func main() {
	if len(os.Args) != 3 {
		log.Fatal("give the published folder and a new one")
	}
	err := fs.WalkDir(os.DirFS(os.Args[1]), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || name[0] == '.' {
			return err
		}
		data, err := os.ReadFile(filepath.Join(os.Args[1], name))
		if err != nil {
			return err
		}
		if data, err = bare.Bytes(name, data); err != nil {
			return err
		}
		to := filepath.Join(os.Args[2], filepath.FromSlash(bare.Key(name)))
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return err
		}
		return os.WriteFile(to, data, 0o644)
	})
	if err != nil {
		log.Fatal(err)
	}
}
