package record

import (
	"bytes"
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
	policy, err := s.digest(r.Policy, func(b []byte) ([]byte, error) { return encodeTo(b, r.Policy, "") })
	if err != nil {
		return "", err
	}
	feeds := ""
	if len(r.Feeds) > 0 {
		feeds, err = s.digest(listed{&r.Feeds[0], len(r.Feeds)}, func(b []byte) ([]byte, error) {
			return ended(assess.AppendFeeds(b, r.Feeds))
		})
		if err != nil {
			return "", err
		}
	}
	var curves map[string]string
	for name, c := range r.Curves {
		if curves == nil {
			curves = make(map[string]string, len(r.Curves))
		}
		if curves[name], err = s.digest(c, func(b []byte) ([]byte, error) { return encodeTo(b, c, "") }); err != nil {
			return "", err
		}
	}
	return gistOf(func(b []byte) ([]byte, error) {
		b, err := r.Location.AppendRows(b)
		if err != nil {
			return b, err
		}
		b, err = encodeTo(b, struct {
			Schema, Rules int
			Curves        map[string]string `json:",omitempty"`
			Policy, Feeds string
			Reviewed      *assess.Review      `json:",omitempty"`
			Accept        []assess.Acceptance `json:",omitempty"` // the same whether read or made
		}{r.Schema, r.Rules, curves, policy, feeds, r.Reviewed, r.Accept}, "")
		if err != nil {
			return b, err
		}
		o := *r.Outcome
		o.Computed, o.Proven = withoutSteps(o.Computed), withoutSteps(o.Proven)
		b, err = o.AppendJSON(append(bytes.TrimSuffix(b, []byte("}\n")), `,"Outcome":`...)) // its last member
		return ended(append(b, '}'), err)
	})
}

// ended ends JSON as an encoder does.
func ended(b []byte, err error) ([]byte, error) { return append(b, '\n'), err }

// listed names feeds that several records share.
type listed struct {
	first *assess.Feed
	n     int
}

// digest is the gist of a part of a record to which several may point by the same name.
func (s *Shared) digest(name any, part func([]byte) ([]byte, error)) (string, error) {
	if known, ok := s.digests.Load(name); ok {
		return known.(string), nil
	}
	is, err := gistOf(part)
	if err == nil {
		s.digests.Store(name, string(is))
	}
	return string(is), err
}

// gistOf is the gist of a text, which is appended to a buffer.
func gistOf(text func([]byte) ([]byte, error)) (Gist, error) {
	b := texts.Get().(*[]byte)
	defer texts.Put(b)
	var err error
	if *b, err = text((*b)[:0]); err != nil {
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
