package infer_test

import (
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// behindLamp is an invented loop with a short, a lamp in series, and what a
// meter showed at a few places.
func behindLamp(t *testing.T) (*infer.Engine, conductor.Setup, []infer.Observation) {
	t.Helper()
	f, problems := layoutfile.Read("invented", []byte(invent.Loop("metal-tie", 120)))
	require.NotNil(t, f, "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	e := infer.NewEngine(n, infer.DefaultModel(n, meter.Cheap(true), true))
	e.SetSymptom(infer.Symptom{Kind: infer.Short, Piece: -1, Accessory: -1, Supply: -1})
	set := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0], To: n.Posts[0][1],
		Volts: 18, Amps: 1}}
	var obs []infer.Observation
	for _, shown := range []struct {
		at string
		mv float64
	}{{"main 30", 62}, {"main 60", 88}, {"main 61", 88}} {
		end := f.Layout.Pieces[f.Layout.FindPiece(shown.at)]
		obs = append(obs, infer.Observation{Setup: set, Func: meter.Millivolts, Red: n.FeederPoints[0][0],
			Black: n.At(f.Layout.Joints[end.Ends[1].Joint].A, end.Construction.Hot),
			Shown: unit.Reading{Value: shown.mv / 1000, Step: 1e-4, Unit: unit.Volt}})
	}
	return e, set, obs
}

// ask is every reading between one feeder and the joints, by either dial.
func ask(e *infer.Engine, set conductor.Setup) []infer.Question {
	var out []infer.Question
	l := e.Net.Layout
	for j := range l.Joints {
		at := e.Net.At(l.Joints[j].A, l.Pieces[l.Joints[j].A.Piece].Construction.Hot)
		for _, f := range []meter.Function{meter.Millivolts, meter.Volts, meter.Ohms, meter.Beeper} {
			s := set
			if f == meter.Ohms || f == meter.Beeper {
				s = conductor.Setup{Source: conductor.Source{Kind: conductor.SourceNone}}
			}
			out = append(out, infer.Question{Setup: s, Func: f, Red: e.Net.FeederPoints[0][0], Black: at, Minutes: 1})
		}
	}
	return out
}

// One processor and several come to the same belief and the same scores, to
// the last bit.
func TestProcessorsDoNotMatter(t *testing.T) {
	e, set, obs := behindLamp(t)
	questions := ask(e, set)
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	one := e.Doubting(obs, e.Update(obs))
	alone := e.Score(one, obs, questions)
	runtime.GOMAXPROCS(4)
	four := e.Doubting(obs, e.Update(obs))
	require.Equal(t, one, four)
	require.Equal(t, alone, e.Score(four, obs, questions))
	require.NotEmpty(t, one.Pairs)
}

// A question is worth the same by itself as among those that read the same
// points with another dial.
func TestTwinsAreWorthWhatEachIsAlone(t *testing.T) {
	e, set, obs := behindLamp(t)
	p := e.Update(obs)
	questions := ask(e, set)[200:240]
	together := e.Score(p, obs, questions)
	told := 0
	for i := range questions {
		alone := e.Score(p, obs, questions[i:i+1])[0]
		require.InDelta(t, alone.Bits, together[i].Bits, 1e-6+1e-3*alone.Bits, "%v", questions[i])
		if alone.Bits > 0.1 {
			told++
		}
	}
	require.Greater(t, told, 5)
}
