package assess

import (
	"bytes"
	"encoding/json"

	"vouchmark/assess/arc"
)

// Most of the time that a check takes would go into the JSON of what a label shows, which nearly always
// is as it was. What is encoded for every location is therefore written here, without looking at its
// types, byte by byte as encoding/json writes it without escapes for HTML. A field that is added to a type
// must be added here too; tests fill all fields and compare.

// jsonText is JSON that grows at its end.
type jsonText struct {
	b   []byte
	err error
}

// key begins a member of an object.
func (t *jsonText) key(name string) {
	if t.b[len(t.b)-1] != '{' {
		t.b = append(t.b, ',')
	}
	t.b = append(t.b, '"')
	t.b = append(t.b, name...)
	t.b = append(t.b, '"', ':')
}

func (t *jsonText) put(c byte) { t.b = append(t.b, c) }

// number writes a number.
func (t *jsonText) number(x float64) {
	b, err := arc.AppendJSON(t.b, x)
	if t.b = b; t.err == nil {
		t.err = err
	}
}

// numberOr is a member with a number, or without one with another text.
func (t *jsonText) numberOr(name string, x float64, none string) {
	if t.key(name); x != 0 {
		t.number(x)
	} else {
		t.b = append(t.b, none...)
	}
}

// optional is a member with a number that is left out where there is none.
func (t *jsonText) optional(name string, x float64) {
	if x != 0 {
		t.key(name)
		t.number(x)
	}
}

// text writes a text.
func (t *jsonText) text(s string) {
	if plain(s) {
		t.b = append(t.b, '"')
		t.b = append(t.b, s...)
		t.b = append(t.b, '"')
		return
	}
	t.any(s)
	t.b = bytes.TrimSuffix(t.b, []byte("\n"))
}

func (t *jsonText) member(name, s string) {
	t.key(name)
	t.text(s)
}

// word is a member with a text that is left out where it is empty.
func (t *jsonText) word(name, s string) {
	if s != "" {
		t.member(name, s)
	}
}

// day is a member with a date.
func (t *jsonText) day(name string, d Date) {
	t.member(name, d.String())
}

// any writes any value, and an end of line after it.
func (t *jsonText) any(v any) {
	b := bytes.NewBuffer(t.b)
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); t.err == nil {
		t.err = err
	}
	t.b = b.Bytes()
}

// plain reports whether JSON has a text as it is.
func plain(s string) bool {
	for i := range len(s) {
		if c := s[i]; c < ' ' || c > '~' || c == '"' || c == '\\' {
			return false
		}
	}
	return true
}

// AppendJSON appends the outcome as JSON, without escapes for HTML.
func (o *Outcome) AppendJSON(b []byte) ([]byte, error) {
	t := &jsonText{b: append(b, '{')}
	governing(t, "energy_cal_cm2", &o.Energy)
	governing(t, "boundary_mm", &o.Boundary)
	t.numberOr("boundary_to_print_mm", float64(o.BoundaryToPrint), "null")
	if o.Fault != (Governing[KA]{}) {
		governing(t, "fault_ka", &o.Fault)
	}
	if m := o.Maintenance; m != nil {
		t.key("maintenance")
		t.put('{')
		governing(t, "energy_cal_cm2", &m.Energy)
		governing(t, "boundary_mm", &m.Boundary)
		t.numberOr("boundary_to_print_mm", float64(m.BoundaryToPrint), "null")
		t.member("signal", string(m.Signal))
		t.member("kit_status", string(m.Status))
		t.word("kit", m.Kit)
		t.word("device", m.Device)
		t.word("device_at", m.DeviceAt)
		t.put('}')
	}
	t.member("signal", string(o.Signal))
	t.member("kit_status", string(o.Status))
	t.word("kit", o.Kit)
	s := &o.Shock
	t.key("shock")
	t.put('{')
	t.optional("limited_mm", s.Limited)
	t.optional("restricted_mm", s.Restricted)
	t.member("restricted_status", string(s.Rule))
	t.optional("limited_metric_mm", s.LimitedPrint)
	t.optional("restricted_metric_mm", s.RestrictedPrint)
	t.member("row", s.Row)
	t.word("owner_source", s.Owner)
	t.numberOr("looked_up_v", s.Voltage, "0")
	t.put('}')
	t.key("glove")
	t.put('{')
	t.member("class", o.Glove.Class)
	t.numberOr("limit_v", float64(o.Glove.Limit), "0")
	t.put('}')
	t.day("prepared", o.Prepared)
	if !o.Surveyed.IsZero() {
		t.day("surveyed", o.Surveyed)
	}
	t.day("review_by", o.ReviewBy)
	t.key("computed")
	t.results(o.Computed)
	if len(o.Proven) > 0 {
		t.key("proven")
		t.results(o.Proven)
	}
	if len(o.Codes) > 0 {
		t.key("findings")
		texts(t, o.Codes)
	}
	t.put('}')
	return t.b, t.err
}

// governing is a member with a number that governs.
func governing[T ~float64](t *jsonText, name string, g *Governing[T]) {
	t.key(name)
	t.put('{')
	t.numberOr("value", float64(g.Value), "null")
	t.word("case", g.Case)
	t.member("from", string(g.From))
	t.word("bound", string(g.Bound))
	t.put('}')
}

func (t *jsonText) results(all []*Computed) {
	if all == nil {
		t.b = append(t.b, "null"...)
		return
	}
	t.put('[')
	for i, r := range all {
		if i > 0 {
			t.put(',')
		}
		if r == nil {
			t.b = append(t.b, "null"...)
		} else {
			t.result(r)
		}
	}
	t.put(']')
}

func (t *jsonText) result(r *Computed) {
	t.put('{')
	t.member("method", string(r.Method))
	t.member("case", r.Case)
	t.numberOr("arcing_ka", float64(r.Arcing), "null")
	t.numberOr("arcing_reduced_ka", float64(r.ArcingReduced), "null")
	t.numberOr("energy_cal_cm2", float64(r.Energy), "null")
	t.numberOr("energy_full_cal_cm2", float64(r.EnergyFull), "null")
	t.numberOr("energy_reduced_cal_cm2", float64(r.EnergyReduced), "null")
	t.numberOr("boundary_mm", float64(r.Boundary), "null")
	t.numberOr("boundary_full_mm", float64(r.BoundaryFull), "null")
	t.numberOr("boundary_reduced_mm", float64(r.BoundaryReduced), "null")
	t.numberOr("enclosure_factor", float64(r.EnclosureFactor), "null")
	t.numberOr("enclosure_in", float64(r.EnclosureIn), "null")
	t.word("governs", r.Governs)
	t.numberOr("clear_ms", float64(r.Clear), "null")
	t.member("clear_from", r.ClearFrom)
	t.numberOr("clear_reduced_ms", float64(r.ClearReduced), "null")
	t.word("clear_reduced_from", r.ClearReducedFrom)
	t.optional("cautions", float64(r.Cautions))
	if len(r.Steps) > 0 {
		t.key("steps")
		t.any(r.Steps)
		t.b = bytes.TrimSuffix(t.b, []byte("\n"))
	}
	t.put('}')
}

// AppendFeeds appends feeds as JSON, without escapes for HTML.
func AppendFeeds(b []byte, feeds []Feed) ([]byte, error) {
	if feeds == nil {
		return append(b, "null"...), nil
	}
	t := &jsonText{b: append(b, '[')}
	for i := range feeds {
		f := &feeds[i]
		if i > 0 {
			t.put(',')
		}
		t.put('{')
		t.member("id", f.ID)
		t.word("case", f.Case)
		t.optional("voltage_v", float64(f.Voltage))
		t.optional("fault_ka", float64(f.Fault))
		t.optional("clear_ms", float64(f.Clear))
		t.optional("clear_reduced_ms", float64(f.ClearReduced))
		if !f.Prepared.IsZero() {
			t.day("prepared", f.Prepared)
		}
		t.optional("transformer_kva", f.KVA)
		t.optional("transformer_impedance_percent", f.Impedance)
		t.optional("transformer_secondary_v", float64(f.Secondary))
		t.put('}')
	}
	t.put(']')
	return t.b, t.err
}

// texts writes a list of texts.
func texts[T ~string](t *jsonText, all []T) {
	t.put('[')
	for i, s := range all {
		if i > 0 {
			t.put(',')
		}
		t.text(string(s))
	}
	t.put(']')
}

// cell writes a text in a row, see [Location.AppendRows].
func (t *jsonText) cell(s string) {
	if plain(s) {
		t.text(s)
	} else {
		t.any(s)
	}
}
