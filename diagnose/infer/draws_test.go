package infer_test

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// line is what a reading in volts is made of on a dead end with one ampere:
// a share of some links' resistances.
type line struct {
	link []int
	by   []float64
}

func (l *line) volts(ohms []float64) (v float64) {
	for k, i := range l.link {
		v += l.by[k] * ohms[i]
	}
	return v
}

// drawn is the belief in pieces by plain draws of all that is not known.
type drawn struct {
	n     *conductor.Network
	e     *infer.Engine
	set   conductor.Setup
	probe [][2]int
	shown []float64 // volt
	meter simulate.Meter
	rng   *rand.Rand
}

// wide draws a level: log-normal, three times as wide in a share of all cases.
func (d *drawn) wide(mean, sd float64) float64 {
	if d.rng.Float64() < d.e.Model.Level.Tail {
		sd *= 3
	}
	return math.Exp(mean + sd*d.rng.NormFloat64())
}

// ohms draws the layout as the belief has it beforehand, on track of a level.
func (d *drawn) ohms(links []int, out []float64, common float64) {
	l := d.e.Model.Level
	rails, joints := common*math.Exp(l.RailSD*d.rng.NormFloat64()), common*d.wide(l.JointMean, l.JointSD)
	for _, i := range links {
		k := &d.n.Links[i]
		out[i] = k.Ohms * math.Exp(k.Spread*d.rng.NormFloat64())
		switch k.Class {
		case conductor.ClassRail:
			out[i] *= rails
		case conductor.ClassJoint:
			out[i] *= joints
		}
	}
}

// lines solves a fault's readings on the full circuit once: on a dead end they
// are linear in the resistances.
func (d *drawn) lines(t *testing.T, f simulate.Fault) (lines []line, links []int) {
	c, err := simulate.NewBench(d.n, nil, []simulate.Fault{f}).Circuit(d.set)
	require.NoError(t, err)
	used := map[int]bool{}
	for _, p := range d.probe {
		var l line
		for i, x := range c.Sensitivities(p[0], p[1]) {
			if math.Abs(x) > 1e-6 {
				l.link, l.by = append(l.link, i), append(l.by, x)
				if !used[i] {
					used[i] = true
					links = append(links, i)
				}
			}
		}
		lines = append(lines, l)
	}
	return lines, links
}

// weight is how often a bridge gives these very displays.
func (d *drawn) weight(t *testing.T, s fault.Suspect, draws int) float64 {
	const places = 10
	ohms, sum := make([]float64, len(d.n.Links)), 0.0
	scale := d.meter.ACMillivolts[len(d.meter.ACMillivolts)-1]
	m := d.e.Model.Meter.Of(meter.Millivolts)
	for at := range places {
		lines, links := d.lines(t, simulate.Fault{Suspect: s, Ohms: 0.1, Position: (float64(at) + 0.5) / places})
		for range draws / places {
			d.ohms(links, ohms, d.wide(d.e.Model.Level.CommonMean, d.e.Model.Level.CommonSD))
			lamp, gain, p := math.Exp(d.e.Model.LampSD*d.rng.NormFloat64()), 2*d.rng.Float64()-1, 1.0
			for i := range lines {
				v := math.Abs(lamp*lines[i].volts(ohms)) + m.Scatter*d.rng.NormFloat64()
				v = math.Abs(v * (1 + meter.Bends*d.rng.NormFloat64()))
				if p *= shows(&scale, v*(1+gain*scale.Percent/100), d.shown[i]); p == 0 {
					break
				}
			}
			sum += p
		}
	}
	return sum
}

// shows is how often a display with an error of some last digits shows this.
func shows(s *simulate.Scale, v, shown float64) float64 {
	off := s.Digits * s.Step
	lo, hi := math.Max(shown-s.Step/2, v-off), math.Min(shown+s.Step/2, v+off)
	if shown < s.Step/2 {
		lo = v - off // no minus
	}
	return math.Max(0, hi-lo) / (2 * off)
}

// The belief after three readings along one rail of a dead end is that of plain
// draws of all that is not known, full circuits and a display error by error:
// on track a third as bad as stated to half as bad again, where
// joints' and levels' skewness, a bridge's place and the boxes of the display
// all matter. What the belief has beside bridges of pieces is left out.
func TestBeliefAgainstDraws(t *testing.T) {
	d := drawnOn(t, invent.Line("metal-tie", 14), "main 3/4 center", "main 13/14 center", "main 7/8 center",
		"main 9/10 center", "main 8/9 center", "main 13/14 center")
	bridges := d.bridges()
	off, compared := 0.0, 0
	levels := []float64{0.35, 0.7, 1.4}
	if testing.Short() {
		levels = levels[1:2]
	}
	for _, level := range levels {
		for _, piece := range []string{"main 8", "main 9", "main 10"} {
			off += d.compare(t, bridges, level, piece, func(s fault.Suspect) float64 { return d.weight(t, s, 400000) })
			compared++
		}
	}
	off /= float64(compared)
	t.Logf("mean difference in the first piece's probability: %.4f", off)
	require.Less(t, off, 0.03)
}

// drawnOn is the belief on a layout with a lamp of 1 A, read between pairs of
// points.
func drawnOn(t *testing.T, layout string, points ...string) *drawn {
	f, problems := layoutfile.Read("invented", []byte(layout))
	require.NotNil(t, f, "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	model := infer.DefaultModel(n, meter.Cheap(true), true)
	model.Misread, model.NotOnMap, model.OffTrack = 0, 1e-12, 1e-12
	e := infer.NewEngine(n, model)
	e.SetSymptom(infer.Symptom{Kind: infer.Short, Piece: -1, Accessory: -1, Supply: -1})
	d := &drawn{n: n, e: e, meter: simulate.CheapMeter(), rng: rand.New(rand.NewPCG(8, 15)),
		set: conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0],
			To: n.Posts[0][1], Volts: 1e6, Amps: 1}}}
	for i := 0; i < len(points); i += 2 {
		red, black := n.Find(points[i]), n.Find(points[i+1])
		require.True(t, red >= 0 && black >= 0, "%s, %s", points[i], points[i+1])
		d.probe = append(d.probe, [2]int{red, black})
	}
	return d
}

// bridges are those inside pieces.
func (d *drawn) bridges() []fault.Suspect {
	var out []fault.Suspect
	for _, s := range d.e.Suspects {
		if s.Mode == track.Bridged && s.PieceIndex >= 0 {
			out = append(out, s)
		}
	}
	return out
}

// compare hides a bridge, reads it, and gives how far apart the two beliefs in
// the likeliest piece are; weight is how often a bridge gives what was shown.
func (d *drawn) compare(t *testing.T, bridges []fault.Suspect, level float64, piece string,
	weight func(fault.Suspect) float64) float64 {
	var truth *fault.Suspect
	for i := range bridges {
		if bridges[i].Piece == piece && truth == nil {
			truth = &bridges[i]
		}
	}
	require.NotNil(t, truth)
	rng := rand.New(rand.NewPCG(uint64(100*level), uint64(truth.PieceIndex)))
	ohms := simulate.DrawOhms(d.n, rng, level, level)
	b := simulate.NewBench(d.n, ohms, []simulate.Fault{{Suspect: *truth, Ohms: 0.1, Position: rng.Float64()}})
	d.shown = nil
	var obs []infer.Observation
	for _, p := range d.probe {
		v, _ := b.Volts(d.set, p[0], p[1])
		r, err := unit.Parse(d.meter.Show(simulate.Millivolts, v, true, rng), unit.Setting(meter.Millivolts))
		require.NoError(t, err)
		require.Equal(t, unit.Value, r.Kind)
		d.shown = append(d.shown, r.Value)
		obs = append(obs, infer.Observation{Setup: d.set, Func: meter.Millivolts, Red: p[0], Black: p[1], Shown: r})
	}
	p := d.e.Update(obs)
	want, got := map[string]float64{}, map[string]float64{}
	var sumWant, sumGot float64
	for c, x := range p.Class {
		if d.e.ClassPiece[c] >= 0 && x > 1e-3 {
			got[d.e.Classes[c]] = x
			sumGot += x
		}
	}
	for _, s := range bridges {
		if got[s.Piece] > 0 {
			w := s.Odds * weight(s)
			want[s.Piece] += w
			sumWant += w
		}
	}
	require.Greater(t, sumWant, 0.0)
	first, line := "", ""
	for _, name := range slices.Sorted(maps.Keys(got)) {
		x := got[name]
		if first == "" || x > got[first] {
			first = name
		}
		line += fmt.Sprintf(" %s %.3f (%.3f)", name, x/sumGot, want[name]/sumWant)
	}
	t.Logf("level %g, %s: shown %.4f:%s", level, piece, d.shown, line)
	return math.Abs(got[first]/sumGot - want[first]/sumWant)
}

// weightFull is weight on track where no reading is linear in the resistances: a
// circuit a draw. All readings grow together with the track's level and with the
// lamp's current, whatever the rest: these two are integrated over, not drawn.
func (d *drawn) weightFull(s fault.Suspect, draws int) float64 {
	all := make([]int, len(d.n.Links))
	ohms, sum := make([]float64, len(all)), 0.0
	for i := range all {
		all[i] = i
	}
	volts := make([]float64, len(d.probe))
	for range draws {
		d.ohms(all, ohms, 1)
		c, err := simulate.NewBench(d.n, ohms,
			[]simulate.Fault{{Suspect: s, Ohms: 0.1, Position: d.rng.Float64()}}).Circuit(d.set)
		if err != nil {
			continue
		}
		for i, at := range d.probe {
			volts[i], _ = c.Volts(at[0], at[1])
		}
		sum += d.overScales(volts)
	}
	return sum / float64(draws)
}

// overScales is how often readings that are in proportion to volts give what was
// shown, over all that they may be multiplied by.
func (d *drawn) overScales(volts []float64) (sum float64) {
	const step = 0.01 // of the logarithm: a fifth of the last digits of what is shown
	scale := d.meter.ACMillivolts[len(d.meter.ACMillivolts)-1]
	l, lamp := d.e.Model.Level, d.e.Model.LampSD
	gain, scatter := 2*d.rng.Float64()-1, make([]float64, len(volts))
	lo, hi := l.CommonMean-6*l.CommonSD, l.CommonMean+6*l.CommonSD
	for i, v := range volts {
		scatter[i] = d.e.Model.Meter.Of(meter.Millivolts).Scatter * d.rng.NormFloat64()
		off := (scale.Digits+1)*scale.Step + math.Abs(scatter[i])
		hi = math.Min(hi, math.Log((d.shown[i]+off)*1.03/math.Abs(v)))
		if d.shown[i] > off {
			lo = math.Max(lo, math.Log((d.shown[i]-off)/1.03/math.Abs(v)))
		}
	}
	bell := func(x, sd float64) float64 { return math.Exp(-x*x/(2*sd*sd)) / sd }
	narrow, broad := math.Hypot(l.CommonSD, lamp), math.Hypot(3*l.CommonSD, lamp)
	for x := lo + step*d.rng.Float64(); x < hi; x += step {
		p := (1-l.Tail)*bell(x-l.CommonMean, narrow) + l.Tail*bell(x-l.CommonMean, broad)
		for i := range volts {
			v := math.Abs(math.Exp(x)*volts[i] + scatter[i])
			v = math.Abs(v * (1 + meter.Bends*d.rng.NormFloat64()))
			if p *= shows(&scale, v*(1+gain*scale.Percent/100), d.shown[i]); p == 0 {
				break
			}
		}
		sum += p * step
	}
	return sum
}

// On a loop a reading may be of either sign, and AC shows none: the belief is that
// of plain draws there too, full circuits and a display reading by reading. With
// every reading taken to be of the sign that a suspect has it at its medians, 0.97
// and 0.99 were stated where draws have 0.70 and 0.88.
func TestUnsignedBeliefAgainstDraws(t *testing.T) {
	if testing.Short() {
		t.Skip("a short run takes the draws of TestBeliefAgainstDraws alone")
	}
	d := drawnOn(t, invent.Loop("metal-tie", 12), "main 2/3 center", "main 9/10 center", "main 2/3 center",
		"main 8/9 center", "main 3/4 center", "main 11/12 center")
	bridges := d.bridges()
	off, compared := 0.0, 0
	pieces := []string{"main 5", "main 6", "main 7"}
	if testing.Short() {
		pieces = pieces[1:2]
	}
	for _, piece := range pieces {
		off += d.compare(t, bridges, 1, piece, func(s fault.Suspect) float64 { return d.weightFull(s, 12000) })
		compared++
	}
	off /= float64(compared)
	t.Logf("mean difference in the first piece's probability: %.4f", off)
	require.Less(t, off, 0.06)
}
