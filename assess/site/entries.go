package site

import (
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"vouchmark/assess"
)

// Entries are the entries of a changes.toml, by its text alone: without the rest of the folder
// it cannot be known whether they make sense. The order is that of [assess.Log.Entries]. Its
// error is a Problems: the text is not TOML.
func Entries(data []byte) ([]assess.Entry, error) {
	r := newReader(With(nil, assess.ChangesFile, data), Options{})
	n := r.readTOML(assess.ChangesFile, nil)
	if n == nil {
		return nil, r.err()
	}
	l := log{Log: &r.site.Log, names: assess.ChangeNames{}}
	n.each(assess.ChangeEntry, false, func(t *node) { l.named(t, t.date("date", false), t.text("at", false)) })
	n.each(assess.SettlementEntry, false, func(t *node) {
		l.entry(t, assess.SettlementEntry, t.text("change", false), t.line("change"))
	})
	n.each(assess.ReviewEntry, false, func(t *node) {
		l.entry(t, assess.ReviewEntry, t.date("date", false).String(), t.line("date"))
	})
	return l.Entries, nil
}

// EntryText is an entry as TOML, with its keys in alphabetical order.
func EntryText(e *assess.Entry) []byte {
	t := newEntry(e.Table)
	for _, key := range slices.Sorted(maps.Keys(e.Values)) {
		t.line(key, e.Values[key])
	}
	return t.Bytes()
}

// Restore reads entries that the ledger has and changes.toml no longer has: by themselves, so
// that of a curve only the name is known. A kind that this version does not know is taken for
// one that reaches everything.
func Restore(entries []assess.Entry) (all assess.Log) {
	for i := range entries {
		e := &entries[i]
		r := newReader(With(nil, assess.ChangesFile, nil), Options{})
		l := log{Log: &r.site.Log, names: assess.ChangeNames{}, place: map[string]int{}, alone: true}
		t := &node{reader: r, file: assess.ChangesFile, values: e.Values, lines: &keyIndex{}, kind: kindText}
		switch e.Table {
		case assess.ChangeEntry:
			l.change(t)
		case assess.SettlementEntry:
			l.settlement(t)
		case assess.ReviewEntry:
			l.review(t)
		}
		for _, c := range l.Changes {
			if c.ID, c.Sum = e.Name, e.Sum; c.Kind.Name == "" {
				c.Kind = assess.ChangeKinds[len(assess.ChangeKinds)-1]
			}
			all.Changes = append(all.Changes, c)
		}
		for _, s := range l.Settlements {
			s.Sum = e.Sum
			all.Settlements = append(all.Settlements, s)
		}
		for _, v := range l.Reviews {
			v.Sum = e.Sum
			all.Reviews = append(all.Reviews, v)
		}
	}
	return all
}

// named keeps the entry of a change, and names the change.
func (l *log) named(t *node, date assess.Date, at string) (name, sum string) {
	name = l.names.Next(date, at)
	return name, l.entry(t, assess.ChangeEntry, name, t.line("date"))
}

// entry keeps an entry, and returns its sum.
func (l *log) entry(t *node, table, name string, line int) (sum string) {
	e := assess.NewEntry(table, name, plain(t.values).(map[string]any), line)
	l.Entries = append(l.Entries, e)
	return e.Sum
}

// plain is a value of a TOML text as JSON has it: the same for a date with and without
// quotation marks, for 20 and 20.0, and for a text on one line and on several.
func plain(v any) any {
	switch v := v.(type) {
	case map[string]any:
		all := make(map[string]any, len(v))
		for key, of := range v {
			all[key] = plain(of)
		}
		return all
	case []map[string]any:
		all := make([]any, len(v))
		for i := range v {
			all[i] = plain(v[i])
		}
		return all
	case []any:
		all := make([]any, len(v))
		for i := range v {
			all[i] = plain(v[i])
		}
		return all
	case int64:
		if f := float64(v); int64(f) == v && v != 1<<63-1 {
			return f
		}
		return strconv.FormatInt(v, 10)
	case float64:
		if v-v != 0 { // JSON has no such numbers
			return strconv.FormatFloat(v, 'g', -1, 64)
		}
		return v
	case time.Time:
		if v.Location().String() == "date-local" {
			return v.Format(time.DateOnly)
		}
		return v.Format(time.RFC3339Nano)
	}
	if text, ok := v.(string); ok {
		return strings.Join(strings.Fields(text), " ")
	}
	return v // yes or no
}
