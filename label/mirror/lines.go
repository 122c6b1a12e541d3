package mirror

import (
	"context"
	"fmt"
	"strings"

	"vouchmark/label/record"
)

// compareLines compares all lines: where they part, which were altered or removed in the mirror, which one of
// them lacks.
func (c *comparison) compareLines(ctx context.Context) error {
	c.end = min(c.top, len(c.ledger.Lines))
	var all []check
	var gone []int
	for n := 1; n <= c.top; n++ {
		e, there := c.lines[n]
		if !there {
			gone = append(gone, n)
			continue
		}
		if n <= len(c.texts) {
			text := c.texts[n-1]
			all = append(all, check{entry: e, sum: sum(text), md5: md5Of(text), size: int64(len(text)), line: n})
		}
	}
	same := len(all)
	err := c.verify(ctx, all, func(k *check, data []byte) bool {
		same--
		c.other(k, data)
		return c.parted // the first line at which they part says all
	})
	if err != nil {
		return err
	}
	c.Same = same
	if c.parted {
		c.Same = c.end
	}
	c.removed(gone)
	return c.longer(ctx)
}

// other says what is wrong with a line that the mirror has and that is not the ledger's.
func (c *comparison) other(k *check, data []byte) {
	n := k.line
	own := n <= len(c.ledger.Lines) // where the chain of the ledger is intact
	next := false
	if n-1 <= len(c.ledger.Lines) {
		_, err := record.ParseNext(data, c.ledger.HeadAt(n-1))
		next = err == nil
	}
	switch {
	case next && own:
		c.parted, c.end = true, n-1
		c.problem("forks", record.LineName(n), "find out who wrote to this folder, and which is right; the mirror keeps its own lines, in lines/",
			"it differs from line %d of the mirror (ledger: %s; mirror: %s): the ledger was rewritten from there on, or two copies of this "+
				"folder were written", n, words(c.texts[n-1]), words(data))
	case next:
		c.parted, c.end = true, n-1
		c.problem("forks", record.LineName(n), "restore the ledger from the mirror's lines or from a backup, and find out who wrote to it",
			"the mirror has this line as it was (%s)", words(data))
	case !own:
		c.parted, c.end = true, min(c.end, n-1) // neither can be followed
		c.problem("altered lines", inMirror(k.entry.Key), "find out who can write to the mirror",
			"neither this line nor that of the ledger follows the line before")
	default:
		c.problem("altered lines", inMirror(k.entry.Key), "find out who can write to the mirror; the ledger has the line",
			"its bytes are not line %d of the ledger: it was altered in the mirror", n)
	}
}

// removed reports lines that the mirror had.
func (c *comparison) removed(gone []int) {
	if len(gone) == 0 {
		return
	}
	var parts []string
	for i := 0; i < len(gone); {
		k := i
		for k+1 < len(gone) && gone[k+1] == gone[k]+1 {
			k++
		}
		if parts = append(parts, fmt.Sprint(gone[i])); k > i {
			parts[len(parts)-1] += fmt.Sprintf(" to %d", gone[k])
		}
		i = k + 1
	}
	if len(parts) > mostOfKind {
		parts = append(parts[:mostOfKind], "…")
	}
	c.problem("removed lines", inMirror(lines), "find out who can write to the mirror; vouchmark records mirror sends what the ledger has of them",
		"%s removed from the mirror, though later ones or their heads are there: %s", were(len(gone)), strings.Join(parts, ", "))
}

func were(n int) string {
	if n == 1 {
		return "1 line was"
	}
	return count(n) + " were"
}

// longer reports lines that the mirror has after the ledger's last one, or the ledger after the mirror's.
func (c *comparison) longer(ctx context.Context) error {
	if c.parted {
		return nil
	}
	own := len(c.texts)
	if c.top <= own {
		c.Waiting = max(0, len(c.ledger.Lines)-c.top)
		return nil
	}
	more := c.top - own
	next := "removed there too"
	if e, there := c.lines[own+1]; there {
		f, err := c.b.Get(ctx, e.Key, record.MostLine)
		if err != nil {
			return ofLine(own+1, err)
		}
		next = words(f.Data)
	}
	if c.o.Archive {
		c.Notes = append(c.Notes, fmt.Sprintf("the mirror has %s after the last one of the archive (the first: %s)", count(more), next))
		return nil
	}
	last := fmt.Sprintf("after line %d, the last one here", own)
	if own == 0 {
		last = "and this folder has none"
	}
	c.problem("lost lines", record.LedgerFile, "find out who removed them, or which other copy of this folder was written; the mirror has them",
		"the mirror has %s %s (the first: %s): the newest lines of this ledger were removed, or another copy of this "+
			"folder was written", count(more), last, next)
	return nil
}
