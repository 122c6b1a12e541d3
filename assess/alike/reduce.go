//go:build ignore

// Reduces Unicode's confusables.txt to confusables.txt of this package: a line for each character,
// with the code points of its prototype, as the table gives them. Usage: go run reduce.go FILE
package main

import (
	"bytes"
	"fmt"
	"log"
	"os"
	"strings"
)

func main() {
	if len(os.Args) != 2 {
		log.Fatal("usage: go run reduce.go FILE, where FILE is https://www.unicode.org/Public/security/VERSION/confusables.txt")
	}
	data, err := os.ReadFile(os.Args[1])
	if err != nil {
		log.Fatal(err)
	}
	var out bytes.Buffer
	for line := range strings.Lines(strings.TrimPrefix(string(data), "\ufeff")) {
		text, comment, _ := strings.Cut(strings.TrimSpace(line), "#")
		fields := strings.Split(text, ";")
		switch {
		case len(fields) == 3:
			fmt.Fprintf(&out, "%s %s\n", strings.TrimSpace(fields[0]), strings.TrimSpace(fields[1]))
		case strings.HasPrefix(strings.TrimSpace(comment), "Version:"), strings.Contains(comment, "©"),
			strings.HasPrefix(strings.TrimSpace(comment), "Date:"):
			fmt.Fprintf(&out, "# %s\n", strings.TrimSpace(comment))
		}
	}
	if err := os.WriteFile("confusables.txt", out.Bytes(), 0o644); err != nil {
		log.Fatal(err)
	}
}
