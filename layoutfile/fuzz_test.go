package layoutfile

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

// fuzzBytes keeps fuzzing at small files: with the whole layouts of testdata as
// seeds one execution took most of a second under the fuzzer's instruments, in
// the parser and in comparing two layouts of hundreds of pieces.
const fuzzBytes = 1500

// Run it with -fuzzminimizetime 10x: the fuzzer's own way gives a minute to making
// the first new input shorter, and 159 executions came of 60 s; so it is 76,022 in 30 s.

// FuzzRead: whatever comes in, Read answers; a file that it takes can be
// written anew and says the same.
func FuzzRead(f *testing.F) {
	for _, pattern := range []string{"../testdata/layouts/*.hcl", "../testdata/bad/*.hcl", "*.hcl"} {
		files, err := filepath.Glob(pattern)
		require.NoError(f, err)
		for _, path := range files {
			src, err := os.ReadFile(path)
			require.NoError(f, err)
			if len(src) <= fuzzBytes {
				f.Add(src)
			}
		}
	}
	f.Add([]byte(small))
	f.Fuzz(func(t *testing.T, src []byte) {
		if len(src) > 2*fuzzBytes {
			return
		}
		file, problems := Read("fuzz.hcl", src)
		var shown bytes.Buffer
		require.NoError(t, problems.Render(&shown, "fuzz.hcl", 60, false))
		for _, p := range problems {
			require.NotEmpty(t, p.Summary)
			require.GreaterOrEqual(t, p.Range.Line, 1)
			require.GreaterOrEqual(t, p.Range.Column, 1)
		}
		require.LessOrEqual(t, len(problems), maxProblems+1)
		require.Equal(t, problems.Errors(), file == nil, shown.String())
		if file == nil {
			return
		}
		require.True(t, bytes.Equal(src, file.Bytes()))
		if !utf8.Valid(src) {
			return
		}
		if len(file.Layout.Pieces) < 300 { // the check looks names up one by one
			checkLayout(t, file.Layout)
		}
		again, problems := Read("again.hcl", anew(file))
		require.NoError(t, problems.Render(io.Discard, "again.hcl", 0, true))
		require.NotNil(t, again, "%v\n%s", problems, anew(file))
		require.Equal(t, withoutLines(file.Layout), withoutLines(again.Layout))
	})
}
