package main

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fishplate/diagnose/gear"
	"fishplate/layoutfile"
	"fishplate/tui"
)

// TestTourKit: the tour hunts with what the screen behind it recommends.
func TestTourKit(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	file, _ := layoutfile.Read(layoutfile.Demo())
	var o tui.Options
	tour(&o, &source{layout: file.Layout, demo: true})
	shown := o.Tour()
	assert.True(t, gear.AC(shown.Layout))
	assert.True(t, gear.IsRecommended(&shown.Kit, true))
	assert.True(t, o.FirstRun)
}
