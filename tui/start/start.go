// Package start must be initialised before the terminal framework is: the
// framework asks the terminal for its background colour while it is being
// initialised and waits five seconds where nobody answers. Saying beforehand
// what the background is stops the question. Packages that are ready are
// initialised in the order of their import paths, and this one's sorts before
// github.com; a blank import in main is enough.
package start

import (
	"os"

	"github.com/charmbracelet/lipgloss"
)

func init() {
	lipgloss.SetHasDarkBackground(Dark(os.Getenv("COLORFGBG"), os.Getenv("FISHPLATE_BACKGROUND")))
}

// Dark says whether the background is taken to be dark, from the variable
// COLORFGBG ("15;0": foreground, background, by their ANSI numbers) that some
// terminals set, and from our own choice ("light" or "dark"), which wins.
// Knowing nothing, it says dark.
func Dark(colorfgbg, choice string) bool {
	switch choice {
	case "light":
		return false
	case "dark":
		return true
	}
	for i := len(colorfgbg) - 1; i >= 0; i-- {
		if colorfgbg[i] != ';' {
			continue
		}
		// 7 and 15 are the whites; 9 to 14 are bright colours.
		switch bg := colorfgbg[i+1:]; bg {
		case "7", "9", "10", "11", "12", "13", "14", "15":
			return false
		}
		return true
	}
	return true
}
