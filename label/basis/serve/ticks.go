package serve

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"

	"vouchmark/assess"
	"vouchmark/label/logbook"
	"vouchmark/label/record"
)

// What the page of a round sends, when there is reception: what was found on the equipment, each with a
// name that the ledger keeps. Sent again, it is noted once.

// mostTicks is how many are sent at once.
const mostTicks = 50

// ticked is what is sent.
type ticked struct {
	By         string         `json:"by"`
	Passphrase string         `json:"passphrase"`
	Ticks      []logbook.Look `json:"ticks"`
}

// tickAnswer is what became of one of them. Its status is as of a request of its own: 200 where the ledger
// has it, 409 where it has something else under that name, 422 where it cannot be noted.
type tickAnswer struct {
	logbook.Seen
	Status int `json:"status"`
}

// ticks notes what a round found. Each is noted or refused by itself.
func (h *Handler) ticks(w http.ResponseWriter, r *http.Request) {
	said, status, err := h.readTicks(w, r)
	if err != nil {
		notTold(w, status, err)
		return
	}
	by, status, err := h.whoTicks(r, said)
	if err != nil {
		if status == http.StatusTooManyRequests {
			w.Header().Set("Retry-After", "1")
		}
		notTold(w, status, err)
		return
	}
	leave, err := h.writes.take(r.Context(), h.from(r))
	if err != nil {
		w.Header().Set("Retry-After", "5")
		notTold(w, http.StatusServiceUnavailable, err)
		return
	}
	defer leave()
	s := h.current()
	if s.err != nil {
		notTold(w, http.StatusServiceUnavailable, errors.New("the site folder has problems"))
		return
	}
	all, err := h.desk(r).See(s.book.Shelf.Site, said.Ticks, by)
	if err != nil {
		h.site.Log.Printf("a round could not be noted: %v", err)
		notTold(w, http.StatusInternalServerError, errors.New("the server could not write"))
		return
	}
	h.renew()
	answers := make([]tickAnswer, len(all))
	for i := range all {
		answers[i] = tickAnswer{all[i], http.StatusOK}
		switch {
		case all[i].Taken():
			answers[i].Status = http.StatusConflict
		case all[i].Err != nil:
			answers[i].Status = http.StatusUnprocessableEntity
		}
	}
	tell(w, http.StatusOK, map[string]any{"today": s.book.Shelf.Site.Today, "ticks": answers})
}

// readTicks reads what was sent. A field that this version does not know is left alone: an older page may
// send less, not more.
func (h *Handler) readTicks(w http.ResponseWriter, r *http.Request) (*ticked, int, error) {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		return nil, http.StatusUnsupportedMediaType, errors.New("expected application/json")
	}
	data, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostSent))
	if tooLarge := (*http.MaxBytesError)(nil); errors.As(err, &tooLarge) {
		return nil, http.StatusRequestEntityTooLarge, fmt.Errorf("it is larger than %d bytes; send fewer at once", mostSent)
	}
	said := new(ticked)
	if err == nil {
		err = json.Unmarshal(data, said)
	}
	switch {
	case err != nil:
		return nil, http.StatusBadRequest, errors.New("this cannot be read as ticks of a round")
	case len(said.Ticks) > mostTicks:
		return nil, http.StatusRequestEntityTooLarge, fmt.Errorf("%d ticks; send at most %d at once", len(said.Ticks), mostTicks)
	}
	for i := range said.Ticks {
		if !record.TickName(said.Ticks[i].Tick) {
			return nil, http.StatusBadRequest, errors.New("a tick has no name")
		}
	}
	return said, http.StatusOK, nil
}

// whoTicks is who notes it, where they may.
func (h *Handler) whoTicks(r *http.Request, said *ticked) (by string, status int, err error) {
	if p := personOf(r); p != nil {
		if said.By != p.Name { // it waited on a device that several people use
			return "", http.StatusConflict, fmt.Errorf("%s is signed in, and %s noted it", p.Name, cmp.Or(said.By, "somebody who was not signed in"))
		}
		return p.Name, http.StatusOK, nil
	}
	by, err = record.OneLine(said.By, record.LongestName)
	if err == nil && !assess.Says(by) {
		err = errors.New("enter your name")
	}
	if err != nil {
		return "", http.StatusUnprocessableEntity, err
	}
	if p := h.site.Desk.Passphrase; p != nil {
		err := p.Check(r.Context(), Who{h.from(r), owner(r)}, said.Passphrase)
		if errors.Is(err, errBusy) {
			return "", http.StatusTooManyRequests, err
		}
		if err != nil {
			h.site.Log.Printf("wrong passphrase, %d since the server started", p.Failed())
			return "", http.StatusForbidden, errWrong
		}
	}
	return by, http.StatusOK, nil
}

// notTold answers where nothing was noted.
func notTold(w http.ResponseWriter, status int, err error) {
	tell(w, status, map[string]string{"error": "Nothing was noted: " + err.Error() + "."})
}

// tell answers a program.
func tell(w http.ResponseWriter, status int, answer any) {
	data, err := json.Marshal(answer)
	if err != nil {
		status, data = http.StatusInternalServerError, []byte("{}")
	}
	w.Header().Set("Content-Type", jsonType)
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	w.Write(append(data, '\n'))
}
