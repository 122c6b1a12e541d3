package record

import (
	"sync"

	"vouchmark/assess"
)

// Shared are the policies in the records made of one site. Most of its records have one of
// a few, and a hundred thousand copies would be most of the memory. Many may use it at the
// same time.
type Shared struct {
	mu      sync.Mutex
	all     map[decided]*assess.Policy
	digests sync.Map // see Gist
}

// decided is what makes the policy in one record of a site another than that in the next,
// see [assess.Inputs.Deciding].
type decided struct {
	kit, maintenance, row     string
	below, danger, clear, cap bool
	tolerance                 float64
}

// New is [New] with a shared policy.
func (s *Shared) New(a *assess.Assessment) *Record {
	r := New(a)
	p := r.Policy
	d := decided{kit: r.Kit, below: p.BelowThresholdWear != nil, danger: p.DangerTest != nil, clear: p.ShowClearingTime,
		cap: p.TwoSecondReason != "", tolerance: p.TolerancePercent}
	if r.Maintenance != nil {
		d.maintenance = r.Maintenance.Kit
	}
	if len(p.Approach) > 0 {
		d.row = p.Approach[0].Name
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.all == nil {
		s.all = map[decided]*assess.Policy{}
	}
	if s.all[d] == nil {
		s.all[d] = p
	}
	r.Policy = s.all[d]
	return r
}
