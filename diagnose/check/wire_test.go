package check

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Port 2 shorted, by hand: a bridge of 1 ohm and 2 ohm to a rail pair. With
// 1 ohm from a to b and 3 ohm from a by c to b (1 + 2), c tapped after the 1:
// z11 = 1 || 3 = 0.75; shorting c to b leaves 1 || 1 = 0.5.
func TestReduce(t *testing.T) {
	z11 := 1.0 * 3 / 4
	z12 := z11 * 2 / 3         // volts at c for an ampere into a: two thirds of z11
	z22 := 2.0 * (1 + 1) / 4.0 // c to b: 2 || (1 + 1)
	require.InDelta(t, 0.5, reduce([3]float64{z11, z12, z22}), 1e-15)
	require.Equal(t, 0.75, reduce([3]float64{z11, 0, 0}))
}

func TestBelow(t *testing.T) {
	require.Equal(t, 7.0, below(7.48))
	require.Equal(t, 1.4, below(1.49))
	require.Equal(t, 2.0, below(2.65))
}
