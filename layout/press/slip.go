package press

import (
	"vouchmark/assess"
	"vouchmark/layout"
)

// PaperOf is the paper that is usual where a site is, judged by its units; letter
// if no policy is known.
func PaperOf(p *assess.Policy) layout.Paper {
	if p != nil && p.Units == assess.SI {
		return layout.Papers[1]
	}
	return layout.Papers[0]
}

// slipOf makes the slip of one output, on as many pages as it needs.
func slipOf(out *Output, o Options) []layout.Page {
	slip := *o.Slip
	slip.Stock, slip.Copies = o.Stock, max(o.Copies, 1)
	for i, item := range out.Items {
		what := slip.Words.SlipMarkings
		switch {
		case item.look != nil:
			what = slip.Words.Like(item.Label())
		case item.Overlay != nil:
			what = slip.Words.SlipOverlays
		}
		slip.Counts = count(slip.Counts, what)
		if i%slip.Copies == 0 {
			slip.Labels = append(slip.Labels, layout.SlipLine{ID: item.Record.Location.ID, Code: string(item.Code)})
		}
	}
	return layout.SlipPages(&slip)
}

func count(all []layout.Count, what string) []layout.Count {
	for i := range all {
		if all[i].What == what {
			all[i].N++
			return all
		}
	}
	return append(all, layout.Count{What: what, N: 1})
}
