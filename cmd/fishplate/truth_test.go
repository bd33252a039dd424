package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTruthTable holds the contributor's guide to its word on what is held to
// something outside: each test that it names is there, each row says whether it is
// independent of us and how its source is known, and the counts below the table are
// those of its rows.
func TestTruthTable(t *testing.T) {
	root := filepath.Join("..", "..")
	guide, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	require.NoError(t, err)
	_, section, ok := strings.Cut(string(guide), "## 10. What is held to something outside\n")
	require.True(t, ok)
	there := map[string]bool{}
	for _, top := range []string{"cmd", "diagnose", "layoutfile", "tui"} {
		require.NoError(t, filepath.WalkDir(filepath.Join(root, top),
			func(path string, _ os.DirEntry, err error) error {
				if err != nil || !strings.HasSuffix(path, "_test.go") {
					return err
				}
				text, err := os.ReadFile(path)
				for _, m := range regexp.MustCompile(`(?m)^func (Test\w+)`).FindAllSubmatch(text, -1) {
					there[string(m[1])] = true
				}
				return err
			}))
	}
	rows, by := 0, map[string]int{}
	for line := range strings.Lines(section) {
		cells := strings.Split(strings.TrimSpace(line), "|")
		if len(cells) != 6 || strings.HasPrefix(line, "| check") || strings.HasPrefix(line, "|---") {
			continue
		}
		rows++
		free, how, _ := strings.Cut(strings.TrimSpace(cells[4]), ", ")
		by[free]++
		by[how]++
		assert.Contains(t, []string{"run", "opened", "memory", "second-hand", "hand", "own"}, how, line)
		assert.Contains(t, []string{"yes", "half", "no"}, free, line)
		assert.Equal(t, how == "hand" || how == "own", free == "no", line)
		for _, m := range regexp.MustCompile("`(Test\\w+)`").FindAllStringSubmatch(cells[1], -1) {
			assert.True(t, there[m[1]], "%s is in no test file", m[1])
		}
	}
	require.Greater(t, rows, 25)
	assert.Contains(t, section, fmt.Sprintf(
		"%d rows, all of live code (`.ci/dead`): %d run another program, %d were opened and read, %d come from "+
			"memory, %d are second-hand, %d is by hand, %d are our own. Independent: %d, half %d, not %d.",
		rows, by["run"], by["opened"], by["memory"], by["second-hand"], by["hand"], by["own"], by["yes"], by["half"],
		by["no"]))
}
