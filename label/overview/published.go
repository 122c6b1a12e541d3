package overview

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"vouchmark/assess"
	"vouchmark/assess/infile"
	"vouchmark/label/report"
)

// MostRead is how much of a published site.json is read. What is of interest is at its start; the
// list of files that follows grows with the site.
const MostRead = 4 * infile.MiB

// PublishedFile is the file of a published site that says what state of the site its pages show.
const PublishedFile = "site.json"

// Published reads what a published site says of itself, as far as its summary.
func Published(r io.Reader) (Reading, error) {
	limited := &io.LimitedReader{R: r, N: MostRead}
	got, err := published(json.NewDecoder(limited))
	if limited.N == 0 && err != nil {
		err = fmt.Errorf("%s has no summary in its first %s", PublishedFile, infile.Size(MostRead))
	}
	return got, err
}

var (
	errNotOurs = errors.New(PublishedFile + " was not written by vouchmark")
	errOlder   = errors.New("published by an earlier version of vouchmark, without a summary; publish it again")
)

func published(d *json.Decoder) (got Reading, err error) {
	var syntax *json.SyntaxError
	damaged := func(err error) error {
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			return errors.New(PublishedFile + " is cut off; publish again")
		}
		var kind *json.UnmarshalTypeError
		if errors.As(err, &syntax) || errors.As(err, &kind) {
			return errors.New(PublishedFile + " is damaged; publish again")
		}
		return err // of the network or the disk
	}
	if open, err := d.Token(); err != nil || open != json.Delim('{') {
		if err != nil && !errors.As(err, &syntax) && !errors.Is(err, io.EOF) {
			return got, err // of the network or the disk
		}
		return got, errNotOurs
	}
	ours := false
	for d.More() {
		key, err := d.Token()
		if err != nil {
			return got, damaged(err)
		}
		into := any(new(json.RawMessage))
		var pages string
		var checked assess.Date
		switch key {
		case "pages":
			into = &pages
		case "site":
			into = &got.Site
		case "ledger":
			into = &got.Ledger
		case "checked":
			into = &checked
		case "names":
			into = &got.Names
		case "summary":
			got.Summary = &report.Summary{}
			into = got.Summary
		case "program", "files": // they come last
			return got, missing(ours)
		}
		if err := d.Decode(into); err != nil {
			return got, damaged(err)
		}
		ours = ours || pages == maker
		if got.Summary == nil {
			continue
		}
		if err := got.Summary.Valid(); err != nil {
			return got, fmt.Errorf("%s: its summary has %w", PublishedFile, err)
		}
		if !got.Names.Valid() {
			return got, errors.New(PublishedFile + " is damaged; publish again")
		}
		if !ours {
			return got, errNotOurs
		}
		return got, nil
	}
	if _, err := d.Token(); err != nil {
		return got, damaged(err)
	}
	return got, missing(ours)
}

// maker is who wrote a site.json, as it says there.
const maker = "vouchmark"

func missing(ours bool) error {
	if !ours {
		return errNotOurs
	}
	return errOlder
}
