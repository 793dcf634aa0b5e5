package extract

// shortQuestion is the most words of a question that only names the thing that
// the words behind it speak of: "Trampoline? Worn."
const shortQuestion = 2

// labels tells that the question mark at i closes such a short question.
func labels(tokens []token, i, from int) bool {
	if i == from || i+1 >= len(tokens) || tokens[i+1].kind == newline || tokens[i+1].kind == mark {
		return false
	}
	words := 0
	for _, t := range tokens[from:i] {
		if t.kind != word {
			return false
		}
		words++
	}
	return words <= shortQuestion
}

// asked tells that a thing, or a fault, is only asked for: the words behind
// its question mark do not tell of it by themselves.
func (c *clause) asked(i int) bool {
	return i+1 < len(c.atoms) && c.atoms[i+1].sign == colon && c.s.tokens[c.atoms[i+1].from].fold == "?"
}
