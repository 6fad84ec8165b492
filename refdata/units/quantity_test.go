package units_test

import (
	"go/ast"
	"go/token"
	"go/types"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/tools/go/packages"
)

// The hole in defined quantity types is that a bare literal converts by itself:
// DewTemp(40) compiles and means 40 Pa. Outside this package no number literal
// but 0, and no untyped constant, may become a quantity. A factor or divisor beside
// * and / is a plain number and passes.
func TestNoLiteralBecomesAQuantity(t *testing.T) {
	if testing.Short() {
		t.Skip("type-checks the whole house")
	}
	mode := packages.NeedName | packages.NeedFiles | packages.NeedSyntax | packages.NeedTypes | packages.NeedTypesInfo | packages.NeedImports | packages.NeedExportFile
	all, err := packages.Load(&packages.Config{Mode: mode, Dir: "../.."}, "./calc/...", "./rules/...", "./bot/...", "./cmd/...", "./refdata/...")
	require.NoError(t, err)
	require.NotEmpty(t, all)
	checked := 0
	for _, pkg := range all {
		require.Empty(t, pkg.Errors, pkg.PkgPath)
		if strings.HasSuffix(pkg.PkgPath, "refdata/units") {
			continue
		}
		for _, file := range pkg.Syntax {
			checked++
			ast.Inspect(file, func(n ast.Node) bool { return !scale(n) && look(t, pkg, n) })
		}
	}
	t.Log("files checked:", checked)
}

// scale is a product or quotient with a literal in it, which is no quantity.
func scale(n ast.Node) bool {
	b, ok := n.(*ast.BinaryExpr)
	if !ok || b.Op != token.MUL && b.Op != token.QUO {
		return false
	}
	_, left := b.X.(*ast.BasicLit)
	_, right := b.Y.(*ast.BasicLit)
	return left || right
}

func look(t *testing.T, pkg *packages.Package, n ast.Node) bool {
	var expr ast.Expr
	switch e := n.(type) {
	case *ast.BasicLit:
		expr = e
	case *ast.Ident:
		c, ok := pkg.TypesInfo.Uses[e].(*types.Const)
		if !ok || !untyped(c.Type()) {
			return true
		}
		expr = e
	default:
		return true
	}
	got, ok := pkg.TypesInfo.Types[expr]
	if ok && quantity(got.Type) && got.Value != nil && got.Value.ExactString() != "0" {
		assert.Fail(t, "a number became a quantity", "%s: %s as %s: use a constructor of refdata/units", pkg.Fset.Position(n.Pos()), got.Value, got.Type)
	}
	return true
}

func untyped(t types.Type) bool {
	b, ok := t.(*types.Basic)
	return ok && b.Info()&types.IsUntyped != 0
}

func quantity(t types.Type) bool {
	named, ok := t.(*types.Named)
	if !ok || named.Obj().Pkg() == nil || !strings.HasSuffix(named.Obj().Pkg().Path(), "refdata/units") {
		return false
	}
	b, ok := named.Underlying().(*types.Basic)
	return ok && b.Info()&types.IsFloat != 0
}
