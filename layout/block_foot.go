package layout

// blockFoot says why the label holds and until when: the dates, the source,
// the record's code, and the box for the day on which it was put up.
func blockFoot(c *canvas, w, h float64) float64 {
	var dates, source []string
	applied := ""
	for _, t := range c.label.Words {
		dates = append(dates, c.fitted("dates", t.Dates, c.strong, w, 1)...)
		source = append(source, c.fitted("study", t.Source, c.body, w, 1)...)
		applied = joined(" / ", applied, t.Applied)
	}

	// The code and the box share a line where there is room for a date written
	// by hand, about 20 mm.
	on := c.words.AppliedOn
	boxLeast := MM(19)
	if on != "" {
		boxLeast = c.medium.width(on) + 8*c.unit
	}
	codeWidth := c.body.width(c.label.Code)
	label := c.body.width(applied)
	one := codeWidth+c.gap*1.6+label+4*c.unit+boxLeast <= w || applied == ""
	if codeWidth > w {
		c.note("code", c.label.Code, 1, 1, false)
	}
	rows := len(dates) + len(source) + 1
	if !one {
		rows++
	}
	boxHeight := c.body.caps() + 5*c.unit
	if c.tight {
		boxHeight = c.body.caps() + 3.4*c.unit
	}
	over := (boxHeight - c.body.caps()) / 2 // the box reaches beyond its line
	drop := over * 0.8                      // so its line stands lower
	need := 2*c.pad + textHeight(c, c.strong, rows) + over + drop
	spare := max(0, h-need)
	step := c.lead + spare*0.5/float64(max(1, rows))
	y := c.pad + spare*0.25 + c.strong.caps()

	// What the QR code is for stands at the right end of the lowest line that
	// has room for it; the code is to the right of that.
	scanX := w - c.body.width(c.words.Scan) - 0.5*c.gap
	scanY := -1.0
	set := func(f font, lines []string) {
		for _, l := range lines {
			if c.text(0, y, f, Black, l)+1.5*c.gap <= scanX {
				scanY = y
			}
			y += step
		}
	}
	set(c.strong, dates)
	set(c.body, source)
	end := codeWidth
	x := codeWidth + c.gap*1.6
	if one {
		y += drop
	} else if codeWidth+1.5*c.gap <= scanX {
		scanY = y
	}
	c.text(0, y, c.body, Black, c.label.Code)
	if !one {
		y += step + drop
		x, end = 0, 0
	}
	if applied != "" {
		x += c.text(x, y, c.body, Black, applied) + 4*c.unit
		wide := min(w-x, max(boxLeast, MM(30)))
		c.box(x, y-c.body.caps()-over, wide, boxHeight, 0, White, Black, c.hair)
		if on != "" {
			c.centre(x+wide/2, y, c.medium, Black, on)
		}
		end = x + wide
	}
	if end+1.5*c.gap <= scanX {
		scanY = y
	}
	if scanY >= 0 {
		c.text(scanX, scanY, c.body, Black, c.words.Scan)
	}
	return need
}
