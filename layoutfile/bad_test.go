package layoutfile

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestBadFiles reads every testdata/bad/NAME.hcl and compares its problems
// with NAME.want: one a line, "LINE:COLUMN words of the summary", a warning
// begins with the word warning; behind => words of what to write instead. All must be there, in that order, no others.
func TestBadFiles(t *testing.T) {
	files, err := filepath.Glob("../testdata/bad/*.hcl")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 35)
	for _, path := range files {
		t.Run(strings.TrimSuffix(filepath.Base(path), ".hcl"), func(t *testing.T) {
			src, err := os.ReadFile(path)
			require.NoError(t, err)
			wanted, err := os.ReadFile(strings.TrimSuffix(path, ".hcl") + ".want")
			require.NoError(t, err)
			want := strings.Split(strings.TrimSuffix(string(wanted), "\n"), "\n")
			f, problems := Read(path, src)
			var shown strings.Builder
			require.NoError(t, problems.Render(&shown, filepath.Base(path), 100, false))
			require.Len(t, problems, len(want), shown.String())
			for i, p := range problems {
				where, what, _ := strings.Cut(want[i], " ")
				what, fix, _ := strings.Cut(what, " => ")
				got := p.Summary
				if p.Warning {
					got = "warning " + got
				}
				assert.Equal(t, where, fmt.Sprintf("%d:%d", p.Range.Line, p.Range.Column), shown.String())
				assert.Contains(t, got, what, shown.String())
				assert.Contains(t, p.Fix, fix, shown.String())
				assert.NotEmpty(t, p.Line+p.Fix)
			}
			assert.Equal(t, problems.Errors(), f == nil, "a file that cannot be used must not be given out")
			t.Log("\n" + shown.String())
		})
	}
}
