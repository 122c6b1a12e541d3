package bare

import (
	"bytes"
	"strings"
	"testing"

	markup "golang.org/x/net/html"

	"vouchmark/testdata/suite"
)

const page = "V/7K3M/A-1.5CAL/index.html"

func TestBytes(t *testing.T) {
	for in, want := range map[string]string{
		`<a href="../../../index.html">`:                                             `<a href="../../index.html">`,
		`<a href="basis.json">`:                                                      `<a href="A-1.5CAL.json">`,
		`<A Class=x  HREF = '../../7K3M/index.html?a=1&amp;b#c' >`:                   `<A Class=x  HREF = 'index.html?a=1&amp;b#c' >`,
		`<img src=../../../a.png/><p>`:                                               "leads to a folder", // the slash is part of it
		`<img src=../../../a.png />`:                                                 `<img src=../../a.png />`,
		`<svg><a xlink:href="../../9QTD/B/index.html">`:                              `<svg><a xlink:href="../9QTD/B">`,
		`<form action="../index.html"><button formaction=../index.html>`:             `<form action="index.html"><button formaction=index.html>`,
		`<object data="../../../a"><video poster="../../../b"><q cite="../../../c">`: `<object data="../../a"><video poster="../../b"><q cite="../../c">`,
		`<form data-label-page="../../../V/{code}/{facts}/index.html" data-code-page="../../../V/{code}/index.html">`: `<form data-label-page="../{code}/{facts}" data-code-page="../{code}/index.html">`,
		`<a href="HTTPS://LABELS.EXAMPLE.ORG/V/7K3M/A">HTTPS://LABELS.EXAMPLE.ORG/V/7K3M/A</a>`:                       "",
		`<a href="//example.org/x"><a href="mailto:x"><a href="#x"><a href="?q=1"><a href=""><a href>`:                "",
		`<script>"<a href='../../../index.html'>"</script><!-- <a href="../../../index.html"> -->`:                    "",
		`<p title="&lt;a href='../../../index.html'>" data-code="../../../index.html">a href="../../../index.html"`:   "",
		`<a href="../../../due/">`:                 "leads to a folder",
		`<a href="../..">`:                         "leads to a folder",
		`<a href="../../../../x.html">`:            "leads out of the site",
		`<a href="/index.html">`:                   "leads out of the site",
		`<a href="../../../index&#46;html">`:       "no file of the site has such an address",
		`<a href="../../../a b.html">`:             "no file of the site has such an address",
		`<img srcset="../../../a.png 2x">`:         "no page has that",
		`<base href="../">`:                        "no page has that",
		`<meta http-equiv="refresh" content="0;">`: "no page has that",
		`<a href="../../../index.html`:             "", // no tag
		"":                                         "",
	} {
		got, err := Bytes(page, []byte(in))
		switch {
		case want == "" && (err != nil || string(got) != in):
			t.Errorf("%s becomes %s, %v", in, got, err)
		case want == "":
		case err != nil && (want[0] == '<' || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), page)):
			t.Errorf("%s: %v", in, err)
		case err == nil && string(got) != want:
			t.Errorf("%s becomes %s", in, got)
		}
	}
	const text = `<a href="../../../index.html">`
	for name, want := range map[string]string{"labels.js": text, page[:len(page)-10] + "basis.json": text, "a/b/c/x.html": text} {
		if got, err := Bytes(name, []byte(text)); err != nil || string(got) != want {
			t.Errorf("of %s: %s, %v", name, got, err)
		}
	}
}

// Everything but references stays the same bytes, and a value is where a browser finds it.
func FuzzBytes(f *testing.F) {
	for _, text := range []string{`<a href="../../../index.html" class='b'>x</a>`, `<a b=c href = basis.json>`, `<a/href=basis.json/b=">"c>`, `<a =href=x ==y z=>`,
		`<svg viewBox="0 0 1 1"><title>a &amp; b</title></svg>`, `<script>a<b</script><!--<a href=x>--><a href="x`, "<a href='../../9QTD/B/index.html?a&#35;b'\x00c>"} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > suite.Longest {
			t.Skip()
		}
		var got []byte
		var err error
		suite.Bounded(t, len(data), 512, 1<<20, func() { got, err = Bytes(page, data) })
		if err != nil {
			return
		}
		was, is := tokens(t, data), tokens(t, got)
		if len(was) != len(is) {
			t.Fatalf("%q has %d tokens, and %d before", got, len(is), len(was))
		}
		for i := range was {
			if !bytes.Equal(was[i], is[i]) {
				t.Fatalf("%q was %q", is[i], was[i])
			}
		}
	})
}

// tokens are the pieces of a page, each without the values of its references.
func tokens(t *testing.T, data []byte) (all [][]byte) {
	t.Helper()
	at := 0
	for z := markup.NewTokenizer(bytes.NewReader(data)); z.Next() != markup.ErrorToken; {
		raw := data[at : at+len(z.Raw())]
		at += len(raw)
		token := z.Token()
		if kind := token.Type; kind != markup.StartTagToken && kind != markup.SelfClosingTagToken {
			all = append(all, raw)
			continue
		}
		known := map[string]string{}
		for _, a := range token.Attr {
			known[a.Key] = a.Val
		}
		less, done := []byte{}, 0
		for a := range attributes(raw) {
			name := strings.ReplaceAll(small(string(a.name)), "\x00", "\ufffd")
			if want, ok := known[name]; ok {
				if got := decoded(raw[a.from:a.to]); got != want {
					t.Errorf("%q: %s is %q, and %q by the tokenizer", raw, a.name, got, want)
				}
				delete(known, name) // the first one counts
			}
			if k := kinds[small(string(a.name))]; k != 0 {
				less, done = append(less, raw[done:a.from]...), a.to
			}
		}
		if len(known) > 0 {
			t.Errorf("%q: %v is missing", raw, known)
		}
		all = append(all, append(less, raw[done:]...))
	}
	return append(all, data[at:])
}

// decoded is a value as it is written, read by the tokenizer.
func decoded(value []byte) string {
	tag := `<x y="` + string(value) + `">`
	if bytes.ContainsRune(value, '"') {
		if tag = `<x y='` + string(value) + `'>`; bytes.ContainsRune(value, '\'') {
			tag = `<x y=` + string(value) + `>`
		}
	}
	z := markup.NewTokenizer(strings.NewReader(tag))
	z.Next()
	return z.Token().Attr[0].Val
}

// small is a text with A to Z, and no others, in small letters.
func small(text string) string {
	name := []byte(text)
	for i, c := range name {
		if c >= 'A' && c <= 'Z' {
			name[i] += 'a' - 'A'
		}
	}
	return string(name)
}
