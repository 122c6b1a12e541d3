package label

// ProofWords are the words of the page for a print shop in one language.
type ProofWords struct {
	ProofTitle string `toml:"proof_title"`
	ProofNote  string `toml:"proof_note"`

	ProofCondition string `toml:"proof_condition"` // what the file is
	ProofPlain     string `toml:"proof_plain"`

	ProofText string `toml:"proof_text"` // what to look at
	ProofCode string `toml:"proof_code"`
	ProofQR   string `toml:"proof_qr"` // the text of the QR code

	ProofBlack string `toml:"proof_black"` // the names of colors
	ProofGray  string `toml:"proof_gray"`
}

// Proof words the page for a print shop. It uses the slip's names of colors.
type Proof struct {
	*ProofWords
	*Slip
}

// Proof words the page for a print shop, in the first of the languages of a site.
func (p *Presentation) Proof() *Proof {
	t := p.first()
	return &Proof{&t.ProofWords, &Slip{&t.SlipWords, t}}
}

// Condition says that the file is PDF/X, and for which printing condition.
func (p *Proof) Condition(version, condition string) string {
	return fill(p.ProofCondition, "version", version, "condition", condition)
}

// Smallest says how small the smallest text of a job is.
func (p *Proof) Smallest(points, capitals string) string {
	return fill(p.ProofText, "points", p.Number(points), "capitals", p.Number(capitals))
}

// Module says how large the modules of a job's QR codes are.
func (p *Proof) Module(size string) string { return fill(p.ProofCode, "size", p.Number(size)) }
