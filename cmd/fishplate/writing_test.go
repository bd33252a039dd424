package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is put aside keeps everything that was put aside before.
func TestPutAside(t *testing.T) {
	path := filepath.Join(t.TempDir(), "h.json")
	to, err := putAside(path)
	require.NoError(t, err)
	assert.Empty(t, to)
	for i, want := range []string{".old", ".old2", ".old3"} {
		require.NoError(t, writeFile(path, []byte{byte('1' + i)}))
		to, err := putAside(path)
		require.NoError(t, err)
		assert.Equal(t, path+want, to)
	}
	for i, old := range []string{".old", ".old2", ".old3"} {
		data, err := os.ReadFile(path + old)
		require.NoError(t, err)
		assert.Equal(t, []byte{byte('1' + i)}, data)
	}
}

// Three hunts begun in one file of --save leave three.
func TestSaveThreeTimes(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("HOME", dir)
	t.Setenv("XDG_CONFIG_HOME", dir)
	path := filepath.Join(dir, "x.json")
	for _, reading := range []string{"bright", "glowing", "dark"} {
		var out, errs bytes.Buffer
		typed := `{"symptom":"short"}` + "\n" + `{"reading":"` + reading + `"}` + "\n"
		require.Equal(t, exitOK, run([]string{"hunt", "--json", "--save", path, "demo"}, strings.NewReader(typed), &out,
			&errs), errs.String())
	}
	for file, want := range map[string]string{path + ".old": "bright", path + ".old2": "glowing", path: "dark"} {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Contains(t, string(data), want)
	}
}

// Temporary files of a run that was cut off go at the next start; those of one
// that may go on, and files that are not ours, stay.
func TestSweep(t *testing.T) {
	dir := t.TempDir()
	now := time.Now()
	for name, age := range map[string]time.Duration{".a.json.1" + leftover: time.Hour,
		".b.json.2" + leftover: time.Minute,
		".c.tmp":               time.Hour, "d" + leftover: time.Hour} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), nil, 0o600))
		require.NoError(t, os.Chtimes(filepath.Join(dir, name), now.Add(-age), now.Add(-age)))
	}
	sweep(dir, now)
	list, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, list, 3)
	assert.NoFileExists(t, filepath.Join(dir, ".a.json.1"+leftover))
}

// Where the disk takes nothing, programs get an error object for each answer and
// the hunt goes on; people are told, and never that it is saved.
func TestNothingCanBeSaved(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("HOME", dir)
	t.Setenv("XDG_CONFIG_HOME", dir)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "file"), nil, 0o600))
	path := filepath.Join(dir, "file", "x.json") // below a file there is no folder
	var out, errs bytes.Buffer
	typed := `{"symptom":"short"}` + "\n" + `{"reading":"bright"}` + "\n" + `{"quit":true}` + "\n"
	run([]string{"hunt", "--json", "--save", path, "demo"}, strings.NewReader(typed), &out, &errs)
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	require.Len(t, lines, 3, "%s%s", out.String(), errs.String())
	for _, l := range lines {
		assert.Contains(t, l, `"type":"error"`)
		assert.Contains(t, l, "could not save")
	}
	assert.Contains(t, lines[1], `"n":2`, "the hunt goes on")

	require.NoError(t, os.MkdirAll(filepath.Join(dir, "fishplate"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "fishplate", "demo.hunts"), nil, 0o600))
	out.Reset()
	code := run([]string{"hunt", "--plain", "demo"}, strings.NewReader("1\nbright\nquit\n"), &out, &errs)
	assert.Equal(t, exitOK, code, errs.String())
	assert.Contains(t, out.String(), "not be saved")
	assert.NotContains(t, out.String(), "The hunt is saved")
	assert.Contains(t, out.String(), "Reading 2", "and it goes on")
}

// Hunts begun line by line in one file of --save each keep
// the one before.
func TestSaveThreeTimesByHand(t *testing.T) {
	dir := home(t)
	path := filepath.Join(dir, "x.json")
	for _, reading := range []string{"bright", "glowing", "dark"} {
		var out, errs bytes.Buffer
		typed := "1\n" + reading + "\nquit\n"
		require.Equal(t, exitOK, run([]string{"hunt", "--plain", "--save", path, "demo"}, strings.NewReader(typed),
			&out, &errs), errs.String())
	}
	for file, want := range map[string]string{path + ".old": "bright", path + ".old2": "glowing", path: "dark"} {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Contains(t, string(data), want)
	}
}

// What is written to a device or a pipe goes through it, and it stays one.
func TestWriteToADevice(t *testing.T) {
	path := filepath.Join(t.TempDir(), "null")
	require.NoError(t, os.Symlink(os.DevNull, path))
	require.NoError(t, writeFile(path, []byte("x")))
	info, err := os.Stat(os.DevNull)
	require.NoError(t, err)
	assert.False(t, info.Mode().IsRegular())
	require.Error(t, writeFile(t.TempDir(), []byte("x")), "a folder is no file")
}
