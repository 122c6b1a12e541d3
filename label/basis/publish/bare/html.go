package bare

import (
	"bytes"
	"errors"
	"fmt"
	"html"
	"path"
	"regexp"
	"strings"

	markup "golang.org/x/net/html"
)

// Bytes is a file as it lies at its key: each reference of a page to another file of the site is changed to
// lead there from that key. Everything else stays the same bytes, and so does a file that is not a page. name is
// that with index files. An error names a reference that leads nowhere in such a store, or is of a kind that no
// page has.
func Bytes(name string, data []byte) ([]byte, error) {
	if path.Ext(name) != ".html" {
		return data, nil
	}
	var out []byte
	done, at := 0, 0 // so much of data is in out, and before the next token
	z := markup.NewTokenizer(bytes.NewReader(data))
	for {
		token := z.Next()
		if token == markup.ErrorToken {
			break
		}
		tag := at
		at += len(z.Raw())
		if token != markup.StartTagToken && token != markup.SelfClosingTagToken {
			continue
		}
		element, more := z.TagName()
		if !more {
			continue
		}
		for a := range attributes(data[tag:at]) {
			k := kindOf(element, a.name)
			if k == 0 {
				continue
			}
			value := string(data[tag+a.from : tag+a.to])
			old, changed, err := moved(name, k, value)
			if err != nil {
				return nil, fmt.Errorf("%s: %s=%q: %w", name, a.name, value, err)
			}
			if old != changed {
				out = append(append(out, data[done:tag+a.from]...), changed...)
				done = tag + a.from + len(old)
			}
		}
	}
	if done == 0 {
		return data, nil
	}
	return append(out, data[done:]...), nil
}

// kind is what an attribute's value is; 0 for no address.
type kind int

const (
	reference kind = 1 + iota // an address
	pattern                   // for scripts: that of any label, with {code} and {facts} in place of its own
	refused                   // what no page has, and would lead elsewhere
)

var kinds = map[string]kind{
	"href": reference, "src": reference, "action": reference, "formaction": reference, "poster": reference,
	"cite": reference, "data": reference, "xlink:href": reference,
	"data-label-page": pattern, "data-code-page": pattern,
	"srcset": refused, "imagesrcset": refused, "ping": refused, "background": refused, "style": refused,
}

// kindOf is the kind of an attribute of an element, whose name is in small letters.
func kindOf(element, attribute []byte) kind {
	var small [len("data-label-page")]byte // the longest name
	if len(attribute) > len(small) {
		return 0
	}
	n := copy(small[:], attribute)
	for i, c := range small[:n] {
		if c >= 'A' && c <= 'Z' {
			small[i] += 'a' - 'A'
		}
	}
	switch {
	case string(element) == "base", string(element) == "meta" && string(small[:n]) == "http-equiv":
		return refused
	}
	return kinds[string(small[:n])]
}

// example stands for any label in a pattern.
var (
	example = strings.NewReplacer("{code}", "0000-0000-0000-0000", "{facts}", "FACTS")
	back    = strings.NewReplacer("0000-0000-0000-0000", "{code}", "FACTS", "{facts}")
)

// unknownPage is shown for an address that leads nowhere.
const unknownPage = "404.html"

// moved is the path at the beginning of a value, as it is written in the page name, and what takes its place.
func moved(name string, k kind, value string) (old, changed string, err error) {
	switch k {
	case refused:
		return "", "", errors.New("no page has that")
	case pattern:
		old, changed, err = moved(name, reference, example.Replace(value))
		return back.Replace(old), back.Replace(changed), err
	}
	to := html.UnescapeString(value)
	if elsewhere.MatchString(to) {
		return "", "", nil
	}
	if i := strings.IndexAny(to, "?#"); i >= 0 {
		to = to[:i]
	}
	if to == "" {
		return "", "", nil // this page
	}
	if name == unknownPage && to[0] == '/' && path.Ext(to) == ".js" {
		return "", "", nil // it is shown at any address, and its script has the same key in both layouts
	}
	target := path.Join(path.Dir(name), to)
	switch {
	case strings.Trim(to, addressable) != "" || !strings.HasPrefix(value, to):
		return "", "", errors.New("no file of the site has such an address")
	case to[0] == '/', target == ".." || strings.HasPrefix(target, "../"):
		return "", "", errors.New("it leads out of the site")
	case strings.HasSuffix(to, "/"), path.Base(to) == ".", path.Base(to) == "..":
		return "", "", errors.New("it leads to a folder")
	}
	from, key := path.Dir(Key(name)), Key(target)
	if path.Join(from, to) == key {
		return to, to, nil
	}
	return to, relative(from, key), nil
}

// elsewhere are the addresses that name a scheme or a host.
var elsewhere = regexp.MustCompile(`^(//|[A-Za-z][0-9A-Za-z+.-]*:)`)

// addressable are the signs of a relative address.
const addressable = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz-._/"

// relative is the way from a folder to a file.
func relative(from, to string) string {
	up, down := strings.Split(from, "/"), strings.Split(to, "/")
	if from == "." {
		up = nil
	}
	for len(up) > 0 && len(down) > 1 && up[0] == down[0] {
		up, down = up[1:], down[1:]
	}
	return strings.Repeat("../", len(up)) + strings.Join(down, "/")
}
