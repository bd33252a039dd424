package hunt

import (
	"cmp"
	"encoding/json"
	"fmt"

	"fishplate/diagnose/meter"
	"fishplate/diagnose/outside"
	"fishplate/diagnose/track"
)

// A saved hunt may come from anywhere. What follows refuses one that no hunt of
// this program can have written, before anything is reckoned from it.

// The bounds of a saved hunt: far more than hands do, far less than stalls.
const (
	mostEvents   = 5000
	mostStanding = 300  // readings that were not taken back
	mostRepeats  = 24   // of one reading, as where a fault comes and goes
	mostListed   = 2000 // of anything that one ask lists
	mostLoads    = 64
	longestText  = 4000 // bytes
)

// within says what is wrong with a figure that is not from lo to hi.
func within(what string, x, lo, hi float64) error {
	if x >= lo && x <= hi {
		return nil
	}
	return fmt.Errorf("%s of %g cannot be: it is from %g to %g", what, x, lo, hi)
}

// Check says what is wrong with learned figures: a layout whose rails or joints
// are a thousand times (e^7) what the file says is another layout.
func (k *Track) Check() error {
	const thousand = 7
	return cmp.Or(
		within("rails learned", k.Rail, -thousand, thousand), within("joints learned", k.Joint, -thousand, thousand),
		within("the spread of rails learned", k.RailSD, 0, thousand), within("the spread of joints learned", k.JointSD,
			0, thousand))
}

// Check says what is wrong with the figures of a kit.
func (k *Kit) Check() error {
	err := cmp.Or(
		within("a lamp's current", k.LampAmps, 0, 100), within("a lamp's spread", k.LampSpread, 0, 1),
		within("a lamp's watts", k.LampWatts, 0, 1000), within("a lamp's volts", k.LampVolts, 0, 400),
		within("a number of lamps", float64(k.LampsInSeries), 0, 10),
		within("a lead's length", k.LeadMetres, 0, 1000), within("the DC supply's volts", k.DCVolts, 0,
			track.ToyVoltsDC))
	if err == nil && k.Track != nil {
		err = k.Track.Check()
	}
	if err == nil && k.Own != nil {
		if err = k.Own.Check(); err != nil {
			err = fmt.Errorf("the meter's own figures: %w", err)
		}
	}
	if _, known := meter.ByName(k.Meter, true); err == nil && k.Meter != "" && !known {
		err = fmt.Errorf("there is no kind of meter %q", outside.Line(k.Meter))
	}
	return err
}

// check refuses a saved hunt whose kit or journal cannot be.
func (s *savedHunt) check() error {
	if err := s.Kit.Check(); err != nil {
		return fmt.Errorf("its kit is damaged: %w", err)
	}
	if len(s.Journal) > mostEvents {
		return fmt.Errorf("it has %d events; the limit is %d", len(s.Journal), mostEvents)
	}
	taken := 0
	for i := range s.Journal {
		en := &s.Journal[i]
		if err := en.check(taken); err != nil {
			return fmt.Errorf("event %d of it cannot be: %w", i+1, err)
		}
		if en.Event.Reading != "" {
			taken++
		}
	}
	return s.repeats()
}

// repeats refuses what would be reckoned with for minutes.
func (s *savedHunt) repeats() error {
	type asked struct{ meter, red, black, source string }
	count := map[asked]int{}
	stand, _ := standing(s.Journal)
	readings := 0
	for i := range stand {
		if stand[i].Event.Reading == "" {
			continue
		}
		a := stand[i].Ask
		k := asked{a.Meter, a.Red, a.Black, a.Setup.Source.Kind}
		readings++
		if count[k]++; count[k] > mostRepeats {
			return fmt.Errorf("it has one reading, %s from %s to %s, more than %d times", outside.Line(a.Meter),
				outside.Line(a.Red),
				outside.Line(a.Black), mostRepeats)
		}
	}
	if readings > mostStanding {
		return fmt.Errorf("it has %d readings; the limit is %d", readings, mostStanding)
	}
	return nil
}

// check refuses an event that says nothing, or two things, or what cannot be;
// taken readings came before it.
func (en *entry) check(taken int) error {
	e := &en.Event
	said := 0
	for _, is := range []bool{e.Symptom != nil, e.Reading != "", e.Skip != "", e.Change != nil, e.Undo != 0,
		e.Redo != 0,
		e.Found != "", e.NotFound != "", e.Quit} {
		if is {
			said++
		}
	}
	switch {
	case said == 0 && en.Shown == "" && !en.Kit:
		return fmt.Errorf("it says nothing")
	case said > 1:
		return fmt.Errorf("it says %d things at once", said)
	case e.Undo < 0 || e.Redo < 0 || e.Undo > mostEvents || e.Redo > mostEvents:
		return fmt.Errorf("it takes back %d answers and brings back %d", e.Undo, e.Redo)
	case (e.Reading != "" || e.Skip != "") && en.Ask == nil:
		return fmt.Errorf("a reading without what it answered")
	}
	if c := e.Change; c != nil {
		if c.N < 1 || c.N > taken {
			return fmt.Errorf("it changes reading %d, and %d were taken", c.N, taken)
		}
		if err := texts(c.Reading); err != nil {
			return err
		}
	}
	if e.Symptom != nil {
		if err := texts(string(e.Symptom.Kind), e.Symptom.At); err != nil {
			return err
		}
		if n := len(e.Symptom.Thrown); n > mostListed {
			return fmt.Errorf("a list of %d; the limit is %d", n, mostListed)
		}
		for name, route := range e.Symptom.Thrown {
			if err := texts(name, route); err != nil {
				return err
			}
		}
	}
	if err := e.Probe.check(e.Skip); err != nil {
		return err
	}
	if err := texts(e.Reading, e.Skip, e.Found, e.NotFound); err != nil {
		return err
	}
	if en.Ask == nil {
		return nil
	}
	if err := en.Ask.check(); err != nil {
		return err
	}
	if e.Reading != "" {
		_, err := en.typed(e.Reading, en.Ask)
		return err
	}
	return nil
}

// texts refuses what is too long to be typed or told.
func texts(list ...string) error {
	for _, s := range list {
		if len(s) > longestText {
			return fmt.Errorf("a text of %d bytes; the limit is %d", len(s), longestText)
		}
	}
	return nil
}

// check refuses an ask with figures that no bench has.
func (a *Ask) check() error {
	const minutes, volts, amps, ohms = 10_000, 1000, 1000, 1e10
	err := cmp.Or(
		within("minutes", a.Minutes, 0, minutes), within("bits", a.Bits, -1, 1000),
		within("a proof's limit", a.Below, 0, ohms), within("a proof's limit", a.Above, 0, ohms),
		texts(a.Meter, a.Red, a.Black, a.Why, a.Worth, a.Dial, string(a.Current), a.Setup.Trains), texts(a.Steps...),
		texts(a.Cautions...),
		texts(a.Setup.Lifted...), texts(a.Setup.Pulled...), texts(a.Setup.Off...), texts(a.Setup.Unplugged...))
	for _, n := range []int{len(a.Steps), len(a.Cautions), len(a.Expect), len(a.Setup.Lifted), len(a.Setup.Pulled),
		len(a.Setup.Off),
		len(a.Setup.Unplugged), len(a.Setup.Thrown)} {
		if n > mostListed {
			err = cmp.Or(err, fmt.Errorf("a list of %d; the limit is %d", n, mostListed))
		}
	}
	if n := len(a.Setup.Loads); n > mostLoads {
		err = cmp.Or(err, fmt.Errorf("%d loads; the limit is %d", n, mostLoads))
	}
	if n := len(a.Setup.Also); n > mostLoads {
		err = cmp.Or(err, fmt.Errorf("%d supplies on at once; the limit is %d", n, mostLoads))
	}
	if err != nil {
		return err
	}
	for _, l := range a.Setup.Loads {
		if !(l.Ohms > 0) {
			return fmt.Errorf("a load of %g ohm cannot be: it is above 0", l.Ohms)
		}
		err = cmp.Or(err, within("a load's ohms", l.Ohms, 0, ohms), texts(l.From, l.To))
	}
	for _, s := range append([]Source{a.Setup.Source}, a.Setup.Also...) {
		err = cmp.Or(err, within("a source's volts", s.Volts, -volts, volts),
			within("a source's current", s.Amps, 0, amps), texts(s.Kind, s.From, s.To))
	}
	for _, o := range a.Expect {
		err = cmp.Or(err, within("a chance", o.P, 0, 1.001), texts(o.Shows, o.Means))
	}
	return err
}

type savedHunt struct {
	Format  int     `json:"fishplate_hunt"`
	Layout  string  `json:"layout"`
	Kit     Kit     `json:"kit"`
	Journal []entry `json:"journal"`
}

// Save gives the journal as JSON, for Resume.
func (h *Hunt) Save() ([]byte, error) {
	return json.MarshalIndent(savedHunt{1, h.sit.layout.Name, h.sit.kit, h.journal}, "", " ")
}

// Resume replays a saved journal on a layout.
func Resume(l *track.Layout, kit Kit, saved []byte) (*Hunt, error) {
	var s savedHunt
	if err := outside.Record.Decode(saved, &s); err != nil {
		return nil, fmt.Errorf("this is not a saved hunt: %w", err)
	}
	if s.Format != 1 {
		return nil, fmt.Errorf("this saved hunt is of a kind that this version does not know")
	}
	if err := s.check(); err != nil {
		return nil, fmt.Errorf("this saved hunt is damaged: %w", err)
	}
	if err := kit.Check(); err != nil {
		return nil, err
	}
	kit.Track = s.Kit.Track // a hunt goes on from what it began with
	h := New(l, kit)
	if h.fail != nil {
		return nil, h.fail
	}
	for _, en := range s.Journal {
		if en.Ask != nil {
			if err := en.Ask.place(h.sit.net); err != nil {
				return nil, fmt.Errorf("the layout has changed since this hunt was saved: %w", err)
			}
		}
		if en.Event.Symptom != nil {
			if err := h.sit.checkSymptom(en.Event.Symptom); err != nil {
				return nil, err
			}
		}
	}
	h.journal = s.Journal
	// A journal saved by quitting goes on where it was, but hands may have put
	// everything back.
	n := len(h.journal)
	for n > 0 && h.journal[n-1].Event.Quit {
		n--
	}
	if n < len(h.journal) {
		h.journal = append(h.journal[:n:n], entry{Shown: shownHome})
	}
	if err := h.rebuild(); err != nil {
		return nil, err
	}
	return h, nil
}
