package people

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"

	"vouchmark/assess/site"
	"vouchmark/label/record"
)

// header begins a file that the program makes.
const header = `# The people who may use the server of a site (vouchmark serve --people). Keep this file outside
# every site folder, readable only by whoever runs the server. vouchmark person changes it.
`

// Add adds a person to the text of a file, which may be empty. Everything else in it stays.
func Add(file string, old []byte, p Person) ([]byte, error) {
	l, err := Parse(file, old)
	if err != nil {
		return nil, err
	}
	p.Name = Fold(p.Name)
	if is := l.Find(p.Name); is != nil {
		return nil, fmt.Errorf("%s is in %s already, as %s", is.Name, file, is.Role)
	}
	text := bytes.TrimRight(old, "\n")
	if len(bytes.TrimSpace(text)) == 0 {
		text = []byte(strings.TrimRight(header, "\n"))
	}
	text = slices.Concat(text, []byte("\n\n[[person]]\n"+pair("name", p.Name)+pair("role", string(p.Role))))
	if p.Password != "" {
		text = append(text, pair("password", p.Password)...)
	}
	return checked(file, text, append(slices.Clone(l.People), p))
}

// pair is a line of the file, quoted by the TOML library.
func pair(key, value string) string {
	b, err := toml.Marshal(map[string]string{key: value})
	if err != nil {
		panic(err) // only a text comes here
	}
	return string(b)
}

// Remove removes a person. The comments around the entry stay.
func Remove(file string, old []byte, name string) ([]byte, error) {
	return edit(file, old, name, func(lines []string, t *site.TextTable, _ *Person) ([]string, bool) {
		end := t.End - 1
		for end > t.First && (end == len(lines) || strings.HasPrefix(strings.TrimSpace(lines[end-1]), "#") || strings.TrimSpace(lines[end-1]) == "") {
			end-- // what is above the next entry belongs to it
		}
		return slices.Delete(lines, t.First-1, end), true
	}, func(all []Person, i int) []Person { return slices.Delete(all, i, i+1) })
}

// SetRole gives a person another role.
func SetRole(file string, old []byte, name string, role record.Role) ([]byte, error) {
	return edit(file, old, name, func(lines []string, t *site.TextTable, _ *Person) ([]string, bool) {
		return lines, replace(lines, t, "role", string(role))
	}, func(all []Person, i int) []Person {
		all[i].Role = role
		return all
	})
}

// SetPassword gives a person another password, by its hash; with "" none, for one whom only a server
// in front signs in.
func SetPassword(file string, old []byte, name, hash string) ([]byte, error) {
	return edit(file, old, name, func(lines []string, t *site.TextTable, p *Person) ([]string, bool) {
		at := t.Line("password")
		switch {
		case p.Password == "" && hash == "":
			return lines, true
		case p.Password == "":
			at = max(t.Line("name"), t.Line("role"))
			return slices.Insert(lines, at, strings.TrimSuffix(pair("password", hash), "\n")), true
		case hash == "":
			return slices.Delete(lines, at-1, at), true
		}
		return lines, replace(lines, t, "password", hash)
	}, func(all []Person, i int) []Person {
		all[i].Password = hash
		return all
	})
}

// value is a key with a text in one line, and what follows the text.
var value = regexp.MustCompile(`^\s*(\w+)\s*=\s*("(?:[^"\\]|\\.)*"|'[^']*')(\s*(?:#.*)?)$`)

// replace replaces the text of a key in its line, and keeps a comment after it.
func replace(lines []string, t *site.TextTable, key, text string) bool {
	at := t.Line(key)
	if at <= t.First || at > len(lines) {
		return false
	}
	cr := strings.HasSuffix(lines[at-1], "\r")
	m := value.FindStringSubmatch(strings.TrimSuffix(lines[at-1], "\r"))
	if m == nil || m[1] != key {
		return false
	}
	lines[at-1] = strings.TrimSuffix(pair(key, text), "\n") + m[3]
	if cr {
		lines[at-1] += "\r"
	}
	return true
}

// edit changes the entry of a person: the lines of the text, and what these must then say. Where they do
// not say that, as with an entry that a person wrote in another form, nothing is changed.
func edit(file string, old []byte, name string, change func([]string, *site.TextTable, *Person) ([]string, bool),
	want func(all []Person, i int) []Person) ([]byte, error) {
	l, err := Parse(file, old)
	if err != nil {
		return nil, err
	}
	p := l.Find(name)
	if p == nil {
		return nil, l.Unknown(file, name)
	}
	tables, err := site.ReadTables(file, old, MostBytes, tables(nil))
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(tables, func(t site.TextTable) bool { return Fold(t.Values["name"]) == p.Name })
	byHand := fmt.Errorf("the entry of %s in %s is not in the form that vouchmark writes; change it in an editor", p.Name, file)
	if i < 0 || tables[i].First == 0 {
		return nil, byHand
	}
	lines, ok := change(strings.Split(string(old), "\n"), &tables[i], p)
	if !ok {
		return nil, byHand
	}
	text, err := checked(file, []byte(strings.Join(lines, "\n")), want(slices.Clone(l.People), i))
	if err != nil {
		return nil, byHand
	}
	return text, nil
}

// checked is a text if it says what it must.
func checked(file string, text []byte, want []Person) ([]byte, error) {
	l, err := Parse(file, text)
	if err != nil {
		return nil, err
	}
	if !slices.Equal(l.People, want) {
		return nil, fmt.Errorf("%s was not changed: its text would not say what it must; change it in an editor", file)
	}
	return text, nil
}
