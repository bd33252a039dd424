package rig

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
)

// Script is a hunt that only halves the first run, whatever the symptom: it
// thinks nothing, so that the screens can be tested without the real one.
type Script struct {
	L      *track.Layout
	Kit    hunt.Kit
	Events []hunt.Event
	taken  []hunt.Event // undone, the oldest first
	// Slow, when set, is called by View: tests use it to hold a view back.
	Slow func()
}

// state is what the events so far amount to.
type state struct {
	symptom  *hunt.Symptom
	lo, hi   int
	n        int
	evidence []hunt.Evidence
	bad      map[string]bool // looked at and good
	found    string
	proven   bool
}

// Apply takes an event like the real hunt: an error leaves all as it was.
func (s *Script) Apply(e hunt.Event) error {
	if e.Undo > 0 {
		if len(s.Events) < e.Undo {
			return errors.New("nothing to take back")
		}
		keep := len(s.Events) - e.Undo
		s.taken = append(append([]hunt.Event(nil), s.Events[keep:]...), s.taken...)
		s.Events = s.Events[:keep]
		return nil
	}
	if e.Redo > 0 {
		if len(s.taken) < e.Redo {
			return errors.New("nothing to bring back")
		}
		s.Events = append(s.Events, s.taken[:e.Redo]...)
		s.taken = s.taken[e.Redo:]
		return nil
	}
	if e.Reading != "" {
		if _, err := read(e.Reading); err != nil {
			return err
		}
	}
	if e.Change != nil && e.Change.Reading != "" {
		if _, err := read(e.Change.Reading); err != nil {
			return err
		}
	}
	s.Events, s.taken = append(s.Events, e), nil
	return nil
}

// Own goes on with another kit.
func (s *Script) Own(k hunt.Kit) error {
	s.Kit = k
	return nil
}

// Tell has nothing to work out: each reading says at once what it told.
func (s *Script) Tell() bool { return false }

// Without replays without one reading.
func (s *Script) Without(n int) (hunt.View, error) {
	if n < 1 || n > s.replay().n {
		return hunt.View{}, errors.New("there is no such reading")
	}
	c := &Script{L: s.L, Kit: s.Kit, Events: append(append([]hunt.Event(nil), s.Events...),
		hunt.Event{Change: &hunt.Change{N: n}})}
	return c.View(), nil
}

// read says whether a reading means "beyond".
func read(r string) (bool, error) {
	r = strings.TrimSpace(r)
	switch r {
	case "beep", "yes":
		return true, nil
	case "no", "OL":
		return false, nil
	}
	if r != "" && strings.ContainsRune("0123456789.,", rune(r[0])) {
		return r[0] != '0', nil
	}
	return false, fmt.Errorf("%q is no reading; type it as the meter shows it: 0.4, 212 mV, OL, beep, no", r)
}

func (s *Script) replay() state {
	st := state{hi: len(s.L.Runs[0].Pieces), bad: map[string]bool{}}
	for _, e := range s.Events {
		switch {
		case e.Symptom != nil:
			st.symptom = e.Symptom
		case e.Reading != "" && st.found != "":
			st.proven = true
		case e.Reading != "":
			st.take(s.ask(&st), e.Reading)
		case e.Skip != "":
			st.lo++
		case e.NotFound != "":
			st.bad[e.NotFound] = true
		case e.Found != "":
			st.found = e.Found
		case e.Change != nil:
			again := st.evidence
			sym := st.symptom
			st = state{hi: len(s.L.Runs[0].Pieces), bad: map[string]bool{}, symptom: sym}
			for _, ev := range again {
				if ev.N == e.Change.N {
					ev.Reading = e.Change.Reading
				}
				if ev.Reading != "" {
					st.take(s.ask(&st), ev.Reading)
				}
			}
		}
	}
	return st
}

func (st *state) take(a *hunt.Ask, r string) {
	if a == nil {
		return
	}
	beyond, _ := read(r)
	before := st.hi - st.lo
	mid := (st.lo + st.hi) / 2
	said := "the short is before " + strings.TrimSuffix(a.Red, " center")
	if beyond {
		st.lo = mid
		said = "the short is beyond " + strings.TrimSuffix(a.Red, " center")
	} else {
		st.hi = mid
	}
	st.n++
	st.evidence = append(st.evidence, hunt.Evidence{N: st.n, Ask: *a, Reading: r, Said: said, Bits: 1, Before: before,
		After: st.hi - st.lo, Odd: st.n == 3, Expected: "beep 50 %, silent 50 %"})
}

func (s *Script) ask(st *state) *hunt.Ask {
	if st.symptom == nil || st.hi-st.lo <= 3 || st.found != "" {
		return nil
	}
	run := s.L.Runs[0].Pieces
	i := run[(st.lo+st.hi)/2]
	e := track.EndRef{Piece: i, End: 0}
	a := &hunt.Ask{N: st.n + 1, Meter: "beeper", Red: s.L.SideName(e) + " center", Black: s.L.SideName(e) + " left",
		Dial: "continuity (the beeper)", Minutes: 1.5, Bits: 1,
		Why: "it splits the pieces still suspected into two equal halves",
		Expect: []hunt.Outcome{{Shows: "beep", P: 0.5, Means: "the short is beyond " + s.L.SideName(e)},
			{Shows: "silent", P: 0.5, Means: "the short is on the near side of it"}},
		Steps: []string{"switch the supply off and pull its plug", "take everything off the rails",
			"open the joint " + s.L.Joints[s.L.Pieces[i].Ends[0].Joint].Name},
		Setup: hunt.Setup{Source: hunt.Source{Kind: "none"},
			Lifted: []string{s.L.Joints[s.L.Pieces[i].Ends[0].Joint].Name}, Trains: "off"},
		Cautions: nil}
	if st.n == 0 {
		a.Cautions = []string{"Pull the supply's plug before you measure ohms or use the beeper: a live track can " +
			"hurt the meter.",
			"A loop has two ways round: with both feeders still on, a reading says little."}
	}
	if st.n == 1 {
		a.Meter, a.Dial = "millivolts", "AC millivolts, 200 mV range"
		a.Setup = hunt.Setup{Source: hunt.Source{Kind: "lamp", From: s.L.Supplies[0].Name + " hot",
			To: s.L.Supplies[0].Name + " common", Volts: 18, Amps: 1}, Trains: "off"}
		a.Steps = []string{"close the joint again", "put the lamp in series with the supply's hot post",
			"switch the supply on"}
		a.Cautions = []string{"The lamp gets hot: lay it where nothing can melt."}
		a.Expect = []hunt.Outcome{{Shows: "about 210 mV", P: 0.6, Means: "the short is beyond " + s.L.SideName(e)},
			{Shows: "less than 90 mV", P: 0.4, Means: "it is nearer to the feeder"}}
	}
	return a
}

// View shows what is believed.
func (s *Script) View() hunt.View {
	if s.Slow != nil {
		s.Slow()
	}
	st := s.replay()
	v := hunt.View{LayoutRef: s.L, Symptom: st.symptom, Evidence: st.evidence, Readings: st.n,
		Minutes: 1.5 * float64(st.n),
		CanUndo: len(s.Events) > 0, CanRedo: len(s.taken) > 0, Pieces: make([]float64, len(s.L.Pieces)),
		Hidden95: st.hi - st.lo}
	if st.symptom == nil {
		return v
	}
	run := s.L.Runs[0].Pieces
	var left []int
	for _, i := range run[st.lo:st.hi] {
		if !st.bad[s.L.Pieces[i].ID()] {
			left = append(left, i)
		}
	}
	for k, i := range left {
		// The nearer to the middle the likelier, to have some to rank.
		p := float64(1+min(k, len(left)-1-k)) / float64((len(left)/2+1)*((len(left)+1)/2))
		v.Pieces[i] = min(p, 1)
		v.Ranked = append(v.Ranked, hunt.Candidate{Piece: s.L.Pieces[i].ID(), P: v.Pieces[i],
			What: "insulating strip missing",
			Look: "turn the piece over; look for a strip that has slipped",
			Lift: "press the next piece down and pull straight, never up"})
	}
	for i := 1; i < len(v.Ranked); i++ {
		for k := i; k > 0 && v.Ranked[k].P > v.Ranked[k-1].P; k-- {
			v.Ranked[k], v.Ranked[k-1] = v.Ranked[k-1], v.Ranked[k]
		}
	}
	s.step(&v, &st)
	return v
}

func (s *Script) step(v *hunt.View, st *state) {
	switch {
	case st.found != "":
		prove := &hunt.Ask{N: st.n + 1, Meter: "beeper", Red: "main 1 center", Black: "main 1 left",
			Dial: "continuity (the beeper)",
			Why:  "silence between the two sides proves the repair", Steps: []string{"put the piece back"},
			Expect: []hunt.Outcome{{Shows: "silent", P: 0.95, Means: "repaired"},
				{Shows: "beep", P: 0.05, Means: "there is a second short"}}}
		v.Step.Done = &hunt.Done{Verdict: "the short was in " + st.found, Found: st.found, Readings: st.n, Lifts: 1,
			Minutes: v.Minutes + 2, Prove: prove, Proven: st.proven}
	case s.ask(st) != nil:
		v.Step.Ask = s.ask(st)
		if v.Step.Ask.Setup.Source.Kind == "lamp" {
			v.Moves = []hunt.Move{{}, {Act: hunt.ActLampIn}, {Act: hunt.ActOn}}
		}
	default:
		pieces := v.Ranked
		if len(pieces) > 3 {
			pieces = pieces[:3]
		}
		v.Step.Inspect = &hunt.Inspect{Pieces: pieces,
			Why:      "looking at the likeliest piece is quicker than another reading",
			Cautions: []string{"Supply off before you lift anything."}}
	}
}

// Save gives the events as JSON.
func (s *Script) Save() ([]byte, error) { return json.Marshal(s.Events) }
