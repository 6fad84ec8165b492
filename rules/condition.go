package rules

import (
	"errors"
	"slices"
	"strings"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/types"
	"github.com/expr-lang/expr/vm"

	"coldcase/refdata/limits"
	"coldcase/refdata/nearest"
)

// Truth of a condition: what is missing makes it unknown, never false.
type Truth int8

// The three truths.
const (
	False Truth = iota
	True
	Unknown
)

// condition is a compiled expression with the names that it can't do without.
type condition struct {
	text    string
	program *vm.Program
	needs   []string // names that may be missing
}

const (
	maxExpression = 2000 // bytes
	maxNesting    = 12
	maxNodes      = 200
	memoryBudget  = 10000
)

// compile checks an expression against the names and bounds it before the
// compiler sees it: the compiler's time grows without bound on nested calls.
func (c *compiler) compile(path string, t Text) (*condition, error) {
	wrong := func(text string, at int) error {
		return &Mistake{File: path, Line: t.line, Col: t.col + at, Text: text, Source: t.Value, At: at}
	}
	if len(t.Value) > maxExpression {
		return nil, &Mistake{File: path, Line: t.line, Col: t.col, Text: "an expression holds 2,000 characters at most"}
	}
	if depth(t.Value) > maxNesting {
		return nil, wrong("too many brackets inside each other", 0)
	}
	program, err := expr.Compile(t.Value, c.options...)
	if err != nil {
		return nil, wrongExpression(wrong, err, c.names)
	}
	out := &condition{text: t.Value, program: program}
	v := &nameVisitor{out: out}
	node := program.Node()
	ast.Walk(&node, v)
	if v.refused != "" {
		return nil, wrong(v.refused+" can't be used in a rule", 0)
	}
	return out, nil
}

func depth(s string) (most int) {
	d := 0
	for _, r := range s {
		switch r {
		case '(', '[', '{':
			d++
			most = max(most, d)
		case ')', ']', '}':
			d--
		}
	}
	return most
}

// wrongExpression turns the compiler's complaint into a place and a hint.
func wrongExpression(wrong func(string, int) error, err error, names []string) error {
	var fe *file.Error
	if !errors.As(err, &fe) {
		return wrong(err.Error(), 0)
	}
	text := strings.TrimSpace(fe.Message)
	for _, lead := range []string{"unknown name ", "unknown field ", "has no field "} {
		if _, name, found := strings.Cut(text, lead); found {
			name, _, _ = strings.Cut(name, " ")
			text = "no such name: " + name
			if near := nearestOf(name, names); near != "" {
				text += "; did you mean " + near + "?"
			}
		}
	}
	return wrong(text, fe.Column)
}

// nameVisitor gathers the names of an expression and refuses what could loop.
type nameVisitor struct {
	out     *condition
	refused string
}

func (v *nameVisitor) Visit(n *ast.Node) {
	switch n := (*n).(type) {
	case *ast.IdentifierNode:
		switch n.Value {
		case "seen", "told", "isknown", "limits":
		case "$env":
			v.refused = "$env"
		default:
			if !slices.Contains(v.out.needs, n.Value) && !slices.Contains(judgedNames, n.Value) {
				v.out.needs = append(v.out.needs, n.Value)
			}
		}
	case *ast.PredicateNode:
		v.refused = "all, any, filter and the like"
	case *ast.BinaryNode:
		if n.Operator == ".." || n.Operator == "matches" {
			v.refused = n.Operator
		}
		if (n.Operator == "/" || n.Operator == "%") && !writtenNumber(n.Right) {
			v.refused = "dividing by anything but a written number (it may be 0)"
		}
	case *ast.VariableDeclaratorNode:
		v.refused = "let"
	}
}

// writtenNumber tells a constant other than 0.
func writtenNumber(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.IntegerNode:
		return n.Value != 0
	case *ast.FloatNode:
		return n.Value != 0
	}
	return false
}

// compiler holds what every expression is compiled against.
type compiler struct {
	options []expr.Option
	names   []string
}

func newCompiler() *compiler {
	s := schema()
	c := &compiler{options: []expr.Option{expr.Env(s), expr.AsBool(), expr.DisableAllBuiltins(), expr.EnableBuiltin("abs"), expr.MaxNodes(maxNodes), expr.Optimize(true)}}
	for name, t := range s {
		c.names = append(c.names, name)
		if group, ok := t.(types.Map); ok {
			for member := range group {
				c.names = append(c.names, member)
			}
		}
	}
	slices.Sort(c.names)
	return c
}

func limitValues() map[string]float64 {
	out := map[string]float64{}
	all, err := limits.All()
	if err != nil {
		return out // a test holds that the embedded file reads
	}
	for name, l := range all {
		out[name] = l.Value
	}
	return out
}

// truth runs the condition in a case's environment.
func (c *condition) truth(e *env) Truth {
	for _, name := range c.needs {
		if _, ok := e.values[name]; !ok {
			return Unknown
		}
	}
	out, err := e.machine.Run(c.program, e.values)
	if err != nil {
		return Unknown
	}
	if yes, ok := out.(bool); ok && yes {
		return True
	}
	return False
}

// truth of a list: one that holds is enough.
func (w *When) truth(e *env) Truth {
	result := False
	for _, c := range w.cond {
		switch c.truth(e) {
		case True:
			return True
		case Unknown:
			result = Unknown
		}
	}
	return result
}

func (w *When) empty() bool { return len(w.Any) == 0 }

// missing lists the names that keep the conditions unknown.
func (w *When) missing(e *env) []string {
	var out []string
	for _, c := range w.cond {
		for _, name := range c.needs {
			if _, ok := e.values[name]; !ok && !slices.Contains(out, name) {
				out = append(out, name)
			}
		}
	}
	return out
}

// mistyped is how many letters a name may differ from one it was meant to be.
const mistyped = 3

func nearestOf(name string, names []string) string { return nearest.To(name, names, mistyped) }
