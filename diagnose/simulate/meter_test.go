package simulate_test

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// exactly is a meter without errors, for what the display does alone.
func exactly() simulate.Meter {
	m := simulate.CheapMeter()
	m.Contact = 0
	m.LeadMin, m.LeadMax = 0.25, 0.25
	for _, list := range [][]simulate.Scale{m.Ohms, m.Volts, m.Millivolts, m.Amps, m.ACVolts, m.ACMillivolts} {
		for i := range list {
			list[i].Percent, list[i].Digits = 0, 0
		}
	}
	return m
}

func TestDisplay(t *testing.T) {
	m := exactly()
	rng := rand.New(rand.NewPCG(1, 1))
	inf := math.Inf(1)
	for _, c := range []struct {
		f     simulate.Function
		exact float64
		ac    bool
		want  string
	}{
		{simulate.Millivolts, .21243, false, "OL"},
		{simulate.Millivolts, .112449, false, "112.4 mV"},
		{simulate.Millivolts, -.0032, false, "-3.2 mV"},
		{simulate.Millivolts, -.0032, true, "3.2 mV"},
		{simulate.Millivolts, -.00004, false, "0.0 mV"},
		{simulate.Millivolts, .19994, false, "199.9 mV"},
		{simulate.Millivolts, .19996, false, "OL"},
		{simulate.Volts, 1.9994, false, "1.999 V"},
		{simulate.Volts, 1.9996, false, "2.00 V"},
		{simulate.Volts, 18.123, false, "18.12 V"},
		{simulate.Volts, 18.123, true, "18.1 V"},
		{simulate.Volts, inf, false, "OL"},
		{simulate.Ohms, .13, false, "0.4"},
		{simulate.Ohms, 0, false, "0.3"}, // the leads, rounded
		{simulate.Ohms, inf, false, "OL"},
		{simulate.Ohms, 199.8, false, "OL"},
		{simulate.Beeper, 49.7, false, "beep"},
		{simulate.Beeper, 49.8, false, "silent"},
		{simulate.Beeper, inf, false, "silent"},
		{simulate.Amps, 1.234, false, "1.23 A"},
		{simulate.Amps, inf, false, "OL"},
		{simulate.Volts, math.NaN(), false, "OL"},
	} {
		require.Equal(t, c.want, m.Show(c.f, c.exact, c.ac, rng), "%s %v, AC %v", c.f, c.exact, c.ac)
	}
	good := simulate.GoodMeter()
	require.Regexp(t, `^1\.2[34]\d k$`, good.Show(simulate.Ohms, 1234, false, rng))
	m.ACMillivolts = nil
	require.False(t, m.Has(simulate.Millivolts, true))
	require.True(t, m.Has(simulate.Millivolts, false))
	require.Empty(t, m.Show(simulate.Millivolts, .1, true, rng))
}

// What a meter shows is within its stated error, leads and rounding of the
// truth, and can be typed into a hunt as it stands.
func TestErrorsStayWithinTheDataSheet(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 0))
		m := simulate.CheapMeter()
		if rapid.Bool().Draw(rt, "good") {
			m = simulate.GoodMeter()
		}
		m = m.Draw(rng)
		require.True(rt, m.LeadOhms() >= m.LeadMin && m.LeadOhms() <= m.LeadMax)
		f := rapid.SampledFrom([]simulate.Function{simulate.Ohms, simulate.Volts, simulate.Millivolts,
			simulate.Amps}).Draw(rt, "function")
		exact := math.Pow(10, rapid.Float64Range(-5, 8).Draw(rt, "log exact"))
		ac := rapid.Bool().Draw(rt, "ac")
		text := m.Show(f, exact, ac, rng)
		r, err := unit.Parse(text, unit.Setting(f))
		require.NoError(rt, err, text)
		if text == simulate.Over {
			require.Equal(rt, unit.OverLimit, r.Kind)
			return
		}
		low := exact
		if f == simulate.Ohms {
			low, exact = exact+m.LeadMin, exact+m.LeadMax+m.Contact
		}
		limit := math.Inf(1)
		for _, list := range [][]simulate.Scale{m.Ohms, m.Volts, m.Millivolts, m.Amps, m.ACVolts, m.ACMillivolts} {
			for _, s := range list {
				number, mark, _ := strings.Cut(text, " ")
				_, decimals, _ := strings.Cut(number, ".")
				if mark == s.Unit && math.Abs(s.Step/s.Per-math.Pow(10, -float64(len(decimals)))) < 1e-9 {
					limit = s.Percent/100*exact + (s.Digits+.5)*s.Step
				}
			}
		}
		require.False(rt, math.IsInf(limit, 1), text)
		require.GreaterOrEqual(rt, r.Value, low-limit*1.02-1e-9, text)
		require.LessOrEqual(rt, r.Value, exact+limit*1.02+1e-9, text)
	})
}

// The scale error belongs to the instrument: two readings of one large value
// by one meter differ by digits only, two instruments by more.
func TestScaleErrorIsTheInstruments(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	read := func(m simulate.Meter) float64 {
		x, err := strconv.ParseFloat(strings.TrimSuffix(m.Show(simulate.Millivolts, .19, false, rng), " mV"), 64)
		require.NoError(t, err)
		return x
	}
	spread := 0.0
	first := read(simulate.CheapMeter().Draw(rng))
	for range 50 {
		m := simulate.CheapMeter().Draw(rng)
		a, b := read(m), read(m)
		require.LessOrEqual(t, math.Abs(a-b), .5)
		spread = max(spread, math.Abs(a-first))
	}
	require.Greater(t, spread, .6)
}

func TestPerson(t *testing.T) {
	n := network(t, invent.Line("two-rail", 12))
	f := simulate.Fault{Suspect: suspect(t, n, track.Bridged, "main 8", "left-right"), Ohms: .03, Position: .5}
	p := simulate.Person{Bench: simulate.NewBench(n, nil, []simulate.Fault{f}), Meter: exactly(),
		Rng: rand.New(rand.NewPCG(5, 5))}
	probe := simulate.Probe{Function: simulate.Millivolts, Setup: lamp(n), Red: n.Find("main 5/6 right"),
		Black: n.Find("main 5/6 left")}
	v := p.Bench.MeterVolts(lamp(n), probe.Red, probe.Black, simulate.MeterOhms)
	text, slip := p.Read(probe)
	require.Equal(t, simulate.SlipNone, slip)
	require.Equal(t, strconv.FormatFloat(v*1000, 'f', 1, 64)+" mV", text)
	amps := probe
	amps.Function = simulate.Amps
	said, _ := p.Read(amps)
	require.Equal(t, strconv.FormatFloat(p.Bench.Amps(lamp(n)), 'f', 2, 64)+" A", said)
	beep := simulate.Probe{Function: simulate.Beeper, Setup: conductor.Setup{}, Red: probe.Red, Black: probe.Black}
	said, _ = p.Read(beep)
	require.Equal(t, "beep", said)

	p.Wrong = .3
	wrong, slips := 0, map[simulate.Slip]int{}
	const readings = 2000
	for range readings {
		said, slip := p.Read(probe)
		if slip != simulate.SlipNone {
			wrong++
			slips[slip]++
			require.NotEqual(t, text, said, "%s", slip)
		} else {
			require.Equal(t, text, said)
		}
	}
	require.InDelta(t, .3, float64(wrong)/readings, 4*math.Sqrt(.3*.7/readings))
	require.Greater(t, slips[simulate.SlipJoint], readings/10)
	require.Greater(t, slips[simulate.SlipDigit], readings/10)

	p.Wrong = 1
	for range 40 {
		said, slip := p.Read(beep)
		if slip == simulate.SlipHeard {
			require.Equal(t, "silent", said)
		} else {
			require.Equal(t, simulate.SlipJoint, slip)
		}
	}
}

func TestNeighbour(t *testing.T) {
	n := network(t, invent.Oval("metal-tie", false))
	rng := rand.New(rand.NewPCG(1, 1))
	names := func(of string) map[string]bool {
		out := map[string]bool{}
		for range 60 {
			out[n.Points[simulate.Neighbour(n, point(t, n, of), rng)].Name] = true
		}
		return out
	}
	require.Equal(t, map[string]bool{"main 7/8 center": true}, names("main 7/6 center"))
	require.Equal(t, map[string]bool{"main 6 left": true, "main 8 left": true}, names("main 7 left"))
	require.Equal(t, map[string]bool{"main 3/2 right": true, "main 3/4 right": true}, names("main 3/siding 1 right"))
	require.Equal(t, map[string]bool{"siding 2 left": true, "main 5 left": true}, names("siding 3 left"))
	require.Equal(t, map[string]bool{"F1 hot": true}, names("F1 hot"))
	require.Equal(t, map[string]bool{"mine 3/2 left": true}, names("mine 3/2 left"))
}

// A slip of the pen changes the text, keeps its unit, and leaves a number.
func TestSlipOneDigit(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 0))
		x := rapid.Float64Range(-199, 199).Draw(rt, "x")
		text := strconv.FormatFloat(x, 'f', rapid.IntRange(0, 3).Draw(rt, "decimals"), 64) + " mV"
		slipped := simulate.SlipOneDigit(text, rng)
		require.NotEqual(rt, text, slipped)
		number, ok := strings.CutSuffix(slipped, " mV")
		require.True(rt, ok, slipped)
		_, err := strconv.ParseFloat(number, 64)
		require.NoError(rt, err, slipped)
	})
	require.Equal(t, "OL", simulate.SlipOneDigit("OL", rand.New(rand.NewPCG(1, 1))))
}

// Unsteady hands: the spread of many readings of one value is theirs.
func TestUnsteadyHands(t *testing.T) {
	n := network(t, invent.Line("two-rail", 12))
	f := simulate.Fault{Suspect: suspect(t, n, track.Bridged, "main 8", "left-right"), Ohms: .03, Position: .5}
	for _, x := range []struct{ hands, share float64 }{{.002, 0}, {0, .02}} {
		p := simulate.Person{Bench: simulate.NewBench(n, nil, []simulate.Fault{f}), Meter: exactly(),
			Rng:   rand.New(rand.NewPCG(6, 6)),
			Hands: map[simulate.Function]float64{simulate.Millivolts: x.hands}, Share: x.share}
		probe := simulate.Probe{Function: simulate.Millivolts, Setup: lamp(n), Red: n.Find("main 5/6 right"),
			Black: n.Find("main 5/6 left")}
		v := p.Bench.MeterVolts(lamp(n), probe.Red, probe.Black, simulate.MeterOhms)
		const readings = 4000
		sum, square := 0.0, 0.0
		for range readings {
			text, _ := p.Read(probe)
			mv, err := strconv.ParseFloat(strings.TrimSuffix(text, " mV"), 64)
			require.NoError(t, err)
			sum, square = sum+(mv/1000-v)/readings, square+(mv/1000-v)*(mv/1000-v)/readings
		}
		want := x.hands + x.share*v
		require.InDelta(t, 0, sum, 5*want/math.Sqrt(readings))
		require.InEpsilon(t, want, math.Sqrt(square), .06)
	}
}
