package bare_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"vouchmark/label/basis/publish/bare"
)

func TestKey(t *testing.T) {
	const label = "V/7K3M-9QTD-RC4A-0W2E/MCC-4-2026-03-14-TO-2031-03-14-480V-6.6CAL-18IN-46IN-KIT-B"
	for name, want := range map[string]string{
		label + "/index.html":               label,
		label + "/basis.json":               label + ".json",
		"V/7K3M-9QTD-RC4A-0W2E/index.html":  "V/7K3M-9QTD-RC4A-0W2E/index.html",
		"V/7K3M-9QTD-RC4A-0W2E/./basis.txt": "rest/V/7K3M-9QTD-RC4A-0W2E/./basis.txt",
		"index.html":                        "index.html", "site.json": "site.json", "plant/2.html": "plant/2.html",
	} {
		if got := bare.Key(name); got != want {
			t.Errorf("%s is at %s", name, got)
		}
	}
	for _, key := range []string{"V", "V/7K3M", label + "/index.html", "V/7K3M/.json", "V/7K3M/..", "rest/index.html"} {
		if name, ok := bare.Name(key); ok {
			t.Errorf("%s is said to be that of %s", key, name)
		}
	}
}

// Whatever the names of files are, each has a key of its own, from which the name follows, and no key is a
// folder of another one.
func TestKeysStayApart(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	parts := []string{"V", "V", "V", "rest", "7K3M", "A", "A.json", "A.JSON", "..A", ".", "index.html", "basis.json", "x"}
	for range 20000 {
		names := map[string]bool{}
		for range 1 + random.IntN(12) {
			name := make([]string, 1+random.IntN(5))
			for i := range name {
				name[i] = parts[random.IntN(len(parts))]
			}
			add := strings.Join(name, "/")
			inside := func(other string) bool {
				return strings.HasPrefix(add+"/", other+"/") || strings.HasPrefix(other+"/", add+"/")
			}
			for other := range names {
				if inside(other) {
					add = ""
					break
				}
			}
			if add != "" {
				names[add] = true
			}
		}
		var keys []string
		for name := range names {
			key := bare.Key(name)
			if back, ok := bare.Name(key); !ok || back != name {
				t.Fatalf("%s is at %s, which is that of %s, %v", name, key, back, ok)
			}
			keys = append(keys, key)
		}
		slices.Sort(keys)
		for i, a := range keys {
			for _, b := range keys[i+1:] {
				if strings.HasPrefix(b+"/", a+"/") {
					t.Fatalf("%s and %s cannot both be there: %v", a, b, names)
				}
			}
		}
	}
}
