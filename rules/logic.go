package rules

import "math"

// Truth of a condition: what is missing makes it unknown, never false.
type Truth int8

// The three truths, in an order that makes and the least and or the greatest of
// two (Kleene's strong logic): false and unknown is false, true or unknown is true.
const (
	False Truth = iota
	Unknown
	True
)

func not(t Truth) Truth { return True - t }

func truthOf(b bool) Truth {
	if b {
		return True
	}
	return False
}

// What an expression is made of. A number that is not known is NaN, a word that is
// not known is empty; both make what compares them unknown.
type (
	clause func(*env) Truth
	amount func(*env) float64
	phrase func(*env) string
)

func allOf(a, b clause) clause {
	return func(e *env) Truth {
		x := a(e)
		if x == False {
			return False
		}
		return min(x, b(e))
	}
}

func anyOf(a, b clause) clause {
	return func(e *env) Truth {
		x := a(e)
		if x == True {
			return True
		}
		return max(x, b(e))
	}
}

func noneOf(a clause) clause { return func(e *env) Truth { return not(a(e)) } }

// alike tells whether two clauses have the same truth.
func alike(a, b clause) clause {
	return func(e *env) Truth {
		x, y := a(e), b(e)
		if x == Unknown || y == Unknown {
			return Unknown
		}
		return truthOf(x == y)
	}
}

// holds are the comparisons of numbers; none holds for one that is not known.
var holds = map[string]func(a, b float64) bool{
	"<":  func(a, b float64) bool { return a < b },
	"<=": func(a, b float64) bool { return a <= b },
	">":  func(a, b float64) bool { return a > b },
	">=": func(a, b float64) bool { return a >= b },
	"==": func(a, b float64) bool { return a == b },
	"!=": func(a, b float64) bool { return a != b },
}

func compare(a, b amount, holds func(a, b float64) bool) clause {
	return func(e *env) Truth {
		x, y := a(e), b(e)
		if math.IsNaN(x) || math.IsNaN(y) {
			return Unknown
		}
		return truthOf(holds(x, y))
	}
}

// against compares the number at a place with a written one: most rules are this.
func against(at int, limit float64, holds func(a, b float64) bool) clause {
	return func(e *env) Truth {
		x := e.numbers[at]
		if math.IsNaN(x) {
			return Unknown
		}
		return truthOf(holds(x, limit))
	}
}

// says compares words.
func says(a, b phrase, holds func(a, b string) bool) clause {
	return func(e *env) Truth {
		x, y := a(e), b(e)
		if x == "" || y == "" {
			return Unknown
		}
		return truthOf(holds(x, y))
	}
}
