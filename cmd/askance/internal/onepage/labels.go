package onepage

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"
)

//go:embed labels.csv
var labelTable string

// Languages are those in which the page can be written.
func Languages() []string { return []string{"en", "de", "fr"} }

// labels is the words of the page in one language.
type labels struct {
	language string
	words    map[string]string
	printer  *message.Printer
}

// readLabels reads the column of one language.
func readLabels(lang string) (*labels, error) {
	r := csv.NewReader(strings.NewReader(labelTable))
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("labels.csv: %w", err)
	}
	column := -1
	for i, name := range lines[0] {
		if name == lang && i > 0 {
			column = i
		}
	}
	if column < 0 {
		return nil, fmt.Errorf("language: wanted one of %s, found %q", strings.Join(Languages(), ", "), lang)
	}
	l := &labels{language: lang, words: map[string]string{}, printer: message.NewPrinter(language.Make(lang))}
	for _, line := range lines[1:] {
		l.words[line[0]] = line[column]
	}
	return l, nil
}

// say gives a label with its blanks filled in.
func (l *labels) say(key string, fill ...string) string {
	s, ok := l.words[key]
	if !ok {
		return key
	}
	for i, f := range fill {
		s = strings.ReplaceAll(s, "{"+strconv.Itoa(i+1)+"}", f)
	}
	return s
}

// orElse gives a label, or the fallback where there is none.
func (l *labels) orElse(key, fallback string) string {
	if s, ok := l.words[key]; ok {
		return s
	}
	return fallback
}

// whole prints a number without decimals, digits grouped as the language has
// it.
func (l *labels) whole(v float64) string {
	return l.printer.Sprint(number.Decimal(v, number.MaxFractionDigits(0)))
}

// decimals prints a number with exactly so many decimals.
func (l *labels) decimals(v float64, digits int) string {
	return l.printer.Sprint(number.Decimal(v, number.Scale(digits)))
}

// percent prints a share.
func (l *labels) percent(v float64) string {
	return l.printer.Sprint(number.Percent(v, number.MaxFractionDigits(0)))
}
