package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestImportTable holds every package of the module to the table that the
// contributor's guide prints: it imports nothing of ours that its line does not
// name, and no line names what nobody there imports.
func TestImportTable(t *testing.T) {
	root := filepath.Join("..", "..")
	has := moduleImports(t, root)
	lines := importTable(t, filepath.Join(root, "DEVELOPERS.md"))
	seen := map[string]bool{}
	for _, l := range lines {
		used := map[string]bool{}
		for _, pkg := range l.packages {
			assert.False(t, seen[pkg], "%s stands in two lines", pkg)
			seen[pkg] = true
			if !assert.Contains(t, has, pkg, "no such package") {
				continue
			}
			for _, imp := range has[pkg] {
				if ours, ok := strings.CutPrefix(imp, "fishplate/"); ok {
					assert.Contains(t, l.may, ours, "%s imports %s: the table in DEVELOPERS.md does not let it", pkg,
						ours)
					used[ours] = true
				}
			}
		}
		for _, may := range l.may {
			assert.True(t, used[may], "nobody in the line of %s imports %s", l.packages[0], may)
		}
	}
	for _, pkg := range slices.Sorted(maps.Keys(has)) {
		assert.True(t, seen[pkg], "%s stands in no line of the table", pkg)
	}
}

// TestPure: what finds faults knows no files, clock, terminal or chance of its
// own, and neither does what reads layouts.
func TestPure(t *testing.T) {
	seen := map[string]bool{}
	eachFile(t, filepath.Join("..", ".."), parser.SkipObjectResolution, func(pkg string, f *ast.File) {
		if !strings.HasPrefix(pkg, "diagnose/") && !strings.HasPrefix(pkg, "layoutfile") && pkg != "tui/draw" {
			return
		}
		seen[pkg] = true
		for _, i := range f.Imports {
			imp, _ := strconv.Unquote(i.Path.Value)
			top, _, _ := strings.Cut(imp, "/")
			if top != "time" || pkg != "diagnose/report" { // it prints the times that it is handed
				assert.NotContains(t, []string{"os", "time", "net", "log", "syscall"}, top, pkg)
			}
			assert.NotContains(t, []string{"math/rand", "crypto/rand"}, imp, pkg)
			assert.NotContains(t, imp, "charmbracelet", pkg)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if s, ok := n.(*ast.SelectorExpr); ok {
				if of, ok := s.X.(*ast.Ident); ok && of.Name == "rand" {
					assert.Contains(t, []string{"New", "NewPCG", "Rand", "Source", "PCG"}, s.Sel.Name,
						"%s draws from a generator that nobody handed it", pkg)
				}
			}
			return true
		})
	})
	require.Greater(t, len(seen), 40)
}

// TestNoObjectDoesEverything: an object with forty methods may touch anything, and
// nobody can say what it does.
func TestNoObjectDoesEverything(t *testing.T) {
	const most = 39
	methods := map[string]int{}
	eachFile(t, filepath.Join("..", ".."), parser.SkipObjectResolution, func(dir string, f *ast.File) {
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || fn.Recv == nil {
				continue
			}
			of := fn.Recv.List[0].Type
			if p, ok := of.(*ast.StarExpr); ok {
				of = p.X
			}
			if g, ok := of.(*ast.IndexExpr); ok {
				of = g.X
			}
			if name, ok := of.(*ast.Ident); ok {
				methods[dir+" "+name.Name]++
			}
		}
	})
	require.Greater(t, len(methods), 100)
	for object, n := range methods {
		assert.LessOrEqual(t, n, most, object)
	}
}

// moduleImports lists what each package of the module imports, tests apart.
func moduleImports(t *testing.T, root string) map[string][]string {
	out := map[string][]string{}
	eachFile(t, root, parser.ImportsOnly, func(dir string, f *ast.File) {
		out[dir] = append(out[dir], []string{}...)
		for _, i := range f.Imports {
			name, _ := strconv.Unquote(i.Path.Value)
			out[dir] = append(out[dir], name)
		}
	})
	return out
}

// eachFile parses every file of the module, tests apart; dir is its package.
func eachFile(t *testing.T, root string, mode parser.Mode, do func(dir string, f *ast.File)) {
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && path != root && (strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata") {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, mode)
		if err != nil {
			return err
		}
		dir, err := filepath.Rel(root, filepath.Dir(path))
		do(filepath.ToSlash(dir), f)
		return err
	})
	require.NoError(t, err)
}

// importLine is a line of the table: packages, and what of ours they may import.
type importLine struct{ packages, may []string }

// importTable reads the fenced block that begins with ```imports. A line is
// "packages: what they may import"; "@name = packages" gives some of them a name.
func importTable(t *testing.T, guide string) []importLine {
	text, err := os.ReadFile(guide)
	require.NoError(t, err)
	_, block, ok := strings.Cut(string(text), "```imports\n")
	require.True(t, ok, "no table")
	block, _, ok = strings.Cut(block, "```")
	require.True(t, ok, "the table does not end")
	named := map[string][]string{}
	spread := func(words string) (out []string) {
		for _, w := range strings.Fields(words) {
			if group, ok := named[w]; ok {
				out = append(out, group...)
				continue
			}
			require.False(t, strings.HasPrefix(w, "@"), "%s is no group above", w)
			out = append(out, w)
		}
		return out
	}
	var out []importLine
	for line := range strings.Lines(block) {
		if name, words, ok := strings.Cut(line, " = "); ok {
			named[strings.TrimSpace(name)] = spread(words)
			continue
		}
		left, right, ok := strings.Cut(line, ":")
		require.True(t, ok, "no colon: %s", line)
		out = append(out, importLine{spread(left), spread(right)})
	}
	require.NotEmpty(t, out)
	return out
}

// TestFilesAndLinesAreShort: no file of Go beyond 500 lines, no line beyond 120 columns,
// a tab being four; a go:generate line cannot be broken.
func TestFilesAndLinesAreShort(t *testing.T) {
	const most, widest = 500, 120
	files := 0
	err := filepath.WalkDir(filepath.Join("..", ".."), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		files++
		lines := strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
		assert.LessOrEqual(t, len(lines), most, path)
		for i, l := range lines {
			if strings.HasPrefix(l, "//go:generate") {
				continue
			}
			wide := utf8.RuneCountInString(strings.ReplaceAll(l, "\t", "    "))
			assert.LessOrEqual(t, wide, widest, "%s:%d", path, i+1)
		}
		return nil
	})
	require.NoError(t, err)
	require.Greater(t, files, 500)
}
