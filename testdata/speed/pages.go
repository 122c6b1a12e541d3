package main

import (
	"fmt"
	"os"

	"vouchmark/assess"
	"vouchmark/assess/site"
	"vouchmark/fonts"
	"vouchmark/label"
	"vouchmark/label/plant"
	"vouchmark/label/record"
	"vouchmark/layout"
	"vouchmark/layout/press"
)

// today is the day of all prints.
const today = "2026-05-01"

// drawings are the labels of a site as they would be printed, one on a page, and what they
// were drawn from. Nothing is stored.
func drawings(dir string) ([]*layout.Drawing, []press.Item, error) {
	folder, options := os.DirFS(dir), site.Options{Missing: fonts.Missing}
	words, err := label.ReadCatalogue(folder, options)
	if err != nil {
		return nil, nil, err
	}
	options.Languages = words.Languages()
	s, err := site.Read(folder, options)
	if err != nil {
		return nil, nil, err
	}
	day, err := assess.ParseDate(today)
	if err != nil {
		return nil, nil, err
	}
	history, err := record.Open(dir).History(day)
	if err != nil {
		return nil, nil, err
	}
	v, err := plant.New(s, history, day, func(assess.Act, string) string { return "" })
	if err != nil {
		return nil, nil, err
	}
	p := &s.Policy
	plan, err := press.New(v, press.Choice{}, press.Look{Presentation: label.Presentation{
		Link: p.Link, Catalogue: words, Languages: p.Languages, Site: p.Name, Ask: p.Ask}})
	if err != nil {
		return nil, nil, err
	}
	stock, err := layout.Choose("", p.Stocks)
	if err != nil {
		return nil, nil, err
	}
	if stock.Places() > 1 {
		return nil, nil, fmt.Errorf("stock %s has %d labels on a page: the list needs one", stock.Name, stock.Places())
	}
	texts := make([]string, len(plan.Items))
	for i := range plan.Items {
		texts[i] = plan.Items[i].Label().QR
	}
	codes, err := layout.EncodeQR(texts)
	if err != nil {
		return nil, nil, err
	}
	drawn := make([]*layout.Drawing, len(plan.Items))
	for i := range plan.Items {
		if drawn[i], err = layout.Draw(plan.Items[i].Label(), stock, codes[i]); err != nil {
			return nil, nil, err
		}
	}
	return drawn, plan.Items, nil
}
