package rules

import (
	"bytes"
	"fmt"
	"math"
	"slices"
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
	c := newCompiler()
	for _, s := range f.subjects() {
		for _, t := range slices.Concat(s.when[0].Any, s.when[1].Any) {
			if _, err := c.compile(f, t); err != nil {
				return nil, err
			}
		}
		if s.lacks() != nil && len(s.examples) == 0 {
			insert(lines, s)
		}
	}
	return bytes.Join(lines, []byte("\n")), nil
}

// insert puts the examples at the end of a one-line entry, or after the lines of
// a longer one.
func insert(lines [][]byte, s subject) {
	all := s.edges()
	row := s.at.line - 1
	if end := bytes.LastIndexByte(lines[row], '}'); end > 0 && bytes.Contains(lines[row], []byte("- {")) {
		text := ", examples: [" + strings.Join(all, ", ") + "]"
		lines[row] = append(append(bytes.Clone(lines[row][:end]), text...), lines[row][end:]...)
		return
	}
	indent := strings.Repeat(" ", bytes.IndexByte(lines[row], '-')+2)
	for row+1 < len(lines) && bytes.HasPrefix(lines[row+1], []byte(indent)) {
		row++
	}
	text := "\n" + indent + "examples:"
	for _, e := range all {
		text += "\n" + indent + "  - " + e
	}
	lines[row] = append(bytes.Clone(lines[row]), text...)
}

// edges writes an example that fires for each condition that is enough, and one
// that stays silent.
func (s subject) edges() []string {
	fires, silent := []edge{}, edge{}
	when, unless := s.when[0], s.when[1]
	switch {
	case s.finding != "":
		fires, silent = append(fires, edge{s.finding: "yes"}), edge{s.finding: "no"}
	case when.empty():
		e := edge{}
		for _, t := range unless.Any {
			e.meet(t.Value, false)
		}
		fires = append(fires, e)
		silent.meet(unless.Any[0].Value, true)
	default:
		for _, t := range when.Any {
			e := edge{}
			e.meet(t.Value, true)
			fires = append(fires, e)
			silent.meet(t.Value, false)
		}
	}
	var out []string
	for _, e := range fires {
		out = append(out, fmt.Sprintf("{given: %s, expect: %s}", e, s.expects()))
	}
	return append(out, fmt.Sprintf("{given: %s, expect: silent}", silent))
}

// expects names the causes that a sign speaks most strongly for and against.
func (s subject) expects() string {
	said := map[string][]string{}
	for _, cause := range sorted(s.says) {
		said[s.says[cause].Strength] = append(said[s.says[cause].Strength], cause)
	}
	forCauses, against := said["strong_for"], said["strong_against"]
	if len(forCauses) == 0 {
		forCauses = said["for"]
	}
	switch {
	case len(forCauses) > 0 && len(against) > 0:
		return fmt.Sprintf("{for: [%s], against: [%s]}", strings.Join(forCauses, ", "), strings.Join(against, ", "))
	case len(forCauses) > 0:
		return fmt.Sprintf("{for: [%s]}", strings.Join(forCauses, ", "))
	case len(against) > 0:
		return fmt.Sprintf("{against: [%s]}", strings.Join(against, ", "))
	}
	return "fires"
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
	left := n.Left
	if call, ok := left.(*ast.BuiltinNode); ok && len(call.Arguments) == 1 {
		left = call.Arguments[0] // of abs
	}
	name, ok := left.(*ast.IdentifierNode)
	if !ok {
		return
	}
	switch right := n.Right.(type) {
	case *ast.StringNode:
		e.word(name.Value, right.Value, (n.Operator == "==") == want)
		return
	case *ast.ArrayNode:
		if first, ok := right.Nodes[0].(*ast.StringNode); ok {
			e.word(name.Value, first.Value, want)
		}
		return
	case *ast.BoolNode:
		e.node(left, right.Value == (want == (n.Operator == "==")))
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

// word puts a word, or another of its kind.
func (e edge) word(name, word string, is bool) {
	if !is {
		word = map[string]string{"application": "high", "metering": "eev", "compressor_type": "open"}[name]
		if word == "" {
			word = "R134a"
		}
	}
	e.put(name, word)
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
