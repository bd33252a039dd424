package unit

import (
	"errors"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseNumbers(t *testing.T) {
	for _, c := range []struct {
		text     string
		setting  Setting
		value    float64
		step     float64
		decimals int
	}{
		{"0.4", Ohms, 0.4, 0.1, 1},
		{"0,4", Ohms, 0.4, 0.1, 1},
		{".4", Ohms, 0.4, 0.1, 1},
		{" 0.40 ", Ohms, 0.4, 0.01, 2},
		{"0.35 ohm", Ohms, 0.35, 0.01, 2},
		{"350 mohm", Ohms, 0.35, 0.001, 0},
		{"350m", Ohms, 0.35, 0.001, 0},
		{"1.2k", Ohms, 1200, 100, 1},
		{"1.2 K", Ohms, 1200, 100, 1},
		{"1k2", Ohms, 1200, 100, 1},
		{"4k7 ohm", Ohms, 4700, 100, 1},
		{"4R7", Ohms, 4.7, 0.1, 1},
		{"2M2", Ohms, 2.2e6, 1e5, 1},
		{"4.7 kohm", Ohms, 4700, 100, 1},
		{"4.7 kΩ", Ohms, 4700, 100, 1},
		{"12 Ω", Ohms, 12, 1, 0},
		{"1 Mohm", Ohms, 1e6, 1e6, 0},
		{"1 megohm", Ohms, 1e6, 1e6, 0},
		{"3 mohm", Ohms, 0.003, 0.001, 0},
		{"1.", Ohms, 1, 1, 0},
		{"1.0", Ohms, 1, 0.1, 1},
		{"1 ohm", Ohms, 1, 1, 0},
		{"0", Ohms, 0, 1, 0},
		{"-0.0", Ohms, 0, 0.1, 1},
		{"212", Millivolts, 0.212, 0.001, 0},
		{"212 mV", Millivolts, 0.212, 0.001, 0},
		{"212mv", Millivolts, 0.212, 0.001, 0},
		{"212 mV AC", Millivolts, 0.212, 0.001, 0},
		{"-12.3 mV", Millivolts, -0.0123, 0.0001, 1},
		{"\u221212,3", Millivolts, -0.0123, 0.0001, 1},
		{"- 12.3", Millivolts, -0.0123, 0.0001, 1},
		{"0.212 V", Millivolts, 0.212, 0.001, 3},
		{"1.234", Volts, 1.234, 0.001, 3},
		{"0,234", Volts, 0.234, 0.001, 3},
		{"212 mV", Volts, 0.212, 0.001, 0},
		{"14.2 VAC", Volts, 14.2, 0.1, 1},
		{"1.0 A", Amps, 1, 0.1, 1},
		{"950 mA", Amps, 0.95, 0.001, 0},
		{"950 milliamps", Amps, 0.95, 0.001, 0},
		{"20 µA", Amps, 20e-6, 1e-6, 0},
		{"+0.95", Amps, 0.95, 0.01, 2},
	} {
		t.Run(string(c.setting)+" "+c.text, func(t *testing.T) {
			r, err := Parse(c.text, c.setting)
			require.NoError(t, err)
			assert.Equal(t, Value, r.Kind)
			assert.Equal(t, c.setting.Unit(), r.Unit)
			assert.Equal(t, c.value, r.Value)
			assert.Equal(t, c.step, r.Step)
			assert.Equal(t, c.decimals, r.Decimals)
			assert.Equal(t, strings.TrimSpace(c.text), r.Typed)
		})
	}
}

func TestParseAnswers(t *testing.T) {
	for _, c := range []struct {
		text    string
		setting Setting
		kind    Kind
	}{
		{"beep", Beeper, Beep}, {"Beep!", Beeper, Beep}, {"y", Beeper, Beep}, {"yes", Beeper, Beep},
		{"YES", Look, Beep},
		{"no", Beeper, Silent}, {"n", Look, Silent}, {"silent", Beeper, Silent}, {"no beep", Beeper, Silent},
		{"OL", Beeper, Silent},
		{"OL", Ohms, OverLimit}, {"ol", Ohms, OverLimit}, {"O.L", Millivolts, OverLimit}, {"0.L", Ohms, OverLimit},
		{"-OL", Volts, OverLimit}, {"over limit", Amps, OverLimit}, {"open", Ohms, OverLimit},
	} {
		r, err := Parse(c.text, c.setting)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.kind, r.Kind, c.text)
		assert.Equal(t, c.text, r.Typed)
		if c.kind == OverLimit {
			assert.Equal(t, c.setting.Unit(), r.Unit)
		} else {
			assert.Equal(t, None, r.Unit)
		}
	}
}

func TestParseRefusals(t *testing.T) {
	for _, c := range []struct {
		text    string
		setting Setting
		want    string
	}{
		{"", Ohms, `"": nothing was typed; type what the meter shows: 0.4, 1.2k or OL`},
		{"1", Ohms, `"1": a 1 alone can be a one or the sign for over-limit; write OL when the rest of the display ` +
			`is blank, or 1 ohm`},
		{"-1", Millivolts, `"-1": a 1 alone can be a one or the sign for over-limit; write OL when the rest of the ` +
			`display is blank, or -1 mV`},
		{"1,234", Volts, `"1,234": the comma can be a decimal sign or a thousand separator; write 1.234 or 1234`},
		{"1,234.5", Ohms, `"1,234.5": thousand separators are not read; write the number with one point or none: ` +
			`1234.5`},
		{"1.234,5", Ohms, `"1.234,5": thousand separators are not read; write the number with one point or none: ` +
			`1234.5`},
		{"1.234.567", Ohms, `"1.234.567": thousand separators are not read; write the number with one point or none: ` +
			`1234567`},
		{"1 234", Ohms, `"1 234": thousand separators are not read; write the number without the space: 1234`},
		{"1 234 567 ohm", Ohms, `"1 234 567 ohm": thousand separators are not read; write the number without the ` +
			`space: 1234567`},
		{"1'234", Ohms, `"1'234": thousand separators are not read; write the number without them: 1234`},
		{"0..4", Ohms, `"0..4": two decimal points; write one, as in 0.4`},
		{"0.4 ohm", Volts, `"0.4 ohm": the meter is on volts, and this is a reading in ohms; write the reading in ` +
			`volts, such as 14.2 or 212 mV, or change the setting`},
		{"212 mV", Ohms, `"212 mV": the meter is on ohms, and this is a reading in volts; write the reading in ohms, ` +
			`such as 0.4, 1.2k or OL, or change the setting`},
		{"212 MV", Millivolts, `"212 MV": M means a million; write m for a thousandth: 212 mV`},
		{"1.2k", Volts, `"1.2k": k means a thousand, too much for a train's supply; write 14.2 or 212 mV`},
		{"1k2", Volts, `"1k2": the form 4k7 is for ohms only; write 14.2 or 212 mV`},
		{"-5", Ohms, `"-5": ohms cannot be below zero; a meter that shows this sees volts on the track: switch the ` +
			`supply off and read again`},
		{"beep", Ohms, `"beep": the meter is on ohms, so a number is wanted; write what it shows: 0.4, 1.2k or OL`},
		{"0.4", Beeper, `"0.4": on the beeper only the tone counts, not the number; write beep (1) or no (0)`},
		{"maybe", Look, `"maybe": not understood; write yes or no`},
		{"12 quarks", Ohms, `"12 quarks": the unit "quarks" is not known; write 0.4, 1.2k or OL`},
		{"1234567890", Ohms, `"1234567890": more digits than a meter shows; write what the display shows: 0.4, 1.2k ` +
			`or OL`},
		{"hello", Amps, `"hello": not a number; write what the meter shows: 0.95 or 950 mA`},
		{"4k7 kohm", Ohms, `"4k7 kohm": the letter inside the number already says the size; write 0.4, 1.2k or OL`},
		{"0.4", "ohmz", `"0.4": there is no meter setting "ohmz"`},
	} {
		r, err := Parse(c.text, c.setting)
		require.EqualError(t, err, c.want)
		assert.Zero(t, r)
		var e *Error
		require.True(t, errors.As(err, &e))
	}
	long, err := Parse(strings.Repeat("9", 1<<16), Ohms)
	require.Error(t, err)
	assert.Zero(t, long)
	assert.Less(t, len(err.Error()), 300, "a long text is shown shortened")
}

func TestReadingString(t *testing.T) {
	for text, want := range map[string]string{
		"0.40": "0.40 ohm", "350 mohm": "0.350 ohm", "3.5 mohm": "3.5 mohm", "1.2k": "1.2 kohm", "4k7": "4.7 kohm",
		"0": "0 ohm", "OL": "OL", "12": "12 ohm",
	} {
		r, err := Parse(text, Ohms)
		require.NoError(t, err)
		assert.Equal(t, want, r.String(), text)
	}
	r, err := Parse("212.0", Millivolts)
	require.NoError(t, err)
	assert.Equal(t, "212.0 mV", r.String())
	assert.Equal(t, "beep", Reading{Kind: Beep}.String())
	assert.Equal(t, "silent", Reading{Kind: Silent}.String())
	assert.Equal(t, "", Reading{}.String())
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		v    float64
		u    Unit
		want string
	}{
		{0.212, Volt, "212 mV"}, {0.35, Ohm, "0.35 ohm"}, {1200, Ohm, "1.2 kohm"}, {0.005, Ohm, "5 mohm"},
		{0.0353, Ohm, "35.3 mohm"},
		{0.9996, Volt, "1 V"}, {999.9, Ohm, "1 kohm"}, {999900, Ohm, "1 Mohm"}, {0.09996, Ohm, "0.1 ohm"},
		{18, Volt, "18 V"}, {0.95, Ampere, "950 mA"},
		{-0.0123, Volt, "-12.3 mV"}, {0, Volt, "0 V"}, {0.0001, Volt, "0.1 mV"}, {0.00005, Volt, "0.05 mV"},
		{47, Ohm, "47 ohm"}, {123456, Ohm, "123 kohm"},
		{math.NaN(), Ohm, "unknown"}, {math.Inf(1), Ohm, "OL"}, {3, None, "3"},
	} {
		assert.Equal(t, c.want, Format(c.v, c.u))
	}
	assert.Equal(t, "210 mV", FormatDigits(0.2124, Volt, 2))
	for m, want := range map[float64]string{
		1.5: "1.5 min", 12: "12 min", 12.4: "12 min", 2: "2 min", 9.96: "10 min", 0.25: "0.2 min", 0: "0 min",
		119: "119 min", 125: "2 h 5 min", 120: "2 h", -125: "-2 h 5 min",
	} {
		assert.Equal(t, want, FormatMinutes(m))
	}
	assert.Equal(t, "unknown time", FormatMinutes(math.NaN()))
}

// What is printed at full digits is read back as the same reading.
func TestPrintedReadingIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom([]Setting{Ohms, Volts, Millivolts, Amps}).Draw(t, "setting")
		text := rapid.StringMatching(`[0-9]{1,4}([.][0-9]{1,3})?( ?m)?`).Draw(t, "text")
		r, err := Parse(text, s)
		if err != nil {
			return // the lone 1
		}
		again, err := Parse(r.String(), s)
		require.NoError(t, err, r.String())
		assert.InDelta(t, r.Value, again.Value, 1e-12*math.Abs(r.Value))
		assert.Equal(t, r.Unit, again.Unit)
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"0.4", "0,4", "212 mV", "OL", "beep", "1", "1k2", "-12.3 mV", "1,234", "1 234", "9e9",
		"\x00", "Ω", "4R7 Mohm", "- -"} {
		for i := range uint8(6) {
			f.Add(s, i)
		}
	}
	all := []Setting{Beeper, Ohms, Volts, Millivolts, Amps, Look, "other"}
	f.Fuzz(func(t *testing.T, text string, which uint8) {
		s := all[int(which)%len(all)]
		r, err := Parse(text, s)
		if err != nil {
			var e *Error
			require.True(t, errors.As(err, &e))
			require.NotEmpty(t, e.What)
			require.Less(t, len(err.Error()), 600)
			require.True(t, utf8.ValidString(err.Error()))
			require.Equal(t, Reading{}, r)
			return
		}
		require.Equal(t, strings.TrimSpace(text), r.Typed)
		require.False(t, math.IsNaN(r.Value) || math.IsInf(r.Value, 0))
		require.NotEmpty(t, r.String())
		switch r.Kind {
		case Value:
			require.Greater(t, r.Step, 0.0)
			require.Equal(t, s.Unit(), r.Unit)
			require.False(t, s == Ohms && r.Value < 0)
			require.Less(t, math.Abs(r.Value), 1e16)
		case Beep, Silent:
			require.Equal(t, None, s.Unit())
		case OverLimit:
			require.Equal(t, s.Unit(), r.Unit)
		default:
			t.Fatal("unknown kind", r.Kind)
		}
	})
}

// A word of a lamp is no answer of a beeper: somebody looks at the wrong thing.
func TestBeeperIsNoLamp(t *testing.T) {
	for _, word := range []string{"dark", "Bright", "glowing", "lit"} {
		_, err := Parse(word, Beeper)
		require.ErrorContains(t, err, "beep or no", word)
		_, err = Parse(word, Look)
		if word == "dark" || word == "lit" {
			require.NoError(t, err, word)
		}
	}
}
