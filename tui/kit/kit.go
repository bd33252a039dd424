// Package kit asks what lies on the table: what is printed on the meter's dial,
// a lamp and what is written on it, what feeds it, the leads.
package kit

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// row is one thing that can be told, by the key that changes it.
type row string

const (
	rowSet       row = "r"
	rowRange     row = "1"
	rowBeeper    row = "2"
	rowOhms      row = "3"
	rowVolts     row = "4"
	rowAmps      row = "5"
	rowLamp      row = "6"
	rowMethod    row = "m"
	rowBlock     row = "b" // where the layout has one
	rowOnLamp    row = "7"
	rowFeed      row = "8"
	rowFeedVolts row = "v"
	rowLead      row = "9"
	rowExtension row = "0"
)

// rows are all of them, in the order of the arrows.
var rows = []row{rowSet, rowRange, rowBeeper, rowOhms, rowVolts, rowAmps, rowLamp, rowOnLamp, rowFeed, rowFeedVolts,
	rowLead, rowExtension, rowMethod, rowBlock}

// ticks are those that are there or not.
func ticks(k *hunt.Kit) map[row]*bool {
	return map[row]*bool{rowBeeper: &k.Beeper, rowOhms: &k.Ohms, rowVolts: &k.Volts, rowAmps: &k.Amps, rowLamp: &k.Lamp,
		rowExtension: &k.Extension, rowMethod: &k.Bisect, rowBlock: &k.Block}
}

// Model is the screen's own state.
type Model struct {
	block  bool // the layout has a labelled block
	kit    hunt.Kit
	start  hunt.Kit // what Esc comes back to
	wave   bool     // the dial has a wave and no bar
	row    int
	typing bool // a line for the row is open
	input  text.Input
	scroll text.Scroll
	reads  bool // scrolled away from the row
	fault  string
}

// New makes the screen for a kit; with nothing told of it the recommended set
// is what it begins with, so that Enter alone takes that.
func New(l *track.Layout, k hunt.Kit, told bool) *Model {
	if !told {
		gear.Recommend(&k, gear.AC(l))
	}
	return &Model{kit: k, start: k, input: text.NewInput(), block: len(l.Terminals) > 0}
}

// Typing says that every key goes into a line.
func (m *Model) Typing() bool { return m.typing }

// Update takes a message and gives back what to do.
func (m *Model) Update(sc *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case scene.Refused:
		m.fault = msg.Err.Error()
		if k := &sc.Kit; sc.View.Symptom != nil { // what is drawn is what the hunt does
			m.kit.Lamp, m.kit.DCVolts, m.kit.Battery = k.Lamp, k.DCVolts, k.Battery
			m.start = *k
		}
	case scene.Shown:
		if sc.View.Symptom != nil { // the hunt has one
			m.kit, m.start, m.typing = sc.Kit, sc.Kit, false
		}
	}
	k, ok := msg.(tea.KeyMsg)
	if !ok {
		return nil
	}
	if m.typing {
		return m.typeKey(k)
	}
	s := k.String()
	if m.reads = s == "pgup" || s == "pgdown"; m.reads {
		m.scroll.Key(s)
		return nil
	}
	switch s {
	case "up", "left", "-":
		m.move(-1)
	case "down", "right", "+":
		m.move(1)
	case " ", "x":
		return m.change(sc, rows[m.row])
	case "esc":
		m.kit, m.fault = m.start, ""
		return scene.Back{}
	case "enter":
		return m.done(sc)
	case "q":
		return scene.Quit{}
	default:
		for i, r := range rows {
			if s == string(r) && m.has(r) {
				m.row = i
				return m.change(sc, r)
			}
		}
	}
	return nil
}

// has says whether a row makes sense with this kit.
func (m *Model) has(r row) bool {
	if r == rowBlock {
		return m.block
	}
	k := m.told()
	return r != rowFeedVolts || gear.FeedOf(&k) != gear.OwnSupply
}

func (m *Model) move(by int) {
	for i := m.row + by; i >= 0 && i < len(rows); i += by {
		if m.has(rows[i]) {
			m.row = i
			return
		}
	}
}

// change turns a row on or off, to its next value, or opens its line.
func (m *Model) change(sc *scene.Scene, r row) tea.Msg {
	m.fault = ""
	k, ac := &m.kit, gear.AC(sc.Layout)
	if v := ticks(k)[r]; v != nil {
		*v = !*v
		return nil
	}
	switch r {
	case rowSet:
		m.wave = false
		if gear.IsRecommended(k, ac) {
			gear.SetFeed(k, gear.OwnSupply)
		} else {
			gear.Recommend(k, ac)
		}
	case rowRange:
		m.nextRange(ac)
	case rowOnLamp:
		m.nextLamp()
	case rowFeed:
		k.Lamp = true
		if m.mark() == gear.WaveOnly {
			return scene.Say{Text: "a dial with a wave alone reads no battery: the transformer feeds the lamp"}
		}
		next := map[gear.Feed]gear.Feed{gear.Battery: gear.PowerPack, gear.PowerPack: gear.OwnSupply,
			gear.OwnSupply: gear.Battery}
		gear.SetFeed(k, next[gear.FeedOf(k)])
	default:
		m.open(m.value(r))
	}
	return nil
}

// told is the kit as it would be taken: a dial with nothing but a wave reads no
// battery, so the transformer stays with it.
func (m *Model) told() hunt.Kit {
	k := m.kit
	if m.mark() == gear.WaveOnly {
		gear.SetFeed(&k, gear.OwnSupply)
	}
	return k
}

// mark is what the dial's millivolt range is marked with.
func (m *Model) mark() gear.Range {
	if m.wave && gear.RangeOf(&m.kit) == gear.BarAndWave {
		return gear.WaveOnly
	}
	return gear.RangeOf(&m.kit)
}

func (m *Model) nextRange(ac bool) {
	next := map[gear.Range]gear.Range{gear.BarOnly: gear.WaveOnly, gear.WaveOnly: gear.BarAndWave,
		gear.BarAndWave: gear.NoRange, gear.NoRange: gear.BarOnly}[m.mark()]
	if next == gear.WaveOnly && !ac { // nothing on DC track is read by a wave
		next = gear.BarAndWave
	}
	gear.SetRange(&m.kit, next, ac)
	m.wave = next == gear.WaveOnly
}

// nextLamp goes from "don't know" to the bulb that anyone can buy, two of them
// in series, and a line for any other.
func (m *Model) nextLamp() {
	bulb, two := gear.Bulb(1), gear.Bulb(2)
	switch gear.Of(&m.kit) {
	case gear.Lamp{}:
		bulb.Into(&m.kit)
	case bulb:
		two.Into(&m.kit)
	case two:
		gear.Lamp{}.Into(&m.kit)
		m.open("")
	default:
		gear.Lamp{}.Into(&m.kit)
	}
}

func (m *Model) open(value string) {
	m.typing = true
	m.input.Set(value)
}

// value is what a row's line begins with.
func (m *Model) value(r row) string {
	if r == rowFeedVolts {
		return strings.TrimSuffix(gear.Volt(m.kit.DCVolts), " V")
	}
	return gear.Metres(m.kit.Lead())
}

// typeKey takes the keys of an open line.
func (m *Model) typeKey(k tea.KeyMsg) tea.Msg {
	switch k.String() {
	case "esc":
		m.typing, m.fault = false, ""
	case "enter":
		if err := m.typed(m.input.Value()); err != nil {
			m.fault = err.Error()
			return nil
		}
		m.typing, m.fault = false, ""
	default:
		if m.input.Update(k) {
			m.fault = ""
		}
	}
	return nil
}

// typed takes what stands in the line.
func (m *Model) typed(s string) error {
	switch rows[m.row] {
	case rowOnLamp:
		l, err := gear.ReadLamp(s)
		if err != nil {
			return err
		}
		l.Into(&m.kit)
	case rowFeedVolts:
		v, err := gear.ReadDC(s)
		if err != nil {
			return err
		}
		m.kit.DCVolts = v
	case rowLead:
		v, err := gear.ReadLead(s)
		if err != nil {
			return err
		}
		m.kit.LeadMetres = v
	}
	return nil
}

func (m *Model) done(sc *scene.Scene) tea.Msg {
	if !gear.CanMeasure(&m.kit) {
		m.fault = "choose at least one thing to measure with: something of a meter, or a lamp"
		return nil
	}
	m.start = m.told()
	if sc.View.Symptom != nil && m.start == sc.Kit {
		return scene.Back{}
	}
	return scene.SetKit{Kit: m.start}
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	if m.typing {
		return []scene.Key{{Press: "Enter", Does: "take what stands in the line", Hint: "Enter take it"},
			{Press: "Esc", Does: "close the line, nothing changed", Hint: "Esc close"}}
	}
	return []scene.Key{
		{Press: "Enter", Does: "I have what is ticked: go on", Hint: "Enter go on"},
		{Press: "r", Does: "the recommended set, or not", Hint: "r recommended"},
		{Press: "0-9, v, m", Does: "have it or not; the next value; a line to type in", Hint: "0-9 v m change"},
		{Press: "arrows, + -, Space", Does: "the same with a cursor"},
		{Press: "PgDn, PgUp", Does: "scroll"},
		{Press: "Esc", Does: "back, nothing changed", Hint: "Esc back"},
		{Press: "q", Does: "leave"},
	}
}
