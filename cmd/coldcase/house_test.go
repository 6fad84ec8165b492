package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// layers of the house, from the ground up; a package may import its own layer
// and those below it.
var layers = []string{"refdata", "calc", "rules", "bot", "cmd"}

// outsides of bot: each brings messages in and answers out, and none knows
// another.
var outsides = []string{"bot/sms", "bot/team", "bot/terminal", "bot/casepage", "bot/rehearse", "bot/desk"}

const root = "../.."

// TestTopLevel holds the top of the tree to what the house is made of.
func TestTopLevel(t *testing.T) {
	want := []string{
		".ci", ".git", ".gitignore", "DEVELOPERS.md", "LICENSE", "README.md",
		"bot", "calc", "cmd", "go.mod", "go.sum", "refdata", "rules", "testdata",
	}
	entries, err := os.ReadDir(root)
	require.NoError(t, err)
	for _, e := range entries {
		require.Contains(t, want, e.Name(), "nothing else belongs at the top")
	}
}

// TestImportsPointOneWay walks the import graph: refdata ← calc ← rules ← bot ← cmd.
func TestImportsPointOneWay(t *testing.T) {
	seen := 0
	for file, imports := range sourceImports(t) {
		from := filepath.ToSlash(filepath.Dir(file))
		for _, to := range imports {
			seen++
			require.LessOrEqual(t, layerOf(to), layerOf(from), "%s imports %s", file, to)
			if o := outsideOf(from); o != "" && outsideOf(to) != "" {
				require.Equal(t, o, outsideOf(to), "%s imports %s: outsides never import each other", file, to)
			}
		}
	}
	require.Greater(t, seen, 3, "the walk found the imports")
}

func sourceImports(t *testing.T) map[string][]string {
	found := map[string][]string{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ImportsOnly|parser.ParseComments)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		for _, imp := range parsed.Imports {
			name, err := strconv.Unquote(imp.Path.Value)
			if err != nil {
				return err
			}
			if own, ok := strings.CutPrefix(name, "coldcase/"); ok {
				found[rel] = append(found[rel], own)
			}
		}
		return nil
	})
	require.NoError(t, err)
	return found
}

func layerOf(pkg string) int {
	top, _, _ := strings.Cut(pkg, "/")
	return slices.Index(layers, top)
}

func outsideOf(pkg string) string {
	for _, o := range outsides {
		if pkg == o || strings.HasPrefix(pkg, o+"/") {
			return o
		}
	}
	return ""
}
