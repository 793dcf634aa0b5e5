package money

// Marks are the habits of a file in writing numbers.
type Marks struct {
	Decimal rune // ',' or '.'; 0 unknown
	Long    bool // its numbers have three or more decimals, as no price has by itself
}

// Habit reads from many texts of one file which mark it uses for decimals. A
// number with both marks, with one or two decimals, or with a mark used twice
// decides; else one mark before three digits is taken for thousands. Without
// evidence, or with as much for either, Decimal is 0. Long takes most of the
// numbers with decimals, since a few may be of a currency with three.
func Habit(texts []string) Marks {
	strong, weak := map[rune]int{}, map[rune]int{}
	long := 0
	other := map[rune]rune{'.': ',', ',': '.'}
	for _, t := range texts {
		text := plain(t)
		for i := 0; i < len(text); i++ {
			if !isDigit(text[i]) {
				continue
			}
			n := scanNumber(text, i)
			i = n.end
			points, commas := n.count('.'), n.count(',')
			if n.dash == ",-" {
				strong[',']++
			}
			if points+commas == 0 {
				continue
			}
			last := n.marks[len(n.marks)-1]
			places := len(n.groups[len(n.groups)-1])
			switch {
			case last != '.' && last != ',':
			case points > 0 && commas > 0:
				if n.count(last) == 1 {
					strong[last]++
				}
			case points+commas > 1:
				if grouped(n.groups) {
					strong[other[last]]++
				}
			case n.mayBeThousands():
				weak[other[last]]++
			default:
				strong[last]++
				if places >= 3 {
					long++
				}
			}
		}
	}
	votes := strong
	if len(strong) == 0 {
		votes = weak
	}
	switch {
	case votes['.'] > votes[',']:
		return Marks{'.', 2*long > votes['.']}
	case votes[','] > votes['.']:
		return Marks{',', 2*long > votes[',']}
	}
	return Marks{}
}
