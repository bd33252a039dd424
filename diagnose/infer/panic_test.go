package infer

import (
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
)

// A panic on another processor is raised where the work was asked for, so that
// whoever stands there can still put the terminal right.
func TestSpreadRaisesPanics(t *testing.T) {
	before := runtime.GOMAXPROCS(4)
	defer runtime.GOMAXPROCS(before)
	nothing := func() int { return 0 }
	require.PanicsWithValue(t, "item 70", func() {
		spread(100, nothing, func(_, i int) {
			if i == 70 {
				panic("item 70")
			}
		})
	})
	done := make([]bool, 100)
	spread(100, nothing, func(_, i int) { done[i] = true })
	require.NotContains(t, done, false)
}
