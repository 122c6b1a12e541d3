package sheet

// Kind is what a cell holds.
type Kind uint8

// The kinds of cells. A cell of a text file is Empty or Text.
const (
	Empty   Kind = iota
	Text         // also a time of day, and a number stored as text
	Number       // see Cell.Raw
	Day          // a date without a time of day
	Fault        // an error of the spreadsheet, such as #N/A
	Unsaved      // a formula whose result was not stored in the file
	Truth        // TRUE or FALSE
)

// Cell is one cell as a person sees it, and the value behind it.
type Cell struct {
	// Shown is the cell as the spreadsheet shows it, or as it is in a text file,
	// without blanks around it.
	Shown string
	// Raw is the value behind Shown: of a Number the stored one in plain decimal,
	// not rounded by its number format; of a Day the ISO date; else "".
	Raw  string
	Kind Kind
}

// Row is a row that has at least one filled cell.
type Row struct {
	Number int // from 1, as the spreadsheet counts; in a text file the line on which the row begins
	Hidden bool
	Cells  []Cell // from the first column on; the last one is filled
	Width  int    // of a text file: how many cells the row has, empty ones at its end too
}

// Merge is a block of merged cells. Only its upper left cell has a value.
type Merge struct {
	Top, Left, Bottom, Right int // rows as Row.Number, columns from 0; both ends belong to it
}

// Sheet is one sheet of a workbook, or a text file.
type Sheet struct {
	Name          string // "" for a text file
	Rows          []Row  // those without any filled cell are left out
	Merges        []Merge
	Hidden        bool
	HiddenColumns []int // from 0, in ascending order
}

// Book is what a file holds.
type Book struct {
	Sheets    []Sheet
	Encoding  string   // of a text file: "UTF-8", "UTF-16" or "Windows-1252"; "" for a workbook
	Delimiter rune     // of a text file; 0 for a workbook
	Notes     []string // what a person must know about the reading, each a sentence
}

// Options say what must not be guessed.
type Options struct {
	Sheet     string // the only sheet to be read, also a hidden one; "" for all that are not hidden
	Delimiter rune   // of a text file; 0 to find it
	Encoding  string // of a text file, one of Book.Encoding; "" to find it
}
