package main

import (
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestLockOneAtATime counts in a file from many sides at once: nothing is lost
// although every holder takes the lock's file away.
func TestLockOneAtATime(t *testing.T) {
	path := filepath.Join(t.TempDir(), "n")
	require.NoError(t, os.WriteFile(path, []byte("0"), 0o600))
	const sides, each = 8, 50
	var all sync.WaitGroup
	for range sides {
		all.Go(func() {
			for range each {
				l, err := waitLock("count", path)
				if !assert.NoError(t, err) {
					return
				}
				text, err := os.ReadFile(path)
				assert.NoError(t, err)
				n, err := strconv.Atoi(string(text))
				assert.NoError(t, err)
				assert.NoError(t, os.WriteFile(path, []byte(strconv.Itoa(n+1)), 0o600))
				l.free()
			}
		})
	}
	all.Wait()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, strconv.Itoa(sides*each), string(text))
	assert.NoFileExists(t, lockPath(path))
}

// TestLinksAreFollowed writes, locks, puts aside and deletes through a link: it
// is the file behind it each time, and the link stays.
func TestLinksAreFollowed(t *testing.T) {
	dir, far := t.TempDir(), t.TempDir()
	link, file := filepath.Join(dir, "link"), filepath.Join(far, "file")
	require.NoError(t, os.Symlink(file, link)) // to nothing yet
	require.NoError(t, writeFile(link, []byte("1")))
	assert.FileExists(t, file)
	assert.Equal(t, lockPath(file), lockPath(link))
	to, err := putAside(link)
	require.NoError(t, err)
	assert.Equal(t, real(file)+".old", to)
	require.NoError(t, writeFile(link, []byte("2")))
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, "2", string(text))
	require.NoError(t, deleteFile(link))
	assert.NoFileExists(t, file)
	_, err = os.Lstat(link)
	require.NoError(t, err, "the link stays")
	require.NoError(t, deleteFile(link), "what is not there is deleted")
	loop := filepath.Join(dir, "loop")
	require.NoError(t, os.Symlink(loop, loop))
	require.Error(t, writeFile(filepath.Join(loop, "x"), nil))
}

// TestPutAsideAtOnce puts a file aside from many sides at once, as it is written
// again and again: whatever lay there is still there.
func TestPutAsideAtOnce(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "x")
	const sides, each = 8, 40
	var all sync.WaitGroup
	for side := range sides {
		all.Go(func() {
			for n := range each {
				mine := filepath.Join(dir, strconv.Itoa(side)+"-"+strconv.Itoa(n))
				assert.NoError(t, os.WriteFile(mine, []byte(filepath.Base(mine)), 0o600))
				for os.Link(mine, path) != nil { // until nothing lies there
					_, err := putAside(path)
					assert.NoError(t, err)
				}
				assert.NoError(t, os.Remove(mine))
			}
		})
	}
	all.Wait()
	seen := map[string]bool{}
	list, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, f := range list {
		text, err := os.ReadFile(filepath.Join(dir, f.Name()))
		require.NoError(t, err)
		seen[string(text)] = true
	}
	assert.Len(t, seen, sides*each)
	assert.False(t, seen[""], "no empty one is left")
}
