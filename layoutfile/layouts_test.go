package layoutfile

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// mustRead reads a text that has to be good, without warnings.
func mustRead(t require.TestingT, name, src string) *File {
	f, problems := Read(name, []byte(src))
	var b strings.Builder
	if err := problems.Render(&b, name, 100, false); err != nil {
		b.WriteString(err.Error())
	}
	require.Empty(t, problems, b.String())
	require.NotNil(t, f)
	return f
}

func layoutFiles(t require.TestingT) []string {
	files, err := filepath.Glob("../testdata/layouts/*.hcl")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	return files
}

func TestEveryLayoutIsGoodAndClosesWhereItClaimsTo(t *testing.T) {
	for _, path := range layoutFiles(t) {
		t.Run(filepath.Base(path), func(t *testing.T) {
			src, err := os.ReadFile(path)
			require.NoError(t, err)
			require.Contains(t, string(src), "Invented")
			f := mustRead(t, path, string(src))
			for _, r := range f.Layout.Runs {
				require.Less(t, r.MissMM, 0.05, r.Name)
				require.Less(t, r.MissDeg, 0.01, r.Name)
			}
			checkLayout(t, f.Layout)
		})
	}
}
