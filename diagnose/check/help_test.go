package check_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/check"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// read reads a layout text that has to be good. All layouts of these tests are
// invented.
func read(t testing.TB, text string) *track.Layout {
	t.Helper()
	f, problems := layoutfile.Read("test.hcl", []byte(text))
	var b strings.Builder
	require.NoError(t, problems.Render(&b, "test.hcl", 0, false))
	require.False(t, problems.Errors(), "%s\n%s", b.String(), text)
	return f.Layout
}

// layoutRead reads a layout whose geometry may miss.
func layoutRead(text string) (*track.Layout, layoutfile.Problems) {
	f, problems := layoutfile.Read("test.hcl", []byte(text))
	return f.Layout, problems
}

func run(t testing.TB, l *track.Layout, o check.Options) *check.Report {
	t.Helper()
	r, err := check.Run(l, o)
	require.NoError(t, err)
	return r
}

// find gives the only finding of a kind; nil when there is none.
func find(t testing.TB, r *check.Report, kind string) *check.Finding {
	t.Helper()
	var out *check.Finding
	for i := range r.Findings {
		if r.Findings[i].Kind == kind {
			require.Nil(t, out, "%s twice", kind)
			out = &r.Findings[i]
		}
	}
	return out
}

func head(construction string) string {
	return fmt.Sprintf("name = \"test\"\nabout = \"invented\"\nunits = \"in\"\nconstruction = %q\n", construction)
}

const (
	oval = `run "main" {
  closes = true
  pieces = ["8 x straight 10", "4 x curve left diameter 31 angle 45", "8 x straight 10",
    "4 x curve left diameter 31 angle 45"]
}
`
	ac = `supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
`
	ac2 = `supply "T2" {
  current = "ac"
  volts   = 18
  breaker = 10
}
`
	dc = `supply "P1" {
  current = "dc"
  volts   = 16
  breaker = 3
}
`
)

// feeder writes a feeder; more are lines of its block.
func feeder(name, at, on string, more ...string) string {
	if !strings.Contains(on, "=") {
		on = fmt.Sprintf("supply = %q", on)
	}
	return fmt.Sprintf("feeder %q {\n  at = %q\n  %s\n  wire = \"16 AWG\"\n  length = \"4 ft\"\n  %s\n}\n", name, at,
		on, strings.Join(more, "\n  "))
}

func gap(joint string, rails ...string) string {
	return fmt.Sprintf("insulated %q { rails = [%s] }\n", joint, `"`+strings.Join(rails, `", "`)+`"`)
}

func straights(n int) string {
	return fmt.Sprintf("run \"main\" { pieces = [\"%d x straight 10\"] }\n", n)
}
