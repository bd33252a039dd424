package quiz

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// seat sits a class down before a bridge in one piece of an invented dead end.
func seat(t *testing.T, piece int) *Quiz {
	t.Helper()
	f, problems := layoutfile.Read("class", []byte(invent.Line("metal-tie", 20)))
	require.NotNil(t, f, "%v", problems)
	o := drill.Options{Difficulty: drill.Easy, Told: "It trips.",
		Kit:  hunt.Kit{Beeper: true, Volts: true, Millivolts: true, Lamp: true},
		Hide: []drill.Hide{{Mode: track.Bridged, Part: "piece", Run: "main", From: piece, To: piece}}}
	d, err := drill.New(f.Layout, o, rand.New(rand.NewPCG(5, 6)))
	require.NoError(t, err)
	return New(sitting.New(d, coach.Explain, nil, [16]byte{1}))
}

// TestMuteCall: a call that can tell nothing, whatever the meter shows, says why.
func TestMuteCall(t *testing.T) {
	q := seat(t, 9)
	require.NoError(t, q.Type("mv T1 hot to main 10 center")) // the supply is off
	require.NoError(t, q.Type("beep main 3"))                 // under the train
	require.NoError(t, q.Type("train off"))
	calls := q.Calls()
	require.Len(t, calls, 2)
	assert.Contains(t, calls[0].Worth(), "tells nothing: no current flows")
	assert.Zero(t, calls[0].Bits)
	assert.Contains(t, calls[1].Worth(), "leaves ", "the train is off now")
}

// TestBestCallWins: each call is weighed, the one that is worth most a minute is done, takes
// the minutes that were said, and gives its side a point; accusing the bad piece ends it.
func TestBestCallWins(t *testing.T) {
	q := seat(t, 9)
	require.NoError(t, q.Type("train off"))
	require.NotEmpty(t, q.Shown())
	require.NoError(t, q.Type("supply lamp"))
	assert.Empty(t, q.Calls())
	assert.Equal(t, -1, q.Winner())
	require.NoError(t, q.Type("red: volts T1"))
	require.NoError(t, q.Type("blue: mv T1 hot to main 10 center"))
	require.ErrorContains(t, q.Type("red: volts T1"), "red has called already")
	require.ErrorContains(t, q.Type("dance"), "help lists")
	require.ErrorContains(t, q.Type("beep main 3"), "stopped: ")
	calls := q.Calls()
	require.Len(t, calls, 2)
	require.Positive(t, calls[1].Bits)
	require.Equal(t, 1, q.Winner(), "%+v", calls)
	best := q.Best()
	assert.GreaterOrEqual(t, best.Rate()*1.001, calls[1].Rate(), "%+v", best)
	assert.Less(t, Share(&calls[0], &best), Share(&calls[1], &best))
	before := q.s.Drill.Clock()
	q.Do()
	assert.InDelta(t, before+calls[1].Minutes, q.s.Drill.Clock(), 1e-9)
	assert.Equal(t, "blue 1", q.Points())
	assert.Empty(t, q.Calls())
	require.NoError(t, q.Type("supply off"))
	require.NoError(t, q.Type("blue: volts main 5"))
	require.Zero(t, q.Calls()[0].Bits, "no current, no volts")
	q.Do()
	assert.Equal(t, "blue 1", q.Points(), "what tells nothing wins nothing")
	require.NoError(t, q.Type("black: "+q.Example()), "the example can be typed")
	q.Drop()
	require.NoError(t, q.Type("green: accuse main 9"))
	q.Do()
	require.True(t, q.Over())
	assert.Contains(t, fmt.Sprint(q.End()), "The program: ")
	assert.Contains(t, fmt.Sprint(q.End()), "blue 1, green 1")
}

// TestWorthTellsNothing: what calls and the best are worth is the same wherever the fault
// is, as long as the same was shown.
func TestWorthTellsNothing(t *testing.T) {
	var was string
	for _, piece := range []int{3, 9, 17} {
		q := seat(t, piece)
		for _, l := range []string{"train off", "beep main 3", "look main 9", "volts main 5", "lift main 4/5",
			"mv T1 hot to main 9 center"} {
			_ = q.Type(l) // some of them cannot be done
		}
		now := fmt.Sprintf("%+v %+v", q.Calls(), q.Best())
		if was != "" {
			require.Equal(t, was, now, "hidden in main %d", piece)
		}
		was = now
	}
}

// TestCallsAreBounded: more calls than a screen holds are refused, and the last can be taken back.
func TestCallsAreBounded(t *testing.T) {
	q := seat(t, 9)
	for i := range Most {
		require.NoError(t, q.Type(fmt.Sprintf("look main %d", i+1)))
	}
	require.ErrorContains(t, q.Type("look main 9"), "calls are enough")
	q.Drop()
	require.NoError(t, q.Type("look main 9"))
}

// TestQuizGoesOn: one that was left in the middle has its acts, its points, and its calls
// with what they are worth; what is damaged is refused.
func TestQuizGoesOn(t *testing.T) {
	q := seat(t, 9)
	require.False(t, q.Begun())
	for _, line := range []string{"train off", "supply lamp", "red: mv T1 hot to main 10 center"} {
		require.NoError(t, q.Type(line))
	}
	q.Do()
	require.NoError(t, q.Type("blue: volts main 5"))
	require.NoError(t, q.Type("red: mv T1 hot to main 12 center"))
	data, err := q.Save()
	require.NoError(t, err)
	l := q.s.Drill.Layout()
	again, err := Resume(l, data, [16]byte{2})
	require.NoError(t, err)
	assert.True(t, again.Begun())
	assert.Equal(t, q.Calls(), again.Calls())
	assert.Equal(t, "red 1", again.Points())
	assert.Equal(t, q.Stands(), again.Stands())
	assert.InDelta(t, q.s.Drill.Clock(), again.s.Drill.Clock(), 1e-9)
	assert.Equal(t, q.Best(), again.Best())
	for _, bad := range []string{"", "{}", "[]", string(data[:len(data)/2]),
		strings.Replace(string(data), "main 12 center", "main 99 center", 1)} {
		_, err := Resume(l, []byte(bad), [16]byte{2})
		assert.Error(t, err, bad)
	}
}
