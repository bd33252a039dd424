package tui

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/trial"
	"fishplate/layoutfile"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
)

// Evenings of every kind that drills can hide, on the files, with whatever lies
// on the table, are played from the screen by hands that do its words; now and
// then they stop half way, leave an ask out, or take an answer back.
// FISHPLATE_EVENINGS=n plays the first n; FISHPLATE_EVENING=k plays number k alone.
func TestDrawnEveningsPlayedFromTheScreen(t *testing.T) {
	// In order: two that go well; a proof that passed a shorted accessory; two shorts of
	// which one was lost; a strand at a terminal with every feeder off. (1394, two
	// shorts read with every feeder off, takes a minute.)
	evenings := []int{2, 3, 503, 1134, 1299}
	if testing.Short() {
		evenings = evenings[:1]
	}
	if n, err := strconv.Atoi(os.Getenv("FISHPLATE_EVENINGS")); err == nil {
		evenings = nil
		for k := range n {
			evenings = append(evenings, k)
		}
	}
	if k, err := strconv.Atoi(os.Getenv("FISHPLATE_EVENING")); err == nil {
		evenings = []int{k}
	}
	played, asks, found := 0, 0, 0
	for _, k := range evenings {
		t.Run(fmt.Sprint(k), func(t *testing.T) {
			x := drawn(t, k)
			if x == nil {
				return
			}
			played++
			x.evening()
			asks += x.asks
			if x.table.Found {
				found++
			}
		})
	}
	t.Logf("%d evenings, %d asks, found in %d", played, asks, found)
}

// drawn lays the table for evening number k; nil where nothing shows.
func drawn(t *testing.T, k int) *hands {
	rng := rand.New(rand.NewPCG(uint64(k), 7))
	names, err := filepath.Glob("../testdata/layouts/*.hcl")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	file := filepath.Base(names[rng.IntN(len(names))])
	text, err := os.ReadFile("../testdata/layouts/" + file)
	require.NoError(t, err)
	f, problems := layoutfile.Read(file, text)
	require.NotNil(t, f, "%v", problems)
	kinds := slices.DeleteFunc(slices.Clone(drill.Kinds), func(k string) bool {
		return k == drill.KindTrain || k == drill.KindSometimes
	})
	kind := kinds[rng.IntN(len(kinds))]
	d, err := drill.New(f.Layout, drill.Options{Fault: kind}, rng)
	if err != nil {
		return nil
	}
	kit, amps := drawnKit(rng), 0.3+2*rng.Float64()
	for i := range f.Layout.Supplies { // one that takes more is said to trip it
		if b := f.Layout.Supplies[i].Breaker; b > 0 {
			amps = min(amps, 0.8*b)
		}
	}
	e, err := trial.Lay(trial.Table{File: f.Layout, Kit: kit, Symptom: d.Symptom(), Meter: simulate.CheapMeter(),
		LampAmps: amps, Hidden: d.Hidden()}, rng)
	require.NoError(t, err)
	w, h := 80, 24
	if rng.IntN(2) == 0 {
		w, h = 40, 20
	}
	x := &hands{t: t, table: e, rng: rng, place: map[string]string{}}
	for _, h := range d.Hidden() {
		x.bad = append(x.bad, h.Suspect.Piece)
	}
	x.said("%s, kit %+v, lamp %.1f A, %dx%d, %s %q: %v", file, kit, amps, w, h, d.Symptom().Kind, d.Symptom().At,
		d.Reveal())
	o := Options{Layout: f.Layout, Kit: kit, KitKnown: true, OneKey: 1}
	o.defaults()
	x.a = newApp(o)
	x.names(e.Bench.Network())
	settle(x.a, x.a.Init())
	send(x.a, tea.WindowSizeMsg{Width: w, Height: h})
	x.symptom()
	return x
}

// drawnKit is what lies on a table: now and then a lamp that says what it takes.
func drawnKit(rng *rand.Rand) hunt.Kit {
	yes := func() bool { return rng.IntN(4) > 0 }
	k := hunt.Kit{Beeper: yes(), Ohms: yes(), Volts: yes(), Millivolts: yes(), Amps: rng.IntN(6) == 0, Lamp: yes(),
		Bisect: rng.IntN(5) == 0}
	if rng.IntN(3) == 0 {
		k.DCVolts, k.Battery = 12, yes()
	}
	if k.Lamp && rng.IntN(2) == 0 {
		k.LampWatts, k.LampVolts = []float64{5, 10, 21}[rng.IntN(3)], 12
	}
	if !k.Beeper && !k.Ohms && !k.Volts && !k.Millivolts {
		k.Beeper = true
	}
	return k
}

// names learns the words of every place.
func (x *hands) names(n *conductor.Network) {
	for i := range n.Points {
		name := n.Points[i].Name
		d := spot.Describe(n.Layout, spot.Parse(n.Layout, name))
		x.place[letters(d.What+d.Side+d.Where+d.Near)] = name
	}
}

// symptom says on the screen what the evening's people saw.
func (x *hands) symptom() {
	s := x.table.Symptom
	offers := hunt.Offers(x.table.File)
	k := slices.IndexFunc(offers, func(o hunt.Offer) bool { return o.Kind == s.Kind })
	require.GreaterOrEqual(x.t, k, 0)
	for x.a.at == scene.Caution {
		press(x.a, "enter")
	}
	press(x.a, fmt.Sprint((k+1)%10))
	switch names := offers[k].Names; {
	case offers[k].Where == "":
	case names != nil:
		press(x.a, fmt.Sprint(1+slices.Index(names, s.At)))
	default:
		press(x.a, s.At, "enter")
	}
	require.NotNil(x.t, x.a.sc.View.Symptom, x.a.View())
}

// evening plays to the end.
func (x *hands) evening() {
	for range 90 {
		v := &x.a.sc.View
		switch {
		case x.a.at == scene.Caution:
			press(x.a, "enter")
		case v.Step.Ask != nil && x.rng.IntN(10) == 0 && !x.table.Found:
			x.interlude()
		case v.Step.Ask != nil, v.Step.Done != nil && v.Step.Done.Prove != nil:
			x.asks++
			x.answer()
		case v.Step.Inspect != nil:
			x.look()
		}
		if d := x.a.sc.View.Step.Done; d != nil && (d.Prove == nil || !x.table.Found) {
			x.said("done: %s", d.Verdict)
			break
		}
	}
	d := x.a.sc.View.Step.Done
	told := strings.Join(x.log, "\n")
	require.NotNil(x.t, d, "no end: %s", told)
	require.True(x.t, x.table.Found, "not found: %s", told)
	require.False(x.t, d.Proven && len(x.bad) > 0, "proven, and %v is bad still: %s", x.bad, told)
	x.t.Log(told)
}

// interlude does a part of the steps, and then something else than what is asked.
func (x *hands) interlude() {
	steps := x.steps(x.leaves())
	x.does(steps[:x.rng.IntN(len(steps)+1)])
	switch k := x.rng.IntN(4); k {
	case 0:
		x.said("takes the last back")
		press(x.a, "u")
		if x.a.sc.View.Symptom == nil {
			x.symptom()
		}
	default:
		probe := []string{"", "r", "b", "c"}[k]
		x.said("cannot reach: %s", probe)
		press(x.a, "c")
		if frame := x.a.View(); strings.Contains(frame, "Can't reach: ") {
			press(x.a, probe)
		}
	}
}
