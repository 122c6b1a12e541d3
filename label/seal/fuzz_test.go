package seal

import (
	"errors"
	"testing"

	"vouchmark/assess/site"
	"vouchmark/testdata/suite"
)

// FuzzKeys: a list of keys is read or reported, and a key that is added to one that is read is
// trusted from then on, with all others.
func FuzzKeys(f *testing.F) {
	k, err := NewKey("e.sample")
	if err != nil {
		f.Fatal(err)
	}
	signature, err := Sign(k.Private, "text\n")
	if err != nil {
		f.Fatal(err)
	}
	const other = "a+b9d6e2d5+AQAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA=="
	for _, text := range []string{"", "# those who sign\n" + k.Public + "  # the engineer\n\n", other, other + "\r\n" + other, "nonsense\n", "a+00000000+#\n\u2028", k.Public + "\x00"} {
		f.Add(text, signature)
	}
	f.Fuzz(func(t *testing.T, text, signature string) {
		if len(text)+len(signature) > suite.Longest {
			return
		}
		suite.Bounded(t, len(text)+len(signature), 256, 1<<16, func() {
			ring, err := ParseKeys(KeysFile, []byte(text))
			if err != nil {
				var ps site.Problems
				if !errors.As(err, &ps) || len(ps) == 0 || len(ps) > 51 {
					t.Errorf("%v", err)
				}
				return
			}
			Verify("text\n", signature, ring)
			more, err := Trust([]byte(text), k.Public, "trusted by x")
			if err != nil {
				return // it has a key of that name
			}
			now, err := ParseKeys(KeysFile, more)
			if err != nil || len(now.keys) != len(ring.keys)+1 {
				t.Errorf("%q: %v", more, err)
			}
		})
	})
}
