package site

// ahead reads a table while other files are read. What it gives waits for the table, and reports
// its problems as [reader.readTable] does; for missing, see [reader.file].
func (r *reader) ahead(file string, missing func(*reader)) (wait func() *table) {
	own := newReader(r.folder, r.Options)
	read := make(chan *table, 1)
	go func() { read <- own.readTable(file, func() { missing(own) }) }()
	return func() *table {
		t := <-read
		for _, p := range own.problems.listed {
			r.report(p.File, p.Line, p.Column, p.Found, p.Expected, p.Do)
		}
		if t != nil {
			t.reader, t.hertz = r, r.hertz
		}
		return t
	}
}
