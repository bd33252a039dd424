package main

import (
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/layoutfile/course"
	"fishplate/tui/walk"
)

// TestWalkFilesSave: a file that is not known is not overwritten; one that is
// keeps its mode; nothing is left beside it.
func TestWalkFilesSave(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.hcl")
	f := newWalkFiles(&locks{})
	require.NoError(t, f.save(path, []byte("one"), false))
	assert.True(t, f.wrote)
	require.NoError(t, os.Chmod(path, 0o640))
	require.NoError(t, f.save(path, []byte("two"), false))
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, fs.FileMode(0o640), info.Mode().Perm())
	require.NoError(t, os.WriteFile(path, []byte("by hand"), 0o640))
	assert.ErrorIs(t, f.save(path, []byte("three"), false), walk.ErrExists)
	assert.ErrorIs(t, newWalkFiles(&locks{}).save(path, []byte("three"), false), walk.ErrExists)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "by hand", string(data))
	require.NoError(t, f.save(path, []byte("three"), true))
	names, err := filepath.Glob(filepath.Join(dir, "*"))
	require.NoError(t, err)
	assert.Equal(t, []string{path}, names)
	assert.Error(t, f.save(filepath.Join(dir, "none", "b.hcl"), []byte("x"), false), "there is no such folder")
}

// TestWalkFilesThroughLink: a link stays one, and the file that it leads to is
// written.
func TestWalkFilesThroughLink(t *testing.T) {
	dir := t.TempDir()
	path, link := filepath.Join(dir, "a.hcl"), filepath.Join(dir, "l.hcl")
	require.NoError(t, os.WriteFile(path, []byte("one"), 0o600))
	if err := os.Symlink(path, link); err != nil {
		t.Skip("no links here: ", err)
	}
	f := newWalkFiles(&locks{})
	require.NoError(t, f.save(link, []byte("two"), true))
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode()&fs.ModeSymlink)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "two", string(data))
}

// TestWalkFilesKeep: what was kept comes back; the walk of another time is
// moved aside, and goes only when it is this one's.
func TestWalkFilesKeep(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.hcl")
	require.NoError(t, os.WriteFile(keptPath(path), []byte("another time's"), 0o644))
	f := newWalkFiles(&locks{})
	require.NoError(t, f.keep(path, nil))
	assert.FileExists(t, keptPath(path), "not this walk's to take away")
	c := course.New("x", "metal-tie", false)
	require.NoError(t, c.Laying().Lay("straight 10", 3))
	data, err := c.Kept().Bytes()
	require.NoError(t, err)
	require.NoError(t, f.keep(path, data))
	old, err := os.ReadFile(keptPath(path) + ".old")
	require.NoError(t, err)
	assert.Equal(t, "another time's", string(old))

	w := newWorld(nil, io.Discard, io.Discard)
	var s walk.Setup
	require.ErrorContains(t, walks{w}.takeUp(&s, newWalkFiles(&locks{}), walkArgs{path: path}),
		"open in another fishplate")
	require.ErrorContains(t, newWalkFiles(&locks{}).keep(path, data), "open in another fishplate")
	f.held.free()
	again := newWalkFiles(&locks{})
	require.NoError(t, walks{w}.takeUp(&s, again, walkArgs{path: path}))
	require.NotNil(t, s.Course)
	assert.Equal(t, string(c.Text()), string(s.Course.Text()))
	assert.Equal(t, 1, s.Course.Undos())
	assert.False(t, s.Exists)
	assert.Contains(t, s.Greeting, "Going on")
	require.NoError(t, again.keep(path, nil))
	assert.NoFileExists(t, keptPath(path))
	again.held.free()

	require.NoError(t, os.WriteFile(keptPath(path), []byte("{damaged"), 0o644))
	var held locks // of one program
	err = walks{w}.takeUp(&walk.Setup{}, newWalkFiles(&held), walkArgs{path: path})
	require.Error(t, err)
	assert.Contains(t, err.Error(), "fishplate walk --new "+path)
	s = walk.Setup{}
	require.NoError(t, walks{w}.takeUp(&s, newWalkFiles(&held), walkArgs{path: path, fresh: true}))
	assert.Nil(t, s.Course, "there is no file yet: begin a new layout")
	assert.FileExists(t, keptPath(path)+".old")
}

// TestWalkSizesAreRemembered: sizes used last come back, by units.
func TestWalkSizesAreRemembered(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	t.Setenv("HOME", t.TempDir())
	t.Setenv("AppData", t.TempDir())
	f := newWalkFiles(&locks{})
	in, mm, metric := f.sizes()
	assert.True(t, in == nil && mm == nil && !metric)
	z := course.StartSizes(true)
	z.Straight = []string{"166"}
	f.keepSizes(z, true)
	y := course.StartSizes(false)
	y.Straight = []string{"8 3/4"}
	f.keepSizes(y, false)
	in, mm, metric = f.sizes()
	require.True(t, in != nil && mm != nil && !metric)
	assert.Equal(t, "8 3/4", in.Straight[0])
	assert.Equal(t, "166", mm.Straight[0])
}

// What was walked and not saved is still there after each way to begin again:
// --new, and --new with --shape, each twice. --shape alone puts nothing aside: it says
// how to go on.
func TestBeginningAgainKeepsTheWalk(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.hcl")
	w := newWorld(nil, io.Discard, io.Discard)
	var held locks
	anew, shaped := walkArgs{path: path, fresh: true}, walkArgs{path: path, shape: "oval", fresh: true}
	for n, again := range []walkArgs{anew, shaped, anew, shaped} {
		require.NoError(t, os.WriteFile(keptPath(path), []byte{byte('1' + n)}, 0o600))
		err := walks{w}.takeUp(&walk.Setup{}, newWalkFiles(&held), walkArgs{path: path, shape: "oval"})
		require.ErrorContains(t, err, "go on with it: fishplate walk "+path)
		require.NoError(t, walks{w}.takeUp(&walk.Setup{}, newWalkFiles(&held), again))
	}
	for n, old := range []string{".old", ".old2", ".old3", ".old4"} {
		text, err := os.ReadFile(keptPath(path) + old)
		require.NoError(t, err)
		assert.Equal(t, string(rune('1'+n)), string(text))
	}
}
