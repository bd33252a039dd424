package handout

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

func demo(t *testing.T) *track.Layout {
	t.Helper()
	f, problems := layoutfile.Read(layoutfile.Demo())
	require.NotNil(t, f, "%v", problems)
	return f.Layout
}

func hidden(t *testing.T, l *track.Layout, o drill.Options, seed uint64) *drill.Drill {
	t.Helper()
	o.Difficulty = drill.Easy
	o.Kit = hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true}
	d, err := drill.New(l, o, rand.New(rand.NewPCG(seed, 1)))
	require.NoError(t, err)
	return d
}

// value is a reading of the table in volts.
func value(t *testing.T, shown string) float64 {
	t.Helper()
	n, unit, _ := strings.Cut(shown, " ")
	v, err := strconv.ParseFloat(n, 64)
	require.NoError(t, err, shown)
	if unit == "mV" {
		v /= 1000
	}
	return v
}

// A teacher who reads the table aloud leads to the fault: behind a short no stretch
// of the hot rail shows more than at it, and a dead place shows no volts where the
// customer has it and is silent there.
func TestTableLeadsToTheFault(t *testing.T) {
	l := demo(t)
	for seed := range uint64(12) {
		d := hidden(t, l, drill.Options{Fault: drill.KindShort}, seed)
		tab, err := read(d)
		require.NoError(t, err)
		require.Len(t, tab.rows, len(l.Pieces))
		f := d.Hidden()[0]
		if f.Suspect.PieceIndex < 0 {
			continue
		}
		at, most := value(t, tab.rows[f.Suspect.PieceIndex][2]), 0.0
		for _, r := range tab.rows {
			most = max(most, value(t, r[2]))
		}
		// the meter's own error, and half a piece
		require.Greater(t, at, 0.9*most-0.002, "%s %+v", f.Suspect.ID, tab.rows)
	}
	for seed := range uint64(12) {
		d := hidden(t, l, drill.Options{Fault: drill.KindDead}, seed)
		tab, err := read(d)
		require.NoError(t, err)
		told := l.FindPiece(d.Symptom().At)
		require.GreaterOrEqual(t, told, 0)
		r := tab.rows[told]
		require.Less(t, value(t, r[1]), 3.0, "%v", r)
		require.Contains(t, r[2:], "silent", "%v", r)
	}
}

// The pupils' sheet tells nothing but the customer's words: two faults with the same
// words make the same sheet.
func TestPupilsSheetKeepsTheSecret(t *testing.T) {
	l := demo(t)
	var sheets []string
	for seed := range uint64(4) {
		s, err := Make(hidden(t, l, drill.Options{Fault: drill.KindShort, Told: "It trips."}, seed),
			Facts{Number: 3, Again: "fishplate drill demo --class 3", Map: "(map)"})
		require.NoError(t, err)
		html, err := s.Pupil.HTML()
		require.NoError(t, err)
		sheets = append(sheets, html)
		key, err := s.Teacher.HTML()
		require.NoError(t, err)
		require.Contains(t, key, "Keep this from the pupils")
		require.Contains(t, strings.Join(s.Teacher.Text(), "\n"), "Everything unplugged while it is made")
	}
	require.Equal(t, sheets[0], sheets[1])
	require.Equal(t, sheets[0], sheets[2])
	require.Equal(t, sheets[0], sheets[3])
}

// Where one table would not do, it is said.
func TestRefused(t *testing.T) {
	_, err := Make(hidden(t, demo(t), drill.Options{Fault: drill.KindSometimes}, 1), Facts{Number: 1})
	require.ErrorContains(t, err, "comes and goes")
	_, err = Make(hidden(t, demo(t), drill.Options{Fault: drill.KindTrain}, 1), Facts{Number: 1})
	require.ErrorContains(t, err, "trains")
}

// TestFirstLessonHoldsItsFigures: what a lamp of 21 W on 12 V is left with behind 2 ohm, by a
// filament's law of its own here (current as volts to the 0.55; from memory), is what the
// class is told.
func TestFirstLessonHoldsItsFigures(t *testing.T) {
	low, high := 0.0, 12.0
	for range 60 {
		v := (low + high) / 2
		if v+2*21/12.0*math.Pow(v/12, 0.55) < 12 {
			low = v
		} else {
			high = v
		}
	}
	said := strings.Join(firstLesson().List, " ")
	assert.Contains(t, said, "2 ohm")
	assert.Contains(t, said, "some 9 V are left")
	assert.InDelta(t, 9, low, 0.3)
}
