package rules

import (
	"math"
	"reflect"
	"slices"
	"strings"

	"github.com/expr-lang/expr/ast"

	"coldcase/refdata/vocab"
)

// translator turns a checked expression into a clause. It takes the small part of
// the language that a rule needs; the rest is refused with its place.
type translator struct {
	book  *book
	needs []place // names that may be missing, each once
	told  []vocab.Circumstance

	refused string
	at      int
}

func (t *translator) refuse(n ast.Node, what string) {
	if t.refused == "" {
		t.refused, t.at = what, n.Location().From
	}
}

// clause translates what is true or false.
func (t *translator) clause(n ast.Node) clause {
	switch n := n.(type) {
	case *ast.BoolNode:
		known := truthOf(n.Value)
		return func(*env) Truth { return known }
	case *ast.IdentifierNode:
		return t.truthAt(n)
	case *ast.MemberNode:
		return t.member(n)
	case *ast.UnaryNode:
		if n.Operator == "!" || n.Operator == "not" {
			return noneOf(t.clause(n.Node))
		}
	case *ast.BinaryNode:
		return t.binary(n)
	}
	t.refuse(n, "this")
	return nil
}

func (t *translator) truthAt(n *ast.IdentifierNode) clause {
	p, ok := t.book.places[n.Value]
	if !ok || p.kind != truth {
		t.refuse(n, n.Value)
		return nil
	}
	if !slices.Contains(judgedNames, n.Value) {
		t.need(p)
	}
	at := p.at
	return func(e *env) Truth { return e.truths[at] }
}

func (t *translator) need(p place) {
	if !slices.Contains(t.needs, p) {
		t.needs = append(t.needs, p)
	}
}

// member translates seen.X, told.X and isknown.X, which are never unknown.
func (t *translator) member(n *ast.MemberNode) clause {
	group, name := memberOf(n)
	p := t.book.places[name]
	at := p.at
	switch group {
	case "seen":
		return func(e *env) Truth { return truthOf(e.truths[at] == True) }
	case "told":
		t.told = append(t.told, vocab.Circumstance(name))
		at := t.book.told[vocab.Circumstance(name)]
		return func(e *env) Truth { return truthOf(e.told[at]) }
	case "isknown":
		return func(e *env) Truth { return truthOf(e.knows(p)) }
	}
	t.refuse(n, "this")
	return nil
}

// memberOf splits group.name; anything else has no group.
func memberOf(n *ast.MemberNode) (group, name string) {
	g, ok := n.Node.(*ast.IdentifierNode)
	p, plain := n.Property.(*ast.StringNode)
	if !ok || !plain || n.Optional || n.Method {
		return "", ""
	}
	return g.Value, p.Value
}

func (t *translator) binary(n *ast.BinaryNode) clause {
	switch n.Operator {
	case "&&", "and":
		return allOf(t.clause(n.Left), t.clause(n.Right))
	case "||", "or":
		return anyOf(t.clause(n.Left), t.clause(n.Right))
	case "in":
		return t.oneOf(n)
	}
	switch n.Left.Type().Kind() {
	case reflect.Bool:
		return t.sameTruth(n)
	case reflect.String:
		return t.words(n)
	}
	return t.compare(n)
}

func (t *translator) sameTruth(n *ast.BinaryNode) clause {
	same := alike(t.clause(n.Left), t.clause(n.Right))
	switch n.Operator {
	case "==":
		return same
	case "!=":
		return noneOf(same)
	}
	t.refuse(n, n.Operator)
	return nil
}

// compare translates a comparison of numbers.
func (t *translator) compare(n *ast.BinaryNode) clause {
	test, ok := holds[n.Operator]
	if !ok {
		t.refuse(n, n.Operator)
		return nil
	}
	if limit, ok := t.written(n.Right); ok {
		if name, ok := n.Left.(*ast.IdentifierNode); ok {
			if at := t.numberAt(name); at >= 0 {
				return against(at, limit, test)
			}
		}
	}
	return compare(t.amount(n.Left), t.amount(n.Right), test)
}

var wordTests = map[string]func(a, b string) bool{
	"==":         func(a, b string) bool { return a == b },
	"!=":         func(a, b string) bool { return a != b },
	"contains":   strings.Contains,
	"startsWith": strings.HasPrefix,
	"endsWith":   strings.HasSuffix,
}

func (t *translator) words(n *ast.BinaryNode) clause {
	test, ok := wordTests[n.Operator]
	if !ok {
		t.refuse(n, n.Operator)
		return nil
	}
	return says(t.phrase(n.Left), t.phrase(n.Right), test)
}

// oneOf translates: refrigerant in ["R290", "R600a"].
func (t *translator) oneOf(n *ast.BinaryNode) clause {
	list, ok := n.Right.(*ast.ArrayNode)
	if !ok || n.Left.Type().Kind() != reflect.String {
		t.refuse(n, "in, but for a word in a written list")
		return nil
	}
	var words []string
	for _, item := range list.Nodes {
		w, ok := item.(*ast.StringNode)
		if !ok {
			t.refuse(item, "this")
			return nil
		}
		words = append(words, w.Value)
	}
	one := func(*env) string { return "one of" }
	return says(t.phrase(n.Left), one, func(a, _ string) bool { return slices.Contains(words, a) })
}

// phrase translates a word.
func (t *translator) phrase(n ast.Node) phrase {
	switch n := n.(type) {
	case *ast.StringNode:
		w := n.Value
		return func(*env) string { return w }
	case *ast.IdentifierNode:
		if p, ok := t.book.places[n.Value]; ok && p.kind == word {
			t.need(p)
			at := p.at
			return func(e *env) string { return e.words[at] }
		}
	}
	t.refuse(n, "this")
	return nil
}

func (t *translator) numberAt(n *ast.IdentifierNode) int {
	p, ok := t.book.places[n.Value]
	if !ok || p.kind != number {
		return -1
	}
	t.need(p)
	return p.at
}

// written is the value of a number, or of a limit.
func (t *translator) written(n ast.Node) (float64, bool) {
	switch n := n.(type) {
	case *ast.IntegerNode:
		return float64(n.Value), true
	case *ast.FloatNode:
		return n.Value, true
	case *ast.UnaryNode:
		v, ok := t.written(n.Node)
		if n.Operator == "-" {
			v = -v
		}
		return v, ok && (n.Operator == "-" || n.Operator == "+")
	case *ast.MemberNode:
		if group, name := memberOf(n); group == "limits" {
			v, ok := t.book.limits[name]
			return v, ok
		}
	}
	return 0, false
}

// amount translates a number or a sum of numbers.
func (t *translator) amount(n ast.Node) amount {
	if v, ok := t.written(n); ok {
		return func(*env) float64 { return v }
	}
	switch n := n.(type) {
	case *ast.IdentifierNode:
		if at := t.numberAt(n); at >= 0 {
			return func(e *env) float64 { return e.numbers[at] }
		}
	case *ast.UnaryNode:
		if n.Operator == "-" {
			a := t.amount(n.Node)
			return func(e *env) float64 { return -a(e) }
		}
	case *ast.BinaryNode:
		return t.arithmetic(n)
	case *ast.BuiltinNode:
		if n.Name == "abs" && len(n.Arguments) == 1 {
			a := t.amount(n.Arguments[0])
			return func(e *env) float64 { return math.Abs(a(e)) }
		}
	}
	t.refuse(n, "this")
	return nil
}

func (t *translator) arithmetic(n *ast.BinaryNode) amount {
	if n.Operator == "/" {
		if v, ok := t.written(n.Right); !ok || v == 0 {
			t.refuse(n, "dividing by anything but a written number (it may be 0)")
			return nil
		}
	}
	a, b := t.amount(n.Left), t.amount(n.Right)
	switch n.Operator {
	case "+":
		return func(e *env) float64 { return a(e) + b(e) }
	case "-":
		return func(e *env) float64 { return a(e) - b(e) }
	case "*":
		return func(e *env) float64 { return a(e) * b(e) }
	case "/":
		return func(e *env) float64 { return a(e) / b(e) }
	}
	t.refuse(n, n.Operator)
	return nil
}
