package page

import (
	"crypto/sha256"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"vouchmark/fonts"
)

// A shared file has the start of its SHA-256 in its name, and whatever a page or the style sheet
// asks for is one of them. What a first scan needs of them is small: at most 66 KB, of the 120 KB
// for all of it.
func TestShared(t *testing.T) {
	files, small := map[string]string{}, 0
	for _, p := range Shared() {
		data, err := p.Make()
		if err != nil {
			t.Fatal(err)
		}
		files[p.Name] = string(data)
		if sum := fmt.Sprintf(".%x.", sha256.Sum256(data))[:11]; p.Fixed != strings.Contains(p.Name, sum) {
			t.Errorf("%s has the digest %s", p.Name, sum)
		}
		first := p.Fixed && !strings.HasSuffix(p.Name, ".ttf")
		for _, later := range []string{"scan", "round.", "tree.", "audit.", "compare.", "unknown."} {
			first = first && !strings.HasPrefix(p.Name, later)
		}
		if first {
			small += len(data)
		}
	}
	var css string
	for name, data := range files {
		if strings.HasPrefix(name, "vouchmark.") {
			css = data
		}
	}
	asked := regexp.MustCompile(`url\("([^"]*)"\)`).FindAllStringSubmatch(css, -1)
	for _, m := range asked {
		if files[m[1]] == "" {
			t.Errorf("the style sheet asks for %s, which is not there", m[1])
		}
	}
	ranges := regexp.MustCompile(`unicode-range: ([^;]*);`).FindAllStringSubmatch(css, -1)
	for _, m := range ranges {
		if strings.ReplaceAll(m[1], " ", "") != fonts.WebRange {
			t.Errorf("the small typefaces have %s, the style sheet says %s", fonts.WebRange, m[1])
		}
	}
	if len(asked) != 6 || len(ranges) != 3 || small > 66<<10 {
		t.Errorf("%d typefaces, %d of them small, %d bytes", len(asked), len(ranges), small)
	}
}
