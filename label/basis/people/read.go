package people

import (
	"fmt"
	"sync"

	"vouchmark/assess/site"
	"vouchmark/label/record"
)

// Parse reads the text of a file. Its error is a [site.Problems], which names the file.
func Parse(file string, data []byte) (*List, error) {
	l := &List{by: map[string]int{}}
	lines := map[string]int{}
	_, err := site.ReadTables(file, data, MostBytes, tables(func(t *site.TextTable) {
		p := Person{Name: Fold(t.Values["name"]), Role: record.Role(t.Values["role"]), Password: t.Values["password"]}
		if p.Password != "" {
			if err := checkHash(p.Password); err != nil {
				t.Fault("password", err.Error(), expectedHash, "vouchmark person password sets a new one")
			}
		}
		if p.Name == "" { // reported already
			return
		}
		if earlier, again := lines[p.Name]; again {
			t.Fault("name", fmt.Sprintf("%q a second time", p.Name), "each name once", fmt.Sprintf("it is in line %d too; delete one of the two", earlier))
			return
		}
		lines[p.Name] = t.Line("name")
		l.by[p.Name] = len(l.People)
		l.People = append(l.People, p)
	}))
	if err != nil {
		return nil, err
	}
	l.dummy = sync.OnceValue(func() string { return dummy(l.People) })
	return l, nil
}

// tables describe the tables of the file.
func tables(check func(*site.TextTable)) site.TextTables {
	roles := make([]string, len(record.Roles))
	for i, r := range record.Roles {
		roles[i] = string(r)
	}
	return site.TextTables{Name: "person", Must: []string{"name", "role"}, May: []string{"password"},
		Words: map[string][]string{"role": roles}, Check: check}
}
