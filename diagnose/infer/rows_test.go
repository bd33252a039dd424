package infer

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// On a big layout neighbouring pieces share a row while there are many of them.
// A row must end at a probe: to one side of it a short changes the reading, to
// the other it does not. What the readings say of the first pieces is the same
// on a short line, where every piece has a row of its own.
func TestRowsEndAtProbes(t *testing.T) {
	names := []string{"main 25", "main 26", "main 27", "main 28", "main 29", "main 31"}
	belief := func(pieces int) []float64 {
		f, problems := layoutfile.Read("invented", []byte(invent.Line("metal-tie", pieces)))
		require.NotNil(t, f, "%v", problems)
		n, err := conductor.Build(f.Layout)
		require.NoError(t, err)
		e := NewEngine(n, DefaultModel(n, meter.Cheap(true), true))
		set := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0],
			To: n.Posts[0][1], Volts: 18, Amps: 1}}
		e.SetSymptom(Symptom{Kind: Short, Piece: -1, Accessory: -1, Supply: -1})
		var obs []Observation
		for _, r := range []struct {
			red, black, text string
		}{{"main 44/45 center", "main 58/59 center", "0.3 mV"}, {"main 26/27 center", "main 48/49 center", "12.8 mV"}} {
			o := Observation{Setup: set, Func: meter.Millivolts, Red: n.Find(r.red), Black: n.Find(r.black)}
			require.True(t, o.Red >= 0 && o.Black >= 0)
			o.Shown, err = unit.Parse(r.text, unit.Setting(meter.Millivolts))
			require.NoError(t, err)
			obs = append(obs, o)
		}
		p := e.Update(obs)
		out := make([]float64, len(names))
		for c, name := range e.Classes {
			for i := range names {
				if names[i] == name {
					out[i] = p.Class[c]
				}
			}
		}
		return out
	}
	short, long := belief(60), belief(500)
	require.Greater(t, short[3], 0.1, "%v", short)
	for i := range names {
		require.InDelta(t, short[i], long[i], 0.02, "%s: %.3f and %.3f", names[i], short, long)
	}
}
