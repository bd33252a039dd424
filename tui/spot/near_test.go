package spot

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fishplate/tui/internal/rig"
)

// What is wrong with a joint is looked for at the joint, and not at the middle of the
// piece that would be lifted for it. The oval is that of TestDescribe.
func TestToLook(t *testing.T) {
	l := rig.Oval(6)
	for _, c := range []struct{ piece, joint, want string }{
		{"main 22", "", "first joint left of the tunnel mouth, then the middle of the piece"},
		{"main 23", "main 23/24", "the joint main 23/24, 3 joints left of the tunnel mouth (first: main 21/22)"},
		{"F1", "", ""},
	} {
		assert.Equal(t, c.want, ToLook(l, c.piece, c.joint), "%s %s", c.piece, c.joint)
	}
}
