package hunt

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"fishplate/diagnose/infer"
)

// TestForget: of beliefs that nothing stands on any more the oldest go where all
// together are over the bound; what was needed this turn stays, whatever it takes.
func TestForget(t *testing.T) {
	m := memory{of: map[string]*kept{}}
	many := &infer.Posterior{Hypo: make([]float64, mostKept/4)}
	for turn := range 8 {
		m.turn = turn
		m.of[fmt.Sprint("reading ", turn)] = &kept{p: many, turn: turn}
	}
	for k := range 6 {
		m.need(fmt.Sprint("now ", k), false, func() *infer.Posterior { return many })
	}
	m.forget()
	assert.Equal(t, 8, m.turn)
	assert.Len(t, m.of, 6+1+4)
	for turn := range 8 {
		assert.Equal(t, turn >= 3, m.of[fmt.Sprint("reading ", turn)] != nil, "turn %d", turn)
	}
}
