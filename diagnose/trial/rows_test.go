package trial_test

import (
	"math"
	"os"
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
// out: it knows of trains and supplies, which are never hidden here. A question that
// comes again because its answer is doubted counts once: the meter that answers is
// the same, and says the same.
func TestRowsComeUpAsStated(t *testing.T) {
	if testing.Short() {
		t.Skip("rates want many whole hunts")
	}
	seeds := uint64(8)
	if os.Getenv("FISHPLATE_MEASURE") != "" {
		seeds = 30
	}
	var stated, came, count [10]float64
	for _, shape := range []string{"loop", "yard", "dead-end"} {
		cheap := kit
		cheap.Meter = "cheap"
		s := trial.Setting{Layout: layout(t, shape, 40, trial.Build{}), Kit: cheap, Meter: simulate.CheapMeter(),
			Believed: true, LampSD: 0.04, Wrong: 0.03}
		f, err := trial.NewField(s, nil)
		require.NoError(t, err)
		for seed := range seeds {
			x, err := f.Draw(seed + 1)
			require.NoError(t, err)
			h := hunt.New(f.Layout, f.Kit)
			require.NoError(t, h.Apply(hunt.Event{Symptom: &x.Symptom}))
			asked := 1
			for a := h.View().Step.Ask; a != nil && a.N < 9; a = h.View().Step.Ask {
				p, err := trial.ProbeOf(f.Net, a)
				require.NoError(t, err)
				text, err := x.Read(p)
				require.NoError(t, err)
				if a.Meter == "millivolts" && a.N > asked {
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
				asked = max(asked, a.N)
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

// rowOf is the row that holds what the meter shows: there is one for whatever it
// can show.
func rowOf(t *testing.T, a *hunt.Ask, text string) int {
	r, err := unit.Parse(text, unit.Setting(a.Meter))
	require.NoError(t, err)
	for i := range a.Expect {
		if a.Expect[i].Has(r) {
			return i
		}
	}
	require.Fail(t, "no row", "%q in %+v", text, a.Expect)
	return -1
}
