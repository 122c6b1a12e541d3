package site

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"vouchmark/assess"
)

// logHeader begins a changes.toml that the program makes.
const logHeader = `# Changes of the power system, and how each was settled. Only add entries, never
# edit or delete them; settle an entry that was wrong, and give the reason.
`

// AppendChange adds an entry to the text of a changes.toml, which may be empty. Everything
// else stays unchanged, with its comments and order.
func AppendChange(old []byte, c *assess.Change) []byte {
	e := newEntry("change", "date", c.Date, "at", c.At, "kind", c.Kind.Name)
	if c.Note != "" {
		e.line("note", c.Note)
	}
	e.line("by", c.By)
	for _, v := range newValues {
		values := map[string]float64{}
		for id, of := range c.New {
			if x := *v.of(&of); x > 0 {
				values[id] = x
			}
		}
		if len(values) > 0 {
			e.line(v.key, values)
		}
	}
	curves, digests, ofCase := map[string]string{}, map[string]string{}, ""
	for id, of := range c.New {
		ofCase = of.Case // one for all
		if of.Curve != nil {
			curves[id] = of.Curve.File
			if !of.Altered() { // it has been read
				digests[id] = of.Curve.Digest()
			}
		}
	}
	if len(curves) > 0 {
		e.line(newCurve, curves)
	}
	if len(digests) > 0 {
		e.line(newCurveSHA, digests)
	}
	if ofCase != "" {
		e.line(newCase, ofCase)
	}
	return e.after(old)
}

// AppendSettlement: see AppendChange.
func AppendSettlement(old []byte, s *assess.Settlement) []byte { return settlementEntry(s).after(old) }

// SettlementHash is the SHA-256 in hexadecimal of a settlement as the program writes it, by
// which older ledgers know it.
func SettlementHash(s *assess.Settlement) string {
	sum := sha256.Sum256(settlementEntry(s).Bytes())
	return hex.EncodeToString(sum[:])
}

func settlementEntry(s *assess.Settlement) *entry {
	e := newEntry("settlement", "change", s.Change, "date", s.Date, "by", s.By, "reason", s.Reason, "scope", s.Scope)
	if s.AgainstScreening != "" {
		e.line("against_screening", s.AgainstScreening)
	}
	return e
}

// AppendReview: see AppendChange.
func AppendReview(old []byte, r *assess.Review) []byte {
	e := newEntry("review", "date", r.Date, "by", r.By, "scope", r.Scope, "finding", string(r.Finding))
	if r.Reason != "" {
		e.line("reason", r.Reason)
	}
	return e.after(old)
}

// entry is the text of one entry.
type entry struct{ bytes.Buffer }

// newEntry begins an entry: its table, then key, value, key, value.
func newEntry(table string, pairs ...any) *entry {
	e := &entry{}
	fmt.Fprintf(e, "[[%s]]\n", table)
	for i := 0; i < len(pairs); i += 2 {
		e.line(pairs[i].(string), pairs[i+1])
	}
	return e
}

// line writes a key and its value, quoted by the TOML library.
func (e *entry) line(key string, value any) {
	switch v := value.(type) {
	case assess.Date:
		fmt.Fprintf(e, "%s = %s\n", key, v)
	case map[string]float64, map[string]string, map[string]any:
		lines := strings.Split(strings.TrimSpace(marshal(v)), "\n")
		fmt.Fprintf(e, "%s = { %s }\n", key, strings.Join(lines, ", "))
	case assess.Scope:
		if v.All {
			e.line(key, scopeAll)
		} else {
			e.line(key, v.IDs)
		}
	default:
		e.WriteString(marshal(map[string]any{key: value}))
	}
}

func marshal(v any) string {
	b, err := toml.Marshal(v)
	if err != nil {
		panic(err) // only texts, numbers and lists of texts come here
	}
	return string(b)
}

// after is the old text with the entry below it.
func (e *entry) after(old []byte) []byte {
	if len(bytes.TrimSpace(old)) == 0 {
		old = []byte(logHeader)
	}
	return slices.Concat(bytes.TrimSuffix(old, []byte("\n")), []byte("\n\n"), e.Bytes())
}
