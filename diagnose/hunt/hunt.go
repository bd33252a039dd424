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
	Situation
	fail error
	// journal is everything the user said, in order; entries is what of it
	// stands after undo.
	journal []entry
	entries []entry
	undone  []entry // what redo would bring back, the next one last
	view    *View
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
	h := &Hunt{}
	h.layout, h.kit = l, kit
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
	if len(h.journal) >= mostEvents {
		return fmt.Errorf("this hunt has %d answers, and no more can be kept of one: begin a new one", mostEvents)
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
		if err := e.Probe.check(e.Skip); err != nil {
			return err
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

func (g *ground) checkSymptom(s *Symptom) error {
	if !slices.Contains(Symptoms(), s.Kind) {
		return fmt.Errorf("%q is no symptom: write short, short-train, dead, weak, stays-live, accessory-dead, accessory-on, accessory-elsewhere, accessory-flickers or phase", s.Kind)
	}
	switch {
	case s.Kind.OfAccessory():
		if g.accessory(s.At) < 0 {
			return fmt.Errorf("there is no accessory %q in the layout file%s", s.At, thereIs(accessoryNames(g.layout)))
		}
	case s.Kind == SymptomPhase:
		if g.otherSupply(s.At) < 0 {
			return fmt.Errorf("a phase needs two AC supplies: %q is no second one%s", s.At, thereIs(otherSupplies(g.layout)))
		}
	case s.Kind == SymptomLive && g.layout.BlockOf(g.placePiece(s.At)) < 0:
		return fmt.Errorf("stays-live needs a piece of a block that a toggle switches: %q is none%s", s.At, thereIs(switchedPieces(g.layout)))
	case s.At != "" && g.placePiece(s.At) < 0:
		return fmt.Errorf("there is no piece or joint %q on this layout: pieces are written like %s", s.At, g.layout.Pieces[0].ID())
	}
	return cmp.Or(g.checkSupplies(), g.checkThrown(s), g.checkWorse(s))
}

// known turns a piece's other names into the one used everywhere.
func (m *matter) known(name *string) error {
	for _, c := range m.engine.Classes {
		if strings.EqualFold(c, *name) {
			*name = c
			return nil
		}
	}
	if p := m.layout.FindPiece(*name); p >= 0 {
		*name = m.layout.Pieces[p].ID()
		return nil
	}
	return fmt.Errorf("there is no piece or feeder %q on this layout", *name)
}

// placePiece is the piece at a named place, -1 when there is none.
func (g *ground) placePiece(at string) int {
	if p := g.layout.FindPiece(at); p >= 0 {
		return p
	}
	if j := g.layout.FindJoint(at); j >= 0 {
		return g.layout.Joints[j].B.Piece
	}
	return -1
}

func (m *matter) symptomPiece() int {
	if m.symptom == nil || m.symptom.At == "" {
		return -1
	}
	return m.placePiece(m.symptom.At)
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
func (sit *Situation) take(en *entry) error {
	e := &en.Event
	switch {
	case e.Symptom != nil:
		sit.symptom = e.Symptom
		sit.start()
	case sit.symptom == nil && !e.Quit:
		return fmt.Errorf("the hunt is damaged: something was answered before it was said what is wrong")
	case e.Quit:
		sit.quit = true
	case e.Skip != "":
		sit.asides.last, sit.asides.lit = nil, false
		if q, err := en.Ask.On(sit.net); err == nil {
			sit.skipped[questionKey(&q)] = true
			sit.skipped[pairKey(q.Red, q.Black)] = sit.found == "" && !sit.symptom.Sometimes
			sit.outOfReach(e.Probe, &q)
		}
	case e.Reading != "":
		return sit.reading(en)
	case e.Change != nil:
		sit.change(e.Change)
	case e.Found != "":
		sit.found = e.Found
		sit.lifts++
		sit.minutesSum += sit.pricing().lookMinutes(e.Found)
	case e.NotFound != "":
		sit.lifts++
		sit.minutesSum += sit.pricing().lookMinutes(e.NotFound)
		sit.notFound[e.NotFound]++
	}
	return nil
}

// shortHunt says whether a short is hunted.
func (m *matter) shortHunt() bool {
	return m.symptom.Kind.OfShort()
}

// standIn says whether a DC supply stands in for the layout's own: only behind
// a lamp.
func (m *matter) standIn() bool {
	return m.kit.DCVolts > 0 && m.kit.Lamp && m.shortHunt() && len(m.layout.Supplies) > 0 && m.layout.Supplies[0].AC
}

// ac says whether what is read is AC.
func (m *matter) ac() bool {
	return len(m.layout.Supplies) > 0 && m.layout.Supplies[0].AC && !m.standIn()
}

// millivolts says whether the kit reads them here: many meters do on DC only.
func (m *matter) millivolts() bool {
	in := m.kit.instrument(m.ac())
	return m.kit.Millivolts && in.Has(meter.Millivolts, m.ac())
}

// anyLoad is the log-sd of what a lit car or an engine held still takes (assumed).
const anyLoad = 0.5

// start makes the hypotheses for the symptom.
func (m *matter) start() {
	ac := m.ac()
	if m.engine == nil || m.engine.Model.AC != ac {
		m.weighed, m.memo = "", memory{}
		model := infer.DefaultModel(m.net, m.kit.instrument(ac), ac)
		if len(m.layout.Supplies) > 0 {
			_, model.LampSD = m.kit.LampCurrent(m.lampVolts(0))
		}
		if !m.kit.Lamp {
			model.LoadSD = anyLoad
		}
		if m.kit.Track != nil {
			model.Level = m.kit.Track.level(model.Level)
		}
		m.engine = infer.NewEngine(m.net, model)
	}
	if key := m.symptom.key(); m.weighed != key {
		m.engine.SetSymptom(m.seen())
		m.weighed = key
	}
}

func (sit *Situation) reading(en *entry) error {
	r, err := unit.Parse(en.Event.Reading, unit.Setting(en.Ask.Meter))
	if err != nil {
		return err
	}
	q, err := en.Ask.On(sit.net)
	if err != nil {
		return err
	}
	sit.minutesSum += en.Ask.Minutes
	t := taken{infer.Observation{Setup: q.Setup, Func: q.Func, Red: q.Red, Black: q.Black, Shown: r, Watched: sit.asides.lit}, *en.Ask, en.Event.Reading}
	if sit.found != "" {
		sit.prove(t)
		return nil
	}
	if sit.putAside(&t) {
		return nil
	}
	for _, j := range q.Setup.Lifted {
		if !sit.lifted[j] {
			sit.lifted[j] = true
			sit.lifts++
		}
	}
	sit.count(t)
	return nil
}

// count adds a reading to those that the belief rests on.
func (sit *Situation) count(t taken) {
	sit.obs = append(sit.obs, t.obs)
	sit.asks = append(sit.asks, t.ask)
	sit.typed = append(sit.typed, t.typed)
}

func (sit *Situation) change(c *Change) {
	i := c.N - 1
	if i < 0 || i >= len(sit.obs) {
		return
	}
	if c.Reading == "" {
		sit.obs = append(sit.obs[:i:i], sit.obs[i+1:]...)
		sit.asks = append(sit.asks[:i:i], sit.asks[i+1:]...)
		sit.typed = append(sit.typed[:i:i], sit.typed[i+1:]...)
		return
	}
	if r, err := unit.Parse(c.Reading, unit.Setting(sit.asks[i].Meter)); err == nil {
		sit.obs[i].Shown = r
		sit.typed[i] = c.Reading
	}
}

// prove takes a reading after a repair. One that is bad twice, or once of a way that
// was open with the others, means that something else is wrong too: the hunt goes on with the repaired piece thought
// good rather, the readings from before the repair put aside, and those since then
// kept.
func (sit *Situation) prove(t taken) {
	sit.proof = append(sit.proof, t)
	enough := 2
	if sit.ofWay(&t.ask) && len(sit.repaired) == 0 {
		enough = 1
	}
	if _, bad := sit.proofTally(obsKey(&t.obs)); bad < enough || sit.proofGood(&t.ask, t.obs.Shown) {
		return
	}
	sit.repaired = append(sit.repaired, sit.found)
	sit.found = ""
	sit.obs, sit.asks, sit.typed = nil, nil, nil
	for i, one := range sit.proof {
		one.ask.N = i + 1
		sit.count(one)
	}
	sit.proof = nil
}

// lookMiss is how often a look at the bad piece finds nothing, lookMissAway the
// same for a fault that comes and goes (assumed).
const lookMiss, lookMissAway = 0.03, 0.3

func (m *matter) missRate() float64 {
	if m.symptom.Sometimes {
		return lookMissAway
	}
	return lookMiss
}

// believe computes the posterior after every reading.
func (sit *Situation) believe() {
	key := sit.symptom.key()
	for n := 0; n <= len(sit.obs); n++ {
		if n > 0 {
			key += "|" + obsKey(&sit.obs[n-1]) + "=" + sit.typed[n-1]
		}
		obs, last := sit.obs[:n], n == len(sit.obs)
		p := sit.memo.need(key, last, func() *infer.Posterior { return sit.engine.Update(obs) })
		if last && len(sit.notFound) > 0 {
			sure := p
			p = sit.memo.need(key+"|doubting", true, func() *infer.Posterior { return sit.engine.Doubting(obs, sure) })
		}
		sit.posteriors, sit.read = append(sit.posteriors, sit.looked(p)), p
	}
	sit.memo.forget()
}

// stillBad is how likely a piece is, beside one that nobody touched, to have
// something wrong once it was found bad and repaired (assumed): it can be bad in
// two ways, or the repair failed.
const stillBad = 0.1

// looked lowers what was looked at and found good, since a look can miss, and
// what was repaired.
func (sit *Situation) looked(raw *infer.Posterior) *infer.Posterior {
	p, _ := raw.Weighed(sit.engine, func(hypo int) float64 {
		name := sit.engine.Classes[sit.engine.Hypos[hypo].Class]
		by := math.Pow(sit.missRate(), float64(sit.notFound[name]))
		for _, r := range sit.repaired {
			if r == name {
				by *= stillBad
			}
			by *= sit.engine.Mended(hypo, sit.classNamed(r))
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
			if err := en.Ask.place(h.net); err != nil {
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
