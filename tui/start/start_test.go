package start

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestDark(t *testing.T) {
	for _, c := range []struct {
		fgbg, choice string
		want         bool
	}{{"", "", true}, {"15;0", "", true}, {"0;15", "", false}, {"0;default;7", "", false}, {"12;8", "", true},
		{"0;15", "dark", true}, {"15;0", "light", false}, {"junk", "", true}, {";", "", true}} {
		assert.Equal(t, c.want, Dark(c.fgbg, c.choice), "%q %q", c.fgbg, c.choice)
	}
}

// TestSortsFirst: packages that are ready are initialised in the order of
// their import paths, and ours must come before the framework's.
func TestSortsFirst(t *testing.T) {
	assert.Less(t, "fishplate/tui/start", "github.com/charmbracelet/bubbletea")
}
