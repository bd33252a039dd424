package hunt_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/price"
	"fishplate/layoutfile"
)

// The list of pieces to look at has the order of least expected minutes of all that
// there are, where a look always tells: probability a minute, falling (credited to
// J. B. Kadane, H. A. Simon, "Optimal strategies for a class of constrained
// sequential problems", Ann. Statist. 5, 1977, in T. J. Ottosen, "The cost of
// troubleshooting cost clusters with inside information", 2012, abstract read).
// A tunnel makes some looks dear; no reading of a beeper tells of a weak contact.
func TestLooksComeInTheOrderOfLeastMinutes(t *testing.T) {
	f, problems := layoutfile.Read("invented", []byte(`name = "Invented"
units = "mm"
construction = "two-rail"
run "main" { pieces = ["7 x straight 250"] }
supply "T1" {
  current = "dc"
  volts   = 12
  breaker = 2
}
feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "16 AWG"
  length = "1 m"
}
hidden "tunnel" {
  from    = "main 2"
  to      = "main 4"
  minutes = 3
}
`))
	require.NotNil(t, f, "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	h := hunting(t, f.Layout, hunt.Kit{Beeper: true}, hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomWeak,
		At: "main 7"}})
	for h.View().Step.Ask != nil {
		require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
	}
	in := h.View().Step.Inspect
	require.NotNil(t, in)
	require.Len(t, in.Pieces, 6)
	minutes := func(k int) float64 { return price.Of(n).Look(f.Layout.FindPiece(in.Pieces[k].Piece)) }
	expected := func(order []int) float64 {
		spent, sum := 0.0, 0.0
		for _, k := range order {
			spent += minutes(k)
			sum += in.Pieces[k].P * spent
		}
		return sum
	}
	least, most := math.Inf(1), 0.0
	var permute func(order, rest []int)
	permute = func(order, rest []int) {
		if len(rest) == 0 {
			least, most = min(least, expected(order)), max(most, expected(order))
		}
		for i, k := range rest {
			left := append(append([]int{}, rest[:i]...), rest[i+1:]...)
			permute(append(append([]int{}, order...), k), left)
		}
	}
	permute(nil, []int{0, 1, 2, 3, 4, 5})
	got := expected([]int{0, 1, 2, 3, 4, 5})
	t.Logf("%.4f minutes, of %.4f to %.4f", got, least, most)
	require.InEpsilon(t, least, got, 1e-5)
	require.Greater(t, most, 1.2*least)
}
