package page

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/net/html"
)

// Buttons say which buttons show words of a page.
type buttons int

const (
	noButtons     buttons = iota
	amountButtons         // those with an amount and no words
	numberButtons         // those with a number
)

// showButtons makes plain elements of some buttons, and counts them and those
// with an amount and no words. One inside another is left to it.
func showButtons(n *html.Node, show buttons) (shown, priced int) {
	if n.Type == html.ElementNode && (n.Data == "button" || attr(n, "role") == "button") {
		text := ""
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			text += " " + textOf(nil, c)
		}
		amount := len(text) <= shortText/2 && digits(text) >= 2 && letters(text) <= 3 && namesMoney(text)
		priced += btoi(amount)
		if show == numberButtons && digits(text) > 0 || show == amountButtons && amount {
			shown++
			if n.Data == "button" {
				n.Data = "span"
			}
			n.Attr = slices.DeleteFunc(n.Attr, func(a html.Attribute) bool { return a.Key == "role" })
		}
		return shown, priced
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		s, p := showButtons(c, show)
		shown, priced = shown+s, priced+p
	}
	return shown, priced
}

// namesMoney says whether a text of a number has a currency's sign or the
// letters of its code.
func namesMoney(text string) bool {
	return letters(text) > 0 || strings.IndexFunc(text, func(r rune) bool { return unicode.Is(unicode.Sc, r) }) >= 0
}
