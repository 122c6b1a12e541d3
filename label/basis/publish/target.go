package publish

import (
	"errors"

	"vouchmark/label/basis/page"
)

// target is where the pages go: a folder or a bucket. check comes first, then begin, which may come again with a
// later state; end and done come last. Several goroutines may use kept, put and below at a time.
type target interface {
	// check refuses a target that shows another site, or a later day or state than this mark. It gives the notes
	// of the state that were damaged and will be written again.
	check(m *mark) (damaged []string, err error)
	// begin notes which state the pages will show, and gives the files that say so.
	begin(m *mark) ([]page.File, error)
	// kept reports whether the target has a page that this program made of the same data, with every byte as it
	// was written; then it gives its size.
	kept(p *page.Page, data string) (m made, size int64, ok bool)
	// put writes a file, unless it is there already with the same bytes, and gives its size there.
	put(f *file) (size int64, changed bool, err error)
	// flush makes everything last that was put.
	flush() error
	// below is what is directly in a folder, in the order of the names; nothing if there is no such folder.
	below(folder string) ([]entry, error)
	// stored is a name as below gives it.
	stored(name string) string
	// end gives the files to be written last, which say what is known of the pages.
	end(m *mark, pages map[string]made) ([]page.File, error)
	// done ends a publishing of which everything is written.
	done() error
	// leave lets others publish. A publishing that failed may be continued by anyone.
	leave()
	// atOnce is how many files are to be put at a time.
	atOnce() int
}

// file is one that is to be written.
type file struct {
	name  string // with slashes
	data  []byte
	page  string // the digest of the data of which a page was made; "" for other files
	fixed bool   // its name has a digest of its bytes
}

// entry is a file or folder in a folder.
type entry struct {
	name string
	dir  bool
}

// errOvertaken is the reason of an error where another publisher took over a target.
var errOvertaken = errors.New("another publisher took over")
