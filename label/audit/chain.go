package audit

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"io/fs"

	"vouchmark/assess/infile"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// chain checks the ledger: that each line is bound to the one before.
func (a *audit) chain() error {
	if info, err := fs.Lstat(a.folder, record.LedgerFile); err == nil && !info.Mode().IsRegular() {
		a.problem(record.LedgerFile, "find out what replaced it", "it is not a regular file")
		a.ledger = &record.Ledger{}
		return nil
	}
	data, err := infile.Read(a.folder, record.LedgerFile, record.MostLedger)
	a.empty = errors.Is(err, fs.ErrNotExist)
	if err != nil && !a.empty {
		return err
	}
	a.ledger, err = record.ParseLedger(data)
	var broken *record.LedgerError
	if errors.As(err, &broken) {
		a.problem(record.LineName(broken.Line), broken.Do+"; the lines after this one could not be checked", "%v", broken.Err)
	} else if err != nil {
		return err
	}
	if torn := a.ledger.Torn; torn != nil {
		where := record.LineName(len(a.ledger.Lines) + 1)
		do := "the next command that writes moves it into " + record.TornName(len(a.ledger.Lines)+1, torn) + " and notes that"
		var line record.Line
		if d := json.NewDecoder(bytes.NewReader(torn[:min(len(torn), record.MostLine)])); d.Decode(&line) == nil {
			a.problem(where, "restore the ledger from a backup; "+do, "the last line does not end the way the program ends lines")
		} else {
			a.Passing = true
			a.problem(where, do, "the last line is not complete: a command is writing now or was stopped, or somebody cut off the end")
		}
	}
	if n := len(a.ledger.Lacks); n > 0 {
		a.Passing = true
		a.problem(record.LineName(len(a.ledger.Lines)),
			"its hash is there and proves the rest: the next command that writes completes it; do not open the ledger in an editor",
			"the end of the last line is missing (%s)", report.Plural(n, "byte"))
	}
	a.Head, a.Lines = a.ledger.Head(), len(a.ledger.Lines)
	if n := len(a.ledger.Lines); n > 0 {
		a.First, a.Last = a.ledger.Lines[0].Date, a.ledger.Lines[n-1].Date
	}
	return nil
}

// lines checks what the lines say about each other. Lines dated after today
// count too: no date may keep a label from being checked.
func (a *audit) lines() {
	lines, last := a.ledger.Lines, a.Today
	for i := range lines {
		if last.Before(lines[i].Date) {
			last = lines[i].Date
		}
	}
	a.replay = a.ledger.Replay(last, func(id record.ID) bool { return a.there[id.String()] || a.has(record.Path(id)) }, nil)
	const do = "the program never writes such a line: find out who did"
	wrong := a.replay.Wrong
	for i := range lines {
		l := &lines[i]
		where := record.LineName(i + 1)
		if text := l.Unprintable(); text != "" {
			a.problem(where, do, "the text %q has characters that labels and terminals do not show", text)
		}
		if i > 0 && l.Date.Before(lines[i-1].Date) {
			a.note("%s is dated %s, before the line above it (%s)", where, l.Date, lines[i-1].Date)
		}
		if a.Today.Before(l.Date) || l.Date.Before(l.Applied) {
			a.note("%s is dated %s, with labels mounted on %s: after today (%s), or mounted after it was written",
				where, l.Date, cmp.Or(l.Applied.String(), "-"), a.Today)
		}
		if l.Kind.Prints() {
			a.Prints += len(l.Labels)
		}
		for ; len(wrong) > 0 && wrong[0].Line == i+1; wrong = wrong[1:] {
			a.problem(where, do, "%s", wrong[0].What)
		}
	}
	for _, l := range a.replay.Open {
		if !l.Kind.Prints() {
			continue
		}
		a.note("the %s of %s on %s is in progress or was interrupted: the next command that writes completes it",
			l.Kind, names(l.Labels), l.Date)
	}
	a.unstored()
}

// unstored notes the labels of prints that were interrupted, where their records are not
// there and no line proves that they were: such a label may have been made only if
// somebody removed its record.
func (a *audit) unstored() {
	for i := range a.ledger.Lines {
		l := &a.ledger.Lines[i]
		if !l.Kind.Prints() || a.replay.Ended(i+1) {
			continue
		}
		var without []string
		for _, p := range l.Labels {
			n := a.replay.Records[p.Record]
			if n.Valid && n.Needed == 0 && a.there != nil && !a.there[p.Record] {
				without = append(without, p.ID+", "+string(n.ID.Code()))
			}
		}
		if without != nil {
			a.note("%s was interrupted, and the records that it was to store are not there: if you find a label of it, "+
				"do not use it; do not use a label of %s", record.LineName(i+1), report.Few(without))
		}
	}
}

func names(labels []record.Printed) string {
	var ids []string
	for _, p := range labels {
		ids = append(ids, p.ID)
	}
	return report.Few(ids)
}
