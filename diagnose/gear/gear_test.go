package gear

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
)

// ac is a layout of nothing but a transformer.
func ac() *track.Layout {
	return &track.Layout{Supplies: []track.Supply{{Name: "T1", AC: true, Volts: 18}}}
}

// A lamp is read as it is written on it, or as it was measured.
func TestReadLamp(t *testing.T) {
	for text, want := range map[string]Lamp{
		"1": {Amps: 1}, "2,1 A": {Amps: 2.1}, "850 mA": {Amps: 0.85}, "1.75A": {Amps: 1.75},
		"0.83 measured": {Amps: 0.83, Spread: measuredSpread}, "0.42V/0.5ohm": {Amps: 0.84, Spread: measuredSpread},
		"420 mV / 0.5": {Amps: 0.84, Spread: measuredSpread},
		"21W 12V":      {Watts: 21, Volts: 12}, "12 V 21 W": {Watts: 21, Volts: 12}, "12V/21W": {Watts: 21, Volts: 12},
		"21 watts at 12 volts": {Watts: 21, Volts: 12},
		"1.5A 6V":              {Watts: 9, Volts: 6}, "250 mA 14 V": {Watts: 3.5, Volts: 14},
		"P21W":        {Watts: 21, Volts: 12},
		"2 x 21W 12V": {Watts: 21, Volts: 12, InSeries: 2}, "two P21W in series": {Watts: 21, Volts: 12, InSeries: 2},
		"2x21w 12v": {Watts: 21, Volts: 12, InSeries: 2},
		"":          {}, "unknown": {}, "Don't know": {}, "?": {},
	} {
		got, err := ReadLamp(text)
		assert.NoError(t, err, text)
		assert.InDelta(t, want.Amps, got.Amps, 1e-12, text)
		got.Amps, want.Amps = 0, 0
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"bright", "0.42/0", "1/", "measured", "200", "beep/1", "21W", "12V", "21W 12V 5",
		"900W 12V", "21W 999V", "9 x 21W 12V",
		"0 x 21W 12V 99999999999999999999x", "NaN", "Inf", "-1", "1e9", "nan w nan v", "21W 12V drop"} {
		_, err := ReadLamp(text)
		assert.Error(t, err, text)
	}
}

// What is said of a lamp is read as the same lamp.
func TestLampReadBack(t *testing.T) {
	for _, l := range []Lamp{{}, {Amps: 1.75}, {Amps: 0.83, Spread: measuredSpread}, {Watts: 21, Volts: 12},
		{Watts: 5, Volts: 6.5, InSeries: 3}} {
		got, err := ReadLamp(l.String())
		assert.NoError(t, err, l.String())
		assert.Equal(t, l, got, l.String())
	}
}

func FuzzReadLamp(f *testing.F) {
	for _, s := range []string{"21W 12V", "2 x 21W 12V", "0.42V/0.5ohm", "1e308 w 1 v", "\xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, err := ReadLamp(s)
		if err != nil {
			return
		}
		require.NoError(t, l.Check(), "%q gave %+v", s, l)
		if l.Known() {
			amps := l.Current(18, math.Inf(1))
			require.True(t, amps > 0 && amps < 100, "%q gave %g A", s, amps)
		}
	})
}

func TestReadFigures(t *testing.T) {
	for text, want := range map[string]float64{"1.2": 1.2, "1,2 m": 1.2, "120 cm": 1.2, "4 ft": 1.2192, "4'": 1.2192,
		"48\"": 1.2192} {
		got, err := ReadLead(text)
		assert.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-9, text)
	}
	for _, text := range []string{"", "long", "0", "-1", "NaN", "900 m", "3 yd"} {
		_, err := ReadLead(text)
		assert.Error(t, err, text)
	}
	for _, text := range []string{"12", "12 V", "12,6", "13.8 volts"} {
		_, err := ReadDC(text)
		assert.NoError(t, err, text)
	}
	for _, text := range []string{"", "2", "31", "NaN", "mains"} {
		_, err := ReadDC(text)
		assert.Error(t, err, text)
	}
}

// The dial's marks become a kit, and are read from it again.
func TestRanges(t *testing.T) {
	for _, r := range []Range{NoRange, BarOnly, BarAndWave} {
		for _, before := range []hunt.Kit{{}, {Meter: "good"}, {Meter: dcPreset, Millivolts: true}} {
			SetRange(&before, r, true)
			assert.Equal(t, r, RangeOf(&before))
		}
	}
	k := hunt.Kit{}
	SetRange(&k, WaveOnly, true)
	assert.True(t, k.Millivolts)
	SetRange(&k, WaveOnly, false)
	assert.False(t, k.Millivolts, "a wave reads nothing on DC track")
}

func TestMind(t *testing.T) {
	mind := func(k hunt.Kit) string { return strings.Join(Mind(&k, ac(), nil), "\n") }
	full := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true}
	k := full
	assert.Empty(t, mind(k), "nothing is known of the lamp, and nothing is wrong")
	Recommend(&k, true)
	k.LampWatts, k.LampVolts = 21, 12
	assert.Empty(t, mind(k))
	assert.True(t, IsRecommended(&k, true))
	k.LampWatts = 55
	assert.Contains(t, mind(k), "fuse")
	k = full
	k.LampWatts, k.LampVolts = 21, 14
	assert.Contains(t, mind(k), "2 such lamps in series do not")
	assert.Contains(t, mind(k), "20 times", "(18/14)^12 is 20.4")
	k.LampsInSeries = 2
	assert.Empty(t, mind(k))
	k.LampWatts, k.LampVolts, k.LampsInSeries = 2, 18, 0
	assert.Contains(t, mind(k), "a small bulb misleads")
	k = full
	k.Meter = dcPreset
	assert.Contains(t, mind(k), "DC only")
	k = full
	k.Lamp = false
	assert.Contains(t, mind(k), "without a lamp")
}

// The bulb to buy: one on a battery, two on a transformer, with the currents of
// the power law.
func TestBuy(t *testing.T) {
	battery := hunt.Kit{Lamp: true, DCVolts: 12, Battery: true}
	shelf := &track.Layout{Supplies: []track.Supply{{Name: "P1", Volts: 12, Breaker: 1.5}}}
	club := &track.Layout{Supplies: []track.Supply{{Name: "T1", AC: true, Volts: 18, Breaker: 10}}}
	assert.Contains(t, Buy(&battery, club), "P21W of UN R37, 12 V 21 W, not LED: 1.75 A on 12 V")
	assert.Contains(t, Buy(&hunt.Kit{Lamp: true}, club), "2 of")
	assert.Contains(t, Buy(&hunt.Kit{Lamp: true}, club), "1.49 A on 18 V")
	assert.Contains(t, Buy(&hunt.Kit{Lamp: true}, shelf), "2 of", "one alone trips the pack")
	assert.NotContains(t, Buy(&battery, shelf), "2 of")
}

// Every drawing keeps to its width, has the lamp between post and wires, and the
// 7-bit form has nothing else.
func TestDraw(t *testing.T) {
	for _, k := range []hunt.Kit{{Lamp: true}, {Lamp: true, LampsInSeries: 2}, {Lamp: true, DCVolts: 12, Battery: true},
		{Lamp: true, DCVolts: 16}} {
		l := ac()
		l.Supplies[0].Name = "a name that does not end, of a transformer"
		h, ok := HookupOf(&k, l, nil, 0)
		require.True(t, ok)
		for _, line := range h.Draw(true) {
			assert.LessOrEqual(t, len(line), DrawWidth)
			for _, r := range line {
				assert.Less(t, r, rune(0x7f))
			}
		}
		all := strings.Join(h.Draw(false), "\n")
		post := strings.IndexAny(all, "o+")
		assert.Less(t, post, strings.Index(all, "(X)"))
		assert.Less(t, strings.Index(all, "(X)"), strings.Index(all, "*"))
		assert.Equal(t, max(k.LampsInSeries, 1), strings.Count(all, "(X)"))
	}
}

func ExampleHookup_Draw() {
	k := hunt.Kit{Lamp: true, DCVolts: 12, Battery: true}
	h, _ := HookupOf(&k, ac(), nil, 0)
	fmt.Println(strings.Join(h.Draw(true), "\n"))
	k = hunt.Kit{Lamp: true}
	h, _ = HookupOf(&k, ac(), nil, 0)
	fmt.Println(strings.Join(h.Draw(true), "\n"))
	h, _ = HookupOf(&k, ac(), &hunt.Symptom{Kind: hunt.SymptomWeak}, 0)
	fmt.Println(strings.Join(h.Draw(true), "\n"))
	// Output:
	//  Battery 12 V
	//  (T1: unplugged, wires off)
	//    +      -
	//   [ ]     |   fuse 3 A
	//    |      |
	//   (X)     |   the lamp, in the open
	//    |      |
	//    *      |   hot wires joined here
	//    |      |   the lamp's TRACK SIDE
	//  ==+======+==  track
	//  Transformer T1
	//   HOT    COM  posts; handle full up
	//    o      o
	//    |      |
	//   (X)     |   the lamp, in the open
	//    |      |
	//    *      |   hot wires joined here
	//    |      |   the lamp's TRACK SIDE
	//  ==+======+==  track
	//  Transformer T1
	//   HOT    COM  posts; handle full up
	//    o      o
	//    |      |
	//    *      |   hot wires joined here
	//    |      |
	//  ==+======+==  track
	//    +--(X)-+   the lamp, in the open
}
