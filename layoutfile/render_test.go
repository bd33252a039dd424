package layoutfile

import (
	"strings"
	"testing"

	"fishplate/layoutfile/sheet"

	"github.com/stretchr/testify/require"
)

func render(t *testing.T, src string, width int, colour bool) string {
	_, problems := Read("club.hcl", []byte(src))
	var b strings.Builder
	require.NoError(t, problems.Render(&b, "club.hcl", width, colour))
	return b.String()
}

const typo = "name = \"T\"\nunits = \"in\"\nconstruction = \"metal-tie\"\nrun \"main\" { pieces = [\"4 x strait " +
	"10\"] }\n"

func TestRender(t *testing.T) {
	require.Equal(t, `club.hcl:4:29: "strait" is not a kind of piece
    4 | run "main" { pieces = ["4 x strait 10"] }
      |                             ^^^^^^
  = did you mean "straight"?
`, render(t, typo, 80, false))
	require.Contains(t, render(t, typo, 80, true), "\x1b[31m^^^^^^\x1b[0m")
}

// The spot stays in sight and under its mark however narrow the screen.
func TestRenderNarrow(t *testing.T) {
	long := strings.Replace(typo, "[\"4 x",
		"[\"straight 10\", \"straight 10\", \"straight 10\", \"straight 10\", \"4 x", 1)
	for width := 24; width < 120; width++ {
		lines := strings.Split(render(t, long, width, false), "\n")
		for i, s := range lines {
			require.LessOrEqual(t, sheet.Columns(s), width, "%q", s)
			if at := strings.Index(s, "^^^^^^"); at >= 0 {
				require.Equal(t, "strait", lines[i-1][at:at+6], width)
			}
		}
		require.Contains(t, strings.Join(lines, "\n"), "^^^^^^")
	}
}

// A file cannot steer the terminal through our answer.
func TestRenderShowsNoControlCharacters(t *testing.T) {
	s := render(t, strings.Replace(typo, "strait", "str\x1b[2Jait\x07\u009b", 1), 80, false)
	require.NotContains(t, s, "\x1b")
	require.NotContains(t, s, "\x07")
	require.NotContains(t, s, "\u009b")
	require.Contains(t, s, "str?[2Jait??")
}
