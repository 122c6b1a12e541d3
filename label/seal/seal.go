// Package seal signs records and chain heads with Ed25519 keys, in the form of
// golang.org/x/mod/sumdb/note: a text, and below it a line for each signature.
//
//	seal.go     keys, what is signed, signing, verifying
//	keys.go     the keys that a site trusts
//	private.go  the file of a private key
//	sign.go     signing, noted in the ledger
//	line.go     the signatures in the ledger
package seal

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"regexp"
	"strings"

	"golang.org/x/mod/sumdb/note"

	"vouchmark/assess"
	"vouchmark/label/record"
)

// Key is a new signing key: its private and its public half, one line of text each.
type Key struct {
	Private string // to be kept from everybody else
	Public  string // to be given to anyone who verifies
}

// keyName is the form of a key's name: one word that cannot be mistaken for anything
// else in a list or in a line of a report.
var keyName = regexp.MustCompile(`^[A-Za-z0-9._@-]{1,64}$`)

// NewKey makes a signing key for a person or an office. A name has no blanks and no
// plus sign.
func NewKey(name string) (Key, error) {
	if !keyName.MatchString(name) {
		return Key{}, fmt.Errorf("%s: the name of a key has no spaces: only letters, digits and . _ - @, such as e.sample",
			short(name))
	}
	private, public, err := note.GenerateKey(rand.Reader, name)
	return Key{private, public}, err
}

// RecordText is the text that is signed for a record: its hash, which covers every
// byte, for a person the location and the code, and the day. Before there was a second version of the
// text, the day was not in it: then it is zero.
func RecordText(id record.ID, location string, day assess.Date) string {
	return dated("record", day, fmt.Sprintf("%s\n%s %s\n", id, location, id.Code()))
}

// HeadText is the text that is signed for a ledger: the hash of a line, which covers
// all lines before it, their number, and the day, as in [RecordText].
func HeadText(head string, lines int, day assess.Date) string {
	return dated("ledger", day, fmt.Sprintf("%s\n%d lines\n", head, lines))
}

func dated(what string, day assess.Date, text string) string {
	if day.IsZero() {
		return "vouchmark " + what + "\n" + text
	}
	return "vouchmark " + what + " 2\n" + text + "signed on " + day.String() + "\n"
}

// Sign signs a text with a private key and returns the line of the signature.
func Sign(private, text string) (signature string, err error) {
	s, err := note.NewSigner(strings.TrimSpace(private))
	if err != nil {
		return "", errors.New("not a private key made by vouchmark key new")
	}
	signed, err := note.Sign(&note.Note{Text: text}, s)
	if err != nil {
		return "", err
	}
	return string(bytes.TrimPrefix(signed, []byte(text+"\n"))), nil
}

// Verdict is whether a signature is valid and trusted.
type Verdict string

// The verdicts.
const (
	Verified  Verdict = "verified"    // by a key that is trusted
	Untrusted Verdict = "not trusted" // valid or not: its key is not trusted here
	Broken    Verdict = "broken"      // by a trusted key, but not for this text
)

// Verify checks a signature against a text: whose it is, and its verdict.
func Verify(text, signature string, trusted *Keyring) (name string, v Verdict) {
	n, err := note.Open([]byte(text+"\n"+signature), trusted.verifiers())
	var unverified *note.UnverifiedNoteError
	var invalid *note.InvalidSignatureError
	switch {
	case err == nil:
		return n.Sigs[0].Name, Verified
	case errors.As(err, &unverified) && len(unverified.Note.UnverifiedSigs) > 0:
		return unverified.Note.UnverifiedSigs[0].Name, Untrusted
	case errors.As(err, &invalid):
		return invalid.Name, Broken
	}
	return "", Broken
}
