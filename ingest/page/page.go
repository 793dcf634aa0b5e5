// Package page reads saved web pages (HTML, and MHTML as browsers write it)
// into rows of named cells. It knows neither what is offered for sale nor any
// human language: what a price looks like, which labels stand for which field
// and which words mark an advertisement or a monthly rate are handed in.
//
// A page is read in these steps:
//
//	bytes to a tree      mhtml.go decode.go tree.go writer.go about.go
//	what it states       thing.go jsonld.go microdata.go embedded.go keyed.go opengraph.go schema.go
//	amounts of money     mention.go code.go prose.go purpose.go hint.go
//	cards around them    cards.go largest.go align.go flat.go beside.go headed.go
//	which of them stand  regions.go standing.go evidence.go own.go view.go none.go single.go entry.go unpriced.go
//	the cells of a card  fields.go group.go title.go ask.go attributes.go
//	one list from both   join.go reconcile.go
//
// Scripts are never run. Links are kept only if they are http or https.
package page

import (
	"fmt"

	"golang.org/x/net/html"

	"askance/ingest/money"
	"askance/ingest/record"
)

// Options tell what the words and numbers of a page mean. The zero value
// reads structured data only.
type Options struct {
	// Labels gives the field (and unit) that a label of an attribute table, a
	// header of a table, a key of embedded JSON or a word of a class name
	// stands for. Nil recognises none.
	Labels func(label string) (field, unit string, ok bool)

	// Price says whether a short text holds an amount of money, which one and
	// in which words ("VB 3.450 €", terms and sign included). It must be true
	// only where the text itself tells that it is money, by a sign, a code or
	// a term beside the number: "2009" alone is no price. Nil finds none.
	Price func(text string) (amount money.Amount, quote string, ok bool)

	// Date gives the date that a short text tells in words, "3 days ago", and
	// nothing but words beside a date. Nil finds none; dates in figures are
	// found without it.
	Date func(text string) (quote string, ok bool)

	Words  Words
	Select *Selectors // replaces the search for cards, nil for none
	Limits Limits
}

// Words are the words of a page by their role, in any letter case and any
// number of languages. They are looked for as whole words, in the text and
// among the words of class names and ids.
type Words struct {
	Similar   []string // headings over listings that are not the page's own: "similar items"
	Ad        []string // labels of an advertisement: "advertisement", "sponsored"
	Top       []string // labels of a listing in a paid place: "top ad", "featured"
	Terms     []string // in a price's place: "to give away", "on request", "swap"
	None      []string // of a search that found nothing: "no results"
	Nav       []string // names of page furniture: "breadcrumb", "sidebar", "filter"
	Asking    []string // beside what is asked, in running text: "asking", "price"
	OldPrice  []string // beside a price that no longer holds: "was", "before"
	NewPrice  []string // beside what the thing costs new, in the words before an amount: "new price"
	PerPeriod []string // beside a rate: "per month", "/month"
	Delivery  []string // beside the cost of delivery: "shipping", "delivery"
	Sale      []string // in headings over listings: "for sale"
	ready     *roles
}

// Ready gives the words made ready for looking them up, for who reads many
// pages with them.
func (w Words) Ready() Words {
	if w.ready == nil {
		ready := newRoles(w)
		w.ready = &ready
	}
	return w
}

// Limits bound what a page may cost; a zero takes the default.
type Limits struct {
	Bytes     int // of the file, default 64 MiB
	Nodes     int // of the tree, default 3,000,000
	JSONBytes int // of one script that holds JSON, default 16 MiB
	JSONDepth int // nesting of JSON, default 64
	Parts     int // of an MHTML file, default 10,000
	Rows      int // listings, default 20,000
	CellBytes int // of one cell's text, default 256 KiB
}

func (l Limits) withDefaults() Limits {
	fill := func(n *int, standard int) {
		if *n <= 0 {
			*n = standard
		}
	}
	fill(&l.Bytes, 64<<20)
	fill(&l.Nodes, 3_000_000)
	fill(&l.JSONBytes, 16<<20)
	fill(&l.JSONDepth, 64)
	fill(&l.Parts, 10_000)
	fill(&l.Rows, 20_000)
	fill(&l.CellBytes, 256<<10)
	return l
}

// Read reads the listings of a saved page. Each becomes a row at record.Card
// n, counted from 1 in page order, or at record.Whole where the page has only
// one. The cells of a row tell in From which source gave them: "json-ld",
// "microdata", "rdfa", "opengraph", "data" (JSON in a script), "card",
// "attributes" or "select"; where sources agree on a listing it is one row,
// structured data first.
//
// Cells hold the words as found, white space folded. "title" is the heading or
// link as it stands, with an amount among its own words but without one in an
// element of its own. "text" keeps its lines,
// without the title, what is asked, buttons and the date of the listing.
// From structured data: "condition" and "sold" cells hold the schema.org term
// without its address ("UsedCondition", "SoldOut", "Reserved"), "seller" the
// type of the seller where it is stated ("Person", "Organization",
// "AutoDealer"), "price" a number with a decimal point and the currency as its
// Unit; a further price cell holds what the card shows, with its terms.
//
// Prices that are not listings (advertisements, similar items, navigation,
// repeats) are told in Skipped with their reason. A page without a listing
// gives no rows and no error. Errors are: a page over the limits, elements
// nested deeper than 512, a text that is no HTML, an MHTML file without a
// boundary or an HTML part, a selector that does not parse.
func Read(name string, data []byte, opts Options) (record.Batch, error) {
	opts = opts.withDefaults()
	batch := record.Batch{File: name}
	if len(data) > opts.Limits.Bytes {
		return batch, fmt.Errorf("%s: wanted a page of at most %d bytes, found %d", name, opts.Limits.Bytes, len(data))
	}
	if err := opts.Select.Check(); err != nil {
		return batch, fmt.Errorf("%s: %w", name, err)
	}
	src, err := unpack(name, data, opts.Limits)
	if err != nil {
		return batch, err
	}
	batch.Problems = src.problems
	priced, err := readOnce(name, src, opts, &batch, noButtons)
	if err != nil || opts.Select != nil {
		return batch, err
	}
	show := noButtons
	if len(batch.Rows) == 0 {
		show = numberButtons
	} else if len(batch.Rows) > 1 && priced >= manyButtons {
		show = amountButtons
	}
	if show != noButtons {
		other := record.Batch{File: name, Problems: src.problems}
		if _, err := readOnce(name, src, opts, &other, show); err == nil && len(other.Rows) > 2*len(batch.Rows) {
			return other, nil
		}
	}
	return batch, nil
}

// manyButtons with an amount may be the prices of a list, beside which other
// prices are of a strip of other things; or the pins of a map, which make no
// longer list.
const manyButtons = 3

// readOnce reads the listings of a page into a batch and tells how many buttons
// show an amount and no words; show says which buttons show words of the page,
// as they do where a price stands in them only.
func readOnce(name string, src source, opts Options, batch *record.Batch, show buttons) (priced int, err error) {
	t, priced, err := parse(name, src, opts.Limits, opts.Select != nil, show)
	if err != nil || t == nil {
		return priced, err
	}
	r := &reader{name: name, opts: remembered(opts), words: *opts.Words.Ready().ready, tree: t, about: learnAbout(t, src)}
	r.readHeaders()
	batch.URL, batch.Language, batch.Date = r.about.url, r.about.language, r.about.date

	stated := r.ownStated(r.statedItems())
	var shown []item
	if opts.Select != nil {
		shown = r.selectedItems()
	} else {
		shown = r.shownItems(stated)
	}
	if r.empty || r.shownOnly {
		stated = nil // suggestions, or other items
	}
	r.reconcile(stated, shown, batch)
	return priced, nil
}

// IsPage says whether data looks like HTML or MHTML, by its first bytes.
func IsPage(data []byte) bool {
	return looksLikeHTML(data) || looksLikeMHTML(data)
}

func (o Options) withDefaults() Options {
	o.Limits = o.Limits.withDefaults()
	if o.Labels == nil {
		o.Labels = func(string) (string, string, bool) { return "", "", false }
	}
	if o.Price == nil {
		o.Price = func(string) (money.Amount, string, bool) { return money.Amount{}, "", false }
	}
	if o.Date == nil {
		o.Date = func(string) (string, bool) { return "", false }
	}
	return o
}

// A reader is one reading of one page.
type reader struct {
	name          string
	opts          Options
	words         roles
	tree          *tree
	about         about
	columns       map[int]label              // by index of a td: the header over it
	hints         map[string]string          // by class names: the field that they speak of
	followers     map[string]map[string]bool // of each word of class names, the words after it
	regions       []*string                  // of elements: why they are not the page's own, as far as asked
	dates         []*string                  // of short elements, as far as asked
	knownLabels   map[*html.Node]bool        // of tables: they hold a recognised label, as far as asked
	similarAt     []int                      // over similar items, see similarCaptions
	similarSought bool                       // they were looked for
	own           []*string                  // of elements: their own words, as far as asked
	struck        map[string]bool            // class names that strike text through, as a style sheet in the page says
	heading       *html.Node                 // the main one
	headed        bool                       // it was looked for
	shownOnly     bool                       // it is about an item that its data does not state, but others
	empty         bool                       // it says that it lists nothing
	prose         bool                       // prices stand in running text only
	problems      []record.Problem
	skipped       []skipped
}

// skipped is a row that is not used, with its place on the page.
type skipped struct {
	order  int
	title  string
	reason string
}

// An item is what one source says of one listing.
type item struct {
	order    int // where it stands: index of its element in the tree
	cells    []record.Cell
	problems []record.Problem
	url      string
	link     string // url made comparable, also where the page names no address of its own
	title    string
	amount   float64 // major units, for comparing
	currency string
	priced   bool     // there is an amount
	loose    bool     // counts only if a card shows the same listing
	summary  bool     // sums up several offers
	many     bool     // of more things than one would be offered by
	marked   bool     // markup calls its price one
	single   bool     // the page as a whole speaks of it
	promoted bool     // its element is called a paid place
	headed   bool     // its title is the page's main heading
	plain    bool     // its price stands out as shown, in an element of its own
	signed   bool     // the page shows it with a sign of one currency only
	lines    []string // of the text of a card
	key      string   // of the list it stands in
	scoped   bool     // its element on the page encloses it
}

func (it *item) add(field, header, unit, text, from string) {
	if text != "" {
		it.cells = append(it.cells, record.Cell{Field: field, Header: header, Unit: unit, Text: text, From: from})
	}
}

func (it *item) get(field string) string { return record.Row{Cells: it.cells}.Text(field) }
