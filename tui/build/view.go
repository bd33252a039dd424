package build

import (
	"fmt"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/piece"
	"fishplate/diagnose/stage"
	"fishplate/tui/big"
	"fishplate/tui/card"
	"fishplate/tui/paper"
	"fishplate/tui/plan"
	"fishplate/tui/reader"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	wide := min(w, plan.TextWide+10)
	switch {
	case m.list:
		return m.viewList(sc, wide, h)
	case m.at == ready:
		return reader.Scrolled(sc, &m.scroll, m.before(sc, wide), h)
	case m.at == leads:
		return m.viewLeads(sc, wide)
	case m.at == reading:
		return m.viewReading(sc, w, h)
	case m.at == failed:
		return reader.Scrolled(sc, &m.scroll, m.sad(sc, wide), h)
	case m.at == proven:
		return reader.Scrolled(sc, &m.scroll, paper.Page(&sc.Theme, m.o.Done, wide), h)
	}
	return m.viewStop(sc, w, h)
}

// viewList is the check list, from what is not ticked yet on.
func (m *Model) viewList(sc *scene.Scene, w, h int) scene.Frame {
	lines := paper.Page(&sc.Theme, m.o.Proof.Page(m.o.Layout), w)
	if m.scroll.Top() < 0 {
		m.scroll.To(0)
		for i, l := range lines {
			if strings.HasPrefix(l, "[ ]") {
				m.scroll.To(max(0, i-h/3))
				break
			}
		}
	}
	return reader.Scrolled(sc, &m.scroll, lines, h)
}

// before is what can hurt, and what is made ready.
func (m *Model) before(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	out := text.Wrap(m.o.Proof.Plan.About(), w)
	if good, all := m.o.Proof.Count(); good > 0 {
		out = append(out, text.Wrap(t.Paint(style.Good,
			fmt.Sprintf("%d of %d readings were good before: it goes on behind them.", good, all)), w)...)
	}
	for i, s := range m.o.Proof.Plan.Before() {
		if i == 0 {
			out = append(out, text.Hang(t.Paint(style.Warn, "!!"), s, 3, w)...)
			out = append(out, t.Paint(style.Label, "GET READY"))
			continue
		}
		out = append(out, text.Hang("-", s, 2, w)...)
	}
	return append(out, text.Wrap(t.Paint(style.Dim, m.o.Kept), w)...)
}

func (m *Model) viewLeads(sc *scene.Scene, w int) scene.Frame {
	lines := append(text.Wrap(stage.AsksLeads, w), "")
	line, x := card.AnswerLine(sc, card.MeterShows, &m.read.Input, w)
	y := len(lines)
	lines = append(lines, line)
	if m.read.Fault != "" {
		lines = append(lines, reader.Faults(&sc.Theme, m.read.Fault, w)...)
	}
	return scene.Frame{Lines: lines, X: x, Y: y}
}

// viewStop is what is laid up to a stop, or what is done behind one that was good, with
// the map.
func (m *Model) viewStop(sc *scene.Scene, w, h int) scene.Frame {
	box := plan.BoxIn(w, h)
	lines := m.stopped(sc, box.Words, box.Beside)
	if box.H == 0 || !box.Beside && len(lines) > box.Y {
		return reader.Scrolled(sc, &m.scroll, lines, h)
	}
	f := reader.Scrolled(sc, &m.scroll, lines, h)
	show := plan.Show{Ask: &hunt.Ask{}, Chosen: -1, Plain: true}
	switch s := m.stop.(type) {
	case *stage.Stage:
		show.Ask.Setup.Lifted, show.Chosen = s.Open, s.End
	case *stage.Wire:
		show.Chosen = s.Piece
	}
	f.Lines = box.Put(f.Lines, m.plan.Draw(sc, show, box), h)
	return f
}

// stopped is the words of that; with what is read there where it is wanted.
func (m *Model) stopped(sc *scene.Scene, w int, all bool) []string {
	t := &sc.Theme
	var out []string
	if m.told != "" {
		out = append(out, text.Wrap(t.Paint(style.Good, m.told), w)...)
	}
	track, laid := m.stop.(*stage.Stage)
	if m.at == closing {
		good, done := strings.ToUpper(m.stop.Name())+" GOOD", "it is done"
		if laid {
			good, done = fmt.Sprintf("STOP %d IS GOOD", track.N), "it is closed"
		}
		out = append(out, text.Wrap(t.Paint(style.Key, good), w)...)
		out = append(out, "")
		return append(append(out, text.Wrap(m.stop.Tail(), w)...), "", t.Paint(style.Key, "Enter")+": "+done)
	}
	done := "it is done"
	if laid {
		out, done = append(out, m.lay(sc, track, w)...), "it is laid"
	} else {
		out = append(out, m.wire(sc, w)...)
	}
	if all {
		out = append(out, t.Paint(style.Label, "READ HERE"))
		out = append(out, paper.Ticks(t, m.o.Proof.Ticks(m.stop), w)...)
	}
	return append(out, t.Paint(style.Key, "Enter")+": "+done)
}

// lay is what is laid up to a stop of the track.
func (m *Model) lay(sc *scene.Scene, s *stage.Stage, w int) (out []string) {
	t := &sc.Theme
	if m.big {
		upper := strings.ToUpper(s.Last)
		out = append(big.Fit([]string{"LAY TO " + upper, "TO " + upper, upper}, w, sc.ASCII), "")
	}
	out = append(out, text.Hang(t.Paint(style.Key, "LAY"), s.Lay(sc.Layout)+", as they lie on the plan. "+s.Until()+".",
		card.Indent, w)...)
	for _, says := range append([]string{s.Care()}, m.o.Mind[s.N]...) {
		out = append(out, text.Hang(t.Paint(style.Warn, "!!"), says, 3, w)...)
	}
	return out
}

// wire is what is done before wires are read.
func (m *Model) wire(sc *scene.Scene, w int) (out []string) {
	t := &sc.Theme
	s := m.stop.(*stage.Wire)
	if m.big {
		out = append(big.Fit([]string{strings.ToUpper(s.Wires)}, w, sc.ASCII), "")
	}
	out = append(out, text.Wrap(t.Paint(style.Label, strings.ToUpper(s.Head())), w)...)
	out = append(out, text.Hang(t.Paint(style.Warn, "!!"), s.Care(), 3, w)...)
	for i, do := range s.Do {
		out = append(out, text.Hang(t.Paint(style.Key, fmt.Sprint(i+1)), do, 3, w)...)
	}
	return out
}

// sad is a stop that failed.
func (m *Model) sad(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	head := strings.ToUpper(m.stop.Name()) + ": NOT AS IT MUST BE"
	if s, ok := m.stop.(*stage.Stage); ok {
		head = fmt.Sprintf("STOP %d FAILS", s.N)
	}
	out := []string{t.Paint(style.Bad, head), ""}
	if m.busy {
		return append(out, t.Paint(style.Dim, "one moment"))
	}
	if !m.hunts {
		out = append(out, text.Wrap(m.stop.Failed(sc.Layout), w)...)
	}
	for _, s := range m.says {
		out = append(out, text.Wrap(s, w)...)
	}
	if m.hunts {
		out = append(out, "")
		out = append(out, text.Wrap(t.Paint(style.Key, "h")+" hunts for it now, beginning with what this stop says.",
			w)...)
	}
	return out
}

// asked is the next reading as a hunt would ask for it, so that dial, probes and map are
// drawn as there.
func (m *Model) asked() *hunt.Ask {
	s, r := m.o.Proof.Next()
	if r == nil {
		return nil
	}
	if m.ask != nil && m.askedFor == r {
		return m.ask
	}
	good, _ := m.o.Proof.Count()
	a := &hunt.Ask{N: good + 1, Meter: "beeper", Dial: r.Dial(m.o.Proof.Leads), Red: r.Red, Black: r.Black,
		Cautions: []string{s.Care()},
		Steps:    r.Acts(m.stood), Setup: hunt.Setup{Thrown: r.Thrown}}
	if track, ok := s.(*stage.Stage); ok {
		a.Setup.Lifted = track.Open
	}
	for _, to := range r.Clipped[min(1, len(r.Clipped)):] {
		a.Setup.Loads = append(a.Setup.Loads, hunt.Load{From: r.Clipped[0], To: to, Ohms: stage.ClipOhms})
	}
	m.ask, m.askedFor = a, r
	return a
}

// viewReading has the reading as in a hunt, what it must be and the answer right under
// it, and the map in its box.
func (m *Model) viewReading(sc *scene.Scene, w, h int) scene.Frame {
	words := plan.BoxIn(w, h).Words
	lines, _, _ := m.answer(sc, words)
	p := reader.Page{Ask: m.asked(), Rows: len(lines) + 1, Beside: func(w int) []string {
		return append([]string{sc.Theme.Paint(style.Label, "THIS STOP")},
			paper.Ticks(&sc.Theme, m.o.Proof.Ticks(m.stop), w)...)
	}}
	p.Answer = func(w int) ([]string, int, int) { return m.answer(sc, w) }
	if m.big {
		p.Large = func(w, h int) [][]string { return m.large(sc, p.Ask, w, h) }
	}
	return m.read.View(sc, p, w, h)
}

// answer is what the meter must say, the line that is typed, and what that means; all of
// it keeps its height while one types.
func (m *Model) answer(sc *scene.Scene, w int) (lines []string, line, x int) {
	t := &sc.Theme
	_, r := m.o.Proof.Next()
	lines = text.Hang(t.Paint(style.Key, "MUST"), r.Must(m.o.Proof.Leads)+" ("+r.Why+")", card.Indent, w)
	typed, x := card.AnswerLine(sc, card.MeterShows, &m.read.Input, w)
	line = len(lines)
	lines = append(lines, typed)
	hint := text.Wrap(t.Paint(style.Dim, r.Types()), w)
	below := hint
	switch got, err := r.Parse(strings.TrimSpace(m.read.Input.Value())); {
	case m.read.Fault != "":
		below = reader.Faults(t, m.read.Fault, w)
	case m.busy:
		below = []string{t.Paint(style.Dim, "one moment")}
	case m.read.Empty() && m.told != "":
		below = []string{t.Paint(style.Good, m.told)}
	case err == nil:
		o := m.o.Proof.Would(got)
		role := style.Bad
		if o == stage.Ticked {
			role = style.Good
		}
		below = text.Wrap(t.Paint(role, "= "+o.Means())+"; Enter takes it", w)
	}
	for len(below) < len(hint) {
		below = append(below, "")
	}
	return append(lines, below...), line, x
}

// large is the reading for two people: what one calls is read from the other end of the
// table. What is done before stands on a leaf of its own. None where not both probes fit.
func (m *Model) large(sc *scene.Scene, a *hunt.Ask, w, h int) [][]string {
	t := &sc.Theme
	if h < 2*big.High {
		return nil
	}
	var leaves [][]string
	if len(a.Steps) > 0 {
		leaves = append(leaves, append(append(card.Care(sc, a, w, false), t.Paint(style.Label, "GET READY")),
			card.Steps(sc, a, w)...))
	}
	_, r := m.o.Proof.Next()
	must := []string{strings.ToUpper(r.Must(0))}
	switch r.Want {
	case piece.Silent:
		must = []string{"MUST BE SILENT", "SILENT"}
	case piece.Beeps:
		must = []string{"MUST BEEP", "BEEPS"}
	}
	var out []string
	for _, part := range []struct {
		letter string
		role   style.Role
		ways   []string
	}{{"R", style.ProbeRed, spot.Ways(sc.Layout, a.Red)}, {"B", style.ProbeBlack, spot.Ways(sc.Layout, a.Black)},
		{"=", style.Key, must}} {
		if len(out)+big.High > h {
			break
		}
		out = append(out, big.Lettered(t.Paint(part.role, part.letter), part.ways, w, sc.ASCII)...)
		if len(out)+big.High+1 <= h {
			out = append(out, "")
		}
	}
	for _, part := range [][]string{card.Care(sc, a, w, false), card.Keep(sc, a, w), card.Dial(sc, a, w),
		card.Probes(sc, a, w, false)} {
		if len(out)+len(part) <= h {
			out = append(out, part...)
		}
	}
	return append(leaves, out)
}
