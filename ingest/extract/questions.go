package extract

// shortQuestion is the most words of a question that only names the thing that
// the words behind it speak of: "Trampoline? Worn."
const shortQuestion = 2

// labels tells that the question mark at i closes such a short question, one
// of a single word but for small ones, or one that a yes or no answers.
func (r *Reader) labels(tokens []token, i, from int) bool {
	if i == from || i+1 >= len(tokens) || tokens[i+1].kind == newline || tokens[i+1].kind == mark {
		return false
	}
	if r.yesNo(tokens[i+1].fold) != "" {
		return true
	}
	words, small := 0, 0
	for _, t := range tokens[from:i] {
		switch {
		case t.kind == mark && t.fold == "¿":
		case t.kind == word:
			words++
			if r.stops[t.fold] != 0 {
				small++
			}
		default:
			return false
		}
	}
	return words <= shortQuestion || words == small+1
}

// asks gives the question mark behind atom i, -1 where it stands in no
// question.
func (c *clause) asks(i int) int {
	for i++; i < len(c.atoms); i++ {
		if a := &c.atoms[i]; a.sign == colon && c.s.tokens[a.from].fold == "?" {
			return i
		}
	}
	return -1
}

// reply gives the "yes" or "no" that answers the question in which atom i
// stands, "" where none does, or where a number corrects it: "no, one".
func (c *clause) reply(i int) string {
	q := c.asks(i)
	if q < 0 || c.atoms[q].to >= len(c.s.tokens) {
		return ""
	}
	for j := q + 1; j < len(c.atoms) && j <= q+3; j++ {
		if c.atoms[j].is(numberWord) || c.atoms[j].sign == numberSign {
			return ""
		}
	}
	return c.r.yesNo(c.s.tokens[c.atoms[q].to].fold)
}

// answerNo denies what a question names that is answered with a no.
func (c *clause) answerNo() {
	for i := range c.atoms {
		if c.scope[i] == plainScope && c.reply(i) == "no" {
			c.scope[i] = negated
		}
	}
}

// asked tells that a thing, or what is said of it, is only asked for: no yes
// or no answers, and the words behind the question mark do not tell of it by
// themselves.
func (c *clause) asked(i int) bool { return c.asks(i) >= 0 && c.reply(i) == "" }
