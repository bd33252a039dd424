package sitting_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
)

// learnerLines are things that a learner may type, mistakes and questions to the
// coach included.
var learnerLines = []string{"beep T1", "beep main 3", "beep main 12", "beep main 17", "beep F1 hot to main 9 center",
	"lift main 10/11", "lift main 6/7", "lift main 14/15", "seat main 10/11",
	"seat main 6/7", "pull F1", "plug F1", "supply on", "supply lamp", "supply off", "train off", "train on main 5",
	"look main 2", "look main 20", "accuse main 1", "accuse F1", "run",
	"best", "status", "log", "goal", "coach hint", "coach explain", "beep main 99", "lift main 3", "dance",
	"accuse off the track", "load main 4", "load off"}

// seatAt sits down before a bridge in one piece of a dead end, with a beeper, so
// that many acts show the same wherever the bridge is.
func seatAt(t testing.TB, piece int) *sitting.Sitting {
	t.Helper()
	layout := sit(t, "dead-end", coach.Silent).Drill.Layout()
	o := drill.Options{Difficulty: drill.Easy, Kit: hunt.Kit{Beeper: true, Lamp: true}, Told: "It trips.",
		Hide: []drill.Hide{{Mode: track.Bridged, Part: "piece", Run: "main", From: piece, To: piece}}}
	d, err := drill.New(layout, o, rand.New(rand.NewPCG(uint64(piece), 1)))
	require.NoError(t, err)
	return sitting.New(d, coach.Explain, nil, [16]byte{7})
}

// shown is all that a learner has of a log: what the entries show, say and cost.
func shown(t testing.TB, log []drill.Entry) string {
	t.Helper()
	data, err := json.Marshal(log)
	require.NoError(t, err)
	return string(data)
}

// open is a save file without what is sealed; how long that is stays.
func open(t testing.TB, s *sitting.Sitting) string {
	t.Helper()
	data, err := s.Save()
	require.NoError(t, err)
	var m map[string]any
	require.NoError(t, json.Unmarshal(data, &m))
	sealed, _ := m["sealed"].(string)
	m["sealed"] = len(sealed)
	return fmt.Sprint(m)
}

// Whatever is typed: as long as two drills have shown the same, they say the same.
// What the coach says, errors, what is stopped, minutes, the state, the log and
// the save file depend on the hidden fault through what was shown and no other way.
func TestNothingButTheShownDependsOnTheTruth(t *testing.T) {
	rng := rand.New(rand.NewPCG(20, 26))
	compared := 0
	for range 3 {
		pieces := []int{3, 8, 13, 18}
		sits := make([]*sitting.Sitting, len(pieces))
		for i, p := range pieces {
			sits[i] = seatAt(t, p)
		}
		for range 26 {
			line := learnerLines[rng.IntN(len(learnerLines))]
			before := make([]string, len(sits))
			said := make([]string, len(sits))
			for i, s := range sits {
				before[i] = shown(t, s.Drill.Log())
				out, changed := s.Type(line)
				said[i] = fmt.Sprint(text(out), changed)
			}
			for i := range sits {
				for k := range i {
					after := shown(t, sits[i].Drill.Log())
					if before[i] != before[k] || after != shown(t, sits[k].Drill.Log()) {
						continue
					}
					compared++
					require.Equal(t, said[k], said[i], "%s, hidden in main %d and main %d", line, pieces[k], pieces[i])
					require.Equal(t, sits[k].Status(), sits[i].Status())
					require.Equal(t, open(t, sits[k]), open(t, sits[i]))
					require.Equal(t, sits[k].Coach.Advice(), sits[i].Coach.Advice())
				}
			}
		}
	}
	t.Logf("%d pairs compared", compared)
	require.Greater(t, compared, 100)
}

// What is sealed is as long for every kind of fault.
func TestTheSealIsAlwaysAsLong(t *testing.T) {
	length := map[int]bool{}
	for _, k := range []struct {
		layout, kind string
	}{{"dead-end", drill.KindShort}, {"dead-end", drill.KindTwo}, {"dead-end", drill.KindTrain},
		{"dead-end", drill.KindSometimes},
		{"rail-separate", drill.KindAccessory}, {"rail-tied", drill.KindShortTrain}, {"two-supplies", drill.KindPhase},
		{"yard", drill.KindWeak}} {
		layout := sit(t, k.layout, coach.Silent).Drill.Layout()
		d, err := drill.New(layout, drill.Options{Fault: k.kind, Difficulty: drill.Hard, Kit: hunt.Kit{Beeper: true}},
			rand.New(rand.NewPCG(5, 5)))
		require.NoError(t, err, "%s", k.kind)
		data, err := d.Save([16]byte{3})
		require.NoError(t, err)
		var m struct{ Sealed []byte }
		require.NoError(t, json.Unmarshal(data, &m))
		length[len(m.Sealed)] = true
	}
	require.Len(t, length, 1)
}
