package main

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/layoutfile/course"
	"fishplate/tui/walk"
)

// The walk comes back from the check with its history and at its place; a file
// that was changed meanwhile is read anew.
func TestWalkComesBackFromTheCheck(t *testing.T) {
	path := filepath.Join(t.TempDir(), "oval.hcl")
	c := course.New("oval", "metal-tie", false)
	for range 3 {
		require.NoError(t, c.Lay("straight 10", 1))
	}
	require.NoError(t, os.WriteFile(path, c.Text(), 0o600))
	w := newWorld(nil, io.Discard, io.Discard)

	var s walk.Setup
	files := newWalkFiles()
	require.NoError(t, w.takeUp(&s, files, walkArgs{path: path, course: c}))
	require.Same(t, c, s.Course)
	require.Equal(t, 3, s.Course.Undos())
	m := walk.New(s)
	require.False(t, m.Unsaved(), "the file holds it")
	require.NotEmpty(t, s.Course.Undo())
	require.True(t, m.Unsaved())
	require.NoError(t, files.save(path, s.Course.Text(), false), "the walk's own file needs no asking")

	require.NoError(t, os.WriteFile(path, append(c.Text(), "# by hand\n"...), 0o600))
	s = walk.Setup{}
	require.NoError(t, w.takeUp(&s, newWalkFiles(), walkArgs{path: path, course: c}))
	require.NotSame(t, c, s.Course)
	require.Contains(t, string(s.Course.Text()), "# by hand")
}
