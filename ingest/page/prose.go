package page

import (
	"regexp"
	"slices"
	"strings"

	"golang.org/x/net/html"

	"askance/ingest/money"
)

// dropCounts drops numbers with words beside them that markup calls a price,
// "1 piece", "9 % saved", where others have a currency.
func (s *scanner) dropCounts() {
	if !slices.ContainsFunc(s.found, func(m *mention) bool { return m.known && m.hinted }) {
		return
	}
	s.found = slices.DeleteFunc(s.found, func(m *mention) bool {
		return !m.known && (letters(m.text) > 0 || strings.Contains(m.text, "%"))
	})
}

// dropSpoken drops one or two amounts among words that nothing calls what is
// asked, where the page has no others: a headline. On a page that says it is
// an article it drops up to five.
func (s *scanner) dropSpoken() {
	most, level := 2, 3
	if s.about.meta["og:type"] == "article" {
		most, level = 5, 2
	}
	spoken := func(m *mention) bool {
		before, after, _ := strings.Cut(m.text, m.quote)
		return m.purpose == asking && m.level() >= level && !s.isAsked(before, m.quote, after)
	}
	asks := 0
	for _, m := range s.found {
		if m.purpose == asking {
			if asks++; !spoken(m) || asks > most {
				return
			}
		}
	}
	s.found = slices.DeleteFunc(s.found, spoken)
}

// fewBeside says whether few enough words stand beside an amount in its piece
// of text for it to be a price. A label of prices does not count.
func (s *scanner) fewBeside(before, after string, most int) bool {
	n := letters(before)
	if n > 0 && s.labelOf(trimMarks(before)).field == "price" {
		n = 0
	}
	beside := n + letters(upToDigit(after))
	return n <= most && beside <= most+besideWords && (most > besideWords || beside <= besideWords)
}

// isAsked says whether running text tells that an amount is asked for
// something: it stands alone between marks, or words near it say so. Without
// such words any amount is.
func (s scanner) isAsked(before, quote, after string) bool {
	if s.words.asking.empty() || letters(before)+letters(after) == 0 {
		return true
	}
	words := strings.Fields(before)
	for i := max(0, len(words)-2); i < len(words); i++ {
		if s.labelOf(strings.Join(words[i:], " ")).field == "price" {
			return true
		}
	}
	if len(before) > shortText {
		before = before[strings.LastIndexByte(before[:len(before)-shortText/2], ' ')+1:]
	}
	return s.words.asking.in(before + quote + clip(after, shortText/2))
}

// isTold says whether an amount in a text of so many letters may be a price:
// outside running text any may, in it what is said to be asked. A bare number
// counts in running text only right behind the words for what is asked.
func (s *scanner) isTold(n *html.Node, all int, amount money.Amount, before, quote, after string) bool {
	if !s.prose && all <= runningText && s.lineSize(n) <= 2*runningText {
		return true
	}
	if amount.Currency == "" && letters(quote) == 0 {
		words := strings.Fields(before)
		before, after = strings.Join(words[max(0, len(words)-3):], " "), ""
		return !fractional(quote) && (s.labelOf(trimMarks(before)).field == "price" || s.words.asking.end(before))
	}
	if s.prose && letters(before) == 0 && n.PrevSibling != nil && s.underSale(s.tree.at(n.Parent)) {
		return true // "<b>Skerrik 16</b> £950. Ring in the evenings" below "for sale"
	}
	return s.isAsked(before, quote, after)
}

// lineSize gives the size of the words that stand in one flow with a text: up
// to the next element on a line of its own, or a break.
func (s scanner) lineSize(n *html.Node) int {
	size := len(n.Data)
	for e := n; e != nil; e = e.Parent {
		for _, next := range []func(*html.Node) *html.Node{
			func(n *html.Node) *html.Node { return n.PrevSibling },
			func(n *html.Node) *html.Node { return n.NextSibling },
		} {
			for c := next(e); c != nil && size <= 2*runningText; c = next(c) {
				if c.Type == html.ElementNode {
					if isBlock(c) {
						break
					}
					size += s.tree.size[s.tree.at(c)]
				} else if c.Type == html.TextNode {
					size += len(c.Data) - spaces(c.Data)
				}
			}
		}
		if e.Parent == nil || e.Parent.Type != html.ElementNode || isBlock(e.Parent) {
			break
		}
	}
	return size
}

// several says whether two amounts or more may be what is asked.
func several(amounts map[money.Amount]bool) bool {
	n := 0
	for _, asked := range amounts {
		n += btoi(asked)
	}
	return n >= 2
}

// pieces parts a text at the marks that set facts apart: dashes and commas
// with space, bars, bullets, and before sentences about a price.
func (s *scanner) pieces(text string) []string {
	text = s.markSentences(text)
	if !strings.ContainsAny(text, "–—-|·•;,\n") {
		return []string{text}
	}
	for _, mark := range []string{" – ", " — ", " - ", " | ", " · ", " • ", "; ", ", "} {
		text = strings.ReplaceAll(text, mark, "\n")
	}
	var out []string
	for _, p := range strings.Split(text, "\n") {
		if p = strings.Trim(p, " –—|·•"); p != "" {
			out = append(out, p)
		}
	}
	return out
}

// plainAmount is a number as prices are written, and no year.
var plainAmount = regexp.MustCompile(`^\d{1,3}(?:[ .,'\x{a0}\x{202f}]\d{3})*$`)

// isAmountOnly says whether a text is nothing but an amount, with a currency or
// without: the lower end of a range.
func (s *scanner) isAmountOnly(text string) bool {
	if len(text) > shortText/2 || digits(text) == 0 {
		return false
	}
	if _, quote, ok := s.opts.Price(text); ok {
		return quote == text
	}
	return plainAmount.MatchString(text)
}

// rangeEnd is a dash before a further amount.
var rangeEnd = regexp.MustCompile(`^\s*[–—-]\s*\P{L}{0,3}\d`)

// beginsRange says whether an amount in a text is the lower end of a range.
func beginsRange(text, quote string) bool {
	_, after, found := strings.Cut(text, quote)
	return found && rangeEnd.MatchString(after)
}

var yearPattern = regexp.MustCompile(`\b(?:19|20)\d{2}\b`)

// markSentences puts a newline for the space behind the full stop before a
// sentence that begins with an amount or with a word for what is asked. A word
// of less than four letters before the stop is an abbreviation, a number that
// is no year is part of one.
func (s *scanner) markSentences(text string) string {
	if !strings.Contains(text, ". ") {
		return text
	}
	b := []byte(text)
	for i := 1; i+2 < len(b); i++ {
		if b[i] != '.' || b[i+1] != ' ' {
			continue
		}
		word := text[strings.LastIndexByte(text[:i], ' ')+1 : i]
		if (letters(word) < 4 || digits(word) > 0) && !yearPattern.MatchString(word) {
			continue
		}
		next, rest, _ := strings.Cut(text[i+2:], " ")
		sum, _, _ := strings.Cut(rest, " ")
		if letters(next) > 0 && letters(next) <= 4 && digits(sum) > 0 { // a price with its sign in front
			if _, quote, ok := s.opts.Price(next + " " + sum); ok && strings.HasPrefix(quote, next) {
				b[i+1] = '\n'
			}
		}
		if digits(word) > 0 {
			continue
		}
		if letters(next) == 0 || s.words.asking.are(next) || s.labelOf(next).field == "price" {
			b[i+1] = '\n'
		}
	}
	return string(b)
}
