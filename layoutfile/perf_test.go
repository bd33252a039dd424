package layoutfile

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// The demo must be read in less than 25 ms, since it stands before the first
// frame. One run of many that is as fast will do: a busy machine does not count.
func TestDemoIsReadQuickly(t *testing.T) {
	name, src := Demo()
	best := time.Hour
	for i := 0; i < 500 && best >= 25*time.Millisecond; i++ {
		start := time.Now()
		f, problems := Read(name, src)
		best = min(best, time.Since(start))
		require.Empty(t, problems)
		require.NotNil(t, f)
	}
	require.Less(t, best, 25*time.Millisecond)
}

func TestDemo(t *testing.T) {
	name, src := Demo()
	f := mustRead(t, name, string(src))
	checkLayout(t, f.Layout)
	require.Contains(t, string(src), "invented")
	require.Len(t, f.Layout.Pieces, 62)
	require.Len(t, f.Layout.Feeders, 2)
	require.NotEmpty(t, f.Layout.Landmarks)
	require.NotEmpty(t, f.Layout.Hidden)
	for _, r := range f.Layout.Runs {
		require.Less(t, r.MissMM, 0.05, r.Name)
	}
	src[0] = 'X'
	_, again := Demo()
	require.NotEqual(t, src[0], again[0], "the text given out is the caller's own")
}

// hostile texts: each is answered, none is followed into the ground.
func TestHostileTexts(t *testing.T) {
	head := "name = \"T\"\nunits = \"in\"\nconstruction = \"metal-tie\"\n"
	for name, c := range map[string]struct{ src, want string }{
		"too long":         {head + strings.Repeat("# filler\n", 120000), "1 MiB"},
		"zero bytes":       {"name = \"\x00\"", "zero bytes"},
		"deep lists":       {"about = " + strings.Repeat("[", 500000), "nested more than"},
		"deep blocks":      {strings.Repeat("run {\n", 100000), "nested more than"},
		"deep parentheses": {"about = " + strings.Repeat("(", 500000), "nested more than"},
		"deep templates":   {"about = " + strings.Repeat("\"${", 200000), "nested more than"},
		"chain of not":     {"about = " + strings.Repeat("!", 90000) + "true", "operators"},
		"chain of minus":   {"about = " + strings.Repeat("-", 90000) + "1", "operators"},
		"spaced minus":     {"about = " + strings.Repeat("- ", 90000) + "1", "operators"},
		"chain of choices": {"about = " + strings.Repeat("true ? 1 : ", 20000) + "1", "operators"},
		"too much":         {"about = " + strings.Repeat("- ", 400000) + "1", "more in it than"},
		"endless text":     {"about = <<E\n" + strings.Repeat("x\n", 400000), "a text of more than"},
		"many lines":       {"about = <<E\n" + strings.Repeat("\n", 3000), "a text of more than"},
		"steering":         {"name = \"\\u001b[2J\"\n", "cannot be seen, U+001B"},
		"steering name": {head + "run \"a\" { pieces = [\"straight 1\"] }\nsupply \"T\\u202e1\" {}\n",
			"cannot be seen, U+202E"},
		"two lines":   {"name = \"a\\nb\"\n", "more than one line"},
		"huge number": {head + "about = 1e999999999\n", ""},
		"many runs": {head + strings.Repeat("run \"a\" { pieces = [\"straight 1\"] }\n", 600),
			"more than 500 blocks run"},
		"many notes": {head + "run \"a\" { pieces = [\"straight 1\"] }\n" +
			strings.Repeat("note \"a 1\" { text = \"x\" }\n", 5001), "more than 5000 blocks note"},
		"many pieces": {head + "run \"a\" { pieces = [" + strings.Repeat("\"1000 x straight 1\",", 20000) +
			"] }\n", "more than 10000 pieces"},
		"many mistakes": {head + "run \"a\" { pieces = [" + strings.Repeat("\"strait\",", 20000) + "] }\n",
			"more mistakes are not shown"},
		"many second times": {head + "run \"a\" { pieces = [\"crossing 90 length 10 as X1\"," +
			strings.Repeat("\"X1 again\",", 20000) + "] }\n", ""},
		"long name": {head + "run \"" + strings.Repeat("a", 3000) + "\" { pieces = [\"straight 1\"] }\n",
			"cannot name a run"},
		"long text": {"name = \"" + strings.Repeat("a", 3000) + "\"\nunits = \"in\"\n", "the limit is 2000"},
	} {
		start := time.Now()
		f, problems := Read(name, []byte(c.src))
		require.Nil(t, f, name)
		var b strings.Builder
		require.NoError(t, problems.Render(&b, name, 80, false))
		require.Contains(t, strings.Join(strings.Fields(b.String()), " "), c.want, name)
		require.Less(t, len(problems), maxProblems+2, name)
		require.Less(t, time.Since(start), 20*time.Second, name)
	}
}

func BenchmarkReadDemo(b *testing.B) {
	name, src := Demo()
	b.ReportAllocs()
	for i := 0; i < b.N; i++ {
		Read(name, src)
	}
}

func BenchmarkRead5000(b *testing.B) {
	src := []byte(fmt.Sprintf("name = \"T\"\nunits = \"in\"\nconstruction = \"metal-tie\"\nrun \"main\" {\n  pieces "+
		"= [%s]\n}\n", strings.Repeat("\"straight 10\", \"curve left diameter 31 angle 45\", ", 2500)))
	b.ReportAllocs()
	for i := 0; i < b.N; i++ {
		if f, _ := Read("x", src); f == nil {
			b.Fatal("not read")
		}
	}
}
