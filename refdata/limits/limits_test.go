package limits

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"coldcase/refdata/vocab"
)

func TestEveryLimitHasWhatSourceAndAUnitAtItsEnd(t *testing.T) {
	known, err := All()
	require.NoError(t, err)
	require.Greater(t, len(known), 100)
	ratios := 0
	for name, l := range known {
		assert.Equal(t, name, l.Name)
		if l.Unit() == "" {
			ratios++
		}
		if l.FromMemory() {
			t.Logf("from memory: %-32s %g (%s)", name, l.Value, l.Source)
		}
	}
	assert.Less(t, ratios, 30, "names without a unit are plain ratios only")
}

func TestBadLimitFilesAreRefused(t *testing.T) {
	for _, text := range []string{
		"limits: {a_dF: {value: 1, what: x}}",
		"limits: {a_dF: {value: 1, what: x, source: y, sauce: z}}",
		"limits: {a_dF: {value: one, what: x, source: y}}",
		"limitz: {}",
	} {
		_, err := read([]byte(text))
		assert.Error(t, err, text)
	}
}

// Every name that the house asks for by a literal is in the table.
func TestEveryNameAskedForIsKnown(t *testing.T) {
	known, err := All()
	require.NoError(t, err)
	asked := 0
	root := filepath.Join("..", "..")
	err = filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if name, ok := askedName(n); ok {
				asked++
				assert.Contains(t, known, name, path)
			}
			return true
		})
		return nil
	})
	require.NoError(t, err)
	t.Log("names asked for:", asked)
}

func askedName(n ast.Node) (string, bool) {
	call, ok := n.(*ast.CallExpr)
	if !ok || len(call.Args) != 1 {
		return "", false
	}
	f, ok := call.Fun.(*ast.SelectorExpr)
	if !ok || f.Sel.Name != "Value" {
		return "", false
	}
	if x, ok := f.X.(*ast.Ident); !ok || x.Name != "limits" {
		return "", false
	}
	lit, ok := call.Args[0].(*ast.BasicLit)
	if !ok {
		return "", false
	}
	name, err := strconv.Unquote(lit.Value)
	return name, err == nil
}

func TestPlausibilityIsComplete(t *testing.T) {
	for _, d := range vocab.Definitions() {
		s, ok := Plausible(d.Key, "")
		if assert.True(t, ok, "no span for %s", d.Key) {
			assert.LessOrEqual(t, s.Low, s.UnusuallyLow, d.Key)
			assert.LessOrEqual(t, s.UnusuallyLow, s.UnusuallyHigh, d.Key)
			assert.LessOrEqual(t, s.UnusuallyHigh, s.High, d.Key)
			assert.NotEmpty(t, s.Source, d.Key)
		}
	}
}

func TestLeakRulesAreDatedAndSourced(t *testing.T) {
	rules, err := LeakRules()
	require.NoError(t, err)
	for _, r := range rules {
		assert.NotEmpty(t, r.Source)
		assert.Greater(t, r.RatePct, 0.0)
		if r.FromMemory {
			t.Logf("from memory: %s %s from %s (%s)", r.Part, r.Appliance, r.From.Format("2006-01-02"), r.Note)
		}
	}
	assert.Len(t, rules, 6)
	duties, err := LeakDuties()
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(duties), 8)
}
