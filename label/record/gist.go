package record

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"

	"vouchmark/assess"
)

// A Gist is a digest of a record without the steps of its results: its schema and rules
// numbers, inputs and outcome. A print notes it in the ledger. As long as a row gives the
// same one, the record of its label says what the row says, and need not be read. It is the
// number of its form, a hyphen, and the first 128 bits of a SHA-256 in lower case hex; "" where
// an older version wrote the line.
type Gist string

// gistForm is how gists begin. Gists of another form are not compared.
const gistForm = "1-"

// comparable reports whether this version makes gists of the same form.
func (g Gist) comparable() bool { return strings.HasPrefix(string(g), gistForm) }

// Contradicts reports whether a line notes another gist of the same form.
func (g Gist) Contradicts(noted Gist) bool { return noted.comparable() && g != noted }

// Gist is the gist of a record; "" for one in an earlier format, which no row gives.
func (r *Record) Gist() (Gist, error) { return new(Shared).Gist(r) }

// Gist is [Record.Gist]. It remembers the digests of policies, curves and feeds.
func (s *Shared) Gist(r *Record) (Gist, error) {
	if r.first != nil {
		return "", nil
	}
	policy, err := s.digest(r.Policy, r.Policy)
	if err != nil {
		return "", err
	}
	feeds := ""
	if len(r.Feeds) > 0 {
		if feeds, err = s.digest(listed{&r.Feeds[0], len(r.Feeds)}, r.Feeds); err != nil {
			return "", err
		}
	}
	curves := make(map[string]string, len(r.Curves))
	for name, c := range r.Curves {
		if curves[name], err = s.digest(c, c); err != nil {
			return "", err
		}
	}
	o := r.Outcome
	o.Computed, o.Proven = withoutSteps(o.Computed), withoutSteps(o.Proven)
	rows, err := r.Location.MarshalJSON()
	if err != nil {
		return "", err
	}
	return gistOf(rows, struct {
		Schema, Rules int
		Curves        map[string]string `json:",omitempty"`
		Policy, Feeds string
		Reviewed      *assess.Review      `json:",omitempty"`
		Accept        []assess.Acceptance `json:",omitempty"` // the same whether read or made
		Outcome       *assess.Outcome
	}{r.Schema, r.Rules, curves, policy, feeds, r.Reviewed, r.Accept, &o})
}

// listed names feeds that several records share.
type listed struct {
	first *assess.Feed
	n     int
}

// digest is the gist of a part of a record to which several may point by the same name.
func (s *Shared) digest(name, part any) (string, error) {
	if known, ok := s.digests.Load(name); ok {
		return known.(string), nil
	}
	is, err := gistOf(nil, part)
	if err == nil {
		s.digests.Store(name, string(is))
	}
	return string(is), err
}

// gistOf is the gist of a text followed by the JSON of a value.
func gistOf(text []byte, v any) (Gist, error) {
	b := texts.Get().(*[]byte)
	defer texts.Put(b)
	var err error
	if *b, err = encodeTo(append((*b)[:0], text...), v, ""); err != nil {
		return "", err
	}
	sum := sha256.Sum256(*b)
	return Gist(gistForm + hex.EncodeToString(sum[:16])), nil
}

// withoutSteps are results without their steps.
func withoutSteps(all []*assess.Computed) []*assess.Computed {
	steps := func(r *assess.Computed) bool { return r != nil && r.Steps != nil }
	if !slices.ContainsFunc(all, steps) {
		return all
	}
	all = slices.Clone(all)
	for i, r := range all {
		if steps(r) {
			short := *r
			short.Steps = nil
			all[i] = &short
		}
	}
	return all
}
