package page

// part is one of the pages on which a long list stands.
type part struct {
	Number, Of     int
	Previous, Next string
}

// parts divides a list of so many rows. There is one part at least.
func parts(rows, most int) int { return max(1, (rows+most-1)/most) }

// newPart is the part with number i, from 0, of so many; name gives the files
// of its neighbours.
func newPart(i, of int, name func(i int) string) part {
	p := part{Number: i + 1, Of: of}
	if i > 0 {
		p.Previous = name(i - 1)
	}
	if i+1 < of {
		p.Next = name(i + 1)
	}
	return p
}

// slice is what stands on the part with number i.
func slice[T any](all []T, i, most int) []T { return all[i*most : min(len(all), (i+1)*most)] }
