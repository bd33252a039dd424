//go:build !windows

package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"fishplate/layoutfile"
	"fishplate/layoutfile/course"
)

// TestWalkSurvives walks in a real terminal, kills the program in a way that
// it cannot answer, and goes on where it was; then saves and leaves.
func TestWalkSurvives(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "w.hcl")
	c := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "walk", "w.hcl")
	c.see("A new layout. Begin with")
	c.press("1")
	c.see("lengths in")
	c.press("\r")
	c.see("Walk along your track")
	c.press("3s4l6s4l3s")
	c.see("20 pieces, not saved")
	require.Eventually(t, func() bool { // written in the background: no output says so
		data, err := os.ReadFile(keptPath(path))
		if err != nil {
			return false
		}
		k, err := course.Resume(data)
		return err == nil && k.Pieces() == 20
	}, patience, patience/1000)
	require.NoError(t, c.cmd.Process.Signal(unix.SIGKILL))
	<-c.done
	assert.NoFileExists(t, path)

	c = openConsole(t, window{w: 40, h: 20, dir: dir}, program(t), "walk", "w.hcl")
	c.see("Going on where you stopped")
	c.see("20 pieces, not saved")
	c.press("c")
	c.see("the run closes")
	c.press("f")
	c.see("The supply that feeds")
	c.press("\r")
	c.see("one way")
	c.press("\r")
	c.see("feeder F1 at")
	c.press("w")
	c.see("saved in w.hcl")
	c.press("q")
	assert.Equal(t, 0, c.status())
	assert.NoFileExists(t, keptPath(path))
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	f, problems := layoutfile.Read("w.hcl", data)
	require.NotNil(t, f, "%v", problems)
	assert.Empty(t, problems)
	assert.Len(t, f.Layout.Pieces, 20)
	assert.True(t, f.Layout.Runs[0].Closed)
}

// TestWalkHangUp: a terminal that goes loses nothing.
func TestWalkHangUp(t *testing.T) {
	dir := t.TempDir()
	c := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "walk", "w.hcl", "--shape", "oval")
	c.see("lengths in")
	c.press("\r")
	c.see("straights along each long side")
	c.press("\r")
	c.see("pieces laid")
	require.NoError(t, c.cmd.Process.Signal(unix.SIGHUP))
	c.status()
	data, err := os.ReadFile(keptPath(filepath.Join(dir, "w.hcl")))
	require.NoError(t, err)
	k, err := course.Resume(data)
	require.NoError(t, err)
	assert.Equal(t, 20, k.Pieces())

	// The same command the next day, as the shell gives it back, puts nothing aside.
	c = openConsole(t, window{w: 160, h: 24, dir: dir}, program(t), "walk", "w.hcl", "--shape", "oval")
	c.see("go on with it: fishplate walk w.hcl")
	assert.Equal(t, exitBad, c.status())
	assert.FileExists(t, keptPath(filepath.Join(dir, "w.hcl")))
}

// TestWalkThenHuntSaysWhere: whoever leaves right after the walk led to the hunt is
// told where the layout lies and how to go on.
func TestWalkThenHuntSaysWhere(t *testing.T) {
	c := openConsole(t, window{w: 80, h: 24, dir: t.TempDir()}, program(t), "walk", "w.hcl", "--shape", "oval")
	c.see("lengths in")
	c.press("\r")
	c.see("straights along each long side")
	c.press("\r")
	c.see("pieces laid")
	c.press("f")
	c.see("The supply that feeds")
	c.press("\r")
	c.see("one way")
	c.press("\r")
	c.see("feeder F1 at")
	c.press("w")
	c.see("saved in w.hcl")
	c.press("g")
	c.see("What is wrong?")
	c.press("q")
	assert.Equal(t, 0, c.status())
	assert.Contains(t, c.written(), "The layout is saved in w.hcl.")
	assert.Contains(t, c.written(), "Hunt for a fault on it: fishplate w.hcl")
}

// TestDrillLeavesTheHunt: a drill on the demo neither goes on with the demo's hunt
// nor keeps it from others.
func TestDrillLeavesTheHunt(t *testing.T) {
	dir := t.TempDir()
	c := begun(t, window{w: 80, h: 24, dir: dir})
	c.press("q")
	assert.Equal(t, 0, c.status())
	drill := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "drill", "--lesson", "1")
	drill.see("What a beep means")
	c = openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "demo")
	c.see("Going on with the hunt")
	c.press("q")
	assert.Equal(t, 0, c.status())
}

// TestWalkRoundTrip goes from the walk of a new layout to its hunt, back from
// the first screen, to the check, back, and out.
func TestWalkRoundTrip(t *testing.T) {
	dir := t.TempDir()
	c := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "walk")
	c.see("A new layout. Begin with")
	c.press("2")
	c.see("my-layout.hcl")
	c.press("\r")
	c.see("straights along each long side")
	c.press("\r")
	c.see("pieces laid")
	c.press("f")
	c.see("The supply that feeds")
	c.press("\r")
	c.see("one way")
	c.press("\r")
	c.see("feeder F1 at")
	c.press("g")
	c.see("What is wrong?")
	assert.FileExists(t, filepath.Join(dir, "my-layout.hcl"))
	c.press("w")
	c.see("fishplate, walk: my layout")
	c.press("k")
	c.see("Checked as drawn")
	c.see("Esc back to the walk")
	c.press("q")
	c.see("fishplate, walk: my layout")
	c.press("q")
	assert.Equal(t, 0, c.status())
}
