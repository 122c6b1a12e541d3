package page

import (
	"cmp"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"vouchmark/assess/standing"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/label/report"
)

// walkPage is what there is to do on the equipment.
type walkPage struct {
	Counts []taskCount
	Rows   []walkRow
	Urgent int // of all rows
	All    int
	part
}

type taskCount struct {
	Word  string
	Count int
	Of    string // how many of which kind these are; "" where all are alike
}

// walkRow is one thing to do.
type walkRow struct {
	ID, Area, Equipment string
	Do                  string
	TooLow, Urgent      bool
	Code                record.Code // of the label that it is about; "" for none
	Off, On             record.Code // of the label to take off, and of the one to mount in its place; "" where that is not known
	Path                string      // of its page, from the start page; "" for none
	First               string      // what must be done before
	Notes               []string
	wrong               bool   // another label than its own is on the equipment
	Next                Action // the form that prints it or notes it
}

// doWords say on a page what there is to do.
var doWords = map[plant.Do]string{plant.Cover: "cover", plant.Replace: "replace the label", plant.PutOn: "mount the label",
	plant.Uncover: "remove the overlay", plant.Remove: "verify and remove the label"}

// walkList is all that there is to do on the equipment.
type walkList struct {
	rows   []walkRow
	counts []taskCount
}

func (b *Book) walk() *walkList {
	return b.walks.of(func() *walkList {
		rows, counts := walkOf(b.Shelf.Site, b.Shelf.Tasks())
		return &walkList{rows, counts}
	})
}

// walkOf are the rows: what is urgent first, what is printed too low before that, then by area.
func walkOf(v *plant.Plant, tasks []plant.Task) (rows []walkRow, counts []taskCount) {
	words := (&label.Presentation{}).Walk()
	for _, do := range plant.Dos {
		n := 0
		for i := range tasks {
			n += btoi(tasks[i].Do == do)
		}
		if n > 0 {
			counts = append(counts, taskCount{Word: doWords[do], Count: n})
			if do == plant.Cover {
				counts[len(counts)-1].Of = covered(v, tasks)
			}
		}
	}
	for i := range tasks {
		t := &tasks[i]
		low := func(n plant.Note) bool { return n.What == plant.NoteTooLow } // its badge says so
		r := walkRow{ID: t.ID, Area: t.Area, Equipment: t.Equipment, Do: doWords[t.Do], Urgent: t.Urgent,
			Code: cmp.Or(t.There, t.Label), TooLow: slices.ContainsFunc(t.Notes, low),
			wrong: t.Urgent && slices.ContainsFunc(t.Notes, func(n plant.Note) bool { return n.What == plant.NoteSeen }),
			Notes: report.TaskNotes(words, slices.DeleteFunc(slices.Clone(t.Notes), low))}
		if t.Do == plant.PutOn || t.Do == plant.Replace {
			if r.On = cmp.Or(t.Label, t.Copy); t.There != r.On {
				r.Off = t.There
			}
		}
		if own, _ := v.History.Last(t.ID); own.ID != (record.ID{}) { // whatever is on the equipment
			r.Path = underCode(own.ID.Code())
		} else if r.Code != "" {
			r.Path = underCode(r.Code)
		}
		switch {
		case t.ByHand():
			r.First = t.First.Words
		case t.First.Words != "" && t.Do != plant.Cover: // a note says so of an overlay
			r.First = "the new label must be printed first"
		}
		r.Next = NextOf(t)
		rows = append(rows, r)
	}
	return sorted(rows, func(a, b *walkRow) int {
		return cmp.Or(btoi(b.TooLow)-btoi(a.TooLow), btoi(b.Urgent)-btoi(a.Urgent), btoi(b.wrong)-btoi(a.wrong), cmp.Compare(a.Area, b.Area))
	}), counts
}

// covered says why labels are to be covered: 1 printed too low, 6 in question.
func covered(v *plant.Plant, tasks []plant.Task) string {
	n := map[string]int{}
	for i := range tasks {
		t := &tasks[i]
		if t.Do != plant.Cover {
			continue
		}
		place, _ := v.Place(t.ID) // a label without one is removed, not covered
		switch s := &place.Printed.Standing; {
		case s.TooLow:
			n[lowWords]++
		case place.Printed.Holds():
			n[renewedWords]++
		default:
			n[string(s.Status)]++
		}
	}
	var parts []string
	for _, why := range []string{lowWords, string(standing.InQuestion), string(standing.Lapsed), renewedWords} {
		if n[why] > 0 {
			parts = append(parts, strconv.Itoa(n[why])+" "+why)
		}
	}
	return strings.Join(parts, ", ")
}

// renewedWords is why an overlay goes over a label that holds.
const renewedWords = "with the new date of a review"

// NextOf is the form of a server that carries a task on, from the start page: it prints what must
// be printed first, or notes that the task is done. It is empty where there is none.
func NextOf(t *plant.Task) Action {
	at := func(text, form string, more ...string) Action {
		q := url.Values{"at": {t.ID}}
		for i := 0; i < len(more); i += 2 {
			q.Set(more[i], more[i+1])
		}
		return Action{text, form + "/?" + q.Encode()}
	}
	printed := t.First.Words == ""
	switch {
	case t.ByHand():
		return Action{}
	case t.Do == plant.Cover && printed:
		return at("Note that it is covered", "mounted", "what", "overlay")
	case t.Do == plant.Cover:
		return at("Print its overlay", "overlay")
	case t.Do == plant.Uncover:
		return at("Note that the overlay is removed", "removed", "what", "overlay")
	case t.Do == plant.Remove:
		return at("Note that it is removed", "removed")
	case t.Copy != "":
		return Action{"Print this label again", "reprint/?code=/V/" + string(t.Copy)}
	case printed:
		return at("Mark it installed", "mounted")
	}
	return Action{"Print the new label", "print/?only=" + url.QueryEscape(t.ID)}
}

func (p planner) walk(list *walkList) []Page {
	rows, counts, urgent := list.rows, list.counts, 0
	for i := range rows {
		urgent += btoi(rows[i].Urgent)
	}
	return inParts("walk/", "index.html", rows, perPage, func(name string, some []walkRow, at part) Page {
		return planned(p, name, walkPage{counts, some, urgent, len(rows), at}, (*setting).walked)
	})
}

func (s *setting) walked(p walkPage) ([]byte, error) {
	return s.render("walk.html", "What to do on the equipment", "", 1, struct {
		walkPage
		Writes bool
	}{p, s.Live != nil && s.Live.Writes})
}
