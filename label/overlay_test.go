package label

import (
	"strings"
	"testing"

	"vouchmark/assess"
	"vouchmark/assess/shock"
	"vouchmark/assess/standing"
)

// An overlay and an INTERIM strip give the cause. A label that holds needs none,
// except one whose study was reviewed and confirmed.
func TestDoubtByCause(t *testing.T) {
	since, err := assess.ParseDate("2026-08-11")
	if err != nil {
		t.Fatal(err)
	}
	r, _ := compose(t, place{"MCC-4", "Hall", "Panel", shock.AC3, 480, 6.5, 46, 18, false, "", "", 0})
	look := Presentation{Languages: []string{"en", "es"}}
	for _, c := range []struct {
		cause  standing.Cause
		status standing.Status
		want   string
	}{
		{standing.UpstreamCause, standing.InQuestion, "IN QUESTION since 2026-08-11: the electrical system has changed since the study."},
		{standing.ReviewCause, standing.InQuestion, "IN QUESTION since 2026-08-11: a review found an error in the study."},
		{standing.DataCause, standing.InQuestion, "IN QUESTION since 2026-08-11: the study or this site’s rules have changed."},
		{standing.PolicyCause, standing.InQuestion, "IN QUESTION since 2026-08-11: the study or this site’s rules have changed."},
		{standing.ByAgeCause, standing.Lapsed, "LAPSED since 2026-08-11: the study was not reviewed in time."},
		{standing.WithdrawCause, standing.Withdrawn, "WITHDRAWN since 2026-08-11: remove this label."},
	} {
		s := &standing.Standing{Status: c.status, Reasons: []standing.Reason{{Since: since, Ground: &standing.Ground{Cause: c.cause, Status: c.status}}}}
		o := ComposeOverlay(r, "7K3M-9QTD-RC4A-0W2E", s, "the shift", look)
		if o == nil || len(o.Words) != 2 || o.Words[0].Why != c.want || !strings.Contains(o.Words[0].Do[0], "the shift") || strings.Contains(o.Words[1].Why, "{") {
			t.Errorf("%s: %+v", c.cause, o)
		}
		low := *s
		low.TooLow = true
		if o := ComposeOverlay(r, "7K3M-9QTD-RC4A-0W2E", &low, "", look); o.Words[0].Why != c.want+" More energy is possible than this label shows." || !strings.HasSuffix(o.Words[1].Why, look.wording("es").PageTooLow) {
			t.Errorf("%s, printed too low: %+v", c.cause, o)
		}
		l := Compose(r, "7K3M-9QTD-RC4A-0W2E", look)
		l.MarkInterim(s, "the shift", look)
		if w := l.Words[0]; w.Interim != "INTERIM" || w.Doubt != c.want+" Printed values may be too low. Before any work, contact the shift." || l.Words[1].Interim != "PROVISIONAL" {
			t.Errorf("%s: %q %q", c.cause, w.Interim, w.Doubt)
		}
	}
	holds := &standing.Standing{Status: standing.Holds}
	if o := ComposeOverlay(r, "7K3M-9QTD-RC4A-0W2E", holds, "", look); o != nil {
		t.Errorf("a label that holds has an overlay: %+v", o)
	}
	due := &standing.Standing{Status: standing.FallsDue, Reasons: []standing.Reason{{Since: since, Ground: &standing.Ground{Cause: standing.ByAgeCause, Status: standing.FallsDue}}}}
	if o := ComposeOverlay(r, "7K3M-9QTD-RC4A-0W2E", due, "", look); o != nil {
		t.Errorf("a label that falls due has an overlay: %+v", o)
	}
	until, _ := assess.ParseDate("2036-08-11")
	renewed := &standing.Standing{Status: standing.Holds, Until: until, Reasons: []standing.Reason{{Since: since, Ground: &standing.Ground{Cause: standing.ReviewCause, Status: standing.Holds}}}}
	o := ComposeOverlay(r, "7K3M-9QTD-RC4A-0W2E", renewed, "", look)
	if o == nil || o.Words[0].Title != "STUDY REVIEWED" || o.Words[0].Why != "Study found correct on 2026-08-11. The label below says "+r.ReviewBy.String()+"." || o.Words[0].Do[0] != "REVIEW BY 2036-08-11" {
		t.Errorf("%+v", o)
	}
}

// inQuestion is the standing of a label after a change upstream.
func inQuestion(t *testing.T) *standing.Standing {
	t.Helper()
	since, err := assess.ParseDate("2026-08-11")
	if err != nil {
		t.Fatal(err)
	}
	return &standing.Standing{Status: standing.InQuestion, Reasons: []standing.Reason{
		{Since: since, Ground: &standing.Ground{Cause: standing.UpstreamCause, Status: standing.InQuestion}}}}
}
