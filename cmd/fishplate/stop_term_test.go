//go:build !windows

package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Ctrl-C line by line leaves as quit does: it is said where the hunt or the drill is
// kept, and what goes on with it. A drill is gone on with by its learner's name alone.
func TestCtrlCLineByLine(t *testing.T) {
	dir := t.TempDir()
	at := func(words ...string) *console {
		return openConsole(t, window{w: 280, h: 50, dir: dir}, program(t), words...)
	}
	c := at("hunt", "--plain", "demo")
	c.see("symptom>")
	c.press("1\r")
	c.see("reading 1>")
	c.press("\x03")
	c.see("Before you go: switch the transformer off and unplug it.")
	c.see("The hunt is saved in")
	c.see("Go on with it: fishplate hunt --plain --resume demo")
	assert.Zero(t, c.status())

	c = at("drill", "--plain", "--lesson", "4", "--name", "Ines")
	c.see("0.0 min>")
	c.press("train off\r")
	c.see("0.5 min>")
	c.press("\x03")
	c.see("Go on with it: fishplate drill --plain --resume --lesson 4 --name Ines")
	assert.Zero(t, c.status())

	c = at("drill", "--plain", "--resume", "--name", "Ines")
	c.see("Lesson 4:")
	c.see("0.5 min>")
	c.press("quit\r")
	assert.Zero(t, c.status())

	c = at("drill", "--plain", "--resume")
	c.see("kept beside it: drill.ines.json (add --name ines)")
	assert.Equal(t, exitBad, c.status())
}
