package tui

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// screenFolders are the screens; they know scene and what draws, and never
// each other.
var screenFolders = []string{"symptom", "kit", "caution", "asking", "why", "inspect", "done", "evidence", "record", "help", "drill"}

// parts may be used by screens.
var parts = []string{"card", "plan", "scene", "spot", "style", "text", "draw", "big"}

func TestWhoImportsWhom(t *testing.T) {
	for _, dir := range screenFolders {
		for _, imp := range imports(t, dir) {
			if rest, ours := strings.CutPrefix(imp, "fishplate/tui/"); ours {
				assert.Contains(t, parts, rest, "screen %s imports %s", dir, imp)
			}
			assert.NotEqual(t, "fishplate/tui", imp, dir)
		}
	}
	for _, imp := range imports(t, "draw") {
		assert.NotContains(t, imp, "github.com", "draw is pure")
		assert.NotContains(t, imp, "fishplate/tui", "draw is pure")
	}
	for _, dir := range append(append([]string{".", "start", "svg"}, screenFolders...), parts...) {
		for _, imp := range imports(t, dir) {
			assert.NotEqual(t, "fishplate/layoutfile", imp, "%s reads layouts", dir)
			assert.False(t, strings.HasPrefix(imp, "fishplate/tui/internal"), "%s uses what is for tests", dir)
		}
	}
}

func imports(t *testing.T, dir string) []string {
	var out []string
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	require.NoError(t, err)
	require.NotEmpty(t, files, dir)
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") {
			continue
		}
		p, err := parser.ParseFile(token.NewFileSet(), f, nil, parser.ImportsOnly)
		require.NoError(t, err)
		for _, i := range p.Imports {
			path, err := strconv.Unquote(i.Path.Value)
			require.NoError(t, err)
			out = append(out, path)
		}
	}
	return out
}

// TestSizes holds functions to 60 lines (views to 100) and files to 500.
func TestSizes(t *testing.T) {
	err := filepath.WalkDir(".", func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, path, nil, 0)
		require.NoError(t, err)
		assert.LessOrEqual(t, set.Position(f.End()).Line, 500, path)
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok {
				continue
			}
			n := set.Position(fn.End()).Line - set.Position(fn.Pos()).Line + 1
			most := 60
			if name := strings.ToLower(fn.Name.Name); strings.Contains(name, "view") || strings.HasSuffix(name, "keys") {
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
				if x, ok := n.X.(*ast.Ident); ok && x.Name == "tea" && (n.Sel.Name == "Exec" || n.Sel.Name == "ExecProcess") {
					t.Errorf("%s: hands the terminal over", set.Position(n.Pos()))
				}
			}
			return true
		})
		return nil
	})
	require.NoError(t, err)
}
