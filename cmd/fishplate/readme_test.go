package main

import (
	"bytes"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestReadmeHunt types what the README's first command types: the hunt that it
// promises must come to its end, with the repair proven.
func TestReadmeHunt(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	const program = "./.ci/go run ./cmd/fishplate "
	line := regexp.MustCompile(`(?m)^    printf '%s\\n' (.*) \| XDG_CONFIG_HOME=\S+ -d\) ` + regexp.QuoteMeta(program) +
		`(.*)$`).
		FindSubmatch(readme)
	require.NotNil(t, line, "the README's first command is not written as it was")
	var answers []string
	for _, word := range regexp.MustCompile(`"[^"]*"|\S+`).FindAllString(string(line[1]), -1) {
		answers = append(answers, strings.Trim(word, `"`))
	}
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	t.Setenv("HOME", t.TempDir())

	var out, errs bytes.Buffer
	status := run(strings.Fields(string(line[2])), strings.NewReader(strings.Join(answers, "\n")+"\n"), &out, &errs)
	assert.Zero(t, status, errs.String())
	assert.NotContains(t, out.String(), "not understood")
	assert.Contains(t, out.String(), "Time to look: ")
	assert.Contains(t, out.String(), "  1. main 28, ", "the readings lead to the piece that is found")
	assert.Contains(t, out.String(), "The repair is proven.", "the answers in the README do not fit the hunt any more")
}
