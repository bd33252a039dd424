package trial_test

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/trial"
	"fishplate/diagnose/unit"
)

// What the rows of a question say of how often each comes up, against how often
// a reading falls into it: over all rows of one tenth of stated probability both
// must agree within three standard deviations and 0.04. The first question is left
// out: it knows of trains and supplies, which are never hidden here.
func TestRowsComeUpAsStated(t *testing.T) {
	if testing.Short() {
		t.Skip("rates want many whole hunts")
	}
	var stated, came, count [10]float64
	for _, shape := range []string{"loop", "yard", "dead-end"} {
		cheap := kit
		cheap.Meter = "cheap"
		s := trial.Setting{Layout: layout(t, shape, 40, trial.Build{}), Kit: cheap, Meter: simulate.CheapMeter(), Believed: true, LampSD: 0.04, Wrong: 0.03}
		f, err := trial.NewField(s, nil)
		require.NoError(t, err)
		for seed := range uint64(30) {
			x, err := f.Draw(seed + 1)
			require.NoError(t, err)
			h := hunt.New(f.Layout, f.Kit)
			require.NoError(t, h.Apply(hunt.Event{Symptom: &x.Symptom}))
			for a := h.View().Step.Ask; a != nil && a.N < 9; a = h.View().Step.Ask {
				p, err := trial.ProbeOf(f.Net, a)
				require.NoError(t, err)
				text, err := x.Read(p)
				require.NoError(t, err)
				if a.Meter == "millivolts" && a.N > 1 {
					k := rowOf(t, a, text)
					for i, e := range a.Expect {
						d := min(int(e.P*10), 9)
						stated[d] += e.P
						count[d]++
						if i == k {
							came[d]++
						}
					}
				}
				require.NoError(t, h.Apply(hunt.Event{Reading: text}))
			}
		}
	}
	for d, n := range count {
		if n < 20 {
			continue
		}
		p, got := stated[d]/n, came[d]/n
		t.Logf("%4.0f rows: stated %.3f, came up %.3f", n, p, got)
		require.InDelta(t, p, got, 0.04+3*math.Sqrt(p*(1-p)/n))
	}
}

var bounds = regexp.MustCompile(`^(?:(under|over|about) )?(.+?)(?: to (.+))?$`)

// rowOf is the row that a reading falls into, by the words of the rows; between
// two of them the nearer.
func rowOf(t *testing.T, a *hunt.Ask, text string) int {
	set := unit.Setting(a.Meter)
	r, err := unit.Parse(text, set)
	require.NoError(t, err)
	best, off := 0, math.Inf(1)
	for i, e := range a.Expect {
		if e.Shows == "OL" {
			if r.Kind == unit.OverLimit {
				return i
			}
			continue
		}
		m := bounds.FindStringSubmatch(e.Shows)
		require.NotNil(t, m, e.Shows)
		from, to := m[2], m[3]
		if to != "" && !strings.ContainsAny(from, "VmAo") { // "12 to 20 mV"
			from += strings.TrimLeft(to, "-0123456789.")
		}
		low := number(t, from, set)
		high := low
		switch {
		case m[1] == "under":
			low = math.Inf(-1)
		case m[1] == "over":
			high = math.Inf(1)
		case to != "":
			high = number(t, to, set)
		}
		v := r.Value
		if r.Kind == unit.OverLimit {
			v = math.MaxFloat64
		}
		if d := math.Max(math.Max(low-v, v-high), 0); d < off {
			best, off = i, d
		}
	}
	return best
}

func number(t *testing.T, text string, s unit.Setting) float64 {
	r, err := unit.Parse(text, s)
	require.NoError(t, err, text)
	return r.Value
}
