package rules

import (
	"bytes"
	"fmt"
	"math"
	"strings"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/parser"

	"coldcase/refdata/vocab"
)

// Propose writes examples into a rule file where they lack, at the edge of each
// condition: one that just fires and one that just does not. They are a start for
// whoever writes the rule, who knows what the trade would say.
func Propose(name string, raw []byte) ([]byte, error) {
	f, wrong := readFile(name, raw)
	if len(wrong) > 0 {
		return nil, wrong[0]
	}
	lines := bytes.Split(raw, []byte("\n"))
	for _, s := range f.subjects() {
		if s.lacks() != nil && len(s.examples) == 0 {
			insert(lines, s)
		}
	}
	return bytes.Join(lines, []byte("\n")), nil
}

// insert puts the examples at the end of a one-line entry, or after the lines of
// a longer one.
func insert(lines [][]byte, s subject) {
	fires, silent := edge{}, edge{}
	s.edges(fires, silent)
	row := s.at.line - 1
	if end := bytes.LastIndexByte(lines[row], '}'); end > 0 && bytes.Contains(lines[row], []byte("- {")) {
		text := fmt.Sprintf(", examples: [{given: %s, expect: fires}, {given: %s, expect: silent}]", fires, silent)
		lines[row] = append(append(bytes.Clone(lines[row][:end]), text...), lines[row][end:]...)
		return
	}
	indent := strings.Repeat(" ", bytes.IndexByte(lines[row], '-')+2)
	for row+1 < len(lines) && bytes.HasPrefix(lines[row+1], []byte(indent)) {
		row++
	}
	lines[row] = fmt.Appendf(bytes.Clone(lines[row]), "\n%sexamples:\n%s  - {given: %s, expect: fires}\n%s  - {given: %s, expect: silent}", indent, indent, fires, indent, silent)
}

// edges fills the two examples.
func (s subject) edges(fires, silent edge) {
	if s.finding != "" {
		fires[s.finding], silent[s.finding] = "yes", "no"
		return
	}
	when, unless := s.when[0], s.when[1]
	if !when.empty() {
		fires.meet(when.Any[0].Value, true)
		silent.meet(when.Any[0].Value, false)
		return
	}
	for _, t := range unless.Any {
		fires.meet(t.Value, false)
	}
	silent.meet(unless.Any[0].Value, true)
}

// edge is what an example gives.
type edge map[string]string

func (e edge) String() string {
	var parts []string
	for _, k := range sorted(e) {
		parts = append(parts, k+": "+e[k])
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

func (e edge) put(key, value string) {
	if _, taken := e[key]; !taken && value != "" {
		e[key] = value
	}
}

func (e edge) meet(expression string, want bool) {
	if tree, err := parser.Parse(expression); err == nil {
		e.node(tree.Node, want)
	}
}

func (e edge) node(n ast.Node, want bool) {
	switch n := n.(type) {
	case *ast.UnaryNode:
		e.node(n.Node, !want)
	case *ast.IdentifierNode:
		e.put(n.Value, map[bool]string{true: "yes", false: "no"}[want])
	case *ast.MemberNode:
		e.member(n, want)
	case *ast.BinaryNode:
		e.binary(n, want)
	}
}

func (e edge) member(n *ast.MemberNode, want bool) {
	group, _ := n.Node.(*ast.IdentifierNode)
	name, _ := n.Property.(*ast.StringNode)
	switch {
	case group == nil || name == nil:
	case group.Value == "told" && want:
		e.put(name.Value, "told")
	case group.Value == "seen":
		e.put(name.Value, map[bool]string{true: "yes", false: "no"}[want])
	case group.Value == "isknown" && want:
		switch {
		case vocab.IsFinding(name.Value) || vocab.IsFact(name.Value):
			e.put(name.Value, "no")
		default:
			e.put(name.Value, "10")
		}
	}
}

func (e edge) binary(n *ast.BinaryNode, want bool) {
	switch n.Operator {
	case "&&", "and":
		e.node(n.Left, want)
		e.node(n.Right, true)
	case "||", "or":
		e.node(n.Left, want)
		if !want {
			e.node(n.Right, false)
		}
	default:
		e.compare(n, want)
	}
}

// compare puts a number just on the wanted side of its limit.
func (e edge) compare(n *ast.BinaryNode, want bool) {
	name, ok := n.Left.(*ast.IdentifierNode)
	if !ok {
		return
	}
	if word, ok := n.Right.(*ast.StringNode); ok {
		if (n.Operator == "==") != want {
			e.put(name.Value, "other")
		} else {
			e.put(name.Value, word.Value)
		}
		return
	}
	if truth, ok := n.Right.(*ast.BoolNode); ok {
		e.node(n.Left, truth.Value == (want == (n.Operator == "==")))
		return
	}
	limit, ok := written(n.Right)
	if !ok {
		return
	}
	step := math.Max(1, math.Round(math.Abs(limit)/20))
	if math.Abs(limit) < 3 {
		step = 0.1
	}
	if (n.Operator == "<" || n.Operator == "<=") == want {
		step = -step
	}
	e.put(name.Value, fmt.Sprintf("%.4g", limit+step))
}

// written is the value of a number in an expression, or of a limit.
func written(n ast.Node) (float64, bool) {
	switch n := n.(type) {
	case *ast.IntegerNode:
		return float64(n.Value), true
	case *ast.FloatNode:
		return n.Value, true
	case *ast.UnaryNode:
		v, ok := written(n.Node)
		return -v, ok && n.Operator == "-"
	case *ast.MemberNode:
		if name, ok := n.Property.(*ast.StringNode); ok {
			v, ok := theBook().limits[name.Value]
			return v, ok
		}
	}
	return 0, false
}
