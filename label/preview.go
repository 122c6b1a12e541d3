package label

// MarkPreview turns a label into a preview, for a site whose policy is not yet the
// owner's: a strip says so, and it has no code of a calculation, since none is
// stored.
func (l *Label) MarkPreview(p Presentation) {
	l.Preview, l.Code, l.QR = true, "", ""
	for i := range l.Words {
		w := &l.Words[i]
		w.Interim, w.Doubt, w.Scan, w.ScanAsk = p.wording(w.Language).Preview, "", "", ""
	}
}
