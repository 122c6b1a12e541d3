package intake

import (
	"vouchmark/assess"
	"vouchmark/assess/intake/sheet"
	"vouchmark/assess/site"
)

// Certainty is how certain the meaning of a heading is.
type Certainty string

// The certainties. What is sure or likely is written.
const (
	Sure    Certainty = "sure"
	Likely  Certainty = "likely"
	Unknown Certainty = "unknown"
)

// Study is the result of reading a study's file.
type Study struct {
	File    string
	Sheet   string // "" for a text file
	Book    *sheet.Book
	Heading *Heading
	Columns []Column // one for each heading, in the order of the file

	Left      []Left      // rows left out
	Filled    []Filled    // merged cells that were filled down
	Converted []Converted // what was not taken unchanged
	Feeds     Feeds
	Missing   []Missing // required columns that the file lacks
	Questions []Question

	Rows     []Row    // in the order of the file
	DateForm string   // of its dates; "" if that made no difference, or columns differ
	Layout   *Layout  // of intake.toml by which it was read; nil for none
	Answers  *Answers // by which it was read
}

// Column is a heading with its meaning.
type Column struct {
	At      int // from 0
	Heading string
	Below   string // its cell in the row of units
	Samples []string
	Filled  int // cells that are not empty
	Hidden  bool
	Means   []Meaning // mostly one; none if it is not read
	Left    bool      // on purpose: the person asked for it, or no cell is filled
	Why     string    // why it is not read
	Perhaps []string  // what it may be, if it is unknown
}

// Meaning is one column of locations.csv that a heading stands for.
type Meaning struct {
	*assess.Column
	Unit      Unit
	Certainty Certainty
	Why       string
}

// Unit is the unit of a column's numbers.
type Unit struct {
	site.NamedUnit
	Own        bool // each cell has its own unit
	FeetInches bool // 3-4 is three feet and four inches
}

// Symbol is how a message writes the unit.
func (u Unit) Symbol() string {
	switch {
	case u.FeetInches:
		return "feet and inches"
	case u.Own:
		return "its own"
	}
	return u.NamedUnit.Symbol()
}

// Spelling is a column with its unit, as in an answer: energy_cal_cm2, distance_cm, boundary_ft_in;
// without a unit if each cell has its own.
func (m *Meaning) Spelling() string {
	switch {
	case m.Kind != assess.Quantity || m.Unit.Own:
		return m.Name
	case m.Unit.FeetInches:
		return m.Name + "_ft_in"
	case m.Unit.Of != 1:
		return m.Name + "_" + m.Unit.Symbol()
	case m.Unit.Suffix == "":
		return m.Name
	}
	return m.Name + "_" + m.Unit.Suffix
}

// Converted is a way in which cells were not taken unchanged.
type Converted struct {
	Heading string `json:"heading"`
	What    string `json:"what"`
	Count   int    `json:"count"`
	First   string `json:"first"` // the first such cell
	Row     int    `json:"row"`
}

// Filled is a merged cell whose text also counts for the rows below.
type Filled struct {
	Heading string `json:"heading"`
	Rows    []int  `json:"rows"`
	Text    string `json:"text"`
}

// Missing is a required column that no heading stands for.
type Missing struct {
	Column  string   `json:"column"` // in its usual spelling
	Perhaps []string `json:"perhaps,omitempty"`
	Hint    string   `json:"hint,omitempty"`
}

// Question is something that only a person can answer; while there is one, nothing is written.
type Question struct {
	Row     int    `json:"row,omitempty"`
	Heading string `json:"heading,omitempty"`
	What    string `json:"what"`
	Do      string `json:"do"`
}

// Row is one row of the study, as cells of locations.csv.
type Row struct {
	Number int               // in the file
	Cells  map[string]string // by the name of the column, in its unit
	Stated map[string]string // what is only compared
}

// file is a study while it is read.
type file struct {
	study   *Study
	sheet   *sheet.Sheet
	heading *Heading
	answers *Answers
	lexicon
	rows      []*sheet.Row
	numbers   site.Numbers
	forms     map[int]string // of dates, by column
	signs     signs
	hertz     float64
	text      bool              // a text file, not a workbook
	sure      map[string]bool   // what one heading means beyond doubt
	said      map[int][]reading // what headings may mean, regardless of their cells
	given     map[string]bool
	rowWidth  int          // how many cells most rows of a text file have; 0 until it is computed
	rowFilled int          // how many cells the fullest row fills; 0 until it is computed
	wide      []*sheet.Row // with more cells than there are headings
	siteIDs   []string     // ids that the site already has
}

// Context is what the site says about how to read a study.
type Context struct {
	Hertz    float64         // of the supply, for durations in cycles
	Defaults map[string]bool // columns that site.toml fills in
	Layouts  []Layout        // of intake.toml
	IDs      []string        // of the locations that the site has
	Has      map[string]bool // columns that its locations.csv has
	Labels   bool            // labels of the site were printed: the study is a restudy
}

// Read finds out what a study's file says. The file may have several sheets: the answers name one,
// or only one has a row of headings. It returns an error only if no table is found; what is unclear
// in a table is in the Study's Questions.
func Read(book *sheet.Book, name string, a *Answers, c Context) (*Study, error) {
	words := lexicon{}
	s, h, err := words.chooseSheet(book, name, a)
	if err != nil {
		return nil, err
	}
	a, layout := a.With(c.Layouts, h)
	study := &Study{File: name, Sheet: s.Name, Book: book, Heading: h, Answers: a, Layout: layout}
	f := &file{study: study, sheet: s, heading: h, answers: a, hertz: c.Hertz, text: book.Delimiter != 0,
		lexicon: words, given: map[string]bool{}, siteIDs: c.IDs}
	if f.hertz == 0 {
		f.hertz = 60
	}
	f.sortRows()
	f.headings()
	f.propose()
	f.readRows()
	f.spellIDs()
	f.modes()
	f.feeds()
	f.checkNeeded(c)
	f.askUnread()
	return study, nil
}
