package infer_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/simulate"
	"fishplate/layoutfile"
)

// The derivative of a reading by a bridge's place, toward either end, is that
// of full circuits with the bridge a little off the middle (package simulate
// cuts the rails there): on tied and on separate rails, with the probes
// anywhere, also on the bridged piece itself; on track of any level.
func TestSlidesAgreeWithFullCircuits(t *testing.T) {
	compared := 0
	for _, text := range []string{invent.Oval("metal-tie", false), invent.Oval("roadbed", false),
		invent.Loop("two-rail", 24), invent.Line("metal-tie", 9)} {
		f, problems := layoutfile.Read("invented", []byte(text))
		require.NotNil(t, f, "%v", problems)
		n, err := conductor.Build(f.Layout)
		require.NoError(t, err)
		e := infer.NewEngine(n, infer.DefaultModel(n, meter.Cheap(true), false))
		rng := rand.New(rand.NewPCG(3, 4))
		for range 60 {
			h := &e.Hypos[rng.IntN(len(e.Hypos))]
			for h.Slides == nil {
				h = &e.Hypos[rng.IntN(len(e.Hypos))]
			}
			red, black := rng.IntN(len(n.Points)), rng.IntN(len(n.Points))
			set := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0],
				To: n.Posts[0][1], Volts: 18, Amps: 1}}
			eff := h.Effect
			eff.Ohms = 0.1
			level := math.Exp(rng.NormFloat64())
			ohms := make([]float64, len(n.Links))
			for i := range n.Links {
				ohms[i] = n.Links[i].Ohms
				if n.Links[i].Class == conductor.ClassRail {
					ohms[i] *= level
				}
			}
			o := predict.Options{Points: []int{red, black, eff.A, eff.B, set.Source.From, set.Source.To}, Medians: true}
			o.Scale[conductor.ClassRail] = level
			c, err := predict.NewBasis(n, o).NewCircuit(&set, nil, nil)
			require.NoError(t, err)
			m := c.NewCase(eff).Moments(predict.Voltage, red, black, h.Slides)
			volts := func(at float64) float64 {
				v, _ := simulate.NewBench(n, ohms,
					[]simulate.Fault{{Suspect: e.Suspects[h.Suspect], Ohms: 0.1, Position: 0.5 + at}}).Volts(set, red,
					black)
				return v
			}
			const d = 1e-3
			low, high := (volts(-d)-volts(0))/d, (volts(d)-volts(0))/d
			tolerance := 1e-6 + 2e-3*(math.Abs(low)+math.Abs(high))
			require.InDelta(t, low, m.Place[0], tolerance, "%s: %s to %s", e.Suspects[h.Suspect].ID, n.Points[red].Name,
				n.Points[black].Name)
			require.InDelta(t, high, m.Place[1], tolerance, "%s: %s to %s", e.Suspects[h.Suspect].ID,
				n.Points[red].Name, n.Points[black].Name)
			if math.Abs(low)+math.Abs(high) > 1e-5 {
				compared++
			}
		}
	}
	require.Greater(t, compared, 60)
}
