package label

// MarkPreview makes a label into a picture of one, for a site whose policy is
// not the owner's yet: a strip says so, and it bears no code of a calculation,
// since none is stored.
func (l *Label) MarkPreview(p Presentation) {
	l.Preview, l.Code, l.QR = true, "", ""
	for i := range l.Words {
		w := &l.Words[i]
		w.Interim, w.Doubt, w.Scan, w.ScanAsk = p.wording(w.Language).Preview, "", "", ""
	}
}
