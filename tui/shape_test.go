package tui

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestSizes holds functions to 60 lines, views to 100.
func TestSizes(t *testing.T) {
	err := filepath.WalkDir(".", func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, path, nil, 0)
		require.NoError(t, err)
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok {
				continue
			}
			n := set.Position(fn.End()).Line - set.Position(fn.Pos()).Line + 1
			most := 60
			if name := strings.ToLower(fn.Name.Name); strings.Contains(name, "view") ||
				strings.HasSuffix(name, "keys") {
				most = 100 // views, and tables of keys
			}
			assert.LessOrEqual(t, n, most, "%s: %s", path, fn.Name.Name)
		}
		return nil
	})
	require.NoError(t, err)
}

// TestNoLooseGoroutines: everything beside the screen runs in commands, whose
// panics are caught (guard.go), so no screen starts a goroutine of its own; and
// nothing hands the terminal to another program, since the framework's way to
// do that freezes the screen when the other one ends at once.
func TestNoLooseGoroutines(t *testing.T) {
	err := filepath.WalkDir(".", func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, path, nil, 0)
		require.NoError(t, err)
		ast.Inspect(f, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.GoStmt:
				t.Errorf("%s: a goroutine of its own", set.Position(n.Pos()))
			case *ast.SelectorExpr:
				if x, ok := n.X.(*ast.Ident); ok && x.Name == "tea" &&
					(n.Sel.Name == "Exec" || n.Sel.Name == "ExecProcess") {
					t.Errorf("%s: hands the terminal over", set.Position(n.Pos()))
				}
			}
			return true
		})
		return nil
	})
	require.NoError(t, err)
}
