package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// quizzed runs a quiz line by line and gives what it said.
func quizzed(t *testing.T, typed string, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	code := run(append([]string{"quiz", "--plain", "--class", "8", "--fault", "short", "demo"}, args...),
		strings.NewReader(typed), &out, &errs)
	require.Equal(t, exitOK, code, errs.String())
	return strings.Join(strings.Fields(out.String()), " ")
}

// TestQuizIsKept: a quiz that was left goes on with its calls and points, another number
// and --new begin at the beginning, and one that is over is gone.
func TestQuizIsKept(t *testing.T) {
	dir := home(t)
	kept := func() int {
		files, err := filepath.Glob(filepath.Join(dir, "fishplate", "quiz-8.*.json"))
		require.NoError(t, err)
		return len(files)
	}
	assert.Contains(t, quizzed(t, "quit\n"), "The same fault again: ")
	assert.Zero(t, kept(), "nothing was called")
	said := quizzed(t, "train off\nsupply lamp\nred: mv T1 hot to main 12 center\n\nblue: volts main 5\n")
	assert.Contains(t, said, "Points: red 1")
	assert.Contains(t, said, "It goes on with: fishplate quiz demo --class 8")
	assert.Equal(t, 1, kept())
	said = quizzed(t, "red: mv T1 hot to main 20 center\n\nquit\n")
	assert.Contains(t, said, "It goes on where the class was: supply ON through the lamp")
	assert.Contains(t, said, "Call 2 taken.", "blue's stands")
	assert.Contains(t, said, "% of the best: blue: volts main 5")
	assert.NotContains(t, quizzed(t, "quit\n", "--class", "9"), "where the class was")
	assert.NotContains(t, quizzed(t, "quit\n", "--new"), "where the class was")
	assert.Zero(t, kept())
	quizzed(t, "train off\ngive up\n")
	assert.Zero(t, kept(), "it is over")
}
