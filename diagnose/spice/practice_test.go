package spice_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/card"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

func readLayout(t *testing.T, text string) *track.Layout {
	f, problems := layoutfile.Read("by hand", []byte(text))
	require.NotNil(t, f, "%v", problems)
	require.False(t, problems.Errors(), "%v", problems)
	return f.Layout
}

// A card, followed on tables wired by hand and read by ngspice: with a bridge in
// each piece of a line, and with a pin out of each of its joints, the bad place is
// on the list as often, and as near its head, as the card promises.
func TestCardsOnCircuitsByHand(t *testing.T) {
	const n = 12
	l := readLayout(t, threeRail+run(n, false)+supply("T1", "ac", 18)+feeds("F1", "main 1", onT1))
	kit := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, LampWatts: 21, LampVolts: 12}
	for _, c := range []struct {
		sym   hunt.Symptom
		first int
		wrong func(w *wired, k int) (bad []string)
	}{
		{hunt.Symptom{Kind: hunt.SymptomShort}, 1, func(w *wired, k int) []string {
			at := fmt.Sprintf("main %d", k)
			w.bridge(at+" center", at+" left", 0.05)
			return []string{at}
		}},
		{hunt.Symptom{Kind: hunt.SymptomDead, At: "main 12"}, 2, func(w *wired, k int) []string {
			w.spoil(fmt.Sprintf("main %d/%d center", k-1, k), fmt.Sprintf("main %d/%d center", k, k-1), math.Inf(1))
			return []string{fmt.Sprintf("main %d", k-1), fmt.Sprintf("main %d", k)}
		}},
	} {
		sheet, err := card.Build(l, card.Options{Symptom: c.sym, Kit: kit, Draws: 600, Seed: 1})
		require.NoError(t, err)
		hunts, found, looks := 0, 0, 0
		for k := c.first; k <= n; k++ {
			rng := rand.New(rand.NewPCG(uint64(k), 5))
			w := &wired{t: t, rng: rng, rails: []string{"left", "center", "right"}, rail: 0.0123, pin: 0.0015}
			w.line(n, 0.25, false, true)
			w.feeder("F1", "T1 hot", "T1 common", 1, "center", "left")
			bad := c.wrong(w, k)
			g := &gauge{w: w, gain: 1 + 0.006*(2*rng.Float64()-1), lamp: 1.75 * (1 + 0.05*(2*rng.Float64()-1))}
			hunts++
			list := followed(t, sheet, g).Pieces
			at := slices.IndexFunc(list, func(p card.Piece) bool { return slices.Contains(bad, p.Name) })
			if at >= 0 {
				found, looks = found+1, looks+at+1
			}
		}
		t.Logf("%s: %d of %d found, %d looks; promised %.2f and %.2f, %.1f looks", c.sym.Kind, found, hunts, looks,
			sheet.Promise, sheet.Every, sheet.Looks)
		require.GreaterOrEqual(t, float64(found), sheet.Every*float64(hunts)-1)
		require.LessOrEqual(t, float64(looks), (sheet.Looks+0.5)*float64(hunts))
	}
}

// followed is the list where a card ends.
func followed(t *testing.T, c *card.Card, g *gauge) *card.End {
	got := map[int]float64{}
	for b := &c.Boxes[0]; ; {
		r, err := unit.Parse(g.take(t, &b.Ask), unit.Setting(b.Ask.Meter))
		require.NoError(t, err)
		if got[b.N] = r.Value; b.By > 0 {
			r.Value /= got[b.By]
		}
		i, err := b.Take(r)
		require.NoError(t, err)
		if b.Branches[i].End > 0 {
			return &c.Ends[b.Branches[i].End-1]
		}
		b = &c.Boxes[b.Branches[i].Box-1]
	}
}

// The meter of a drill shows what stands on a table wired by hand, within what its
// data sheet states: a bad contact under a lamp across the rails, and a short
// behind a lamp, read along both rails.
func TestDrillMeterOnCircuitsByHand(t *testing.T) {
	const n = 12
	l := readLayout(t, strings.Replace(twoRail, "two-rail", "exact", 1)+`construction "exact" {
  like = "two-rail"
  rail {
    ohms_per_meter = 0.057
    spread         = 0
    level          = 0
  }
  joint {
    ohms   = 0.002
    spread = 0
    level  = 0
  }
  clip {
    ohms   = 0.003
    spread = 0
  }
}
`+run(n, false)+supply("T1", "dc", 12)+feeds("F1", "main 1", onT1))
	kit := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, LampWatts: 21, LampVolts: 12}
	read := 0
	for seed := range uint64(4) {
		hide := drill.Hide{Mode: track.Weak, Part: "joint", MinOhms: 2, MaxOhms: 4}
		lines := []string{"train off", "load main 12", "supply on"}
		if seed%2 == 1 {
			hide = drill.Hide{Mode: track.Bridged, Part: "piece"}
			lines = []string{"train off", "supply lamp"}
		}
		d, err := drill.New(l, drill.Options{Difficulty: drill.Easy, Kit: kit, Hide: []drill.Hide{hide}},
			rand.New(rand.NewPCG(seed, 3)))
		require.NoError(t, err)
		w := &wired{t: t, rails: []string{"left", "right"}, rail: 0.057, pin: 0.002}
		w.line(n, 0.25, false, false)
		w.feeder("F1", "T1 hot", "T1 common", 1, "right", "left")
		w.hidden(d.Hidden()[0])
		for _, line := range lines {
			require.Empty(t, typed(t, d, line).Stopped, line)
		}
		g := &gauge{w: w, gain: 1}
		var b batch
		var shown []drill.Entry
		for k := 2; k <= n; k++ {
			for _, line := range []string{fmt.Sprintf("volts main %d right to main 1 left", k),
				fmt.Sprintf("mv main %d right to main %d right", k-1, k),
				fmt.Sprintf("mv main %d left to main %d left", k-1, k)} {
				e := typed(t, d, line)
				shown = append(shown, e)
				g.stands(&b, d, e.Act.Red, e.Act.Black)
			}
		}
		for i, want := range b.run(t) {
			e := shown[i]
			got, err := unit.Parse(e.Shows, unit.Setting(e.Act.Meter))
			require.NoError(t, err, e.Shows)
			digits := map[string]float64{"volts": 0.02, "millivolts": 2e-4}[e.Act.Meter]
			if got.Kind == unit.OverLimit {
				require.Greater(t, math.Abs(want), 0.198, "%s: %s", e.Act, e.Shows)
				continue
			}
			read++
			require.InDelta(t, want, got.Value, 0.007*math.Abs(want)+1.5*digits, "%s: %s", e.Act, e.Shows)
		}
	}
	require.Greater(t, read, 120)
	t.Logf("%d readings", read)
}

// stands asks for the volts between two points of the table as a drill stands.
func (g *gauge) stands(b *batch, d *drill.Drill, red, black string) {
	state, name := d.State().Setup, func(p int) string { return d.Network().Points[p].Name }
	a := &hunt.Ask{Red: red, Black: black}
	a.Setup.Source = hunt.Source{Kind: "volts", From: "T1 hot", To: "T1 common", Volts: 12}
	if g.lamp = state.Source.Amps; g.lamp > 0 {
		a.Setup.Source.Kind = "lamp"
	}
	for _, x := range state.Loads {
		a.Setup.Loads = append(a.Setup.Loads, hunt.Load{From: name(x.From), To: name(x.To), Ohms: x.Ohms})
	}
	c, _ := g.circuit(a, true)
	b.volts(b.add(c), c.points[red], c.points[black])
}

// typed does a line as it is typed in a drill.
func typed(t *testing.T, d *drill.Drill, line string) drill.Entry {
	a, err := drill.Parse(line)
	require.NoError(t, err, line)
	e, err := d.Do(a)
	require.NoError(t, err, line)
	return e
}

// hidden builds what a drill has hidden: a bridge at its place along a piece, or a
// contact with so many ohms more.
func (w *wired) hidden(f simulate.Fault) {
	s := f.Suspect
	if s.Mode != track.Bridged {
		_, to, _ := strings.Cut(s.Place, "/")
		from := strings.TrimPrefix(strings.TrimSuffix(s.Place, "/"+to), "main ")
		w.spoil(s.Place+" "+s.Rail, fmt.Sprintf("main %s/%s %s", to, from, s.Rail), f.Ohms)
		return
	}
	for _, r := range w.rails {
		middle, half := s.Place+" "+r, w.rail*0.25/2
		for i := range w.parts {
			p := &w.parts[i]
			before := p.b == middle && f.Position < 0.5
			if before || p.a == middle && f.Position >= 0.5 && p.joint == "" && p.feeder == "" {
				part := 2 * f.Position // of the half that holds the place, from its first end
				if !before {
					part--
				}
				far := p.b
				p.b, p.ohms = r+" bridged", half*part
				w.add(wire{a: r + " bridged", b: far, ohms: half * (1 - part)})
				break
			}
		}
	}
	w.bridge("left bridged", "right bridged", f.Ohms)
}
