package coach

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A reading that moves much of the belief onto one place told something, also where as
// many places as before are left.
func TestTaughtOfAReadingThatRulesNothingOut(t *testing.T) {
	s := Step{Before: 7, After: 7, Bits: 1.2, Top: 0.81}
	assert.Equal(t, "It moved the odds, though none of 7 places is ruled out for good; one of them holds 81 in 100.",
		s.Taught())
	s = Step{Before: 7, After: 7, Bits: 0.05, Top: 0.2}
	assert.Equal(t, "Nothing ruled out, 7 places left.", s.Taught())
}
