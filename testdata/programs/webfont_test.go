package programs

import (
	"path/filepath"
	"strings"
	"testing"

	typeface "vouchmark/fonts"
)

// The small typefaces of the pages have the same letters as the whole ones: fonttools, a program
// of another language, compares the shape and the width of every character.
func TestWebFontsAreTheWholeOnes(t *testing.T) {
	need(t, "/usr/bin/python3")
	for _, f := range []string{"Regular", "Medium", "Bold"} {
		name := "RobotoCondensed-" + f
		out := run(t, "/usr/bin/python3", "-c", `
import sys
from fontTools.ttLib import TTFont
from fontTools.subset import parse_unicodes
from fontTools.pens.recordingPen import DecomposingRecordingPen
def letters(file):
    font = TTFont(file)
    glyphs, names = font.getGlyphSet(), font.getBestCmap()
    def letter(c):
        pen = DecomposingRecordingPen(glyphs)
        glyphs[names[c]].draw(pen)
        return glyphs[names[c]].width, pen.value
    return {c: letter(c) for c in names}
small, whole = letters(sys.argv[1]), letters(sys.argv[2])
wanted = {c for c in parse_unicodes(sys.argv[3]) if c in whole}
print(set(small) == wanted and len(small) > 200 and all(small[c] == whole[c] for c in small))`,
			filepath.Join(root, "fonts", "web", name+".woff2"), filepath.Join(root, "fonts", name+".ttf"), typeface.WebRange)
		if strings.TrimSpace(string(out)) != "True" {
			t.Errorf("%s: %s", name, out)
		}
	}
}
