package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/layoutfile"
)

// TestStoryOfOdds proves two hunts of a layout, and puts what they found before people: as
// lines, on paper, in the file, and given away to a layout that has none of its own.
func TestStoryOfOdds(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", dir)
	tell := func(in string, words ...string) string {
		var out, errs bytes.Buffer
		require.Zero(t, run(words, strings.NewReader(in), &out, &errs), "%v: %s", words, errs.String())
		return strings.Join(strings.Fields(out.String()), " ")
	}
	_, text := layoutfile.Demo()
	mine, other := filepath.Join(dir, "mine.hcl"), filepath.Join(dir, "other.hcl")
	require.NoError(t, os.WriteFile(mine, text, 0o600))
	require.NoError(t, os.WriteFile(other, text, 0o600))
	assert.Contains(t, tell("", "odds", mine), "no proven hunt of it yet")
	for range 2 { // the hunt of the readme
		tell("1\nbright\n0.14\n-34.7 mV\n-8.7 mV\n-29.3 mV\nfound main 28\nOL\nquit\n", "hunt", "--plain", "--battery",
			"--lamp", "1.75A", mine)
	}
	said := tell("", "odds", mine)
	for _, want := range []string{"2 proven hunts of 1 layout counted", "Shorts (2 hunts)", "piece: found 2.0 times",
		"turnout: found 0.0 times, 0.4 assumed", "main 28: 4.4 %, found bad 2 times before"} {
		assert.Contains(t, said, want)
	}
	assert.Contains(t, tell("", "odds", mine, "--format", "md"), "| turnout | 0.0 | 0.4 |")
	sheet, given := filepath.Join(dir, "odds.html"), filepath.Join(dir, "given.json")
	tell("", "odds", mine, "-o", sheet)
	html, err := os.ReadFile(sheet)
	require.NoError(t, err)
	assert.Contains(t, string(html), "<td>main 28</td>")

	tell("", "odds", mine, "--export", given)
	counts, err := os.ReadFile(given)
	require.NoError(t, err)
	assert.NotContains(t, string(counts), "main")
	said = tell("", "odds", other, given, "--write")
	assert.Contains(t, said, "piece: found 2.0 times")
	assert.Contains(t, said, "2 changed odds lines in "+other)
	now, err := os.ReadFile(other)
	require.NoError(t, err)
	assert.Contains(t, string(now), `counted "turnout" "bridged"`)
	var out, errs bytes.Buffer
	assert.Equal(t, exitUsage, run([]string{"odds", mine, "--export", given, "-o", sheet}, nil, &out, &errs))
}
