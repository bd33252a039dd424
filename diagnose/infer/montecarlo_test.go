package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// The first-order mean and covariance of three readings under one short are
// those of full circuits with every resistance drawn, by brute force: the
// links' own spreads, the bridge's place and its resistance. Levels are left as
// the file has them: they are cut into cells and not linearised over.
func TestLinearisationAgainstMonteCarlo(t *testing.T) {
	f, problems := layoutfile.Read("invented", []byte(invent.Loop("metal-tie", 40)))
	require.NotNil(t, f, "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	m := DefaultModel(n, meter.Cheap(false), false)
	m.LampSD = 1e-9
	e := NewEngine(n, m)
	set := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0], To: n.Posts[0][1],
		Volts: 18, Amps: 1}}
	var h *Hypo
	for i := range e.Hypos {
		if e.Hypos[i].Slides != nil && e.Suspects[e.Hypos[i].Suspect].PieceIndex == 13 {
			h = &e.Hypos[i]
		}
	}
	require.NotNil(t, h)
	probes := [][2]string{{"F1 hot", "main 8/9 center"}, {"main 8/9 center", "main 20/21 center"},
		{"F1 hot", "main 30/31 center"}}
	var obs []Observation
	for _, p := range probes {
		o := Observation{Setup: set, Func: meter.Millivolts, Red: n.Find(p[0]), Black: n.Find(p[1]),
			Shown: unit.Reading{Kind: unit.Value, Step: 1e-4}}
		require.True(t, o.Red >= 0 && o.Black >= 0)
		obs = append(obs, o)
	}
	setups, keys := distinctSetups(obs)
	var points []int
	for _, o := range obs {
		points = append(points, o.Red, o.Black)
	}
	points = append(points, framer{e}.pointsOf(h)...)
	frame := e.frameOver(setups, points, nil, [conductor.NumClasses]float64{})
	s := e.newStage(frame, obs)
	sev := severity{ohms: 0.3, sd: 0.3}
	steps := []float64{1e-4, 1e-4, 1e-4}
	fs := s.forecasts(h, sev, 1, map[string]*predict.Circuit{}, keys, steps)
	for i := range fs { // the circuit alone, without the meter
		fs[i].noise = 1e-9
	}
	j := s.jointOf(fs, sev, 1, 1)
	cov := make([]float64, 9)
	new(felt).in(j, &levelCell{rail: 1, jnt: 1}, 0).matrix(cov, make([]float64, 3), []float64{0, 0, 0})
	gain := m.Meter.Millivolts.Gain()

	const draws = 4000
	rng := rand.New(rand.NewPCG(1, 2))
	values := make([][]float64, len(obs))
	for range draws {
		fault := simulate.Fault{Suspect: e.Suspects[h.Suspect], Ohms: sev.ohms * math.Exp(sev.sd*rng.NormFloat64()),
			Position: rng.Float64()}
		b := simulate.NewBench(n, simulate.DrawOhms(n, rng, 1, 1), []simulate.Fault{fault})
		for i, o := range obs {
			v, _ := b.Volts(set, o.Red, o.Black)
			values[i] = append(values[i], v)
		}
	}
	for i := range obs {
		mean := average(values[i])
		sd := math.Sqrt(covariance(values[i], values[i]))
		own := math.Sqrt(math.Max(cov[i*3+i]-gain*gain*j.mean[i]*j.mean[i], 0))
		t.Logf("%s to %s: mean %.4f, linearised %.4f mV; sd %.4f, linearised %.4f mV", probes[i][0], probes[i][1],
			1e3*mean, 1e3*j.mean[i], 1e3*sd, 1e3*own)
		require.InDelta(t, mean, j.mean[i], 4*sd/math.Sqrt(draws)+0.02*sd, "mean of reading %d", i)
		require.InEpsilon(t, sd, own, 0.12, "spread of reading %d", i)
		for k := range i {
			want := covariance(values[i], values[k]) / sd / math.Sqrt(covariance(values[k], values[k]))
			got := (cov[i*3+k] - gain*gain*j.mean[i]*j.mean[k]) / own / math.Sqrt(
				math.Max(cov[k*3+k]-gain*gain*j.mean[k]*j.mean[k], 1e-30))
			require.InDelta(t, want, got, 0.08, "correlation of readings %d and %d", i, k)
		}
	}
}

func average(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

func covariance(x, y []float64) float64 {
	mx, my, sum := average(x), average(y), 0.0
	for i := range x {
		sum += (x[i] - mx) * (y[i] - my)
	}
	return sum / float64(len(x)-1)
}
