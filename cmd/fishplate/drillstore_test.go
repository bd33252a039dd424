package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill/debrief"
	"fishplate/diagnose/outside"
)

// home gives the program a folder of its own, empty.
func home(t *testing.T) string {
	dir := t.TempDir()
	t.Setenv("HOME", dir)
	t.Setenv("XDG_CONFIG_HOME", dir)
	return dir
}

// drilled runs a drill line by line and gives what it said.
func drilled(t *testing.T, typed string, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	code := run(append([]string{"drill", "--plain"}, args...), strings.NewReader(typed), &out, &errs)
	require.Equal(t, exitOK, code, errs.String())
	return out.String()
}

func onRecord(t *testing.T, path string) []debrief.Record {
	t.Helper()
	data, err := readOutside(path, outside.Drills)
	require.NoError(t, err)
	list, err := debrief.Read(data)
	require.NoError(t, err)
	return list
}

// TestClassAtOnce ends six drills in six programs at the same time, round
// after round: the one file of records has them all, and nothing else is left.
func TestClassAtOnce(t *testing.T) {
	dir := t.TempDir()
	const learners = 6
	rounds := 10
	if testing.Short() {
		rounds = 2
	}
	for range rounds {
		var class []*exec.Cmd
		for i := range learners {
			cmd := exec.Command(program(t), "drill", "--plain", "--lesson", "1", "--name", fmt.Sprintf("learner %d", i))
			cmd.Env = []string{"HOME=" + dir, "XDG_CONFIG_HOME=" + dir, "PATH=" + os.Getenv("PATH")}
			cmd.Stdin = strings.NewReader("train off\ngive up\n")
			require.NoError(t, cmd.Start())
			class = append(class, cmd)
		}
		for _, cmd := range class {
			require.NoError(t, cmd.Wait())
		}
	}
	list := onRecord(t, filepath.Join(dir, "fishplate", "drill-records.json"))
	require.Len(t, list, learners*rounds)
	for i := range learners {
		assert.Len(t, debrief.Of(list, fmt.Sprintf("learner %d", i)), rounds)
	}
	files, err := os.ReadDir(filepath.Join(dir, "fishplate"))
	require.NoError(t, err)
	assert.Len(t, files, 1, "%v", files)
}

// TestTwoDrillsOfNobody begins two drills that nobody's name tells apart: each
// has a file, and each is gone on with.
func TestTwoDrillsOfNobody(t *testing.T) {
	dir := home(t)
	first := &drillStore{a: &drillArgs{}}
	require.NoError(t, first.claim())
	require.NoError(t, writeFile(first.path, nil))
	said := drilled(t, "train off\n", "--lesson", "1")
	assert.Contains(t, said, "drill-2.json")
	assert.Contains(t, said, "--save "+filepath.Join(dir, "fishplate", "drill-2.json"))
	said = drilled(t, "log\n", "--lesson", "1", "--resume")
	assert.Contains(t, said, "train off")
	second := &drillStore{a: &drillArgs{save: first.path}}
	_, err := second.takeUp()
	var busy *errBusy
	require.ErrorAs(t, err, &busy)
	first.close()
}

// TestFirstLineOfTwoActs begins a second drill with two acts on one line: the
// first drill is put aside all the same.
func TestFirstLineOfTwoActs(t *testing.T) {
	dir := home(t)
	drilled(t, "train off\n", "--lesson", "1")
	path := filepath.Join(dir, "fishplate", "drill.json")
	was, err := os.ReadFile(path)
	require.NoError(t, err)
	said := drilled(t, "lift main 3/4, main 7/8\n", "--lesson", "2")
	assert.Contains(t, said, "The drill from before is kept in "+path+".old")
	old, err := os.ReadFile(path + ".old")
	require.NoError(t, err)
	assert.Equal(t, was, old)
}

// TestRecordBeforeTheDrillGoes ends a drill where the record cannot be written:
// the drill stays, and is on record once it can be. Gone on with again, as after
// a power cut in between, it is on record once.
func TestRecordBeforeTheDrillGoes(t *testing.T) {
	dir := home(t)
	records := filepath.Join(dir, "r.json")
	require.NoError(t, os.WriteFile(records, []byte("no records"), 0o600))
	said := drilled(t, "train off\ngive up\n", "--lesson", "1", "--records", records)
	assert.Contains(t, said, "not on record")
	kept := filepath.Join(dir, "fishplate", "drill.json")
	assert.Contains(t, said, "It is kept in "+kept)
	over, err := os.ReadFile(kept)
	require.NoError(t, err)
	text, err := os.ReadFile(records)
	require.NoError(t, err)
	assert.Equal(t, "no records", string(text), "it is not written over")

	require.NoError(t, os.Remove(records))
	for range 2 {
		require.NoError(t, os.WriteFile(kept, over, 0o600))
		said = drilled(t, "", "--lesson", "1", "--records", records, "--resume")
		assert.NotContains(t, said, "not on record")
		require.Len(t, onRecord(t, records), 1)
		assert.NoFileExists(t, kept)
	}
}

// TestFileWord gives every name a file of its own.
func TestFileWord(t *testing.T) {
	seen := map[string]string{}
	for _, name := range []string{"ann", "records", "2", "a-2", "a 2", "a/2", `a\2`, "../../x", "..", ".", "ä", "ö",
		"CON\x00", "\x1b]52;c;x\a", strings.Repeat("x", 300),
		strings.Repeat("x", 301), "learner 1", "learner 2", "\u202eann"} {
		w := fileWord(name)
		assert.Regexp(t, `^[a-z0-9-]{1,60}$`, w)
		assert.Empty(t, seen[w], "%q and %q", seen[w], name)
		seen[w] = name
		assert.Equal(t, w, fileWord(strings.ToUpper(name)))
	}
	assert.Equal(t, "ann", fileWord("Ann"))
}
