package main

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Where no layout is named those of the folder are listed, the newest first: what is no
// layout is left out, what has mistakes says so, and each key opens what it names.
func TestLayoutsNearBy(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string, ago time.Duration) {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		when := time.Now().Add(-ago)
		require.NoError(t, os.Chtimes(path, when, when))
	}
	for name, ago := range map[string]time.Duration{"loop": time.Hour, "double": time.Minute} {
		text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "layouts", name+".hcl"))
		require.NoError(t, err)
		write(name+".hcl", string(text), ago)
	}
	write("half.hcl", "run \"main\" {\n", time.Second)
	write("other.hcl", "tool = \"another one's\"\n", 0)
	open := func() *console {
		c := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t))
		c.see("Which layout?")
		return c
	}
	c := open()
	for _, words := range []string{"1 half.hcl", "has mistakes", "2 double.hcl", "Double track, 56 pieces",
		"3 loop.hcl",
		"d demo", "w new"} {
		c.see(words)
	}
	require.NotContains(t, c.screen(), "other.hcl")
	c.press("1")
	c.see("half.hcl:1:")
	c.press("2")
	c.see("What is wrong?")
	c.see("Double track")
	c.press("q")
	require.Zero(t, c.status())
	c = open()
	c.press("w")
	c.see("A new layout")
	c.press("\x03")
	require.Zero(t, c.status())
	c = open()
	c.press("q")
	require.Zero(t, c.status())
}
