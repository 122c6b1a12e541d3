package page

import "fmt"

// part is one of the pages of a long list.
type part struct {
	Number, Of     int
	Previous, Next string
}

// inParts plans the pages of a long list, at most so many rows each, and at least
// one page. The first page has a name of its own, the others a number.
func inParts[T any](dir, start string, all []T, most int, plan func(name string, some []T, p part) Page) (pages []Page) {
	of := max(1, (len(all)+most-1)/most)
	name := func(number int) string {
		switch {
		case number < 1 || number > of:
			return ""
		case number == 1:
			return start
		}
		return fmt.Sprintf("%d.html", number)
	}
	for n := 1; n <= of; n++ {
		some, _ := first(all[(n-1)*most:], most)
		pages = append(pages, plan(dir+name(n), some, part{n, of, name(n - 1), name(n + 1)}))
	}
	return pages
}

// first is the beginning of a list, and how many more there are.
func first[T any](all []T, most int) (some []T, more int) {
	n := min(len(all), most)
	return all[:n], len(all) - n
}
