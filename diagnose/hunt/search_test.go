package hunt_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// TestHandsThatFollow searches at random for a hunt whose steps leave a table
// that is not what the reading means, or that could hurt: hands do exactly the
// acts, or a part of them where something else is said than a reading. Readings
// are drawn, and in most hunts so are asks and looks, out of all that would be
// weighed: they run into every corner. FISHPLATE_ASKS=n goes on until n asks were checked.
func TestHandsThatFollow(t *testing.T) {
	want := 600
	if testing.Short() {
		want = 200
	}
	if n, err := strconv.Atoi(os.Getenv("FISHPLATE_ASKS")); err == nil && n > 0 {
		want = n
	}
	s := &search{t: t, rng: rand.New(rand.NewPCG(14, 1)), every: 12}
	if want > 5000 {
		s.every = 200
	}
	for s.asks < want {
		s.hunt(s.layout(want > 5000))
	}
	t.Logf("%d asks, %d looks and %d ends checked in %d hunts on %d layouts, %d resumed, %d undone, %d left out, %d "+
		"steps of the hunt's own choice",
		s.asks, s.looks, s.ends, s.hunts, len(s.seen), s.resumed, s.undone, s.skipped, s.own)
}

type search struct {
	t                                                       *testing.T
	rng                                                     *rand.Rand
	asks, looks, ends, hunts, resumed, undone, skipped, own int
	every                                                   int // one hunt in so many chooses its own asks
	seen                                                    map[string]bool
}

// layout draws a layout: of the files where all are wanted, else an invented one.
func (s *search) layout(files bool) *track.Layout {
	names, err := filepath.Glob("../../testdata/layouts/*.hcl")
	require.NoError(s.t, err)
	text, name := "", ""
	switch k := s.rng.IntN(10); {
	case k < 2 && files:
		name = names[s.rng.IntN(len(names))]
		src, err := os.ReadFile(name)
		require.NoError(s.t, err)
		text = string(src)
	case k < 6:
		text, name = invent.Wired(s.rng), fmt.Sprint("wired ", s.hunts)
	case k < 8:
		text, name = invent.Random(s.rng), fmt.Sprint("random ", s.hunts)
	default:
		text, name = invent.Line(invent.Constructions[s.rng.IntN(len(invent.Constructions))], 3+s.rng.IntN(5)),
			fmt.Sprint("line ", s.hunts)
	}
	f, problems := layoutfile.Read(name, []byte(text))
	require.NotNil(s.t, f, "%s: %v", name, problems)
	if s.seen == nil {
		s.seen = map[string]bool{}
	}
	s.seen[name] = true
	return f.Layout
}

func (s *search) kit() hunt.Kit {
	yes := func() bool { return s.rng.IntN(3) > 0 }
	k := hunt.Kit{Beeper: yes(), Ohms: yes(), Volts: yes(), Millivolts: yes(), Amps: s.rng.IntN(4) == 0, Lamp: yes()}
	if s.rng.IntN(3) == 0 {
		k.DCVolts, k.Battery = 12, yes()
	}
	k.Bisect = s.rng.IntN(3) == 0
	return k
}

func (s *search) symptom(l *track.Layout) hunt.Symptom {
	offers := hunt.Offers(l)
	o := offers[s.rng.IntN(len(offers))]
	sym := hunt.Symptom{Kind: o.Kind, Sometimes: s.rng.IntN(8) == 0}
	if len(o.Names) > 0 {
		sym.At = o.Names[s.rng.IntN(len(o.Names))]
	} else if o.Where != "" {
		sym.At = l.Pieces[s.rng.IntN(len(l.Pieces))].ID()
	}
	if sym.Kind == hunt.SymptomWeak && len(l.Joints) > 0 && s.rng.IntN(2) == 0 { // a health check found it
		j := &l.Joints[s.rng.IntN(len(l.Joints))]
		sym.Worse = &hunt.Worse{Places: map[string]float64{j.Name + " center": 1, j.Name + " right": 1}, Ohms: 0.05}
	}
	return sym
}

// hunt plays one hunt of some events.
func (s *search) hunt(l *track.Layout) {
	s.hunts++
	kit, sym := s.kit(), s.symptom(l)
	h := hunt.New(l, kit)
	if h.Apply(hunt.Event{Symptom: &sym}) != nil {
		return // such a place does not take that symptom
	}
	n, err := conductor.Build(l)
	require.NoError(s.t, err)
	p := &person{search: s, l: l, n: n, kit: kit, sym: sym, table: newTable(l)}
	p.say("%s at %q, kit %+v", sym.Kind, sym.At, kit)
	p.drawn = s.rng.IntN(s.every) > 0
	var pool []*hunt.Ask
	for k := range 15 + s.rng.IntN(25) {
		if s.rng.IntN(12) == 0 {
			h = p.leave(h)
		}
		if p.drawn && k%15 == 0 {
			pool = append(pool, h.Asks()...)
		}
		v := p.view(h, pool)
		if v.Step.Ask == nil && v.Step.Inspect == nil && v.Step.Done == nil {
			return
		}
		e := p.event(&v)
		p.say("%+v", e)
		apply := h.Apply
		if p.drawn {
			apply = h.Note
		}
		if apply(e) != nil {
			return
		}
		p.found = p.found || e.Found != ""
	}
}

// person is someone who does what the steps say.
type person struct {
	*search
	l     *track.Layout
	n     *conductor.Network
	kit   hunt.Kit
	sym   hunt.Symptom
	table *table
	found bool
	drawn bool // asks are drawn, and nothing is believed
	log   []string
}

func (p *person) say(format string, args ...any) { p.log = append(p.log, fmt.Sprintf(format, args...)) }

// view is what the hunt wants: its own choice, or drawn.
func (p *person) view(h *hunt.Hunt, pool []*hunt.Ask) hunt.View {
	switch k := p.rng.IntN(40); {
	case !p.drawn || len(pool) == 0:
		p.own++
		return h.View()
	case k == 0:
		return h.End()
	case k < 7:
		classes := h.Classes()
		in := &hunt.Inspect{}
		for range 1 + p.rng.IntN(4) {
			in.Pieces = append(in.Pieces, hunt.Candidate{Piece: classes[p.rng.IntN(len(classes))]})
		}
		return h.Want(hunt.Step{Inspect: in})
	}
	a := *pool[p.rng.IntN(len(pool))]
	return h.Want(hunt.Step{Ask: &a})
}

// leave saves the hunt and takes it up again: the bench is the same.
func (p *person) leave(h *hunt.Hunt) *hunt.Hunt {
	p.resumed++
	if p.drawn {
		again, err := h.Replayed()
		require.NoError(p.t, err)
		require.Equal(p.t, h.Record(), again, p.log)
		return h
	}
	saved, err := h.Save()
	require.NoError(p.t, err)
	again, err := hunt.Resume(p.l, p.kit, saved)
	require.NoError(p.t, err)
	require.Equal(p.t, h.Record(), again.Record(), p.log)
	return again
}

// event does what is wanted, and says what came of it; or does a part of it and
// says something else.
func (p *person) event(v *hunt.View) hunt.Event {
	r := p.rng
	words := stepsOf(v)
	require.Equal(p.t, len(v.Moves), len(words))
	if e, ok := p.otherwise(v); ok {
		p.part(v)
		return e
	}
	switch a := asked(v); {
	case a != nil:
		p.all(v)
		p.check(a)
		p.asks++
		return hunt.Event{Reading: text(a.Meter, r)}
	case v.Step.Inspect != nil:
		p.all(v)
		p.looks++
		name := v.Step.Inspect.Pieces[r.IntN(len(v.Step.Inspect.Pieces))].Piece
		p.lift(name)
		if r.IntN(4) == 0 {
			p.found = true
			return hunt.Event{Found: name}
		}
		return hunt.Event{NotFound: name}
	}
	p.all(v)
	p.ends++
	p.back(proven(v))
	if !v.CanUndo {
		return hunt.Event{Quit: true}
	}
	return hunt.Event{Undo: 1}
}

// otherwise says now and then something else than what came of it.
func (p *person) otherwise(v *hunt.View) (hunt.Event, bool) {
	r := p.rng
	switch k := r.IntN(12); {
	case k == 0 && v.CanUndo:
		p.undone++
		return hunt.Event{Undo: 1}, true
	case k == 1 && v.CanRedo:
		return hunt.Event{Redo: 1}, true
	case k == 2 && v.Readings > 0:
		return hunt.Event{Change: &hunt.Change{N: 1 + r.IntN(v.Readings), Reading: text(v.Evidence[0].Ask.Meter, r)}},
			true
	case k == 3 && v.Step.Ask != nil:
		p.skipped++
		return hunt.Event{Skip: "cannot reach"}, true
	}
	return hunt.Event{}, false
}

func asked(v *hunt.View) *hunt.Ask {
	if d := v.Step.Done; d != nil && d.Prove != nil && !d.Proven && len(d.Steps) == 0 {
		return d.Prove
	}
	return v.Step.Ask
}

func stepsOf(v *hunt.View) []string {
	switch a := asked(v); {
	case a != nil:
		return a.Steps
	case v.Step.Inspect != nil:
		return v.Step.Inspect.Steps
	}
	return v.Step.Done.Steps
}

func (p *person) all(v *hunt.View) {
	for i := range v.Moves {
		p.do(&v.Moves[i], stepsOf(v)[i])
	}
	p.leaves(v)
}

// leaves holds what is said to who leaves now to what is on; how the table stood before
// the first answer is not the hunt's.
func (p *person) leaves(v *hunt.View) {
	said := strings.Join(v.Off, "; ")
	require.Equal(p.t, p.table.clip, p.table.clip && (strings.Contains(said, "clip off the battery's plus") ||
		strings.Contains(said, "switch the DC power pack off")), "%s\n%v", said, p.log)
	if proven(v) {
		return // its steps end with the layout on, as in daily use
	}
	for i, on := range p.table.on {
		name := p.l.Supplies[i].Name
		require.False(p.t, on && (!strings.Contains(said, "unplug it") && !strings.Contains(said, "pull") ||
			len(p.table.on) > 1 && !strings.Contains(said, name)),
			"%s stays on: %s\n%v", name, said, p.log)
	}
}

// part does some of the steps; of a look, it may lift any piece.
func (p *person) part(v *hunt.View) {
	some := p.rng.IntN(len(v.Moves) + 1)
	for i := range v.Moves[:some] {
		p.do(&v.Moves[i], stepsOf(v)[i])
	}
	if v.Readings+v.Looks > 0 {
		p.leaves(v)
	}
	if in := v.Step.Inspect; in != nil && some == len(v.Moves) {
		p.lift(in.Pieces[p.rng.IntN(len(in.Pieces))].Piece)
	}
}

func (p *person) lift(name string) {
	p.say("   (looks at %s)", name)
	require.False(p.t, p.table.live(), "a piece is lifted with the power on: %v", p.log)
	p.table.out[name] = true
}

func (p *person) do(m *hunt.Move, words string) {
	p.say("   %s", words)
	if wrong := p.table.do(m); wrong != "" {
		require.Fail(p.t, wrong, "%v", p.log)
	}
	if m.Act == hunt.ActPull || m.Act == hunt.ActHang {
		if on := p.l.Feeders[m.Of].On; on.Kind == track.OnSupply {
			require.Equal(p.t, !p.table.hot[on.Index], strings.Contains(words, "the joined wires"), "%s\n%v", words,
				p.log)
		}
	}
	if m.Act == hunt.ActOn && p.sym.Kind.OfShort() && !p.found {
		require.False(p.t, p.table.bare(), "a bare supply into a short: %v", p.log)
	}
}

// check holds the table to what the reading means.
func (p *person) check(a *hunt.Ask) {
	q, err := a.On(p.n)
	require.NoError(p.t, err)
	b := p.table
	same := func(want, is any, what string) {
		require.Equal(p.t, want, is, "%s: %s %s %s\n%v", what, a.Meter, a.Red, a.Black, p.log)
	}
	if a.Meter == "beeper" || a.Meter == "ohms" {
		same(false, b.live(), "live under ohms")
		same(false, slices.Contains(b.hot, true) || slices.Contains(b.common, true), "a winding hangs on the track")
	}
	if a.Meter != "lamp" {
		same(a.Dial, b.dial, "dial")
	}
	same(a.Meter == "amps", b.inline, "meter in the lamp's wire")
	same(false, b.trains, "trains")
	same(0, len(b.out), "pieces out")
	is := conductor.Setup{Lifted: sorted(b.lifted), Pulled: sorted(b.pulled), Off: sorted(b.second),
		Unplugged: sorted(b.bareAcc)}
	want := q.Setup.Clone()
	want.Thrown = nil
	same(want.SwitchKey(), is.SwitchKey(), "joints, feeders, toggles, accessories")
	for i := range p.l.Pieces {
		route := track.EndThrough
		if r, ok := b.thrown[i]; ok {
			route = r
		}
		same(q.Setup.Route(i), route, "route of "+p.l.Pieces[i].ID())
	}
	loads := map[conductor.Load]bool{}
	for _, x := range q.Setup.Loads {
		loads[x] = true
	}
	same(loads, b.loads, "what is laid")
	feeds := map[string]bool{}
	for _, x := range q.Setup.Sources() {
		for i := range p.n.Posts {
			if p.n.Posts[i][0] == x.From || p.n.Windings[i][0] == x.From {
				kind := string(x.Kind)
				switch stands := x.Volts == p.kit.DCVolts && p.kit.Lamp; { // for a DC pack, too
				case stands && x.Kind == conductor.SourceLamp:
					kind = "battery"
				case stands && x.Kind == conductor.SourceVolts && p.sym.Loaded() && p.kit.Lamp:
					kind = "bare battery"
				}
				feeds[fmt.Sprint(kind, " ", i)] = true
			}
		}
	}
	same(feeds, b.feeds(p.kit.Battery), "what feeds the track")
}

func proven(v *hunt.View) bool { return v.Step.Done != nil && v.Step.Done.Proven }

// back holds the table to daily use, with the power off until it is proven.
func (p *person) back(proven bool) {
	b := p.table
	require.False(p.t, !proven && b.live(), p.log)
	require.False(p.t, slices.Contains(b.hot, false) || slices.Contains(b.common, false) || b.lamp >= 0 ||
		b.minus >= 0 || b.inline, p.log)
	require.Zero(p.t, len(b.lifted)+len(b.pulled)+len(b.bareAcc)+len(b.loads)+len(b.out), p.log)
	require.Equal(p.t, p.l.UsuallyOff(), sorted(b.second), p.log)
}

// text is what a meter may show.
func text(meter string, r *rand.Rand) string {
	list := map[string][]string{"beeper": {"beep", "no"}, "ohms": {"0.3", "OL", "25.0", "1.2"},
		"volts":      {"0.00 V", "16.90 V", "5.21 V"},
		"millivolts": {"0.0 mV", "12.3 mV", "150.2 mV", "OL"}, "amps": {"0.92 A"},
		"lamp": {"bright", "glowing", "dark"}}[meter]
	return list[r.IntN(len(list))]
}
