package extract

import "strings"

// signAt reads the sign, year, amount or number at a token.
func (r *Reader) signAt(tokens []token, i, newest int, allowed uint16) (atom, bool) {
	t := tokens[i]
	a := atom{from: i, to: i + 1}
	switch {
	case t.kind == number:
		return r.numberAt(tokens, i, newest, allowed)
	case t.kind == newline:
		return a, false
	}
	if at := i + max(1, r.prices.compound(tokens, i)); at > i+1 || r.prices.sign[t.fold] && !t.letter() || r.prices.term[t.fold] {
		if at < len(tokens) && tokens[at].fold == "." {
			at++ // "Kr. 18.500"
		}
		if at < len(tokens) && tokens[at].kind == number && roughly(tokens[at].fold) >= leastAmount {
			a.sign, a.to, a.value = amountSign, at+1, roughly(tokens[at].fold)
			if thousands(tokens, at) {
				a.to, a.value = at+2, a.value*1000+roughly(tokens[at+1].fold)
			}
			return a, true
		}
		if at < len(tokens) && tokens[at].kind == number {
			if n, times := r.prices.times(tokens, at+1, allowed); n > 0 {
				v, _ := tokens[at].decimal()
				a.sign, a.to, a.value = amountSign, at+1+n, v*times // "£3.5k"
				return a, true
			}
		}
	}
	if t.kind != mark {
		return a, false
	}
	if (t.fold == "'" || t.fold == "’") && i+1 < len(tokens) && tokens[i+1].glued {
		if y, ok := shortYear(tokens[i+1], newest-1); ok {
			a.sign, a.value, a.to = yearSign, float64(y), i+2
			return a, true
		}
	}
	if y, ok := dashedYear(tokens, i, newest-1); ok {
		a.sign, a.value, a.to = yearSign, float64(y), i+2
		return a, true
	}
	switch t.fold {
	case ",":
		a.sign = comma
	case ";":
		a.sign = semicolon
	case ":", "=", "?":
		a.sign = colon
	case "(", "[":
		a.sign = opening
	case ")", "]":
		a.sign = closing
	case "-", "–", "—":
		a.sign = dash
	default:
		return a, false
	}
	return a, true
}

// dashedYear reads the last two digits of a year behind a dash: "sails -22",
// "Skerrik 16 -03". A larger number behind a number is the end of a range.
func dashedYear(tokens []token, i, newest int) (int, bool) {
	if t := tokens[i]; i == 0 || t.fold != "-" && t.fold != "–" || t.glued || i+1 >= len(tokens) || !tokens[i+1].glued {
		return 0, false
	}
	if before := tokens[i-1]; before.kind == number && before.whole() <= tokens[i+1].whole() {
		return 0, false
	}
	if i+2 < len(tokens) {
		if after := tokens[i+2]; after.glued && after.fold != "," && after.fold != "." && after.fold != ")" && after.fold != ":" {
			return 0, false // "-20%"
		}
	}
	return shortYear(tokens[i+1], newest)
}

// numberAt tells whether a number is an amount of money, a year, or neither.
func (r *Reader) numberAt(tokens []token, i, newest int, allowed uint16) (atom, bool) {
	t := tokens[i]
	a := atom{from: i, to: i + 1, sign: numberSign}
	a.value, _ = t.decimal()
	if n, times := r.prices.times(tokens, i+1, allowed); n > 0 && a.value > 0 && a.value < leastThousands {
		a.sign, a.value, a.to = amountSign, a.value*times, i+1+n
		if a.to < len(tokens) && r.isSign(tokens[a.to]) {
			a.to++ // "3.5 k€"
		}
		return a, true
	}
	if thousands(tokens, i) && i+2 < len(tokens) && r.isSign(tokens[i+2]) && !(i > 0 && tokens[i-1].upper && r.unspoken(&tokens[i-1]) && r.short[tokens[i-1].fold] == 0) {
		a.sign, a.value, a.to = amountSign, roughly(t.fold)*1000+roughly(tokens[i+1].fold), i+3
		return a, true
	}
	if i+1 < len(tokens) && r.prices.term[tokens[i+1].fold] && a.value >= leastAmount && !(i+2 < len(tokens) && tokens[i+2].kind == number) {
		a.sign, a.value, a.to = amountSign, roughly(t.fold), i+2
		return a, true
	}
	if n := r.prices.compound(tokens, i+1); n > 0 {
		a.sign, a.value, a.to = amountSign, roughly(t.fold), i+1+n
		return a, true
	}
	if i+1 < len(tokens) {
		if n := tokens[i+1]; r.isSign(n) && !signOfNext(tokens, i+1, newest) || (n.fold == "," || n.fold == ":" || n.fold == ".") && i+2 < len(tokens) && tokens[i+2].fold == "-" && tokens[i+2].glued && n.glued {
			a.sign, a.value, a.to = amountSign, roughly(t.fold), i+2
			if !r.isSign(n) {
				a.to = i + 3
				if i+3 < len(tokens) && r.prices.sign[tokens[i+3].fold] {
					a.to = i + 4
				}
			}
			return a, true
		}
	}
	if month, year, found := strings.Cut(t.fold, "."); found && len(month) <= 2 && len(year) == 4 {
		m, y := (token{kind: number, fold: month}).whole(), (token{kind: number, fold: year}).whole()
		if m >= 1 && m <= 12 && y >= oldest && y <= newest {
			a.sign, a.value, a.month = yearSign, float64(y), m
			return a, true
		}
	}
	if aYear(t, newest) && !(i+1 < len(tokens) && r.inSmallUnit(tokens[i+1])) {
		a.sign, a.value = yearSign, float64(t.whole())
	}
	if a.sign == numberSign && r.grouped(tokens, i) {
		a.value, a.to = roughly(t.fold)*1000+roughly(tokens[i+1].fold), i+2
	}
	return a, true
}

// cutsSum tells that a phrase that ends with a number leaves the rest of a sum
// behind, or its currency: "pour les 2 200 | €".
func (r *Reader) cutsSum(tokens []token, last int) bool {
	if last > 0 && thousands(tokens, last-1) {
		last--
	}
	return tokens[last].kind == number && thousands(tokens, last) && (r.grouped(tokens, last) || last+2 < len(tokens) && r.isSign(tokens[last+2]))
}

// grouped tells that two bare numbers are one round sum of thousands, "25 000",
// and neither the end of a name nor part of a telephone number.
func (r *Reader) grouped(tokens []token, i int) bool {
	if !thousands(tokens, i) || !strings.HasSuffix(tokens[i+1].fold, "0") || strings.HasPrefix(tokens[i].fold, "0") {
		return false
	}
	if i > 0 && (tokens[i-1].kind == number || tokens[i].glued || tokens[i-1].upper && r.unknown(tokens[i-1])) {
		return false
	}
	if i+2 == len(tokens) {
		return true
	}
	next := tokens[i+2]
	return next.kind != number && !r.isUnit(next) && !(next.glued && next.kind == mark && next.fold == "-")
}

// unknown tells that no words file has a word.
func (r *Reader) unknown(t token) bool {
	return r.unspoken(&t) && r.short[t.fold] == 0 && r.stops[t.fold] == 0
}

// signOfNext tells that a sign belongs to the number behind it and not to the
// one before: it touches that alone, "Skerrik 16 £600", or stands between a
// year and a sum, "2013 CHF 4700".
func signOfNext(tokens []token, i, newest int) bool {
	if tokens[i].glued || i+1 >= len(tokens) || tokens[i+1].kind != number {
		return false
	}
	before, behind := tokens[i-1], tokens[i+1]
	return behind.glued || aYear(before, newest) && !aYear(behind, newest) && roughly(behind.fold) >= leastBare
}

// aYear tells that a number may be a year.
func aYear(t token, newest int) bool {
	y := t.whole()
	return len(t.fold) == 4 && y >= oldest && y <= newest
}

// isSign tells that a token behind a number stands for a currency: a single
// letter only without a space, so that "75e" is money and "16 e 18" is not,
// and an accent only where the sign has it, so that "1988 års" is none.
func (r *Reader) isSign(t token) bool {
	return r.prices.sign[t.fold] && (t.accented == "" || r.prices.accented[t.accented]) && !(t.letter() && !t.glued)
}

// letter tells that a token is a word of one letter.
func (t token) letter() bool { return t.kind == word && len(t.fold) == 1 }

// Bounds of what is read as an amount.
const (
	leastAmount    = 20  // keeps "2 fixed" and "in 3 firm" from being amounts
	leastThousands = 500 // no number from here on counts thousands
)

// thousands tells that two numbers are one: "7 800", "7 800,00".
func thousands(tokens []token, i int) bool {
	return i+1 < len(tokens) && tokens[i+1].kind == number && hundreds(tokens[i+1].fold) && !tokens[i+1].glued && len(tokens[i].fold) <= 3 && tokens[i].whole() > 0
}

// hundreds tells that a number has three digits, and two behind a point or a
// comma if any.
func hundreds(s string) bool {
	return len(s) == 3 || len(s) == 6 && (s[3] == ',' || s[3] == '.')
}

// oldest is the first year that may be a boat's; small boats of the kind read
// here are younger.
const oldest = 1930

func (r *Reader) isUnit(t token) bool { return t.kind == word && r.cells["unit"][t.fold] != "" }

// measured tells that a number of four digits before a token is a length.
// Nothing is so many inches long, and their short form is a small word of
// several languages: "2004 in good order".
func (r *Reader) measured(t token) bool { return r.isUnit(t) && r.cells["unit"][t.fold] != "in" }

// inSmallUnit tells that a token is a unit in which a boat may be as long as a
// year's number: no boat is 2004 m long, and "m." is "with" in places.
func (r *Reader) inSmallUnit(t token) bool { return r.isUnit(t) && r.cells["unit"][t.fold] == "cm" }

// roughly reads an amount whose decimals do not matter.
func roughly(s string) float64 {
	if i := strings.LastIndexAny(s, ".,'"); i >= 0 && len(s)-i-1 != 3 {
		s = s[:i]
	}
	v := 0.0
	for _, c := range s {
		if c >= '0' && c <= '9' {
			v = v*10 + float64(c-'0')
		}
	}
	return v
}
