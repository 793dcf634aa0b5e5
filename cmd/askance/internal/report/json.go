package report

import (
	"encoding/json"
	"fmt"
	"io"

	"askance/analysis"
	"askance/ingest/boat"
)

// ScanJSON writes a survey as one document, askance.scan/1.
func ScanJSON(w io.Writer, s *analysis.Survey, v View) error { return document(w, scanOf(s, v)) }

// PriceJSON writes an advised asking price as one document, askance.price/1.
func PriceJSON(w io.Writer, p *analysis.Pricing, _ View) error { return document(w, pricingOf(p)) }

// ReserveJSON writes a fleet as one document, askance.reserve/1.
func ReserveJSON(w io.Writer, f *analysis.Fleet, _ View) error { return document(w, reserveOf(f)) }

// ReadJSON writes listings as one document, a list.
func ReadJSON(w io.Writer, listings []boat.Listing) error {
	docs := []listingDoc{}
	for i := range listings {
		docs = append(docs, listingOf(&listings[i]))
	}
	return document(w, docs)
}

// ReadJSONL writes listings, one a line.
func ReadJSONL(w io.Writer, listings []boat.Listing) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	for i := range listings {
		if err := enc.Encode(listingOf(&listings[i])); err != nil {
			return fmt.Errorf("write listing %s: %w", listings[i].ID, err)
		}
	}
	return nil
}

func document(w io.Writer, doc any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(doc); err != nil {
		return fmt.Errorf("write json: %w", err)
	}
	return nil
}
