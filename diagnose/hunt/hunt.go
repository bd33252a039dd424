package hunt

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/outside"
	"fishplate/diagnose/price"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Hunt is one hunt on one layout.
type Hunt struct {
	layout *track.Layout
	kit    Kit
	net    *conductor.Network
	prices *price.List
	fail   error
	// journal is everything the user said, in order; entries is what of it
	// stands after undo.
	journal []entry
	entries []entry
	undone  []entry // what redo would bring back, the next one last

	// What follows is derived from entries by rebuild.
	engine     *infer.Engine
	symptom    *Symptom
	obs        []infer.Observation
	asks       []Ask
	typed      []string
	posteriors []*infer.Posterior // after 0, 1, 2... readings
	read       *infer.Posterior   // what the readings alone say, without the looks
	notFound   map[string]int
	skipped    map[string]bool
	found      string
	repaired   []string
	proof      []taken // the good readings since the repair
	asides     asides
	quit       bool
	bench      bench            // what hands have done
	last       *conductor.Setup // of the last reading, nil before it
	imagined   bool             // nobody does what it asks for
	minutesSum float64
	lifts      int
	lifted     map[int]bool
	view       *View
	weighed    string // the symptom that the engine's priors were set for, empty for none
	// memo keeps posteriors by the readings they rest on, so that undo and the
	// next reading cost one update.
	memo map[string]*infer.Posterior
}

// taken is a reading with the ask that it answered.
type taken struct {
	obs   infer.Observation
	ask   Ask
	typed string
}

// entry is an event with the ask that it answered.
// Anything but a reading or a skip may interrupt one: then the ask is what was
// asked for meanwhile, without its words.
type entry struct {
	Event Event `json:"event"`
	Ask   *Ask  `json:"ask,omitempty"`
	// Shown is what stood there instead of an ask.
	Shown string `json:"shown,omitempty"`
}

// New starts a hunt that waits for a symptom.
func New(l *track.Layout, kit Kit) *Hunt {
	h := &Hunt{layout: l, kit: kit, memo: map[string]*infer.Posterior{}}
	if h.net, h.fail = conductor.Build(l); h.fail == nil {
		h.prices = price.Of(h.net)
	}
	return h
}

// Imagine starts a hunt that no hands follow, for whoever tries what it would
// ask for: what is taken back there was never done.
func Imagine(l *track.Layout, kit Kit) *Hunt {
	h := New(l, kit)
	h.imagined = true
	return h
}

// Apply takes one event. An error says what is wrong with it in the user's
// words; the hunt is then as it was.
func (h *Hunt) Apply(e Event) error {
	if h.fail != nil {
		return h.fail
	}
	switch {
	case e.Undo > 0 && len(h.entries) == 0:
		return fmt.Errorf("there is nothing to undo")
	case e.Redo > 0 && len(h.undone) == 0:
		return fmt.Errorf("there is nothing to bring back: nothing was undone since the last answer")
	}
	en := entry{Event: e}
	if e.Undo == 0 && e.Redo == 0 {
		if err := h.check(&en); err != nil {
			return err
		}
	}
	h.shown(&en)
	h.journal = append(h.journal, en)
	return h.rebuild()
}

// check refuses events that make no sense now.
func (h *Hunt) check(en *entry) error {
	e := &en.Event
	if e.Symptom != nil {
		return h.checkSymptom(e.Symptom)
	}
	if e.Quit {
		return nil
	}
	if h.symptom == nil {
		return fmt.Errorf(`say first what is wrong: short, short-train, dead or weak`)
	}
	step := h.View().Step
	switch {
	case e.Reading != "" || e.Skip != "":
		ask := step.Ask
		if step.Done != nil {
			ask = step.Done.Prove
		}
		if ask == nil {
			return fmt.Errorf("no reading is asked for now")
		}
		en.Ask = ask
		if e.Reading != "" {
			_, err := unit.Parse(e.Reading, unit.Setting(ask.Meter))
			return err
		}
	case e.Change != nil:
		if e.Change.N < 1 || e.Change.N > len(h.asks) {
			return fmt.Errorf("there is no reading %d: readings 1 to %d were taken", e.Change.N, len(h.asks))
		}
		if e.Change.Reading != "" {
			_, err := unit.Parse(e.Change.Reading, unit.Setting(h.asks[e.Change.N-1].Meter))
			return err
		}
	case e.Found != "":
		return h.known(&e.Found)
	case e.NotFound != "":
		return h.known(&e.NotFound)
	default:
		return fmt.Errorf("nothing was said")
	}
	return nil
}

func (h *Hunt) checkSymptom(s *Symptom) error {
	if !slices.Contains(Symptoms(), s.Kind) {
		return fmt.Errorf("%q is no symptom: write short, short-train, dead, weak, stays-live, accessory-dead, accessory-on, accessory-elsewhere, accessory-flickers or phase", s.Kind)
	}
	switch {
	case s.Kind.OfAccessory():
		if h.accessory(s.At) < 0 {
			return fmt.Errorf("there is no accessory %q in the layout file%s", s.At, thereIs(accessoryNames(h.layout)))
		}
	case s.Kind == SymptomPhase:
		if h.otherSupply(s.At) < 0 {
			return fmt.Errorf("a phase needs two AC supplies: %q is no second one%s", s.At, thereIs(otherSupplies(h.layout)))
		}
	case s.Kind == SymptomLive && h.layout.BlockOf(h.placePiece(s.At)) < 0:
		return fmt.Errorf("stays-live needs a piece of a block that a toggle switches: %q is none%s", s.At, thereIs(switchedPieces(h.layout)))
	case s.At != "" && h.placePiece(s.At) < 0:
		return fmt.Errorf("there is no piece or joint %q on this layout: pieces are written like %s", s.At, h.layout.Pieces[0].ID())
	}
	return cmp.Or(h.checkSupplies(), h.checkThrown(s))
}

// known turns a piece's other names into the one used everywhere.
func (h *Hunt) known(name *string) error {
	for _, c := range h.engine.Classes {
		if strings.EqualFold(c, *name) {
			*name = c
			return nil
		}
	}
	if p := h.layout.FindPiece(*name); p >= 0 {
		*name = h.layout.Pieces[p].ID()
		return nil
	}
	return fmt.Errorf("there is no piece or feeder %q on this layout", *name)
}

// placePiece is the piece at a named place, -1 when there is none.
func (h *Hunt) placePiece(at string) int {
	if p := h.layout.FindPiece(at); p >= 0 {
		return p
	}
	if j := h.layout.FindJoint(at); j >= 0 {
		return h.layout.Joints[j].B.Piece
	}
	return -1
}

func (h *Hunt) symptomPiece() int {
	if h.symptom == nil || h.symptom.At == "" {
		return -1
	}
	return h.placePiece(h.symptom.At)
}

// standing is the journal after undo and redo, and what redo would bring
// back, the next one last. Any other event ends what can be brought back.
func standing(journal []entry) (out, undone []entry) {
	move := func(from, to []entry, n int) (a, b []entry) {
		for ; n > 0 && len(from) > 0; n-- {
			to = append(to, from[len(from)-1])
			from = from[:len(from)-1]
		}
		return from, to
	}
	for _, e := range journal {
		switch {
		case e.Event == (Event{}): // of hands alone
		case e.Event.Undo > 0:
			out, undone = move(out, undone, e.Event.Undo)
		case e.Event.Redo > 0:
			undone, out = move(undone, out, e.Event.Redo)
		default:
			out, undone = append(out, e), nil
		}
	}
	return out, undone
}

// rebuild derives everything from the journal.
func (h *Hunt) rebuild() error {
	h.entries, h.undone = standing(h.journal)
	h.symptom, h.obs, h.asks, h.typed, h.posteriors = nil, nil, nil, nil, nil
	h.notFound, h.skipped, h.lifted = map[string]int{}, map[string]bool{}, map[int]bool{}
	h.found, h.proof, h.quit, h.repaired = "", nil, false, nil
	h.asides = asides{}
	h.minutesSum, h.lifts, h.view = 0, 0, nil
	h.bench, h.last = bench{}, nil
	for i := range h.entries {
		if err := h.take(&h.entries[i]); err != nil {
			return err
		}
	}
	if h.symptom != nil {
		h.bench, h.last = h.record()
		h.believe()
	}
	return nil
}

// take applies one standing entry.
func (h *Hunt) take(en *entry) error {
	e := &en.Event
	switch {
	case e.Symptom != nil:
		h.symptom = e.Symptom
		h.start()
	case h.symptom == nil && !e.Quit:
		return fmt.Errorf("the hunt is damaged: something was answered before it was said what is wrong")
	case e.Quit:
		h.quit = true
	case e.Skip != "":
		h.asides.last, h.asides.lit = nil, false
		if q, err := en.Ask.On(h.net); err == nil {
			h.skipped[questionKey(&q)] = true
			h.skipped[pairKey(q.Red, q.Black)] = h.found == "" && !h.symptom.Sometimes
		}
	case e.Reading != "":
		return h.reading(en)
	case e.Change != nil:
		h.change(e.Change)
	case e.Found != "":
		h.found = e.Found
		h.lifts++
		h.minutesSum += h.lookMinutes(e.Found)
	case e.NotFound != "":
		h.lifts++
		h.minutesSum += h.lookMinutes(e.NotFound)
		h.notFound[e.NotFound]++
	}
	return nil
}

// shortHunt says whether a short is hunted.
func (h *Hunt) shortHunt() bool {
	return h.symptom.Kind.OfShort()
}

// standIn says whether a DC supply stands in for the layout's own: only behind
// a lamp.
func (h *Hunt) standIn() bool {
	return h.kit.DCVolts > 0 && h.kit.Lamp && h.shortHunt() && len(h.layout.Supplies) > 0 && h.layout.Supplies[0].AC
}

// ac says whether what is read is AC.
func (h *Hunt) ac() bool {
	return len(h.layout.Supplies) > 0 && h.layout.Supplies[0].AC && !h.standIn()
}

// millivolts says whether the kit reads them here: many meters do on DC only.
func (h *Hunt) millivolts() bool {
	m := h.kit.instrument(h.ac())
	return h.kit.Millivolts && m.Has(meter.Millivolts, h.ac())
}

// anyLoad is the log-sd of what a lit car or an engine held still takes (assumed).
const anyLoad = 0.5

// start makes the hypotheses for the symptom.
func (h *Hunt) start() {
	ac := h.ac()
	if h.engine == nil || h.engine.Model.AC != ac {
		h.weighed, h.memo = "", map[string]*infer.Posterior{}
		m := infer.DefaultModel(h.net, h.kit.instrument(ac), ac)
		if len(h.layout.Supplies) > 0 {
			_, m.LampSD = h.kit.LampCurrent(h.lampVolts(0))
		}
		if !h.kit.Lamp {
			m.LoadSD = anyLoad
		}
		if h.kit.Track != nil {
			m.Level = h.kit.Track.level(m.Level)
		}
		h.engine = infer.NewEngine(h.net, m)
	}
	if key := h.symptom.key(); h.weighed != key {
		h.engine.SetSymptom(h.seen())
		h.weighed = key
	}
}

func (h *Hunt) reading(en *entry) error {
	r, err := unit.Parse(en.Event.Reading, unit.Setting(en.Ask.Meter))
	if err != nil {
		return err
	}
	q, err := en.Ask.On(h.net)
	if err != nil {
		return err
	}
	h.minutesSum += en.Ask.Minutes
	t := taken{infer.Observation{Setup: q.Setup, Func: q.Func, Red: q.Red, Black: q.Black, Shown: r, Watched: h.asides.lit}, *en.Ask, en.Event.Reading}
	if h.found != "" {
		h.prove(t)
		return nil
	}
	if h.putAside(&t) {
		return nil
	}
	for _, j := range q.Setup.Lifted {
		if !h.lifted[j] {
			h.lifted[j] = true
			h.lifts++
		}
	}
	h.count(t)
	return nil
}

// count adds a reading to those that the belief rests on.
func (h *Hunt) count(t taken) {
	h.obs = append(h.obs, t.obs)
	h.asks = append(h.asks, t.ask)
	h.typed = append(h.typed, t.typed)
}

func (h *Hunt) change(c *Change) {
	i := c.N - 1
	if i < 0 || i >= len(h.obs) {
		return
	}
	if c.Reading == "" {
		h.obs = append(h.obs[:i:i], h.obs[i+1:]...)
		h.asks = append(h.asks[:i:i], h.asks[i+1:]...)
		h.typed = append(h.typed[:i:i], h.typed[i+1:]...)
		return
	}
	if r, err := unit.Parse(c.Reading, unit.Setting(h.asks[i].Meter)); err == nil {
		h.obs[i].Shown = r
		h.typed[i] = c.Reading
	}
}

// prove takes a reading after a repair. One that is bad twice means that
// something else is wrong too: the hunt goes on with the repaired piece thought
// good rather, the readings from before the repair put aside, and those since then
// kept.
func (h *Hunt) prove(t taken) {
	h.proof = append(h.proof, t)
	if _, bad := h.proofTally(obsKey(&t.obs)); bad < 2 || h.proofGood(&t.ask, t.obs.Shown) {
		return
	}
	h.repaired = append(h.repaired, h.found)
	h.found = ""
	h.obs, h.asks, h.typed = nil, nil, nil
	for i, one := range h.proof {
		one.ask.N = i + 1
		h.count(one)
	}
	h.proof = nil
}

// lookMiss is how often a look at the bad piece finds nothing, lookMissAway the
// same for a fault that comes and goes (assumed).
const lookMiss, lookMissAway = 0.03, 0.3

func (h *Hunt) missRate() float64 {
	if h.symptom.Sometimes {
		return lookMissAway
	}
	return lookMiss
}

// believe computes the posterior after every reading.
func (h *Hunt) believe() {
	key := h.symptom.key()
	for n := 0; n <= len(h.obs); n++ {
		if n > 0 {
			key += "|" + obsKey(&h.obs[n-1]) + "=" + h.typed[n-1]
		}
		obs := h.obs[:n]
		p := h.remembered(key, func() *infer.Posterior { return h.engine.Update(obs) })
		if n == len(h.obs) && len(h.notFound) > 0 {
			sure := p
			p = h.remembered(key+"|doubting", func() *infer.Posterior { return h.engine.Doubting(obs, sure) })
		}
		h.posteriors, h.read = append(h.posteriors, h.looked(p)), p
	}
}

// remembered is a posterior by what it rests on, worked out once.
func (h *Hunt) remembered(key string, work func() *infer.Posterior) *infer.Posterior {
	p, ok := h.memo[key]
	if !ok {
		p = work()
		h.memo[key] = p
	}
	return p
}

// stillBad is how likely a piece is, beside one that nobody touched, to have
// something wrong once it was found bad and repaired (assumed): it can be bad in
// two ways, or the repair failed.
const stillBad = 0.1

// looked lowers what was looked at and found good, since a look can miss, and
// what was repaired.
func (h *Hunt) looked(raw *infer.Posterior) *infer.Posterior {
	p, _ := raw.Weighed(h.engine, func(hypo int) float64 {
		name := h.engine.Classes[h.engine.Hypos[hypo].Class]
		by := math.Pow(h.missRate(), float64(h.notFound[name]))
		for _, r := range h.repaired {
			if r == name {
				by *= stillBad
			}
		}
		return by
	})
	if p == nil {
		return raw
	}
	return p
}

type savedHunt struct {
	Format  int     `json:"fishplate_hunt"`
	Layout  string  `json:"layout"`
	Kit     Kit     `json:"kit"`
	Journal []entry `json:"journal"`
}

// Save gives the journal as JSON, for Resume.
func (h *Hunt) Save() ([]byte, error) {
	return json.MarshalIndent(savedHunt{1, h.layout.Name, h.kit, h.journal}, "", " ")
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
			if _, err := en.Ask.On(h.net); err != nil {
				return nil, fmt.Errorf("the layout has changed since this hunt was saved: %w", err)
			}
		}
		if en.Event.Symptom != nil {
			if err := h.checkSymptom(en.Event.Symptom); err != nil {
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
