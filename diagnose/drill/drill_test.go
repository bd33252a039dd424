package drill_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/price"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

var allMeters = hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true}

func load(t testing.TB, name string) *track.Layout {
	t.Helper()
	src, err := os.ReadFile("../../testdata/layouts/" + name + ".hcl")
	require.NoError(t, err)
	f, probs := layoutfile.Read(name, src)
	require.NotNil(t, f, "%v", probs)
	return f.Layout
}

func begin(t testing.TB, layout, kind, difficulty string, seed uint64) *drill.Drill {
	t.Helper()
	d, err := drill.New(load(t, layout), drill.Options{Fault: kind, Difficulty: difficulty, Kit: allMeters},
		rand.New(rand.NewPCG(seed, 0)))
	require.NoError(t, err)
	return d
}

// do takes acts as typed; all must go in.
func do(t testing.TB, d *drill.Drill, lines ...string) (last drill.Entry) {
	t.Helper()
	for _, line := range lines {
		a, err := drill.Parse(line)
		require.NoError(t, err, line)
		last, err = d.Do(a)
		require.NoError(t, err, line)
	}
	return last
}

// culprit is the first hidden fault's place and words, as Reveal has them.
func culprit(d *drill.Drill) string {
	place, _, _ := strings.Cut(d.Reveal()[0], ":")
	return place
}

func TestEveryKindShowsItsSymptom(t *testing.T) {
	want := map[string]hunt.SymptomKind{drill.KindShort: hunt.SymptomShort, drill.KindDead: hunt.SymptomDead,
		drill.KindWeak: hunt.SymptomWeak, drill.KindTwo: hunt.SymptomShort, drill.KindTrain: hunt.SymptomShort}
	for kind, symptom := range want {
		for _, difficulty := range drill.Difficulties {
			for seed := range uint64(4) {
				d := begin(t, "dead-end", kind, difficulty, seed)
				require.Equal(t, symptom, d.Symptom().Kind, "%s %s", kind, difficulty)
				require.NotEmpty(t, d.Told())
				n := 1
				if kind == drill.KindTwo {
					n = 2
				}
				require.Len(t, d.Reveal(), n)
				require.Equal(t, n, d.Left())
			}
		}
	}
	_, err := drill.New(load(t, "loop"), drill.Options{Fault: drill.KindDead, Difficulty: drill.Easy, Kit: allMeters},
		rand.New(rand.NewPCG(1, 1)))
	require.ErrorContains(t, err, "a loop hides an open joint")
}

func TestSameClassNumberSameFault(t *testing.T) {
	hidden := func(layout string, number int) string {
		l := load(t, layout)
		n, err := conductor.Build(l)
		require.NoError(t, err)
		d, err := drill.New(l, drill.Options{Class: number, Kit: allMeters}, drill.ClassGenerator(n, number))
		require.NoError(t, err)
		truth := fmt.Sprint(d.Symptom(), d.Told(), d.Reveal())
		// the same meter too, to the last digit
		for _, line := range []string{"train off", "ohms T1", "ohms F1", "beep lead 3"} {
			a, err := drill.Parse(line)
			require.NoError(t, err)
			e, err := d.Do(a)
			require.NoError(t, err)
			truth += e.Shows + "|"
		}
		return truth
	}
	require.Equal(t, hidden("yard", 12), hidden("yard", 12))
	different := map[string]bool{}
	for number := range 8 {
		different[hidden("yard", number)] = true
	}
	require.Greater(t, len(different), 5)
}

// What happened on a layout since, in its file, draws no other fault for a class, and
// keeps no drill of it from being gone on with.
func TestClassNumberOutlivesHistory(t *testing.T) {
	l := load(t, "yard")
	later := *l
	later.Odds = []track.OddsFactor{{Piece: 2, Factor: 0.2, Why: "bench check passed"}}
	later.Counted = []track.Counted{{Part: track.PartJoint, Mode: track.Open, Times: 3, Why: "counted"}}
	for number := 1; number < 6; number++ {
		var was []string
		var saved []byte
		for _, l := range []*track.Layout{l, &later} {
			n, err := conductor.Build(l)
			require.NoError(t, err)
			d, err := drill.New(l, drill.Options{Class: number, Kit: allMeters}, drill.ClassGenerator(n, number))
			require.NoError(t, err)
			was = append(was, fmt.Sprint(d.Symptom(), d.Told(), d.Reveal()))
			if saved == nil {
				saved, err = d.Save([16]byte{1})
				require.NoError(t, err)
			}
		}
		require.Equal(t, was[0], was[1])
		_, err := drill.Resume(&later, saved)
		require.NoError(t, err)
	}
}

// The customer of a dead part names a piece where it begins: there are no volts there,
// and beside it there are, unless there are none anywhere.
func TestDeadIsToldWhereItBegins(t *testing.T) {
	told := 0
	for seed := range uint64(12) {
		d := begin(t, "dead-end", drill.KindDead, drill.Easy, seed)
		do(t, d, "train off")
		do(t, d, "supply on")
		l := d.Layout()
		volts := func(i int) bool {
			hot, common := drill.Across(d.Network(), i)
			if hot < 0 || common < 0 {
				return false
			}
			r, err := unit.Parse(do(t, d, "volts "+l.Pieces[i].ID()).Shows, unit.Volts)
			require.NoError(t, err)
			return r.Kind == unit.Value && r.Value > 5
		}
		at, anywhere := l.FindPiece(d.Symptom().At), false
		for i := range l.Pieces {
			anywhere = anywhere || volts(i)
		}
		require.False(t, volts(at))
		if !anywhere {
			continue
		}
		told++
		beside := false
		for _, e := range l.Pieces[at].Ends {
			if e.Joint >= 0 {
				j := &l.Joints[e.Joint]
				beside = beside || volts(j.A.Piece) || volts(j.B.Piece)
			}
		}
		require.True(t, beside, "seed %d: %s, %v", seed, d.Told(), d.Reveal())
	}
	require.Positive(t, told)
}

func TestActsCostTheirMinutesAndChangeTheTrack(t *testing.T) {
	d := begin(t, "dead-end", drill.KindShort, drill.Easy, 3)
	costs := price.Of(d.Network())
	e := do(t, d, "beep T1")
	require.Equal(t, "beep", e.Shows)
	require.InDelta(t, 0.7, e.Minutes, 1e-9)
	do(t, d, "train off")
	require.Equal(t, "beep", do(t, d, "beep T1").Shows, "the track is shorted, not the train")
	e = do(t, d, "pull F1")
	require.InDelta(t, 1, e.Minutes, 1e-9)
	require.Equal(t, "silent", do(t, d, "beep T1").Shows, "the feeder is off the supply")
	do(t, d, "plug F1")
	e = do(t, d, "lift main 1/2")
	require.InDelta(t, costs.Lift(d.Layout().FindJoint("main 1/2")), e.Minutes, 1e-9)
	a, b := do(t, d, "beep main 1/2").Shows, do(t, d, "beep main 2/1").Shows
	require.NotEqual(t, a, b, "one short: it is on one side of the cut")
	require.Zero(t, do(t, d, "seat main 2/1").Minutes)
	sum := 0.0
	for _, e := range d.Log() {
		sum += e.Minutes
	}
	require.InDelta(t, sum, d.Clock(), 1e-9)
	c := d.Count()
	require.Equal(t, 5, c.Readings)
	require.Equal(t, 1, c.Lifts)
	require.Equal(t, 1, c.TrainOn)
}

func TestLampAndMillivolts(t *testing.T) {
	d := begin(t, "dead-end", drill.KindShort, drill.Easy, 3)
	do(t, d, "train off")
	e := do(t, d, "supply lamp")
	require.Contains(t, e.Says, "bright")
	require.Contains(t, e.Caution, "hot")
	require.Regexp(t, `^\d+\.\d mV$|^OL$`, do(t, d, "mv F1 hot to main 2 center").Shows)
	first := do(t, d, "mv F1 hot to main 3 center").Shows
	changed := false
	for range 12 {
		changed = do(t, d, "mv F1 hot to main 3 center").Shows != first || changed
	}
	require.True(t, changed, "the last digits of a meter wander")
	require.Equal(t, 12, d.Count().Repeats)
	require.Equal(t, 14, d.Count().ByMeter["millivolts"])
}

// The leads touched together show themselves, and nothing of the track.
func TestLeadsTogether(t *testing.T) {
	d := begin(t, "dead-end", drill.KindShort, drill.Easy, 3)
	e := do(t, d, "ohms leads")
	require.Regexp(t, `^0\.\d$`, e.Shows)
	require.InDelta(t, 0.3, e.Minutes, 1e-9)
	require.Equal(t, "beep", do(t, d, "beep leads").Shows)
	require.Regexp(t, `^0\.\d$`, do(t, d, "ohms T1 hot to T1 hot").Shows)
	do(t, d, "train off", "supply lamp")
	require.Contains(t, do(t, d, "mv F1 hot to main 3 center").Shows, "mV")
}

func TestUnsafeActsAreStopped(t *testing.T) {
	d := begin(t, "dead-end", drill.KindShort, drill.Easy, 3)
	require.Contains(t, do(t, d, "supply on").Stopped, "bare supply")
	require.Contains(t, do(t, d, "run").Stopped, "bare supply")
	require.Empty(t, do(t, d, "supply lamp").Stopped)
}

func TestUnsafeWhileLive(t *testing.T) {
	d := begin(t, "dead-end", drill.KindShort, drill.Easy, 3)
	do(t, d, "supply lamp")
	before := d.Clock()
	for _, line := range []string{"beep main 3", "ohms main 3"} {
		require.Contains(t, do(t, d, line).Stopped, "live", line)
	}
	for _, line := range []string{"lift main 3/4", "pull F1", "look main 3", "accuse main 3", "train off",
		"load main 4"} {
		require.Contains(t, do(t, d, line).Stopped, "switch it off", line)
	}
	require.InDelta(t, before, d.Clock(), 1e-12, "what was stopped costs nothing")
	require.Equal(t, 8, d.Count().Stops)
	require.Empty(t, d.State().Setup.Lifted)
	do(t, d, "supply off")
	require.Empty(t, do(t, d, "lift main 3/4").Stopped)
}

func TestAmpsAcrossTheTrackAreStopped(t *testing.T) {
	kit := allMeters
	kit.Amps = true
	d, err := drill.New(load(t, "dead-end"), drill.Options{Fault: drill.KindShort, Kit: kit},
		rand.New(rand.NewPCG(3, 0)))
	require.NoError(t, err)
	do(t, d, "supply lamp")
	require.Contains(t, do(t, d, "amps main 3").Stopped, "short itself")
	require.Regexp(t, `A$`, do(t, d, "amps").Shows)
}

// Being stopped tells nothing: it is the same wherever the fault is.
func TestStopsDoNotDependOnTheTruth(t *testing.T) {
	want := ""
	for seed := range uint64(12) {
		d := begin(t, "dead-end", drill.KindShort, drill.Usual, seed)
		got := ""
		for _, line := range []string{"supply on", "lift main 10/11", "supply on", "lift main 3/4", "supply on", "run",
			"supply lamp", "ohms main 5", "lift main 7/8"} {
			got += do(t, d, line).Stopped + "|"
		}
		if want == "" {
			want = got
		}
		require.Equal(t, want, got)
	}
}

func TestLookAndAccuse(t *testing.T) {
	d := begin(t, "dead-end", drill.KindShort, drill.Easy, 5)
	bad := strings.Join(strings.Fields(culprit(d))[:2], " ")
	other := "main 1"
	if bad == other {
		other = "main 9"
	}
	require.Contains(t, do(t, d, "look "+other).Says, "nothing wrong")
	require.Contains(t, do(t, d, "accuse "+other).Says, "nothing wrong")
	require.Contains(t, do(t, d, "look "+bad).Says, "there it is")
	e := do(t, d, "accuse "+bad)
	require.Equal(t, bad, e.Found)
	require.Zero(t, e.Minutes, "it was seen already")
	over, gaveUp := d.Over()
	require.True(t, over)
	require.False(t, gaveUp)
	require.Equal(t, 1, d.Count().Wrong)
	_, err := d.Do(drill.Act{Do: drill.DoRead, Meter: "beeper", Red: "T1"})
	require.ErrorContains(t, err, "over")
}

func TestTwoFaultsNeedTwoRepairs(t *testing.T) {
	d := begin(t, "dead-end", drill.KindTwo, drill.Easy, 2)
	for i, hidden := range d.Reveal() {
		place, _, _ := strings.Cut(hidden, ":")
		e := do(t, d, "accuse "+strings.Join(strings.Fields(place)[:2], " "))
		require.NotEmpty(t, e.Found, hidden)
		over, _ := d.Over()
		require.Equal(t, i == 1, over)
		if i == 0 {
			require.Contains(t, e.Says, "still not right")
			require.Equal(t, "beep", do(t, d, "train off", "beep T1").Shows)
		}
	}
}

func TestABadTrain(t *testing.T) {
	d := begin(t, "loop", drill.KindTrain, drill.Easy, 2)
	require.Equal(t, "beep", do(t, d, "beep T1").Shows)
	require.Equal(t, "silent", do(t, d, "train off", "beep T1").Shows)
	require.Equal(t, "off the track", do(t, d, "accuse train").Found)
}

func TestWrongWordsChangeNothing(t *testing.T) {
	d := begin(t, "dead-end", drill.KindShort, drill.Easy, 3)
	for line, want := range map[string]string{"beep main 99": "no place", "mv F1 hot to main 3 middle": "no rail",
		"lift main 3": "no joint", "seat main 3/4": "not lifted",
		"pull F9": "no feeder", "throw main 3 through": "write a turnout", "supply up": "off, on or lamp",
		"load off": "nothing lies", "train on main 99": "no piece",
		"look shed": "no piece", "mv F1 hot to F1 hot": "two points", "mv leads": "two points"} {
		a, err := drill.Parse(line)
		require.NoError(t, err, line)
		_, err = d.Do(a)
		require.ErrorContains(t, err, want, line)
	}
	require.Empty(t, d.Log())
	for _, line := range []string{"", "dance", "lift", "read", "read shed", "train", "train sideways", "load", "beep"} {
		_, err := drill.Parse(line)
		require.Error(t, err, line)
	}
}

// Other words for an act are taken, one misspelt is named, and several joints are
// opened in one line.
func TestForgivingWords(t *testing.T) {
	for line, want := range map[string]string{"trains off": "train off", "take the trains off": "train off",
		"take trains off": "train off", "open main 3/4": "lift main 3/4",
		"unplug F1": "pull F1", "switch on": "supply on", "power lamp": "supply lamp",
		"look under main 3": "look main 3", "inspect main 3": "look main 3", "measure ohms main 3": "ohms main 3"} {
		a, err := drill.Parse(line)
		require.NoError(t, err, line)
		require.Equal(t, want, a.String(), line)
	}
	_, err := drill.Parse("acuse main 3")
	require.ErrorContains(t, err, "did you mean accuse main 3?")
	_, err = drill.Parse("dance")
	require.ErrorContains(t, err, "help lists what can")
	for _, line := range []string{"lift main 3/4 main 7/8", "lift main 3/4, main 7/8", "lift main 3/4 and main 7/8",
		"open main 3/4, and main 7/8"} {
		acts, err := drill.ParseAll(line)
		require.NoError(t, err, line)
		require.Len(t, acts, 2, line)
		require.Equal(t, []string{"main 3/4", "main 7/8"}, []string{acts[0].At, acts[1].At}, line)
	}
	acts, err := drill.ParseAll("lift siding 8/main 13")
	require.NoError(t, err)
	require.Equal(t, []drill.Act{{Do: drill.DoLift, At: "siding 8/main 13"}}, acts, "a joint of two runs is one")
}

// What was typed comes back from the act, and means the same again.
func TestActsReadBack(t *testing.T) {
	for _, line := range []string{"beeper main 7", "millivolts F1 hot to main 9 center", "lift main 7/8",
		"seat main 7/8", "pull F1", "plug F1", "throw W1 diverging",
		"supply lamp", "load main 12", "load off", "supply on T2", "jumper main 14 left to main 14 right",
		"jumper main 14", "load main 2 center to main 2 left", "train off", "train on main 3", "run", "look main 7",
		"accuse off the track", "give up", "amps"} {
		a, err := drill.Parse(line)
		require.NoError(t, err, line)
		require.Equal(t, line, a.String())
	}
}

func TestAccessoriesAndToggles(t *testing.T) {
	src := `name = "invented"
units = "in"
construction = "metal-tie"
run "main" { pieces = ["8 x straight 10"] }
supply "T1" {
  current = "ac"
  volts = 18
  breaker = 10
}
toggle "S1" {
  supply = "T1"
  switches = "hot"
  usually = "on"
}
feeder "F1" {
  at = "main 1"
  supply = "T1"
  wire = "16 AWG"
  length = "3 ft"
}
feeder "F2" {
  at = "main 6"
  toggle = "S1"
  wire = "16 AWG"
  length = "3 ft"
}
insulated "main 4/5" { rails = ["center"] }
accessory "platform lamps" {
  kind = "lamp"
  volts = 18
  amps = 0.8
  at = "main 2"
}
`
	f, probs := layoutfile.Read("invented", []byte(src))
	require.NotNil(t, f, "%v", probs)
	d, err := drill.New(f.Layout, drill.Options{Fault: drill.KindDead, Difficulty: drill.Easy, Kit: allMeters},
		rand.New(rand.NewPCG(8, 8)))
	require.NoError(t, err)
	do(t, d, "train off")
	require.Contains(t, do(t, d, "supply lamp").Says, "glows dim", "the platform lamps take what there is")
	do(t, d, "supply off", "pull platform lamps")
	require.Contains(t, do(t, d, "supply lamp").Says, "dark")
	do(t, d, "supply off", "throw S1 off")
	require.Equal(t, "silent", do(t, d, "beep T1 hot to F2 hot").Shows)
	do(t, d, "throw S1 on", "plug platform lamps")
	require.Empty(t, d.State().Setup.Off)
	require.Empty(t, d.State().Setup.Unplugged)
}

// An accessory that an insulated rail works: on all the time with a gap bridged,
// dead with its tap open, and right again after the repair.
func TestAccessoriesOnInsulatedRails(t *testing.T) {
	l := load(t, "rail-separate")
	for _, c := range []struct {
		hide drill.Hide
		kind hunt.SymptomKind
		runs string
	}{{drill.Hide{Mode: track.Bridged, Part: "gap"}, hunt.SymptomAccessoryOn, "gate is on all the time"},
		{drill.Hide{Mode: track.Open, Part: "tap"}, hunt.SymptomAccessoryDead, "gate does nothing"}} {
		d, err := drill.New(l, drill.Options{Difficulty: drill.Easy, Kit: allMeters, Hide: []drill.Hide{c.hide},
			Symptom: c.kind}, rand.New(rand.NewPCG(2, 2)))
		require.NoError(t, err)
		require.Equal(t, hunt.Symptom{Kind: c.kind, At: "gate"}, d.Symptom())
		require.Contains(t, d.Told(), "gate")
		require.Contains(t, do(t, d, "train off", "run").Says, c.runs)
		require.Contains(t, do(t, d, "jumper main 16 left to main 16 right").Says, "clip lead")
		require.Contains(t, do(t, d, "supply on T2").Says, "full volts")
		on := do(t, d, "volts gate hot to gate common").Shows
		if c.kind == hunt.SymptomAccessoryOn {
			require.Regexp(t, `^1\d\.\d V$`, on)
		} else {
			require.Regexp(t, `^0\.\d V$`, on)
		}
		do(t, d, "supply off", "jumper off")
		place, _, _ := strings.Cut(d.Reveal()[0], " ")
		if c.hide.Part == "gap" {
			place = strings.Join(strings.Fields(culprit(d))[:2], " ")
		}
		require.NotEmpty(t, do(t, d, "accuse "+place).Found)
		over, _ := d.Over()
		require.True(t, over)
	}
}
