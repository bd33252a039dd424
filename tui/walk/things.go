package walk

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/course"
)

func wholeNumber(s string, lo, hi int) (int, error) {
	n, err := strconv.Atoi(s)
	if err != nil || n < lo || n > hi {
		return 0, fmt.Errorf("give a whole number from %d to %d", lo, hi)
	}
	return n, nil
}

func decimal(s, what string) (float64, error) {
	v, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", "."), 64)
	if err != nil {
		return 0, fmt.Errorf("%s: give a number, like 18", what)
	}
	return v, nil
}

// feeder asks for the wire of a new feeder here; where there are feeders, one
// of them can be moved here instead.
func feeder(m *Model, _ int) tea.Msg {
	if _, err := m.course.Things().Spot(); !m.check(err) {
		return nil
	}
	if len(m.course.Wiring().Supplies()) == 0 {
		m.under().supplyForm(func(m *Model) tea.Msg { m.under().feederForm(); return nil })
		return nil
	}
	if len(m.course.Wiring().Outlets(0, "feeder")) > 1 {
		return m.under().feederInquiry()
	}
	m.under().feederForm()
	return nil
}

func (under underTable) feederForm() {
	at, _ := under.m.course.Things().Spot()
	supply := under.m.course.Wiring().Supplies()[0]
	under.m.panel = &form{title: "A feeder at " + under.m.course.State().PlaceName(at),
		fields: []field{typed("wire", under.m.wire, "a size like 16 AWG or 0.75 mm2; 16 is 16 AWG"),
			typed("length, one way", under.m.length, "a length like 6 ft or 2 m"),
			typed("name", under.m.course.Wiring().NextFeeder(), "")},
		done: func(m *Model, v []string) (tea.Msg, error) {
			for i, attr := range []string{"wire", "length"} {
				s, err := m.course.Wiring().Tidy("feeder", attr, v[i])
				if err != nil {
					return nil, &wrongField{i, err}
				}
				v[i] = s
			}
			if err := m.course.Wiring().AddFeeder(v[2], supply, v[0], v[1]); err != nil {
				return nil, atField(err, map[string]int{"wire": 0, "length": 1, course.Name: 2})
			}
			m.wire, m.length = v[0], v[1]
			m.tell("feeder %s at %s", v[2], m.course.State().PlaceName(at))
			return nil, nil
		}}
}

// atField puts an error at the row of the field that it is about.
func atField(err error, rows map[string]int) error {
	var w *course.Wrong
	if errors.As(err, &w) {
		if row, ok := rows[w.Field]; ok {
			return &wrongField{row, err}
		}
	}
	return err
}

func (under underTable) supplyForm(then func(*Model) tea.Msg) {
	current, volts, breaker := under.m.asks().usualSupply()
	under.m.panel = &form{title: "The supply that feeds the track",
		fields: []field{typed("name", under.m.course.Wiring().NextSupply(), ""),
			chosen("current", current, []string{"ac", "dc"}, ""), typed("volts", volts, "at its posts"),
			typed("breaker, amperes", breaker, "")},
		done: func(m *Model, v []string) (tea.Msg, error) {
			volts, err := decimal(v[2], "volts")
			if err != nil {
				return nil, &wrongField{2, err}
			}
			breaker, err := decimal(v[3], "breaker")
			if err != nil {
				return nil, &wrongField{3, err}
			}
			if err := m.course.Wiring().AddSupply(v[0], v[1] == "ac", volts, breaker); err != nil {
				return nil, atField(err, map[string]int{"volts": 2, "breaker": 3, course.Name: 0})
			}
			m.tell("supply %s", v[0])
			return then(m), nil
		}}
}

// usualSupply is what is proposed: AC of 18 V for three rails, DC of 12 V for
// two (common practice, no source).
func (asks asks) usualSupply() (current, volts, breaker string) {
	if len(asks.railSets()) == 3 {
		return "dc", "12", "3"
	}
	return "ac", "18", "10"
}

// insulated asks which rails, by the construction of the piece behind.
func insulated(m *Model, _ int) tea.Msg {
	if _, err := m.course.Things().Spot(); !m.check(err) {
		return nil
	}
	var items []item
	for _, rails := range m.asks().railSets() {
		var names []string
		for _, r := range rails {
			names = append(names, string(r))
		}
		items = append(items, item{says: strings.Join(names, " and "), do: func(m *Model) tea.Msg {
			if m.check(m.course.Things().AddInsulated(rails)) {
				m.tell("the joint is insulated")
			}
			return nil
		}})
	}
	m.panel = &menu{title: "Which rail is insulated at this joint? Left and right as you walk.", items: items}
	return nil
}

func (asks asks) railSets() [][]track.Rail {
	sets := [][]track.Rail{{track.Center}, {track.Left}, {track.Right}, {track.Left, track.Right},
		{track.Left, track.Center, track.Right}}
	l, _ := asks.m.course.Layout()
	p := asks.m.course.Behind()
	if p == nil {
		p = asks.m.course.Ahead()
	}
	if l == nil || p == nil {
		return sets
	}
	if i := asks.m.course.Index(p.ID); i >= 0 && l.Pieces[i].Construction != nil &&
		!l.Pieces[i].Construction.HasRail(track.Center) {
		return [][]track.Rail{{track.Left}, {track.Right}, {track.Left, track.Right}}
	}
	return sets
}

// hidden begins a stretch, or ends the one that was begun.
func hidden(m *Model, _ int) tea.Msg {
	if h := m.course.State().Hidden; h != nil {
		if m.check(m.course.Things().EndHidden()) {
			m.tell("%s ends here", h.Name)
		}
		return nil
	}
	name := "tunnel"
	for n := 2; m.taken("hidden", name); n++ {
		name = "tunnel " + strconv.Itoa(n)
	}
	m.panel = &form{title: "A stretch that is hard to reach begins here; h again ends it",
		fields: []field{typed("name", name, ""),
			typed("minutes more for each touch", "6", "how much longer it takes to reach the rails there")},
		done: func(m *Model, v []string) (tea.Msg, error) {
			minutes, err := decimal(v[1], "minutes")
			if err != nil {
				return nil, &wrongField{1, err}
			}
			if err := m.course.Things().BeginHidden(v[0], minutes); err != nil {
				return nil, atField(err, map[string]int{"minutes": 1})
			}
			m.tell("%s begins here: walk on, then h where it ends", v[0])
			return nil, nil
		}}
	return nil
}

func (m *Model) taken(kind, name string) bool {
	for _, t := range m.course.State().Things {
		if t.Kind == kind && t.Label.Text == name {
			return true
		}
	}
	return false
}

func landmark(m *Model, _ int) tea.Msg {
	at, err := m.course.Things().Spot()
	if !m.check(err) {
		return nil
	}
	m.panel = &form{title: "What can be seen here, at " + m.course.State().PlaceName(at) + "?",
		fields: []field{typed("landmark", "", "station, tunnel mouth, water tower")},
		done:   func(m *Model, v []string) (tea.Msg, error) { return nil, m.course.Things().AddLandmark(v[0]) }}
	return nil
}

func note(m *Model, _ int) tea.Msg {
	p := m.course.Behind()
	if p == nil {
		m.fault("a note is about the piece behind you, and none lies there")
		return nil
	}
	m.panel = &form{title: "A note about " + m.course.Title(p), fields: []field{typed("note", "", "")},
		done: func(m *Model, v []string) (tea.Msg, error) { return nil, m.course.Things().AddNote(v[0]) }}
	return nil
}

func named(m *Model, _ int) tea.Msg {
	p := m.course.Behind()
	if p == nil {
		m.fault("the piece behind you gets the name, and none lies there")
		return nil
	}
	m.panel = &form{title: "A name for " + m.course.Title(p),
		fields: []field{typed("name", p.Words.Name,
			"a letter, then letters, digits, - or _; empty takes the name away")},
		done: func(m *Model, v []string) (tea.Msg, error) { return nil, m.course.Laying().NameIt(v[0]) }}
	return nil
}

// takeAway lists what lies here, and what lies nowhere or over many pieces.
func takeAway(m *Model, _ int) tea.Msg {
	var items []item
	seen := map[int]bool{}
	add := func(t *course.Thing) {
		if seen[t.ID] {
			return
		}
		seen[t.ID] = true
		id, what := t.ID, m.course.Things().Describe(t)
		_, under := m.course.Wiring().Entry(id)
		items = append(items, item{says: what, do: func(m *Model) tea.Msg {
			if under {
				return m.under().takeThing(id)
			}
			return m.removed(id, what)
		}})
	}
	for _, t := range m.course.Things().AtSpot() {
		add(t)
	}
	for _, t := range m.course.Stretches().Over() {
		add(t)
	}
	s := m.course.State()
	for i := range s.Things {
		switch t := &s.Things[i]; t.Kind {
		case "supply", "bus", "strip", "toggle", "hidden":
			add(t)
		case "accessory":
			if e, _ := m.course.Wiring().Entry(t.ID); e.Places["at"].Piece == 0 {
				add(t)
			}
		}
	}
	if len(items) == 0 {
		m.fault("nothing lies here that could be taken away; Backspace takes a piece out")
		return nil
	}
	m.panel = &menu{title: "Take away what?", items: items}
	return nil
}

func (m *Model) removed(id int, what string) tea.Msg {
	if m.check(m.course.Things().Remove(id)) {
		m.tell("%s taken away (u brings it back)", what)
	}
	return nil
}

// branch walks off along another leg of the turnout here.
// branch begins a run at once on the one free leg where one stands; from
// anywhere else it lists them all. With ask the name of the run is asked first.
func branch(ask bool) act {
	return func(m *Model, _ int) tea.Msg {
		legs := m.course.Ends().Branches()
		if len(legs) == 0 {
			legs = m.course.Ends().Legs()
		}
		begin := (*Model).begin
		if ask {
			begin = (*Model).beginForm
		}
		switch len(legs) {
		case 0:
			m.fault("no turnout or crossing has a free leg: t lays a turnout")
		case 1:
			begin(m, legs[0])
		default:
			var items []item
			for _, a := range legs {
				items = append(items, item{says: m.course.Ends().EndName(a), do: func(m *Model) tea.Msg {
					begin(m, a)
					return nil
				}})
			}
			m.panel = &menu{title: "Walk off along which leg?", items: items}
		}
		return nil
	}
}

// begin begins a run with the name that is free. Who is used to an Enter behind
// it lays nothing with it.
func (m *Model) begin(from course.Anchor) {
	name := m.course.Ends().NextRun()
	if m.check(m.course.Ends().Begin(name, from)) {
		m.once = true
		m.tell("you stand at the start of %s, at %s: walk on (u: not there)", name, m.course.Ends().EndName(from))
	}
}

func (m *Model) beginForm(from course.Anchor) {
	title := "A run of its own, joined to nothing yet"
	if from.Piece != 0 {
		title = "A run that begins at " + m.course.Ends().EndName(from)
	}
	m.panel = &form{title: title, fields: []field{typed("its name", m.course.Ends().NextRun(),
		"a letter, then letters, digits, - or _")},
		done: func(m *Model, v []string) (tea.Msg, error) {
			if err := m.course.Ends().Begin(v[0], from); err != nil {
				return nil, err
			}
			m.tell("you stand at the start of %s: walk on", v[0])
			return nil, nil
		}}
}

func openEnd(m *Model, _ int) tea.Msg {
	if m.check(m.course.Ends().Unjoin()) {
		m.tell("the end of %s is open", m.course.Here().Name)
	}
	return nil
}

// joinEnd closes the run or joins it to another: at once where its end meets
// one other end and no more, else it asks.
func joinEnd(m *Model, _ int) tea.Msg {
	targets := m.course.Ends().Targets()
	if _, free := m.course.Ends().End(); !free {
		m.fault("the end of this run is taken: a bumper, or joined already (o opens it)")
		return nil
	}
	if len(targets) == 0 {
		m.fault("there is no free end to join it to; a run closes on itself from 3 pieces on")
		return nil
	}
	meets := 0
	for i := range targets {
		if targets[i].Miss.Within() {
			meets++
		}
	}
	if meets == 1 && targets[0].Miss.Within() {
		return m.join(targets[0])
	}
	var items, off []item // what fits comes first: Enter takes it
	for _, t := range targets[:min(len(targets), 4)] {
		if fit, ok := m.course.Ends().FitFor(&t); ok {
			items = append(items, item{says: fmt.Sprintf("%s, with a straight of %s cut to fit behind %s", t.Name,
				fit.Size, m.pieceBefore(fit.At)),
				do: func(m *Model) tea.Msg {
					if m.check(m.course.Ends().LayFit(fit, t)) {
						m.tell("joined to %s with a straight of %s (u takes it back)", t.Name, fit.Size)
					}
					return nil
				}})
		}
		off = append(off, item{says: t.Name + " as it is: " + m.course.Say(t.Miss), do: func(m *Model) tea.Msg {
			return m.join(t)
		}})
	}
	items = append(append(items, off...), item{says: "none: walk on"})
	m.panel = &menu{title: "Join the end of " + m.course.Here().Name + " to", items: items}
	return nil
}

func (m *Model) pieceBefore(at int) string {
	r := m.course.Here()
	if at < 1 || at > len(r.Pieces) {
		return "its start"
	}
	return m.course.Title(&r.Pieces[at-1])
}

func (m *Model) join(t course.Target) tea.Msg {
	if !m.check(m.course.Ends().Join(t)) {
		return nil
	}
	says := "joined to " + t.Name
	if t.Own {
		says = "the run closes"
	}
	if s := m.course.Say(t.Miss); s != "meets" {
		says += "; it misses by " + s
	}
	m.tell("%s", says)
	return nil
}

// told is what is wrong, and where.
func told(t course.Trouble) string {
	if t.Where == "" || strings.Contains(t.Says, t.Where) {
		return t.Says
	}
	return t.Where + ": " + t.Says
}

// troubles lists what is wrong with the layout.
func troubles(m *Model, _ int) tea.Msg {
	list := m.course.Troubles()
	if len(list) == 0 {
		m.tell("nothing is wrong with the layout")
		return nil
	}
	var items []item
	for _, t := range list {
		says := told(t)
		if t.Fix != "" {
			says += ". " + t.Fix
		}
		items = append(items, item{says: says, do: func(m *Model) tea.Msg {
			if t.Piece == 0 || !m.course.Cursor().Go(t.Piece) {
				m.tell("that is not at one place")
			}
			return nil
		}})
	}
	m.panel = &menu{title: "What is wrong (Enter goes there)", items: items, tall: true}
	return nil
}
