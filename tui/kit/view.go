package kit

import (
	"strings"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// listWidth is the width of the list where the drawing stands beside it.
const listWidth = 42

// picture draws one screenful.
type picture struct {
	m     *Model
	sc    *scene.Scene
	kit   hunt.Kit
	w     int
	lines []string
	at    int // the line of the chosen row
	x     int // the caret, where a line is open
}

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	p := &picture{m: m, sc: sc, kit: m.told(), w: w}
	beside := w >= listWidth+2+gear.DrawWidth
	if beside {
		p.w = listWidth
	}
	p.list()
	p.note()
	side := p.side(min(max(w-listWidth-2, 30), 60))
	if !beside {
		if len(gear.Mind(&p.kit, sc.Layout, symptomOf(sc))) == 0 {
			p.lines = append(p.lines, "")
		}
		p.lines = append(p.lines, p.side(w)...)
	}
	if !m.reads {
		m.scroll.Show(p.at, h)
	}
	out := m.scroll.View(&sc.Theme, p.lines, h, "PgDn")
	if beside {
		out = text.Beside(out, side, listWidth, h, "  ")
	}
	return scene.Frame{Lines: out, X: p.x, Y: p.at - m.scroll.Top()}
}

// list draws what can be told.
func (p *picture) list() {
	k, ac := &p.kit, gear.AC(p.sc.Layout)
	p.say(style.Title, "What lies on the table?")
	set, why := gear.Recommended(ac)
	p.hang(rowSet, tick(gear.IsRecommended(k, ac)), "RECOMMENDED: "+set)
	p.say(style.Dim, "    "+why)
	p.dial()
	p.pair(p.cell(rowBeeper, "beeper"), p.cell(rowOhms, "ohms"))
	p.pair(p.cell(rowVolts, "volts"), p.cell(rowAmps, "amps"))
	p.pair(p.cell(rowLamp, "a lamp"), "")
	if p.kit.Lamp {
		p.line(rowOnLamp, "on it: ", p.onLamp())
		feed, volts := map[gear.Feed]string{gear.Battery: "a battery", gear.PowerPack: "a DC pack",
			gear.OwnSupply: "transformer"}[gear.FeedOf(k)], ""
		if gear.FeedOf(k) != gear.OwnSupply {
			volts = p.value(rowFeedVolts, "", gear.Volt(k.DCVolts))
		} else if !ac {
			feed = "your pack"
		}
		if volts == "" {
			p.line(rowFeed, "fed by ", feed)
		} else {
			p.pair(p.value(rowFeed, "fed by ", feed), volts)
		}
	}
	p.pair(p.value(rowLead, "leads ", gear.Metres(k.Lead())), p.cell(rowExtension, "extension"))
	p.lines = append(p.lines, p.cell(rowMethod, "ask in halves (bisection)"))
	if p.m.block {
		p.lines = append(p.lines, p.cell(rowBlock, "all of the block before the track"))
	}
}

// dial draws the two signs that a millivolt range can have.
func (p *picture) dial() {
	mark := p.m.mark()
	p.line(rowRange, "", "beside 200 mV (or 400 mV) stands")
	box := func(r gear.Range, s string) string {
		if r == mark {
			return p.sc.Theme.Paint(style.Select, "["+s+"]")
		}
		return " " + s + " "
	}
	p.lines = append(p.lines,
		"      _____      _",
		"      - - -     / \\_/",
		"     "+box(gear.BarOnly, "bar DC")+" "+box(gear.WaveOnly, "wave AC")+" "+box(gear.BarAndWave, "both")+" "+
			box(gear.NoRange, "none"))
}

func tick(on bool) string {
	if on {
		return "[x] "
	}
	return "[ ] "
}

func (p *picture) chosen(r row) bool { return rows[p.m.row] == r }

// mark is what stands before a row: its key, and that it is chosen.
func (p *picture) mark(r row) string {
	if p.chosen(r) {
		return ">" + p.sc.Theme.Paint(style.Key, string(r)) + " "
	}
	return " " + p.sc.Theme.Paint(style.Key, string(r)) + " "
}

// paint shows which row is chosen.
func (p *picture) paint(r row, s string) string {
	if p.chosen(r) && !p.m.typing {
		return p.sc.Theme.Paint(style.Select, s)
	}
	return s
}

// cell is a row that is there or not.
func (p *picture) cell(r row, name string) string {
	p.here(r)
	return p.mark(r) + tick(*ticks(&p.kit)[r]) + p.paint(r, name)
}

// value is a row with a value, or with its open line.
func (p *picture) value(r row, name, value string) string {
	p.here(r)
	if p.chosen(r) && p.m.typing {
		in, x := p.m.input.View(max(p.w-8-len(name), 6), func(s string) string {
			return p.sc.Theme.Paint(style.Caret, s)
		})
		p.x = 7 + len(name) + x
		if r == rowFeedVolts {
			p.x += p.w / 2
			return p.mark(r) + name + in
		}
		return p.mark(r) + "    " + name + in
	}
	gap := "    "
	if r == rowFeedVolts {
		gap = ""
	}
	return p.mark(r) + gap + p.paint(r, name+value)
}

// here notes where the chosen row stands.
func (p *picture) here(r row) {
	if p.chosen(r) {
		p.at, p.x = len(p.lines), 0
	}
}

// pair puts two rows into one line.
func (p *picture) pair(left, right string) {
	p.lines = append(p.lines, text.Fit(left, p.w/2+3)+right)
}

func (p *picture) line(r row, name, value string) {
	p.lines = append(p.lines, text.Fit(p.value(r, name, value), p.w))
}

// hang wraps a row's words beside its tick.
func (p *picture) hang(r row, box, s string) {
	p.here(r)
	for i, l := range text.Wrap(s, p.w-7) {
		if i == 0 {
			p.lines = append(p.lines, p.mark(r)+box+p.paint(r, l))
		} else {
			p.lines = append(p.lines, strings.Repeat(" ", 7)+p.paint(r, l))
		}
	}
}

func (p *picture) say(role style.Role, s string) {
	lead := len(s) - len(strings.TrimLeft(s, " "))
	for _, l := range text.Wrap(strings.TrimLeft(s, " "), p.w-lead) {
		p.lines = append(p.lines, strings.Repeat(" ", lead)+p.sc.Theme.Paint(role, l))
	}
}

// onLamp is what is written on the lamp, and the current that this means.
func (p *picture) onLamp() string {
	l := gear.Of(&p.kit)
	if !l.Known() {
		return "don't know (that is fine)"
	}
	_, trip := gear.Trips(&p.kit, p.sc.Layout)
	return l.On(gear.Volts(&p.kit, p.sc.Layout), trip)
}

// note is what was wrong, or what keeps the kit from being changed.
func (p *picture) note() {
	switch {
	case p.m.fault != "":
		p.say(style.Bad, "! "+p.m.fault)
	case p.m.typing && rows[p.m.row] == rowOnLamp:
		p.say(style.Dim, `as "21W 12V", "1.5A 6V", "2 x 5W 12V"; then Enter`)
	case p.chosen(rowMethod):
		p.say(style.Dim, gear.MethodSays)
	case p.chosen(rowBlock):
		p.say(style.Dim, gear.BlockSays)
	}
}

// symptomOf is what is hunted, or about to be; nil where nothing was told yet.
func symptomOf(sc *scene.Scene) *hunt.Symptom {
	if sc.Held != nil {
		return sc.Held.Symptom
	}
	return sc.View.Symptom
}

// side is what stands beside the list: what to mind, the lamp hooked up, the
// bulb to buy.
func (p *picture) side(w int) []string {
	t := &p.sc.Theme
	var out []string
	symptom := symptomOf(p.sc)
	for _, s := range gear.Mind(&p.kit, p.sc.Layout, symptom) {
		for _, l := range text.Hang("! ", s, 2, w) {
			out = append(out, t.Paint(style.Warn, l))
		}
	}
	if len(out) > 0 {
		out = append(out, "")
	}
	h, ok := gear.HookupOf(&p.kit, p.sc.Layout, symptom, 0)
	if !ok {
		return append(out, text.Wrap(gear.NoLamp(symptom), w)...)
	}
	out = append(out, h.Draw(p.sc.ASCII)...)
	if !gear.Of(&p.kit).Known() {
		out = append(out, "")
		for _, l := range text.Wrap("To buy: "+gear.Buy(&p.kit, p.sc.Layout)+
			". A small bulb misleads: its millivolts drown in the meter's last digit.", w) {
			out = append(out, t.Paint(style.Dim, l))
		}
	}
	return out
}
