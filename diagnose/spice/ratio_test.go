package spice_test

import (
	"bytes"
	"fmt"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/spice"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// BenchmarkAllPredictions works out what one reading from the feeder to every
// joint would be under every short on a loop of 200 pieces, and beside it one
// run of ngspice on the same network: the run that would be needed once a
// suspect. Compare predictions/op with ngspice-runs/op in one output.
func BenchmarkAllPredictions(b *testing.B) {
	src := `name = "ring"
units = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["92 x straight 10", "8 x curve left diameter 60 angle 22.5", "92 x straight 10",
    "8 x curve left diameter 60 angle 22.5"]
}
supply "T1" {
  current = "ac"
  volts = 18
  breaker = 10
}
feeder "F1" {
  at = "main 1/2"
  supply = "T1"
  wire = "16 AWG"
  length = "4 ft"
}
`
	f, probs := layoutfile.Read("ring", []byte(src))
	require.NotNil(b, f, "%v", probs)
	n, err := conductor.Build(f.Layout)
	require.NoError(b, err)
	var shorts []fault.Suspect
	for _, s := range fault.List(n) {
		if s.Mode == track.Bridged && s.PieceIndex >= 0 {
			shorts = append(shorts, s)
		}
	}
	var points []int
	for i := range f.Layout.Joints {
		points = append(points, n.At(f.Layout.Joints[i].A, track.Center))
	}
	set := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0], To: n.Posts[0][1],
		Volts: 18, Amps: 1}}
	b.Run(fmt.Sprintf("predictions-%dx%d", len(shorts), len(points)), func(b *testing.B) {
		for b.Loop() {
			o := predict.Options{Points: append([]int{set.Source.From, set.Source.To, n.FeederPoints[0][0]}, points...),
				Medians: true}
			for _, s := range shorts {
				k := &n.Links[s.Links[0]]
				o.Points = append(o.Points, k.A, k.B)
			}
			c, err := predict.NewBasis(n, o).NewCircuit(&set, nil, nil)
			require.NoError(b, err)
			for _, s := range shorts {
				k := &n.Links[s.Links[0]]
				cs := c.NewCase(predict.Effect{Kind: predict.EffectBridge, A: k.A, B: k.B, Ohms: 0.1})
				for _, p := range points {
					cs.Volts(n.FeederPoints[0][0], p)
				}
			}
		}
	})
	b.Run("ngspice-one-run", func(b *testing.B) {
		var net bytes.Buffer
		require.NoError(b, spice.Write(&net, n))
		text := bytes.Replace(net.Bytes(), []byte(".end\n"), []byte("Ilamp 0 1 1\n.op\n.end\n"), 1)
		for b.Loop() {
			cmd := exec.Command("ngspice", "-b")
			cmd.Stdin = bytes.NewReader(text)
			out, err := cmd.CombinedOutput()
			require.NoError(b, err, "%s", out)
		}
	})
}
