package main

import (
	"bytes"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/debrief"
	"fishplate/diagnose/drill/lesson"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/outside"
	"fishplate/layoutfile/course"
)

// One target for each reader of what comes from outside: whatever comes in, it
// answers, and what it takes is within bounds.

// FuzzRecord is a saved hunt.
func FuzzRecord(f *testing.F) {
	f.Add([]byte(`{"fishplate_record":1,"began":"2026-05-01T10:00:00Z","hunt":{"fishplate_hunt":1,` +
		`"kit":{"LampAmps":1},"journal":[]},"outcome":{"events":0,"minutes":3,"track":{"rail":0.1,"rail_sd":0.2,` +
		`"joint":0,"joint_sd":0.3}},"notes":[{"text":"a"}]}`))
	f.Add([]byte(`{"fishplate_hunt":1,"layout":"x","journal":[{"event":{"reading":"OL"}}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := readRecord(data)
		if err != nil {
			return
		}
		require.Less(t, math.Abs(r.Outcome.Track.Rail), 10.0)
		_, found := outside.Find(r.Name + r.Outcome.Piece + r.Repair)
		require.False(t, found)
		r.kit()
		r.events()
	})
}

// FuzzJournal takes a hunt up on a layout of three pieces.
func FuzzJournal(f *testing.F) {
	src, err := newWorld(nil, nil, nil).load(filepath.Join("..", "..", "testdata", "layouts", "dead-end.hcl"))
	require.NoError(f, err)
	f.Add([]byte(`{"fishplate_hunt":1,"kit":{"Beeper":true},"journal":[{"event":{"start":{"symptom":"short"}}}]}`))
	f.Add([]byte(`{"fishplate_hunt":1,"kit":{},"journal":[{"event":{"undo":1}},{"event":{"change":{"n":1,` +
		`"reading":""}}}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		if h, err := hunt.Resume(src.layout, hunt.Kit{}, data); err == nil {
			require.NotNil(t, h)
		}
	})
}

// FuzzMeter is a file with the figures of one's own meter.
func FuzzMeter(f *testing.F) {
	f.Add([]byte(`{"Millivolts": {"Step": 0.0001, "Percent": 0.5, "Digits": 3, "Over": [0.4, 0.4]}, "Beeper": [30, ` +
		`30], "LeadOhms": 0.2, "LeadSD": 0.05}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := meterFrom(data)
		if err != nil {
			return
		}
		for _, r := range []float64{0, 1e-4, 1, 1e6} {
			for _, x := range []float64{m.Ohms.SD(r, 0), m.Volts.Flat(r, 0), m.BeepOdds(r), m.Millivolts.OverOdds(r)} {
				require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%s", data)
			}
		}
	})
}

// FuzzSettings is the file of settings.
func FuzzSettings(f *testing.F) {
	var all strings.Builder
	for _, s := range settings() {
		f.Add([]byte(s.key + " = " + s.example + "\n"))
		all.WriteString(s.key + " = " + s.example + "\n")
	}
	f.Add([]byte(all.String()))
	f.Fuzz(func(t *testing.T, text []byte) {
		c := &config{path: "c.hcl", value: map[string]string{}, written: map[string]string{}, line: map[string]int{}}
		c.parse(text)
		c.kit(newKit())
	})
}

// FuzzDrillRecords is the file of drills on record, and what is made of it.
func FuzzDrillRecords(f *testing.F) {
	f.Add([]byte(`{"fishplate_drill_records":1,"records":[{"date":"2026-05-01","name":"a","layout":"x",` +
		`"symptom":"short","minutes":3,"program_minutes":2,"habits":["x"]}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := debrief.Read(data)
		if err != nil || len(list) > 50 {
			return
		}
		for _, text := range append(debrief.Progress(list), debrief.Markdown(list), debrief.HTML(list)) {
			require.Equal(t, text, outside.Show(text, outside.Marked))
		}
	})
}

// FuzzLesson is a lesson.
func FuzzLesson(f *testing.F) {
	names, err := lesson.Names(lesson.Own())
	require.NoError(f, err)
	for _, name := range names {
		src, err := lesson.Files.ReadFile("files/" + name)
		require.NoError(f, err)
		f.Add(src)
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		if l, err := lesson.Read("x.lesson.hcl", src); err == nil {
			require.NotEmpty(t, l.Checks)
			require.False(t, math.IsNaN(l.Slips))
		}
	})
}

// FuzzWalk is a walk that was kept.
func FuzzWalk(f *testing.F) {
	f.Add([]byte(`{"version":1,"base":"","next":2,` +
		`"state":{"Name":"x","Runs":[{"Name":"main","Pieces":[{"ID":1,"Text":"straight 10"}]}]}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		if c, err := course.Resume(data); err == nil {
			require.NotNil(t, c)
		}
	})
}

// FuzzDoor is a line into the JSON door: exactly one object comes back.
func FuzzDoor(f *testing.F) {
	for _, line := range jsonKeys {
		f.Add(line)
	}
	f.Add(`{"symptom":"dead","at":"main 12","sometimes":true}`)
	f.Add(`{"a":{"a":1},"a":2}`)
	src, err := newWorld(nil, nil, nil).load(filepath.Join("..", "..", "testdata", "layouts", "dead-end.hcl"))
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, line string) {
		if strings.ContainsAny(line, "\n") || strings.Contains(strings.ToLower(line), "symptom") {
			return // a symptom begins to reckon
		}
		var out bytes.Buffer
		s := &jsonSession{src: src, hunt: hunt.New(src.layout, hunt.Kit{Beeper: true}), out: &out}
		_, err := s.line(line)
		require.NoError(t, err)
		require.Equal(t, 1, strings.Count(out.String(), "\n"), "%q: %s", line, out.String())
	})
}

// FuzzDrill is a drill that was saved: what is sealed cannot be forged, so beside the
// bytes as they come a real drill is taken up with other acts, symptom and options.
func FuzzDrill(f *testing.F) {
	src, err := newWorld(nil, nil, nil).load(filepath.Join("..", "..", "testdata", "layouts", "dead-end.hcl"))
	require.NoError(f, err)
	d, err := drill.New(src.layout, drill.Options{Kit: hunt.Kit{Beeper: true}, Fault: "short"},
		rand.New(rand.NewPCG(1, 2)))
	require.NoError(f, err)
	real, err := d.Save([16]byte{1})
	require.NoError(f, err)
	require.Contains(f, string(real), `"acts": []`)
	_, err = drill.Resume(src.layout, real)
	require.NoError(f, err)
	f.Add(real, []byte(`[]`))
	f.Add([]byte(`{"fishplate_drill":1}`),
		[]byte(`[{"do":"train","to":"off"},{"do":"read","meter":"beeper","red":"T1 hot","black":"T1 common"}]`))
	f.Fuzz(func(t *testing.T, data, acts []byte) {
		for _, saved := range [][]byte{data,
			bytes.Replace(real, []byte(`"acts": []`), append([]byte(`"acts": `), acts...), 1)} {
			if got, err := drill.Resume(src.layout, saved); err == nil {
				require.False(t, math.IsNaN(got.Clock()) || got.Clock() < 0)
				_, err = got.Save([16]byte{2})
				require.NoError(t, err)
			}
			if o, err := drill.SavedOptions(saved); err == nil {
				require.NotPanics(t, func() { _ = o.Kit.Check() })
			}
		}
	})
}
