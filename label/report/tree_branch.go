package report

// TreeLevels is the deepest indentation. A deeper row is drawn at this level and
// says its depth.
const TreeLevels = 24

// Branch says how the branches run at a row, for text and drawing alike. It is
// worked out over the whole picture, so that any part of it can be drawn.
type Branch struct {
	Level  int    `json:"-"` // indentation: the depth, at most TreeLevels
	Capped bool   `json:"-"` // the depth is more than that
	Lines  uint32 `json:"-"` // bit k: a branch of level k passes the row, to another row further down
	Last   bool   `json:"-"` // no other row follows on its branch
	Down   bool   `json:"-"` // rows of the next level follow below it
}

// Runs reports whether a branch of a level above the row's own passes the row.
func (b *Branch) Runs(level int) bool { return b.Lines&(1<<level) != 0 }

// branches works them out from the depths of all rows, starting at the last.
func branches(depths []int) []Branch {
	all := make([]Branch, len(depths))
	var open uint32 // bit k: a row of level k follows before one of a lower level
	for i := len(depths) - 1; i >= 0; i-- {
		b := &all[i]
		b.Level, b.Capped = min(depths[i], TreeLevels), depths[i] > TreeLevels
		b.Last = open&(1<<b.Level) == 0
		b.Down = open&(1<<(b.Level+1)) != 0
		b.Lines = open & (1<<b.Level - 1)
		open = b.Lines | 1<<b.Level
	}
	return all
}
