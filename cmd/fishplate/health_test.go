package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fishplate/layoutfile"
	"fishplate/tui/spot"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// healthRun runs one health check on a layout in a folder of its own.
func healthRun(t *testing.T, in string, words ...string) (out, errs string, status int) {
	t.Helper()
	var o, e bytes.Buffer
	status = run(append([]string{"health"}, words...), strings.NewReader(in), &o, &e)
	return o.String(), e.String(), status
}

func shelfFile(t *testing.T) string {
	t.Helper()
	_, text := layoutfile.Demo()
	return copyAtHome(t, text)
}

// copyAtHome is a layout in a folder of its own, which is the home folder then.
func copyAtHome(t *testing.T, text []byte) string {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", dir)
	t.Setenv("HOME", dir)
	path := filepath.Join(dir, "club.hcl")
	require.NoError(t, os.WriteFile(path, text, 0o600))
	return path
}

// what a health check prints for programs, as far as it is looked at here.
type healthSeen struct {
	Plan struct {
		Places   []struct{ Hot, Common string }
		Readings []struct {
			Place      int
			Red, Black string
		}
	}
	Evenings []struct {
		Quiet bool    `json:"all_as_it_was"`
		Ohm   float64 `json:"ohm"`
		Parts []struct {
			Part   string
			Joints []string
		}
	}
}

func seenHealth(t *testing.T, path string) healthSeen {
	t.Helper()
	out, errs, status := healthRun(t, "", "--json", path)
	require.Zero(t, status, errs)
	var s healthSeen
	require.NoError(t, json.Unmarshal([]byte(out), &s))
	return s
}

// TestHealthStory: a baseline by hand, good evenings, an evening on which one reading
// stands off; what is told, kept, drawn and put on paper.
func TestHealthStory(t *testing.T) {
	if testing.Short() {
		t.Skip("seven evenings")
	}
	path := shelfFile(t)
	plan := seenHealth(t, path).Plan
	require.NotEmpty(t, plan.Readings)
	typed := func(scale float64, off int) string {
		var list []string
		for k := range plan.Readings {
			v := scale * float64(25+k)
			if k == off {
				v += 40
			}
			list = append(list, fmt.Sprintf("%.1f", v))
		}
		return strings.Join(list, "\n") + "\n"
	}
	// No number is asked for again, and so is one that is far from what the file expects.
	in := ""
	for _, x := range strings.Fields(typed(1, -1)) {
		in += "about\n900\n" + x + "\n"
	}
	out, errs, status := healthRun(t, in, "--lamp", "1.75A", path)
	require.Zero(t, status, errs)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	file, _ := layoutfile.Read(path, text)
	place := spot.Describe(file.Layout, spot.Parse(file.Layout, plan.Readings[0].Red))
	for _, want := range []string{"takes the baseline", "fuse of 3 A", "unplugged", "gets hot", "licensed electricians",
		"Red probe: " + place.What + ", " + place.Where,
		"That is far from what the file expects", "The baseline is kept"} {
		assert.Contains(t, strings.Join(strings.Fields(out), " "), want)
	}
	out, errs, status = healthRun(t, "", "--hunt", path)
	assert.Zero(t, status, errs)
	assert.Contains(t, out, "There is nothing to hunt yet: the baseline is kept")
	for i, scale := range []float64{1.05, 0.97, 1.01, 0.99, 1} {
		out, errs, status = healthRun(t, "", path, "--readings",
			strings.ReplaceAll(typed(scale, -1), "\n", ", ")[:len(typed(scale, -1))+len(plan.Readings)-2])
		require.Zero(t, status, errs)
		assert.Contains(t, out, "All as it was.", "evening %d", i+2)
		assert.Contains(t, out, "mohm more than on the good evenings")
		assert.Contains(t, out, "┤", "the chart")
	}
	out, _, _ = healthRun(t, "", "--show", "--plain", path)
	assert.NotContains(t, out, "┤")
	out, errs, status = healthRun(t, "", "--hunt", path)
	assert.Zero(t, status, errs)
	assert.Contains(t, out, "nothing to hunt: all is as it was")
	bad := strings.Join(strings.Fields(typed(1, 0)), ", ")
	out, errs, status = healthRun(t, "", path, "--readings", bad)
	require.Zero(t, status, errs)
	assert.Contains(t, out, "got worse by about")
	assert.Contains(t, out, "Since: evening 7,")

	s := seenHealth(t, path)
	require.Len(t, s.Evenings, 7)
	assert.True(t, s.Evenings[5].Quiet)
	assert.False(t, s.Evenings[6].Quiet)
	assert.Positive(t, s.Evenings[6].Ohm)
	assert.NotEmpty(t, s.Evenings[6].Parts)

	out, errs, status = healthRun(t, "quit\n", "--hunt", path)
	require.Zero(t, status, errs)
	assert.Contains(t, out, "Reading 1")
	assert.Contains(t, out, "Go on with it:")

	page := filepath.Join(filepath.Dir(path), "page")
	for form, chart := range map[string]string{".txt": "Run chart", ".md": "## Run chart", ".html": "<svg"} {
		_, errs, status = healthRun(t, "", "--show", "-o", page+form, path)
		require.Zero(t, status, errs)
		text, err := os.ReadFile(page + form)
		require.NoError(t, err)
		assert.Contains(t, string(text), chart)
		assert.Equal(t, form == ".md", strings.Contains(string(text), "# Health"))
		assert.Contains(t, string(text), plan.Readings[0].Red)
	}
}

// TestHealthKeepsNothingHalf: what is left, what cannot be, and what another program
// wrote.
func TestHealthKeepsNothingHalf(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "layouts", "dead-end.hcl")) // chosen for in a moment
	require.NoError(t, err)
	path := copyAtHome(t, text)
	kept := path + ".health.json"
	out, _, status := healthRun(t, "20\n20\nq\n", path)
	assert.Zero(t, status)
	assert.Contains(t, out, "Nothing was kept")
	assert.NoFileExists(t, kept)
	_, errs, status := healthRun(t, "", path, "--readings", "1, 2")
	assert.Equal(t, exitBad, status)
	assert.Contains(t, errs, "this check has")
	_, errs, status = healthRun(t, "", path, "--show")
	assert.Equal(t, exitBad, status)
	assert.Contains(t, errs, "no evening")
	for _, bad := range []string{"", "{", `{"fishplate_health":2}`,
		`{"fishplate_health":1,"volts":12,"amps":1,"evenings":[]}`,
		`{"fishplate_health":1,"volts":12,"amps":1,"plan":{"places":[],"readings":[]},"evenings":[{"showed":[]}]}`,
		`{"fishplate_health":1,"volts":12,"amps":1,"plan":{"places":[{"supply":"T1","hot":"T1 hot","common":"T1 ` +
			`common"}],"readings":[{"place":0,"red":"F1 hot","black":"T1 hot"},{"place":0,"red":"F1 ` +
			`common","black":"nowhere"}]},"evenings":[{"showed":["1","2"]}]}`,
		strings.Repeat("[", 100), strings.Repeat("x", 2<<20)} {
		require.NoError(t, os.WriteFile(kept, []byte(bad), 0o600))
		_, errs, status = healthRun(t, "", path, "--readings", "1, 2")
		assert.Equal(t, exitBad, status, bad[:min(len(bad), 80)])
		assert.NotEmpty(t, errs)
		text, err := os.ReadFile(kept)
		require.NoError(t, err)
		assert.Equal(t, bad, string(text), "it is left as it was")
	}
}
