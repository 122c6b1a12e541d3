package mirror

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// compareFiles compares the records and other files that lines name.
func (c *comparison) compareFiles(ctx context.Context) error {
	need, known := needed(c.ledger), map[string]bool{}
	lacks := map[string]bool{} // files that the folder cannot show
	var all []check
	for i := range c.ledger.Lines {
		for _, n := range namedBy(&c.ledger.Lines[i], i+1) {
			if known[n.key] {
				continue
			}
			known[n.key] = true
			if i+1 > c.end {
				continue
			}
			e, there := c.files[n.key]
			data, err := n.read(c.folder)
			switch {
			case !there && err != nil: // that the folder lacks it is told by an audit
			case !there && strings.HasPrefix(n.key, records) && need[n.sum] == 0: // of a print that was interrupted
			case !there:
				c.problem("missing files", inMirror(n.key), "vouchmark records mirror sends it; find out why it was not there",
					"it is missing in the mirror, though line %d, which names it, is there", n.line)
			case err != nil:
				lacks[n.key] = true
				all = append(all, check{entry: e, sum: n.sum, line: n.line})
			default:
				all = append(all, check{entry: e, sum: n.sum, md5: md5Of(data), size: int64(len(data)), line: n.line})
			}
		}
	}
	c.Files = len(all)
	err := c.verify(ctx, all, func(k *check, _ []byte) bool {
		c.Files--
		delete(lacks, k.entry.Key)
		c.problem("altered files", inMirror(k.entry.Key), "find out who can write to the mirror",
			"its bytes are not those that line %d names: it was altered in the mirror", k.line)
		return false
	})
	if err != nil {
		return err
	}
	for _, key := range slices.Sorted(maps.Keys(lacks)) {
		const kind = "files that the folder lacks"
		if c.kinds[kind]++; c.kinds[kind] <= mostOfKind {
			c.Notes = append(c.Notes, fmt.Sprintf("the mirror has %s as it was; the folder does not", key))
		}
	}
	if c.parted || c.top > len(c.texts) {
		return nil // other lines of the mirror may name the rest
	}
	for _, key := range slices.Sorted(maps.Keys(c.files)) {
		if !known[key] {
			c.problem("unknown files", inMirror(key), "find out who can write to the mirror", "no line of the ledger names it")
		}
	}
	return nil
}
