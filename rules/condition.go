package rules

import (
	"errors"
	"slices"
	"strings"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/checker"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"

	"coldcase/refdata/nearest"
	"coldcase/refdata/vocab"
)

// condition is one expression, checked and ready to run.
type condition struct {
	holds clause
	needs []place // names that may be missing
	told  []vocab.Circumstance
}

// An expression is bounded before its types are checked: length and brackets
// before it is parsed, nodes while, depth and kinds of node after.
const (
	maxExpression = 2000 // bytes
	maxNesting    = 12   // brackets
	maxNodes      = 200
	maxDepth      = 60 // of the tree; a chain of or is as deep as it is long
)

// compiler holds what every expression is checked against.
type compiler struct {
	config *conf.Config
	names  []string
	groups map[string][]string // members of seen, told, isknown and limits
}

func newCompiler() *compiler {
	config := conf.CreateNew()
	for _, option := range []expr.Option{expr.Env(schema()), expr.AsBool(), expr.DisableAllBuiltins(), expr.EnableBuiltin("abs"), expr.MaxNodes(maxNodes)} {
		option(config)
	}
	for name := range config.Disabled {
		delete(config.Builtins, name)
	}
	groups := map[string][]string{"seen": findingNames(), "told": circumstanceNames(), "isknown": allNames(), "limits": sorted(theBook().limits)}
	return &compiler{config: config, names: allNames(), groups: groups}
}

// compile checks an expression against the names.
func (c *compiler) compile(f *File, t Text) (*condition, error) {
	wrong := func(text string, at int) error { return f.wrongAt(t, text, at) }
	if len(t.Value) > maxExpression {
		return nil, mistake(f.path, t, "an expression holds 2,000 characters at most")
	}
	if brackets(t.Value) > maxNesting {
		return nil, wrong("too many brackets inside each other", 0)
	}
	tree, err := parser.ParseWithConfig(t.Value, c.config)
	if err != nil {
		return nil, c.wrong(t.Value, wrong, err)
	}
	if what, at := refused(tree.Node); what != "" {
		return nil, wrong(what+" can't be used in a rule", at)
	}
	if _, err := checker.Check(tree, c.config); err != nil {
		return nil, c.wrong(t.Value, wrong, err)
	}
	tr := &translator{book: theBook()}
	holds := tr.clause(tree.Node)
	if tr.refused != "" {
		return nil, wrong(tr.refused+" can't be used in a rule", tr.at)
	}
	return &condition{holds: holds, needs: tr.needs, told: tr.told}, nil
}

func brackets(s string) (most int) {
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

// refused names the first thing of a parsed expression that could loop, grow or
// take the checker long.
func refused(root ast.Node) (what string, at int) {
	v := &guard{}
	ast.Walk(&root, v)
	if v.what == "" && depth(root) > maxDepth {
		return "an expression nested this deep", 0
	}
	return v.what, v.at
}

// guard finds the nodes that a rule can do without.
type guard struct {
	what string
	at   int
}

func (g *guard) Visit(n *ast.Node) {
	what := ""
	switch n := (*n).(type) {
	case *ast.IdentifierNode:
		if strings.HasPrefix(n.Value, "$") {
			what = n.Value
		}
	case *ast.PredicateNode, *ast.PointerNode:
		what = "all, any, filter and the like"
	case *ast.BinaryNode:
		if slices.Contains([]string{"..", "matches", "**", "^", "%", "??"}, n.Operator) {
			what = n.Operator
		}
	case *ast.CallNode:
		what = "calling anything but abs"
	case *ast.BuiltinNode:
		if n.Name != "abs" {
			what = n.Name
		}
	case *ast.VariableDeclaratorNode:
		what = "let"
	case *ast.SequenceNode:
		what = "; between expressions"
	case *ast.ConditionalNode:
		what = "if, or ? with :"
	case *ast.ChainNode, *ast.SliceNode, *ast.MapNode, *ast.BytesNode:
		what = "this"
	}
	if what != "" && g.what == "" {
		g.what, g.at = what, (*n).Location().From
	}
}

// depth of a tree; the guard has already refused all but these kinds.
func depth(n ast.Node) int {
	switch n := n.(type) {
	case *ast.UnaryNode:
		return 1 + depth(n.Node)
	case *ast.BinaryNode:
		return 1 + max(depth(n.Left), depth(n.Right))
	case *ast.MemberNode:
		return 1 + depth(n.Node)
	case *ast.BuiltinNode:
		most := 0
		for _, a := range n.Arguments {
			most = max(most, depth(a))
		}
		return 1 + most
	}
	return 1
}

// wrong turns the complaint of parser or checker into a place and a hint.
func (c *compiler) wrong(expression string, say func(string, int) error, err error) error {
	var fe *file.Error
	if !errors.As(err, &fe) {
		return say("a condition is true or false: "+err.Error(), 0)
	}
	text := strings.TrimSpace(fe.Message)
	for _, lead := range []string{"unknown name ", "unknown field ", "has no field "} {
		if _, name, found := strings.Cut(text, lead); found {
			name, _, _ = strings.Cut(name, " ")
			text = c.noSuchName(string([]rune(expression)[:fe.From]), name)
		}
	}
	for complaint, plain := range plainly {
		if strings.Contains(text, complaint) {
			text = plain
		}
	}
	return say(text, fe.From)
}

// plainly says the parser's and the checker's complaints in a lead's words.
var plainly = map[string]string{
	"maximum allowed nodes":                 "an expression this long: make it several, one will do",
	`unexpected token Operator("=")`:        "to compare, write == or < or >",
	`unexpected token Identifier("AND")`:    "write and, in small letters",
	`unexpected token Identifier("OR")`:     "write or, in small letters",
	`unexpected token Identifier("NOT")`:    "write not, in small letters",
	"unexpected token EOF":                  "it ends too early: a bracket or a word is missing",
	"mismatched types float64 and string":   "a number is compared with text: take the quotes off",
	"mismatched types string and float64":   "text is compared with a number: put quotes around it",
	"mismatched types bool and float64":     "yes or no is compared with a number",
	"mismatched types float64 and bool":     "a number is compared with yes or no",
	"mismatched types bool and string":      "yes or no is compared with text: write the name alone",
	"mismatched types string and bool":      "text is compared with yes or no",
	"unexpected token Identifier(\"F\")":    "no unit here: the name's end says which",
	"unexpected token Identifier(\"psig\")": "no unit here: the name's end says which",
}

// noSuchName gives the nearest right one: of a group when it stands behind its dot.
func (c *compiler) noSuchName(before, name string) string {
	text := "no such name: " + name
	for group, members := range c.groups {
		if strings.HasSuffix(before, group+".") {
			if near := nearestOf(name, members); near != "" {
				return text + "; did you mean " + group + "." + near + "?"
			}
		}
	}
	if near := nearestOf(name, c.names); near != "" {
		text += "; did you mean " + near + "?"
	}
	return text
}

// truth of a list: one that holds is enough.
func (w *When) truth(e *env) Truth {
	result := False
	for _, c := range w.cond {
		result = max(result, c.holds(e))
		if result == True {
			break
		}
	}
	return result
}

func (w *When) empty() bool { return len(w.Any) == 0 }

// holds: there is a condition, and it is true.
func (w *When) holds(e *env) bool { return len(w.cond) > 0 && w.truth(e) == True }

// missing lists the names that keep the conditions unknown.
func (w *When) missing(e *env) []string {
	var out []string
	for _, c := range w.cond {
		if c.holds(e) != Unknown {
			continue
		}
		for _, p := range c.needs {
			if !e.knows(p) && !slices.Contains(out, p.info.Name) {
				out = append(out, p.info.Name)
			}
		}
	}
	return out
}

// mistyped is how many letters a name may differ from one it was meant to be.
const mistyped = 3

func nearestOf(name string, names []string) string { return nearest.To(name, names, mistyped) }
