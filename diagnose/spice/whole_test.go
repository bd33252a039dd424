package spice_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/layoutfile"
)

// evening is a hunt from a symptom to the proof: a layout as its owner would write
// it down, the table as someone else has wired it, and what is wrong with it.
type evening struct {
	name   string
	layout string
	wire   func(w *wired)
	wrong  func(w *wired)
	bad    []string // what a person may look at to find it
	sym    hunt.Symptom
}

const (
	threeRail = "name = \"By hand\"\nabout = \"invented\"\nunits = \"mm\"\nconstruction = \"metal-tie\"\n"
	roadbed   = "name = \"By hand\"\nabout = \"invented\"\nunits = \"mm\"\nconstruction = \"roadbed\"\n"
	twoRail   = "name = \"By hand\"\nabout = \"invented\"\nunits = \"mm\"\nconstruction = \"two-rail\"\n"
)

func run(n int, ring bool) string {
	if ring {
		return fmt.Sprintf("run \"main\" {\n  closes = true\n  pieces = [\"%d x straight 250\", \"6 x curve left "+
			"radius 400 angle 30\", \"%[1]d x straight 250\", \"6 x curve left radius 400 angle 30\"]\n}\n", n/2-6)
	}
	return fmt.Sprintf("run \"main\" { pieces = [\"%d x straight 250\"] }\n", n)
}

func supply(name, current string, volts float64) string {
	return fmt.Sprintf("supply %q {\n  current = %q\n  volts = %g\n  breaker = 5\n}\n", name, current, volts)
}

func feeds(name, at, on string) string {
	return fmt.Sprintf("feeder %q {\n  at = %q\n  %s\n  wire = \"16 AWG\"\n  length = \"4 ft\"\n}\n", name, at, on)
}

const onT1 = `supply = "T1"`

// evenings are the hunts, three of each kind of table and fault at most.
func evenings() []evening {
	short := hunt.Symptom{Kind: hunt.SymptomShort}
	at := func(k hunt.SymptomKind, place string) hunt.Symptom { return hunt.Symptom{Kind: k, At: place} }
	piece := func(k int) string { return fmt.Sprintf("main %d", k) }

	lineOf3 := threeRail + run(12, false) + supply("T1", "ac", 18) + feeds("F1", "main 1", onT1)
	wire3 := func(w *wired) {
		w.line(12, 0.25, false, true)
		w.feeder("F1", "T1 hot", "T1 common", 1, "center", "left")
	}
	ringOf3 := threeRail + run(20, true) + supply("T1", "ac", 18) + feeds("F1", "main 2", onT1)
	wireRing := func(w *wired) {
		w.line(20, 0.2349, true, true) // straights of 0.25 m, curves of 0.2094 m: between them
		w.feeder("F1", "T1 hot", "T1 common", 2, "center", "left")
	}
	lineOf2 := twoRail + run(12, false) + supply("T1", "dc", 12) + feeds("F1", "main 1", onT1)
	wire2 := func(w *wired) {
		w.line(12, 0.25, false, false)
		w.feeder("F1", "T1 hot", "T1 common", 1, "right", "left")
	}
	var out []evening
	add := func(name, layout string, wire, wrong func(*wired), sym hunt.Symptom, bad ...string) {
		out = append(out, evening{name, layout, wire, wrong, bad, sym})
	}
	for _, k := range []int{4, 7, 11} {
		bridge := func(w *wired) { w.bridge(piece(k)+" center", piece(k)+" left", 0.05) }
		add("insulation slipped, line", lineOf3, wire3, bridge, short, piece(k))
		add("insulation slipped, ring", ringOf3, wireRing, bridge, short, piece(k))
		add("two rails touch", lineOf2, wire2, func(w *wired) {
			w.bridge(piece(k)+" left", piece(k)+" right", 0.2)
		}, short, piece(k))
		pin := func(r string) (string, string) {
			return fmt.Sprintf("main %d/%d %s", k, k+1, r), fmt.Sprintf("main %d/%d %s", k+1, k, r)
		}
		add("a center pin is out", lineOf3, wire3, func(w *wired) { a, b := pin("center"); w.spoil(a, b, math.Inf(1)) },
			at(hunt.SymptomDead, piece(12)), piece(k), piece(k+1))
		add("a joiner is loose", lineOf2, wire2, func(w *wired) { a, b := pin("right"); w.spoil(a, b, 3) },
			at(hunt.SymptomWeak, piece(12)), piece(k), piece(k+1))
	}
	add("feeder wires touch", lineOf3, wire3, func(w *wired) { w.bridge("F1 hot", "F1 common", 0.03) }, short, "F1")
	add("a feeder wire is off", lineOf3, wire3, func(w *wired) {
		w.spoil("T1 hot", "F1 hot", math.Inf(1))
	}, at(hunt.SymptomDead, piece(6)), "F1")
	add("a feeder wire is loose", lineOf2, wire2, func(w *wired) {
		w.spoil("T1 hot", "F1 hot", 3)
	}, at(hunt.SymptomWeak, piece(6)), "F1", "main 1")
	add("a feeder's clip is corroded", lineOf2, wire2, func(w *wired) {
		w.spoil("F1 hot", "main 1 right", 3)
	}, at(hunt.SymptomWeak, piece(6)), "F1", "main 1")
	return append(out, switchedEvenings()...)
}

// switchedEvenings are those with toggles, accessories and two supplies.
func switchedEvenings() []evening {
	gap := func(joint string, rails string) string {
		return fmt.Sprintf("insulated %q { rails = [%s] }\n", joint, rails)
	}
	block := threeRail + run(8, false) + supply("T1", "ac", 18) + "toggle \"S1\" { supply = \"T1\" }\n" +
		gap("main 4/5", `"center"`) +
		"block \"end\" {\n  from = \"main 5\"\n  to = \"main 8\"\n  toggle = \"S1\"\n}\n" + feeds("F1", "main 1",
		onT1) + feeds("F2", "main 7", `toggle = "S1"`)
	wireBlock := func(w *wired) {
		w.line(8, 0.25, false, true, "main 4/5 center")
		w.feeder("F1", "T1 hot", "T1 common", 1, "center", "left")
		w.add(wire{a: "T1 hot", b: "S1 hot", ohms: 0.01, toggle: "S1"})
		w.feeder("F2", "S1 hot", "T1 common", 7, "center", "left")
	}
	bell := roadbed + run(9, false) + supply("T1", "ac", 18) + gap("main 3/4", `"left"`) + gap("main 6/7", `"left"`) +
		feeds("F1", "main 1", onT1) +
		"accessory \"bell\" {\n  kind = \"lamp\"\n  volts = 18\n  amps = 0.5\n  cold = 4\n  supply = \"T1\"\n}\n" +
		"insulated_rail \"bell rail\" {\n  rail = \"left\"\n  from = \"main 3/4\"\n  to = \"main 6/7\"\n  tap = " +
		"\"main 5\"\n  works = \"bell\"\n  wire = \"16 AWG\"\n  length = \"4 ft\"\n}\n"
	wireBell := func(w *wired) {
		w.line(9, 0.25, false, false, "main 3/4 left", "main 6/7 left")
		w.feeder("F1", "T1 hot", "T1 common", 1, "center", "right")
		w.add(wire{a: "T1 hot", b: "bell hot", ohms: 0.02})
		w.add(wire{a: "bell hot", b: "bell common", ohms: 4, hot: 36, load: "bell"})
		w.add(wire{a: "bell common", b: "main 5 left", ohms: 0.01317*1.2192 + 0.003})
	}
	two := threeRail + run(10, false) + supply("T1", "ac", 18) +
		"supply \"T2\" {\n  current = \"ac\"\n  volts = 18\n  breaker = 5\n  common = \"T1\"\n}\n" +
		gap("main 5/6", `"center"`) + feeds("F1", "main 2", onT1) + feeds("F2", "main 8", `supply = "T2"`)
	wireTwo := func(w *wired) {
		w.line(10, 0.25, false, true, "main 5/6 center")
		w.feeder("F1", "T1 hot", "T1 common", 2, "center", "left")
		w.feeder("F2", "T2 hot", "T2 common", 8, "center", "left")
		w.add(wire{a: "T1 common", b: "T2 common", ohms: 0.02})
		w.add(wire{a: "T2 winding hot", b: "T2 hot", ohms: 0.002})
		w.add(wire{a: "T2 winding common", b: "T2 common", ohms: 0.002})
	}
	gapped := twoRail + run(10, false) + supply("T1", "dc", 12) + gap("main 5/6", `"left", "right"`) +
		feeds("F1", "main 2", onT1) + feeds("F2", "main 8", onT1)
	wireGapped := func(w *wired) {
		w.line(10, 0.25, false, false, "main 5/6 left", "main 5/6 right")
		w.feeder("F1", "T1 hot", "T1 common", 2, "right", "left")
		w.feeder("F2", "T1 hot", "T1 common", 8, "right", "left")
	}
	joined := func(a, b string) func(*wired) { return func(w *wired) { w.bridge(a, b, 0.02) } }
	open := func(a, b string, by float64) func(*wired) { return func(w *wired) { w.spoil(a, b, by) } }
	at := func(k hunt.SymptomKind, place string) hunt.Symptom { return hunt.Symptom{Kind: k, At: place} }
	return []evening{
		{"the block's gap has closed", block, wireBlock, joined("main 4/5 center", "main 5/4 center"),
			[]string{"main 4", "main 5"}, at(hunt.SymptomLive, "main 7")},
		{"the toggle never opens", block, wireBlock, joined("T1 hot", "S1 hot"), []string{"S1"},
			at(hunt.SymptomLive, "main 7")},
		{"the toggle never closes", block, wireBlock, open("T1 hot", "S1 hot", math.Inf(1)), []string{"S1"},
			at(hunt.SymptomDead, "main 7")},
		{"the block's insulation slipped", block, wireBlock, joined("main 6 center", "main 6 left"), []string{"main 6"},
			hunt.Symptom{Kind: hunt.SymptomShort}},
		{"the lamp is burnt out", bell, wireBell, open("bell hot", "bell common", math.Inf(1)), []string{"bell"},
			at(hunt.SymptomAccessoryDead, "bell")},
		{"the tap's wire is off", bell, wireBell, open("bell common", "main 5 left", math.Inf(1)),
			[]string{"bell rail", "bell", "main 5"}, at(hunt.SymptomAccessoryDead, "bell")},
		{"the tap's wire is loose", bell, wireBell, open("bell common", "main 5 left", 40),
			[]string{"bell rail", "bell", "main 5"}, at(hunt.SymptomAccessoryFlickers, "bell")},
		{"the insulated rail touches the other", bell, wireBell, joined("main 4 left", "main 4 right"),
			[]string{"main 4"}, at(hunt.SymptomAccessoryOn, "bell")},
		{"an insulated joint has closed", bell, wireBell, joined("main 6/7 left", "main 7/6 left"),
			[]string{"main 6", "main 7"}, at(hunt.SymptomAccessoryElsewhere, "bell")},
		{"the second supply's plug is the other way round", two, wireTwo, func(w *wired) {
			w.cross("T2 winding")
		}, []string{"T2"}, at(hunt.SymptomPhase, "T2")},
		{"a feeder of the second supply is crossed", two, wireTwo, func(w *wired) {
			w.cross("F2")
		}, []string{"F2"}, hunt.Symptom{Kind: hunt.SymptomShort}},
		{"a feeder behind a gap is crossed", gapped, wireGapped, func(w *wired) {
			w.cross("F2")
		}, []string{"F2"}, at(hunt.SymptomShortTrain, "main 6")},
		{"the gap between two supplies has closed", two, wireTwo, joined("main 5/6 center", "main 6/5 center"),
			[]string{"main 5", "main 6"}, at(hunt.SymptomPhase, "T2")},
	}
}

// Thirty whole hunts, from every kind of symptom to the end, on tables that were
// wired from the trade's description of the track, read by ngspice with a meter of
// our own. Nothing of the program's network or simulator has a part in it.
func TestWholeHuntsOnCircuitsByHand(t *testing.T) {
	list := evenings()
	require.GreaterOrEqual(t, len(list), 30)
	for _, k := range hunt.Symptoms() {
		require.True(t, slices.ContainsFunc(list, func(e evening) bool {
			return e.sym.Kind == k
		}), "no hunt begins with %s", k)
	}
	first, looked := 0, 0
	for i, e := range list {
		if testing.Short() && i%6 != 0 {
			continue
		}
		looked++
		t.Run(e.name, func(t *testing.T) {
			if e.hunt(t, uint64(i)) {
				first++
			}
		})
	}
	require.GreaterOrEqual(t, first, looked-3, "of %d", looked)
	t.Logf("%d of %d first lists had it among their first three", first, looked)
}

// hunt plays it, and says whether the first list had the fault in its first three.
func (e *evening) hunt(t *testing.T, seed uint64) (first bool) {
	f, problems := layoutfile.Read("by hand", []byte(e.layout))
	require.NotNil(t, f, "%v", problems)
	require.False(t, problems.Errors(), "%v", problems)
	rng := rand.New(rand.NewPCG(seed, 19))
	w := &wired{t: t, rng: rng, rails: []string{"left", "center", "right"}, rail: 0.0123, pin: 0.0015}
	if len(f.Layout.Pieces[0].Construction.Rails) == 2 {
		w.rails, w.rail = []string{"left", "right"}, 0.057
	}
	w.rail, w.pin = w.rail*w.scatter(0.3), w.pin*w.scatter(0.4)
	e.wire(w)
	e.wrong(w)
	g := &gauge{w: w, gain: 1 + 0.006*(2*rng.Float64()-1), lamp: 1.75 * (1 + 0.05*(2*rng.Float64()-1))}
	kit := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, LampWatts: 21, LampVolts: 12,
		LeadMetres: 4}
	if seed%2 == 0 && f.Layout.Supplies[0].AC {
		kit.DCVolts, kit.Battery, kit.Meter = 12, true, "dc-millivolts"
	}
	kit.Bisect = seed%5 == 3
	h := hunt.New(f.Layout, kit)
	log := ""
	do := func(x hunt.Event) { require.NoError(t, h.Apply(x), log) }
	sym := e.sym
	do(hunt.Event{Symptom: &sym})
	looks, found := 0, false
	for range 60 {
		switch s := h.View().Step; {
		case s.Ask != nil || s.Done != nil && s.Done.Prove != nil:
			a := s.Ask
			if a == nil {
				a = s.Done.Prove
			}
			shown := g.take(t, a)
			log += fmt.Sprintf("%s %s to %s, %+v lifted %v pulled %v off %v: %s\n", a.Meter, a.Red, a.Black,
				append(slices.Clone(a.Setup.Also), a.Setup.Source), a.Setup.Lifted, a.Setup.Pulled, a.Setup.Off, shown)
			do(hunt.Event{Reading: shown})
		case s.Inspect != nil:
			var names []string
			for _, c := range s.Inspect.Pieces {
				names = append(names, c.Piece)
			}
			if looks == 0 {
				first = slices.ContainsFunc(names[:min(3, len(names))], func(n string) bool {
					return slices.Contains(e.bad, n)
				})
			}
			looks++
			log += fmt.Sprintf("look at %v\n", names)
			require.LessOrEqual(t, looks, 8, log)
			if slices.Contains(e.bad, names[0]) {
				found = true
				w.mend()
				do(hunt.Event{Found: names[0]})
			} else {
				do(hunt.Event{NotFound: names[0]})
			}
		default:
			require.True(t, found, "%s\n%s", s.Done.Verdict, log)
			require.True(t, s.Done.Proven, "%s\n%s", s.Done.Verdict, log)
			t.Logf("%d readings, %d looks, proven %v", s.Done.Readings, looks, s.Done.Proven)
			return first
		}
	}
	require.Fail(t, "the hunt does not end", log)
	return false
}
