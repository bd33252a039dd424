package check

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The known pair gives itself. Scaled by equal heat, the smaller sizes come
// out close to what the overcurrent rule for small conductors of the US code
// allows (NEC 240.4(D), from memory: 18 AWG 7 A, 16 AWG 10 A, 12 AWG 20 A,
// 10 AWG 30 A): within a tenth.
func TestWireAmps(t *testing.T) {
	area := func(gauge int) float64 { return math.Pi / 4 * gaugeMM(gauge) * gaugeMM(gauge) }
	require.InDelta(t, 15, wireAmps(area(14)), 1e-9)
	require.InDelta(t, 2.081, area(14), 0.001) // table of AWG sizes
	for gauge, code := range map[int]float64{18: 7, 16: 10, 12: 20, 10: 30} {
		require.InEpsilon(t, code, wireAmps(area(gauge)), 0.1, "%d AWG", gauge)
	}
	// The heat of a meter over its surface is the same for all sizes.
	heat := func(gauge int) float64 {
		i := wireAmps(area(gauge))
		return i * i * copper / area(gauge) / (math.Pi * gaugeMM(gauge))
	}
	for gauge := 10; gauge <= 30; gauge++ {
		require.InEpsilon(t, heat(14), heat(gauge), 1e-12)
	}
}

func TestGaugeFor(t *testing.T) {
	for amps, gauge := range map[float64]int{1: 24, 3: 22, 5: 20, 7: 18, 10: 16, 15: 14, 20: 12, 1000: 4} {
		require.Equal(t, gauge, gaugeFor(amps), "%g A", amps)
	}
}

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
