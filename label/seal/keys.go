package seal

import (
	"fmt"
	"slices"
	"strings"

	"golang.org/x/mod/sumdb/note"

	"vouchmark/assess/infile"
	"vouchmark/assess/site"
	"vouchmark/label/record"
)

// KeysFile is where a site folder keeps the public keys that it trusts, one on a
// line; text after a # is a comment. Anyone who can alter the folder can also alter
// this file, so an auditor brings a separate list.
const KeysFile = record.KeysFile

// Keyring has the trusted public keys.
type Keyring struct{ keys []note.Verifier }

// mostKeys is how many public keys a list may have: each signature is compared with all of them.
const mostKeys = 1000

// Limits are those of keys.
func Limits() []infile.Limit {
	return []infile.Limit{
		{What: "`keys.txt`, or the list given with `--keys`", Most: infile.Size(site.SizeLimit(KeysFile)) + ", " + infile.Count(mostKeys, "keys")},
		{What: "a private key", Most: infile.Size(mostKey)},
	}
}

// ParseKeys reads a list of public keys. The error is a [site.Problems] for the lines
// without a valid key.
func ParseKeys(file string, data []byte) (*Keyring, error) {
	k := &Keyring{}
	var bad site.Collected
	i := 0
	for line := range strings.SplitSeq(string(data), "\n") {
		i++
		text := strings.TrimSpace(line)
		if at := strings.Index(" "+text, " #"); at >= 0 { // a key has no space in it
			text = strings.TrimSpace(text[:at])
		}
		if text == "" {
			continue
		}
		v, err := note.NewVerifier(text)
		if err != nil || !keyName.MatchString(v.Name()) {
			bad.Add(site.Problem{File: file, Line: i, Found: short(text),
				Expected: "a public key as vouchmark key new shows it", Do: "correct the line or remove it"})
			continue
		}
		if k.Has(v.Name(), v.KeyHash()) {
			continue
		}
		if len(k.keys) == mostKeys {
			bad.Add(site.Problem{File: file, Line: i, Found: fmt.Sprintf("more than %d keys", mostKeys),
				Expected: fmt.Sprintf("at most %d", mostKeys), Do: "remove those that sign nothing"})
			break
		}
		k.keys = append(k.keys, v)
	}
	if all := bad.All(); all != nil {
		return nil, all
	}
	return k, nil
}

// short quotes a text in a message, up to the length of a key.
func short(text string) string {
	const most = 160
	if len(text) > most {
		text = text[:most] + "…"
	}
	return fmt.Sprintf("%q", text)
}

// Has reports whether a key is in the list.
func (k *Keyring) Has(name string, hash uint32) bool {
	return slices.ContainsFunc(k.keys, func(v note.Verifier) bool { return v.Name() == name && v.KeyHash() == hash })
}

func (k *Keyring) verifiers() note.Verifiers {
	if k == nil {
		return note.VerifierList()
	}
	return note.VerifierList(k.keys...)
}

// Trust adds a public key to the text of a list, which may be empty.
func Trust(old []byte, public, comment string) ([]byte, error) {
	v, err := note.NewVerifier(strings.TrimSpace(public))
	if err != nil {
		return nil, fmt.Errorf("%s is not a public key as vouchmark key new shows it", short(public))
	}
	if !keyName.MatchString(v.Name()) {
		return nil, fmt.Errorf("%s cannot be the name of a key: only letters, digits and . _ - @, at most 64", short(v.Name()))
	}
	k, err := ParseKeys(KeysFile, old)
	if err != nil {
		return nil, err
	}
	if slices.ContainsFunc(k.keys, func(other note.Verifier) bool { return other.Name() == v.Name() }) {
		return nil, fmt.Errorf("a key named %s is trusted already, and two keys of one name cannot be told apart: "+
			"remove the old one from %s, or give the new one another name", v.Name(), KeysFile)
	}
	text := string(old)
	if text == "" {
		text = "# Public keys whose signatures count at this site, one per line.\n"
	}
	if !strings.HasSuffix(text, "\n") {
		text += "\n"
	}
	comment, err = record.OneLine(comment, record.LongestReason)
	if err != nil {
		return nil, err
	}
	return []byte(text + strings.TrimSpace(public) + "  # " + comment + "\n"), nil
}
