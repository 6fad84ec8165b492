package calc

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var formulaPackages = []string{"cycle", "pipe", "elec", "service", "protect"}

// Every exported formula says where it holds, what it refuses and where it is from,
// and has a worked example that runs.
func TestFormulasAreDocumentedAndHaveExamples(t *testing.T) {
	total := 0
	for _, pkg := range formulaPackages {
		docs, examples := formulasOf(t, pkg)
		for name, doc := range docs {
			total++
			for _, heading := range []string{"In:", "Out:", "Range:", "Error:", "Within:", "Source:"} {
				assert.Contains(t, doc, heading, "%s.%s", pkg, name)
			}
			assert.True(t, examples["Example"+name], "%s.%s has no example", pkg, name)
		}
	}
	t.Log("exported formulas:", total)
	assert.Greater(t, total, 50)
}

// formulasOf gives the docs of a package's exported functions and the examples
// with an output that is checked.
func formulasOf(t *testing.T, pkg string) (docs map[string]string, examples map[string]bool) {
	t.Helper()
	docs, examples = map[string]string{}, map[string]bool{}
	files, err := fs.Glob(os.DirFS(pkg), "*.go")
	require.NoError(t, err)
	for _, name := range files {
		file, err := parser.ParseFile(token.NewFileSet(), pkg+"/"+name, nil, parser.ParseComments)
		require.NoError(t, err)
		for _, d := range file.Decls {
			f, ok := d.(*ast.FuncDecl)
			if !ok || f.Recv != nil || !f.Name.IsExported() {
				continue
			}
			switch {
			case !strings.HasSuffix(name, "_test.go"):
				docs[f.Name.Name] = f.Doc.Text()
			case strings.HasPrefix(f.Name.Name, "Example"):
				examples[f.Name.Name] = hasOutput(file, f)
			}
		}
	}
	return docs, examples
}

var output = regexp.MustCompile(`(?i)output:`)

func hasOutput(file *ast.File, f *ast.FuncDecl) bool {
	for _, c := range file.Comments {
		if c.Pos() > f.Body.Pos() && c.End() < f.Body.End() && output.MatchString(c.Text()) {
			return true
		}
	}
	return false
}
