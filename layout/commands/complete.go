package commands

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"vouchmark/assess"
	"vouchmark/assess/near"
	"vouchmark/assess/site"
	"vouchmark/label/record"
	"vouchmark/layout"
)

// completing is the hidden command that the scripts of completion call: with the words after the
// program's name, the last one up to the cursor. It writes a line for each word that fits
// there, with a tab and what it is about; or ":files" or ":folders" where the shell should complete paths.
const completing = "__complete"

// candidate is a word that fits at the cursor.
type candidate struct{ word, about string }

// complete is that command. It never fails: where nothing is known, it writes nothing.
func (e *Env) complete(words []string) {
	words = slices.DeleteFunc(words, func(w string) bool { return w == "=" }) // bash splits --site=DIR there
	if len(words) == 0 {
		words = []string{""}
	}
	for i := range words {
		words[i] = unquoted(words[i])
	}
	last := len(words) - 1
	current := words[last]
	c, rest := find(e.table, words[:last])
	if c == nil || c.Name == "help" {
		e.offer(current, commandWords(e.table, words[:last]))
		return
	}
	f := c.flags(e)
	operands, waiting := f.split(rest)
	if e.site == "" {
		e.site = "."
	}
	if home, err := os.UserHomeDir(); err == nil && strings.HasPrefix(e.site, "~/") {
		e.site = filepath.Join(home, e.site[2:])
	}
	name, value, valued := strings.Cut(current, "=")
	switch flag := f.all.Lookup(strings.TrimPrefix(name, "--")); {
	case waiting != nil:
		e.values(waiting, current, "")
	case valued && strings.HasPrefix(name, "--") && flag != nil:
		e.values(flag, value, name+"=")
	case strings.HasPrefix(current, "-"), current == "" && c.Args == "":
		var all []candidate
		f.all.VisitAll(func(f *pflag.Flag) {
			_, about := described(f)
			all = append(all, candidate{"--" + f.Name, about})
		})
		e.offer(current, append(all, candidate{"--help", "explain this command"}))
	default:
		kinds := strings.Fields(strings.Trim(c.Args, "[]…"))
		if len(kinds) > 0 {
			e.offer(current, e.known(kinds[min(operands, len(kinds)-1)]))
		}
	}
}

// split gives, of the words before the cursor, the number of operands and the flag whose value is missing.
// It sets the flags that have their value, so that the site folder is known.
func (f *flags) split(words []string) (operands int, waiting *pflag.Flag) {
	for i := 0; i < len(words); i++ {
		name, value, valued := strings.Cut(words[i], "=")
		flag := f.all.Lookup(strings.TrimPrefix(name, "--"))
		switch {
		case !strings.HasPrefix(name, "--") || flag == nil:
			operands++
			continue
		case valued:
		case flag.NoOptDefVal != "":
			value = flag.NoOptDefVal
		case i+1 == len(words):
			return operands, flag
		default:
			i++
			value = words[i]
		}
		f.all.Set(flag.Name, value) // a wrong value is for the command to report
	}
	return operands, nil
}

// values offers the values of a flag. Of a list with commas it completes the last one.
func (e *Env) values(f *pflag.Flag, current, before string) {
	kind, _ := described(f)
	if i := strings.LastIndexByte(current, ','); i >= 0 && strings.HasSuffix(kind, "IDS") {
		before, current = before+current[:i+1], current[i+1:]
	}
	all := e.known(kind)
	for i := range all {
		if !strings.HasPrefix(all[i].word, ":") {
			all[i].word = before + all[i].word
		}
	}
	e.offer(before+current, all)
}

// offer writes the candidates that begin with a word, in any letter case.
func (e *Env) offer(current string, all []candidate) {
	seen := map[string]bool{}
	for _, c := range all {
		path := c.word == ":files" || c.word == ":folders"
		n := len(current)
		if seen[c.word] || !path && (len(c.word) < n || !strings.EqualFold(c.word[:n], current)) {
			continue
		}
		seen[c.word] = true
		about := []rune(oneLine(c.about))
		if len(about) > longestAbout {
			about = append(about[:longestAbout-1], '…')
		}
		fmt.Fprintf(e.raw, "%s\n", strings.TrimSpace(oneLine(c.word)+"\t"+string(about)))
	}
}

// longestAbout is what fits next to a word on a line of a terminal.
const longestAbout = 60

// oneLine is a text that keeps a line of the answer one line.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// commandWords are the next words of the commands that begin with the given ones.
func commandWords(table []Command, words []string) []candidate {
	if len(words) > 0 && words[0] == "help" {
		words = words[1:]
	}
	var all []candidate
	for _, c := range table {
		name := strings.Fields(c.Name)
		if n := len(words); n < len(name) && slices.Equal(name[:n], words) {
			all = append(all, candidate{name[n], c.Short})
			if n+1 < len(name) { // the first word of several commands
				all[len(all)-1].about = several(table, name[n])
			}
		}
	}
	return all
}

// several are the names of the commands with a first word.
func several(table []Command, first string) string {
	var names []string
	for _, c := range table {
		if strings.HasPrefix(c.Name, first+" ") {
			names = append(names, c.Name)
		}
	}
	return strings.Join(names, ", ")
}

// known are the candidates for a kind of operand or value: what its name in the help says.
func (e *Env) known(kind string) []candidate {
	if parts := strings.Split(kind, "|"); len(parts) > 1 {
		var all []candidate
		for _, p := range parts {
			if some, named := e.named(p); named {
				all = append(all, some...)
			} else {
				all = append(all, candidate{word: p})
			}
		}
		return all
	}
	all, _ := e.named(kind)
	return all
}

// named are the candidates for a word in capitals, and whether the program knows that word.
func (e *Env) named(kind string) (all []candidate, known bool) {
	switch kind {
	case "FILE", "ARCHIVE":
		return []candidate{{word: ":files"}}, true
	case "DIR", "PLACE":
		return []candidate{{word: ":folders"}}, true
	case "ADDRESS": // nothing on this machine knows one
		return nil, true
	case "ID", "IDS":
		return e.column("id", "equipment"), true
	case "AREA":
		return e.column("area", ""), true
	case "CASE":
		return e.column("case", ""), true
	case "STOCK":
		return e.stocks(), true
	case "KIND":
		for _, k := range assess.ChangeKinds {
			all = append(all, candidate{word: k.Name})
		}
		return all, true
	case "FINDING":
		for _, c := range assess.Codes {
			if c.Acceptable {
				all = append(all, candidate{string(c.Code), c.Meaning})
			}
		}
		return all, true
	case "CHANGE":
		if s, err := site.Read(e.folder().fs, e.folder().options); err == nil {
			for i := range s.Log.Changes {
				all = append(all, candidate{s.Log.Changes[i].ID, s.Log.Changes[i].Kind.Name})
			}
		}
		return all, true
	case "MARK":
		if v, _, err := e.view(); err == nil {
			for i := range v.Logged.Unnoted {
				all = append(all, candidate{v.Logged.Unnoted[i].Mark(), v.Logged.Unnoted[i].Words()})
			}
		}
		return all, true
	case "ROLE":
		for _, r := range record.Roles {
			all = append(all, candidate{word: string(r)})
		}
		return all, true
	case "CODE", "LINK":
		return nil, true
	}
	return nil, false
}

// stocks are the site's stocks and the built-in ones.
func (e *Env) stocks() []candidate {
	var p assess.Policy
	if own, err := site.ReadPolicy(e.folder().fs, e.folder().options); err == nil {
		p = *own
	}
	var all []candidate
	for _, name := range stockNames(&p) {
		about := "a built-in stock"
		if !slices.Contains(layout.StockNames(), name) {
			about = "a stock of site.toml"
		}
		all = append(all, candidate{name, about})
	}
	return all
}

// column are the values of a column of locations.csv, with those of another to explain them.
func (e *Env) column(name, about string) (all []candidate) {
	t, err := site.ReadTable(e.folder().fs, e.folder().options)
	if err != nil {
		return nil
	}
	at := func(name string) int {
		return slices.IndexFunc(t.Columns, func(c site.TableColumn) bool { return c.Column != nil && c.Name == name })
	}
	word, text := at(name), at(about)
	if word < 0 {
		return nil
	}
	for _, r := range t.Rows {
		if r[word] == "" {
			continue
		}
		c := candidate{word: r[word]}
		if text >= 0 {
			c.about = r[text]
		}
		all = append(all, c)
	}
	return all
}

// unquoted is a word without a shell's quotes: bash passes on what was typed.
func unquoted(word string) string {
	if !strings.ContainsRune(word, '\\') && !strings.HasPrefix(word, `'`) && !strings.HasPrefix(word, `"`) {
		return word
	}
	var b strings.Builder
	var quote rune
	escaped := false
	for _, r := range word {
		switch {
		case escaped:
			b.WriteRune(r)
			escaped = false
		case r == '\\' && quote != '\'':
			escaped = true
		case quote == 0 && (r == '\'' || r == '"'):
			quote = r
		case r == quote:
			quote = 0
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// Completion is the command of that name.
func Completion(*pflag.FlagSet) func(*Env, []string) error {
	return func(e *Env, args []string) error {
		names := make([]string, len(scripts))
		for i, s := range scripts {
			if names[i] = s.shell; s.shell == args[0] {
				_, err := fmt.Fprint(e.raw, s.text)
				return err
			}
		}
		return &usageError{text: fmt.Sprintf("no script for %q%s; there are scripts for %s", args[0],
			near.Hint(args[0], names), strings.Join(names, ", "))}
	}
}
