//go:build !windows

package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/layoutfile"
)

// onTable is a folder with the demo as a layout of one's own.
func onTable(t *testing.T) (dir string) {
	dir = t.TempDir()
	_, text := layoutfile.Demo()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "mine.hcl"), text, 0o644))
	return dir
}

// TestBuildInTerminal: what is read good is kept at once and not asked again, and a stop
// that fails leads to the hunt on what is laid.
func TestBuildInTerminal(t *testing.T) {
	dir := onTable(t)
	c := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "build", "mine.hcl")
	c.see("GET READY")
	c.press("\r")
	c.see("Touch the leads")
	c.press("0.3\r")
	c.see("LAY    main 1 to 8")
	c.press("\rOL\r")
	c.see("ticked 1 of 32")
	c.press("q")
	assert.Equal(t, 0, c.status())
	assert.Contains(t, c.written(), "Go on with: fishplate build mine.hcl")
	kept, err := readTicks(filepath.Join(dir, "mine.hcl"))
	require.NoError(t, err)
	require.Len(t, kept.Ticks, 1)
	assert.Equal(t, "OL", kept.Ticks[0].Showed)

	c = openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "build", "mine.hcl")
	c.see("1 of 32 readings were good before")
	c.press("\r\r\r0.2\r")
	c.see("Not as it must be")
	c.press("0.2\r")
	c.see("mine.stage1.hcl")
	c.press("h")
	c.see("laid as far as main 8")
	c.press("\x03")
	assert.Equal(t, 0, c.status())
}

// TestPieceInTerminal: who passes on the screen is in the file at once, and who did not is
// named at the end.
func TestPieceInTerminal(t *testing.T) {
	dir := onTable(t)
	c := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "piece", "test", "mine.hcl", "main 1", "main 2")
	c.see("Take the piece off everything")
	c.press("\r1")
	c.see("the first piece: a straight, to lie at main 1")
	c.press("\r")
	c.see("main 1   1 of 5")
	c.press("11110")
	c.see("main 2   1 of 5")
	c.press("01110")
	c.see("MAIN 2 IS NOT AS IT MUST BE")
	c.press("\r")
	c.see("0 of")
	c.press("q")
	assert.Equal(t, 0, c.status())
	assert.Contains(t, c.written(), "1 passed; put aside: main 2.")
	text, err := os.ReadFile(filepath.Join(dir, "mine.hcl"))
	require.NoError(t, err)
	assert.Contains(t, string(text), `history "main 1"`)
	assert.NotContains(t, string(text), `history "main 2"`)
}

// TestPanelInTerminal: terminals are in the file once w was pressed, and the hunt that
// follows knows them; its first screen leads to other work, and back.
func TestPanelInTerminal(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "row.hcl")
	require.NoError(t, os.WriteFile(path, []byte(rowOfTrack), 0o644))
	c := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "panel", "row.hcl", "--wires", "1")
	c.see("> 1 pair")
	c.press("\r")
	c.see("> A1: from the middle of main")
	c.press("w")
	c.see("1 pair in row.hcl: hunts ask there first.")
	c.press("r")
	c.see("What is wrong?")
	c.press("a")
	c.see("1 piece: pieces on the bench")
	c.press("1")
	c.see("Take the piece off everything")
	c.press("q")
	c.see("What is wrong?")
	c.see("0 passed.")
	c.press("q")
	assert.Equal(t, 0, c.status())
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Contains(t, string(text), `terminal "A1"`)
}

// TestPagesInTerminal: what is only read of a layout stands on the hunt's own screens.
func TestPagesInTerminal(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "row.hcl"), []byte(rowOfTrack), 0o644))
	c := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "row.hcl")
	c.see("What is wrong?")
	for _, page := range [][2]string{{"3", "F1: T1 to main 1"}, {"6", "no proven hunt of it yet"},
		{"7", "Checked as drawn"}} {
		c.press("a")
		c.see("Around the hunt")
		c.press(page[0])
		c.see(page[1])
		c.press("q")
		c.see("Around the hunt")
		c.press("\x1b")
		c.see("What is wrong?")
	}
	c.press("q")
	assert.Equal(t, 0, c.status())
}

// TestNewHuntComesBack: a hunt that was begun beside an older one is the one that work
// around it comes back to.
func TestNewHuntComesBack(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "row.hcl"), []byte(rowOfTrack), 0o644))
	at := func(words ...string) *console {
		return openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), words...)
	}
	c := at("hunt", "--plain", "row.hcl")
	c.see("symptom>")
	c.press("1\r")
	c.see("reading 1>")
	c.press("quit\r")
	c.see("The hunt is saved in")
	assert.Zero(t, c.status())

	c = at("--new", "row.hcl")
	c.see("What is wrong?")
	c.press("a")
	c.see("1 piece: pieces on the bench")
	c.press("1")
	c.see("Take the piece off everything")
	c.press("q")
	c.see("0 passed.")
	c.see("What is wrong?")
	c.press("q")
	assert.Zero(t, c.status())
}

// rowOfTrack is an invented row of track.
const rowOfTrack = `
name         = "Row"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["14 x straight 10"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "16 AWG"
  length = "4 ft"
}
`

// TestKitIsRemembered: what lay on the table in one hunt is what the next begins to ask
// from, on another layout too; a kit that cannot be is no kit.
func TestKitIsRemembered(t *testing.T) {
	dir := onTable(t)
	c := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "hunt", "mine.hcl")
	c.see("What is wrong?")
	c.press("1")
	c.see("on it: don't know")
	c.press("7")
	c.see("on it: 12 V 21 W")
	c.press("\r")
	c.see("Before you touch anything")
	c.press("\x03")
	assert.Equal(t, 0, c.status())

	require.NoError(t, os.Rename(filepath.Join(dir, "mine.hcl"), filepath.Join(dir, "other.hcl")))
	c = openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "hunt", "other.hcl")
	c.see("What is wrong?")
	c.press("1")
	c.see("on it: 12 V 21 W")
	c.press("\x03")
	assert.Equal(t, 0, c.status())

	path := ""
	require.NoError(t, filepath.WalkDir(dir, func(p string, _ os.DirEntry, _ error) error {
		if filepath.Base(p) == "kit.json" {
			path = p
		}
		return nil
	}))
	require.NotEmpty(t, path)
	require.NoError(t, os.WriteFile(path, []byte(`{"Lamp": true, "LampAmps": 1e300}`), 0o644))
	c = openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "hunt", "other.hcl")
	c.see("What is wrong?")
	c.press("1")
	c.see("RECOMMENDED")
	c.see("on it: don't know")
	c.press("\x03")
	assert.Equal(t, 0, c.status())
}
