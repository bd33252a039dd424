package trial

import (
	"fmt"

	"fishplate/diagnose/hunt"
)

// Result is what one hunt cost and where it ended.
type Result struct {
	Readings, Lifts int     // until pieces were named; joints lifted for them
	Track           int     // of those readings, how many with a probe on the track
	Minutes         float64 // until pieces were named
	listed          bool
	// Rank is where the truth stood in the first list, from 1; 0: not there.
	Rank int
	// Stated is the probability given to the first piece of that list, 0 when
	// the hunt ended without one. NoList says so.
	Stated float64
	NoList bool
	Slips  int
	// Looks is how many pieces were looked at until the truth was found, in
	// the order asked, and Total the minutes of it all. Found says that it was.
	Looks int
	Total float64
	Found bool
	Log   []string // every reading, for whoever asks why
}

const (
	maxReadings = 60
	maxLooks    = 12
)

// Hunt lets the program's own hunter hunt. thorough goes on until the truth is
// found, not only to the first list.
func (f *Field) Hunt(x *Hidden, thorough bool) (Result, error) {
	h := hunt.New(f.Layout, f.Kit)
	var r Result
	if err := h.Apply(hunt.Event{Symptom: &x.Symptom}); err != nil {
		return r, err
	}
	listed := false
	for range maxReadings + maxLooks {
		v := h.View()
		var err error
		switch {
		case v.Step.Ask != nil:
			err = f.answer(h, x, v.Step.Ask, &r)
		case v.Step.Inspect != nil:
			if !listed {
				listed = true
				r.list(&v, x)
			}
			if !thorough || r.Looks >= maxLooks {
				return r, nil
			}
			err = r.look(h, x, v.Step.Inspect.Pieces[0].Piece)
		case v.Step.Done != nil:
			r.end(&v, listed)
			return r, nil
		default:
			return r, fmt.Errorf("the hunt wants nothing: %v", v.Warnings)
		}
		if err != nil {
			return r, err
		}
		if r.Found {
			r.Total = h.View().Minutes
			return r, nil
		}
	}
	return r, nil
}

// answer takes the reading that is asked for.
func (f *Field) answer(h *hunt.Hunt, x *Hidden, a *hunt.Ask, r *Result) error {
	p, err := ProbeOf(f.Net, a)
	if err != nil {
		return err
	}
	text, err := x.Read(p)
	if err != nil {
		return err
	}
	if !r.listed && (f.onTrack(p.Red) || f.onTrack(p.Black)) {
		r.Track++
	}
	r.Log = append(r.Log, fmt.Sprintf("%s %s | %s -> %s", a.Meter, a.Red, a.Black, text))
	r.Slips = x.Slips
	if err := h.Apply(hunt.Event{Reading: text}); err != nil {
		// A slip can make a display that no meter shows: it is read again.
		return h.Apply(hunt.Event{Skip: "the display makes no sense"})
	}
	return nil
}

// list notes the first list of pieces.
func (r *Result) list(v *hunt.View, x *Hidden) {
	r.Readings, r.Lifts, r.Minutes, r.listed = v.Readings, v.Lifts, v.Minutes, true
	for k, c := range v.Step.Inspect.Pieces {
		if k == 0 {
			r.Stated = c.P
		}
		if c.Piece == x.Fault.Suspect.Piece && r.Rank == 0 {
			r.Rank = k + 1
		}
	}
}

// look looks at the first piece of the list.
func (r *Result) look(h *hunt.Hunt, x *Hidden, piece string) error {
	r.Looks++
	if piece == x.Fault.Suspect.Piece {
		r.Found = true
		return h.Apply(hunt.Event{Found: piece})
	}
	return h.Apply(hunt.Event{NotFound: piece})
}

// end notes a hunt that ended without a list.
func (r *Result) end(v *hunt.View, listed bool) {
	if !listed {
		r.Readings, r.Lifts, r.Minutes, r.NoList = v.Readings, v.Lifts, v.Minutes, true
	}
	r.Total = v.Minutes
	r.Log = append(r.Log, "done: "+v.Step.Done.Verdict)
}
