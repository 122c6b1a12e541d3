package seal

import (
	"crypto/ed25519"
	"encoding/base64"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"golang.org/x/mod/sumdb/note"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/label/record"
)

func key(t *testing.T, name string) Key {
	t.Helper()
	k, err := NewKey(name)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func ring(t *testing.T, text string) *Keyring {
	t.Helper()
	k, err := ParseKeys(KeysFile, []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// A signature counts only for its own text and with a trusted key; another key of
// the same name is not trusted.
func TestVerify(t *testing.T) {
	a, b, twin := key(t, "a"), key(t, "b"), key(t, "a")
	text := "vouchmark record\n00\nMCC-1 X\n"
	sign := func(k Key, text string) string {
		s, err := Sign(k.Private, text)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	trusted := ring(t, "# those who sign\n"+a.Public+"  # the engineer\n\n")
	for _, c := range []struct {
		what, text, signature string
		by                    string
		want                  Verdict
	}{
		{"its own text", text, sign(a, text), "a", Verified},
		{"another text", text + "x\n", sign(a, text), "a", Broken},
		{"another key", text, sign(b, text), "b", Untrusted},
		{"a key of the same name", text, sign(twin, text), "a", Untrusted},
		{"no signature", text, "", "", Broken},
		{"nonsense", text, "— a AAAA\n", "", Broken},
	} {
		if by, got := Verify(c.text, c.signature, trusted); got != c.want || by != c.by && c.by != "" {
			t.Errorf("%s: %q, %s; want %q, %s", c.what, by, got, c.by, c.want)
		}
	}
	if _, got := Verify(text, sign(a, text), nil); got != Untrusted {
		t.Errorf("no keys at all: %s", got)
	}
	if _, err := Sign(a.Public, text); err == nil {
		t.Error("a public key signs")
	}
}

// The signature is plain Ed25519 over the text: the standard library verifies
// it without the note (RFC 8032; golang.org/x/mod/sumdb/note: name, four bytes
// of the key's hash, then the signature).
func TestPlainEd25519(t *testing.T) {
	k := key(t, "e.sample")
	text := HeadText(strings.Repeat("ab", 32), 12, assess.Date{})
	line, err := Sign(k.Private, text)
	if err != nil {
		t.Fatal(err)
	}
	// name+hash+key; the key's own text may have a plus sign.
	public, err := base64.StdEncoding.DecodeString(strings.SplitN(k.Public, "+", 3)[2])
	if err != nil || len(public) != 1+ed25519.PublicKeySize {
		t.Fatal(len(public), err)
	}
	fields := strings.Fields(line)
	signature, err := base64.StdEncoding.DecodeString(fields[len(fields)-1])
	if err != nil || !ed25519.Verify(public[1:], []byte(text), signature[4:]) {
		t.Errorf("not verified: %v", err)
	}
}

func TestKeys(t *testing.T) {
	a := key(t, "a")
	if _, err := ParseKeys(KeysFile, []byte("\n"+a.Public+"\nnonsense\n")); err == nil ||
		!strings.Contains(err.Error(), "keys.txt:3: found \"nonsense\"") {
		t.Errorf("%v", err)
	}
	text, err := Trust(nil, a.Public, "trusted by x")
	if err != nil || !strings.HasPrefix(string(text), "# Public keys") ||
		!strings.Contains(string(text), a.Public+"  # trusted by x\n") {
		t.Errorf("%s, %v", text, err)
	}
	if _, err := Trust(text, a.Public, "again"); err == nil {
		t.Error("trusted twice")
	}
	if _, err := Trust(text, key(t, "a").Public, "another of that name"); err == nil {
		t.Error("two keys of one name")
	}
	mallory := key(t, "mallory")
	text, err = Trust(text, key(t, "b").Public, "boss\n"+mallory.Public+" #")
	if err != nil || len(ring(t, string(text)).keys) != 2 {
		t.Errorf("a comment brings a key: %s, %v", text, err)
	}
	if _, err := Trust(text, key(t, "c").Public, "trusted by \u202ex"); err == nil {
		t.Error("a comment that turns the line around")
	}
	// The library accepts any name without blanks and plus signs; such a key was not
	// made here, and its name would appear in reports.
	for _, name := range []string{"a\x1b[31mb", "a\u202eb", "a/b", "<b>", strings.Repeat("x", 65), strings.Repeat("x", 10000)} {
		_, public, err := note.GenerateKey(nil, name)
		if err != nil {
			t.Fatal(err)
		}
		_, err = ParseKeys(KeysFile, []byte(public))
		if err == nil || len(err.Error()) > 800 || strings.ContainsAny(err.Error(), "\x1b\u202e") {
			t.Errorf("a key named %.20q: %.1000v", name, err)
		}
	}
	for _, name := range []string{"", "e sample", "a+b", "a#b", "#", "a\u00a0b", "a\x1bb"} {
		if _, err := NewKey(name); err == nil {
			t.Errorf("a key named %q", name)
		}
	}
}

// A private key can be read only by its owner, is outside every site folder, and is
// never overwritten.
func TestPrivate(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "k")
	if err := WritePrivate(file, "secret"); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v", info.Mode(), err)
	}
	if s, err := ReadPrivate(file); err != nil || s != "secret" {
		t.Errorf("%q, %v", s, err)
	}
	if err := WritePrivate(file, "other"); err == nil {
		t.Error("written over")
	}
	if err := os.Chmod(file, 0o640); err != nil {
		t.Fatal(err)
	}
	if _, err := ReadPrivate(file); err == nil || !strings.Contains(err.Error(), "chmod 600") {
		t.Errorf("%v", err)
	}
	deep := filepath.Join(dir, "site", "deep", "deeper")
	if err := os.MkdirAll(deep, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "site", "site.toml"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := WritePrivate(filepath.Join(deep, "k"), "secret"); err == nil ||
		!strings.Contains(err.Error(), "inside the site folder") {
		t.Errorf("%v", err)
	}
}

// A signature covers its day: another day in the line breaks it. One of an older version, whose text has no day,
// stays valid, and cannot be given one.
func TestDayIsSigned(t *testing.T) {
	k := key(t, "e.sample")
	keys := ring(t, k.Public)
	day := func(text string) assess.Date {
		d, err := assess.ParseDate(text)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	may, june := day("2026-05-01"), day("2026-06-01")
	id := record.ID{7}
	head := strings.Repeat("ab", 32)
	for _, c := range []struct {
		name                   string
		signed, applied, noted assess.Date
		want                   Verdict
		when                   string
	}{
		{"as signed", may, may, may, Verified, "signed on 2026-05-01, noted on 2026-05-01"},
		{"noted on another day", may, may, june, Verified, "signed on 2026-05-01, noted on 2026-06-01"},
		{"another day in the line", may, june, june, Broken, "signed on 2026-06-01, noted on 2026-06-01"},
		{"its day removed", may, assess.Date{}, may, Broken, "noted on 2026-05-01 (an older version: the day itself is not signed)"},
		{"of an older version", assess.Date{}, assess.Date{}, may, Verified, "noted on 2026-05-01 (an older version: the day itself is not signed)"},
		{"of an older version, given a day", assess.Date{}, may, may, Broken, "signed on 2026-05-01, noted on 2026-05-01"},
	} {
		for what, texts := range map[string][2]string{
			"record": {RecordText(id, "MCC-4", c.signed), "the record MCC-4"}, "ledger": {HeadText(head, 3, c.signed), "ledger.jsonl:3"},
		} {
			signature, err := Sign(k.Private, texts[0])
			if err != nil {
				t.Fatal(err)
			}
			l := &record.Line{Kind: record.Signed, Date: c.noted, Applied: c.applied, By: "e.sample", Signature: signature}
			if what == "record" {
				l.Labels = []record.Printed{{ID: "MCC-4", Record: id.String()}}
			} else {
				l.Of = head
			}
			s := OfLine(l, 3, keys)
			if s.Verdict != c.want || s.When() != c.when || s.Date != c.noted || s.Signed != c.applied || !strings.HasPrefix(s.What, texts[1]) {
				t.Errorf("%s, %s: %+v, %s", what, c.name, s, s.When())
			}
		}
	}
	// What older versions signed, to the byte.
	if got, want := RecordText(id, "MCC-4", assess.Date{}), "vouchmark record\n"+id.String()+"\nMCC-4 "+string(id.Code())+"\n"; got != want {
		t.Errorf("%q", got)
	}
	if got, want := HeadText(head, 3, assess.Date{}), "vouchmark ledger\n"+head+"\n3 lines\n"; got != want {
		t.Errorf("%q", got)
	}
}

// A list may have so many keys, and a report of wrong ones stays short.
func TestMostKeys(t *testing.T) {
	var list strings.Builder
	for i := range mostKeys {
		public, err := note.NewEd25519VerifierKey(fmt.Sprint("k", i), make(ed25519.PublicKey, ed25519.PublicKeySize))
		if err != nil {
			t.Fatal(err)
		}
		list.WriteString(public + "\n")
	}
	text := list.String()
	if n := len(ring(t, text+text).keys); n != mostKeys {
		t.Errorf("%d keys", n)
	}
	if _, err := ParseKeys(KeysFile, []byte(text+key(t, "more").Public)); err == nil || !strings.Contains(err.Error(), "keys.txt:1001: found more than 1000 keys, expected at most 1000") {
		t.Errorf("%v", err)
	}
	_, err := ParseKeys(KeysFile, []byte(strings.Repeat("x\n", 10000)))
	if ps, ok := err.(site.Problems); !ok || len(ps) != 50 || ps.Count() != 10000 {
		t.Errorf("%d problems", len(ps))
	}
}
