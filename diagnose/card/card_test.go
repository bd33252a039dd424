package card_test

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/card"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

func load(t testing.TB, name string) *track.Layout {
	t.Helper()
	shown, src := layoutfile.Demo()
	if name != "demo" {
		var err error
		src, err = os.ReadFile("../../testdata/layouts/" + name + ".hcl")
		require.NoError(t, err)
		shown = name
	}
	f, probs := layoutfile.Read(shown, src)
	require.NotNil(t, f, "%v", probs)
	return f.Layout
}

var (
	beeper = hunt.Kit{Beeper: true}
	full   = hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true}
	// battery is the same with a P21W on 12 V in the transformer's place.
	battery = hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, DCVolts: 12, Battery: true,
		LampWatts: 21, LampVolts: 12}
)

// usual is how many draws most cards of these tests are made from, half of
// what the program takes: what is promised is then a little less.
const usual = 1500

// built are the cards that were made already: several tests look at one.
var built = map[string]*card.Card{}

// build makes a card, once. A short run (go test -short) makes a small one.
func build(t testing.TB, layout string, o card.Options) *card.Card {
	t.Helper()
	if testing.Short() {
		o.Depth, o.Draws = min(cmp.Or(o.Depth, 3), 3), min(cmp.Or(o.Draws, 400), 400)
	}
	if o.Where != nil {
		return fresh(t, layout, o)
	}
	key := fmt.Sprintf("%s %+v", layout, o)
	if built[key] == nil {
		built[key] = fresh(t, layout, o)
	}
	return built[key]
}

func fresh(t testing.TB, layout string, o card.Options) *card.Card {
	t.Helper()
	o.Seed = 1
	c, err := card.Build(load(t, layout), o)
	require.NoError(t, err)
	return c
}

// few gives the layouts that a short run makes do with, or all.
func few(short, all []string) []string {
	if testing.Short() {
		return short
	}
	return all
}

var short = hunt.Symptom{Kind: hunt.SymptomShort}

// Every branch leads on: boxes to boxes with larger numbers, so that no way
// goes round, or to a list; every box and every list is reached once; the
// ranges of a box leave no gap and do not overlap.
func TestCardIsATree(t *testing.T) {
	for _, kit := range []hunt.Kit{beeper, full} {
		c := build(t, "dead-end", card.Options{Symptom: short, Kit: kit, Draws: usual})
		boxes, ends := map[int]int{1: 1}, map[int]int{}
		require.Greater(t, len(c.Boxes), 3)
		for i := range c.Boxes {
			b := &c.Boxes[i]
			require.Equal(t, i+1, b.N)
			require.Less(t, b.By, b.N)
			sum, low, numbers := 0.0, 0, 0
			for k, r := range b.Branches {
				require.True(t, (r.Box > 0) != (r.End > 0), "box %d, %s", b.N, r.Shows)
				sum += r.P
				if r.Box > 0 {
					require.Greater(t, r.Box, b.N)
					boxes[r.Box]++
				} else {
					ends[r.End]++
				}
				if r.Kind == unit.Value {
					numbers++
					if numbers > 1 {
						require.Equal(t, b.Branches[low].High, r.Low, "box %d", b.N)
						require.Greater(t, r.High, r.Low)
					}
					low = k
				}
			}
			require.InDelta(t, 1, sum, 1e-9)
		}
		require.Len(t, boxes, len(c.Boxes))
		require.Len(t, ends, len(c.Ends))
		for n, k := range boxes {
			require.Equal(t, 1, k, "box %d", n)
		}
		p := 0.0
		for _, e := range c.Ends {
			p += e.P
			require.NotEmpty(t, e.Pieces)
		}
		require.InDelta(t, 1, p, 1e-9)
	}
}

// The ranges keep nearly all that the reading tells, or are as many as fit.
func TestRangesKeepTheInformation(t *testing.T) {
	for _, name := range few([]string{"dead-end"}, []string{"loop"}) {
		c := build(t, name, card.Options{Symptom: short, Kit: full, Draws: usual})
		for _, b := range c.Boxes {
			if len(b.Branches) < 6 {
				require.GreaterOrEqual(t, b.Bits, 0.85*b.Whole, "box %d", b.N)
			}
		}
		require.GreaterOrEqual(t, c.Boxes[0].Bits, 1.0, "the first reading tells a bit at least")
	}
}

// The bounds hold; what is out of them, or no hunt, is refused.
func TestBounds(t *testing.T) {
	c := fresh(t, "dead-end", card.Options{Symptom: short, Kit: full, Depth: 2, Boxes: 5, Draws: 500})
	require.LessOrEqual(t, len(c.Boxes), 5)
	depth := map[int]int{1: 1}
	for _, b := range c.Boxes {
		require.LessOrEqual(t, depth[b.N], 2)
		for _, r := range b.Branches {
			depth[r.Box] = depth[b.N] + 1
		}
	}
	for _, o := range []card.Options{{Depth: 9}, {Boxes: 99}, {Depth: -1}} {
		o.Symptom, o.Kit = short, full
		_, err := card.Build(load(t, "dead-end"), o)
		require.Error(t, err)
	}
	_, err := card.Build(load(t, "dead-end"), card.Options{Symptom: hunt.Symptom{Kind: "smoke"}, Kit: full})
	require.Error(t, err)
	_, err = card.Build(load(t, "dead-end"),
		card.Options{Symptom: hunt.Symptom{Kind: hunt.SymptomShortTrain, At: "main 3"}, Kit: full})
	require.ErrorContains(t, err, "comes with a train")
	_, err = card.Build(load(t, "dead-end"), card.Options{Symptom: short})
	require.ErrorContains(t, err, "beeper at least")
}

// The same options give the same card.
func TestSameOptionsSameCard(t *testing.T) {
	if testing.Short() {
		t.Skip("a card worked out twice")
	}
	o := card.Options{Symptom: short, Kit: full, Depth: 3, Draws: 400}
	a := build(t, "dead-end", o).Sheet(nil).Text()
	b := fresh(t, "dead-end", o).Sheet(nil).Text()
	require.Equal(t, a, b)
}

// A lamp and nothing else makes a card too: bright, glowing and dark are its
// answers, and each of them leads on.
func TestACardByLampAlone(t *testing.T) {
	c := build(t, "dead-end", card.Options{Symptom: short, Kit: hunt.Kit{Lamp: true}, Draws: 400, Depth: 3})
	require.Greater(t, len(c.Boxes), 1)
	for i := range c.Boxes {
		require.True(t, c.Boxes[i].Ask.OfLamp())
		for _, b := range c.Boxes[i].Branches {
			require.Contains(t, []unit.Kind{unit.Bright, unit.Glowing, unit.Dark}, b.Kind)
		}
	}
	text := c.Sheet(nil).Text()
	require.Contains(t, text, "look at the lamp")
	require.NotContains(t, text, "turn the dial to volts")
}

// A card with a lamp has the reading that a hunt begins with, by the lamp and the
// supply that the kit has: 0.7 V on 12 V behind a lamp of 6.9 ohm are 0.43 ohm.
func TestTheCardArms(t *testing.T) {
	c := build(t, "dead-end", card.Options{Symptom: short, Kit: battery, Draws: 400, Depth: 3})
	text := strings.Join(strings.Fields(c.Sheet(nil).Text()), " ")
	require.Contains(t, text, "Then volts from \"T1 hot\", on the lamp's track side, to \"T1 common\"")
	// 0.8 and 3.5 ohm behind 12 V / 1.75 A = 6.857 ohm: 12 x 0.8/7.657 = 1.25 V, 12 x 3.5/10.357 = 4.06 V.
	require.Contains(t, text, "1.3 to under 4.1 V: about 2 ohm: an engine or a lit car rather than bare metal")
}

// A battery in the transformer's place shows the sign, and so do the card's ranges:
// what lies on either side of a feeder is told apart by it. AC shows none.
func TestABatteryShowsTheSign(t *testing.T) {
	if testing.Short() {
		t.Skip("two cards on the loop")
	}
	for _, x := range []struct {
		kit    hunt.Kit
		signed bool
	}{{battery, true}, {full, false}} {
		c := build(t, "loop", card.Options{Symptom: short, Kit: x.kit, Draws: 400, Depth: 2})
		signed := false
		for _, b := range c.Boxes {
			for _, r := range b.Branches {
				signed = signed || r.High < 0 || r.Low < 0 && !math.IsInf(r.Low, -1)
			}
		}
		require.Equal(t, x.signed, signed)
		require.Equal(t, x.signed, strings.Contains(c.Sheet(nil).Text(), "DC: mind the sign"))
	}
}
