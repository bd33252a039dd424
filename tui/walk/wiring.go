package walk

import (
	"fmt"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/course"
)

// power is the menu of everything that carries current.
func power(m *Model, _ int) tea.Msg {
	c := m.course
	none, spot, rail := "", "", ""
	if len(c.Wiring().Supplies()) == 0 {
		none = "first a supply"
	}
	if _, err := c.Things().Spot(); err != nil {
		spot = "lay a piece first"
	}
	if err := m.railHere(); err != nil {
		rail = err.Error()
	}
	block := ""
	if c.Ahead() == nil && !c.Here().Closes {
		block = "it lies ahead of you: go back to where it begins"
	}
	if len(c.Things().Named("toggle")) == 0 { // a block that nothing switches is none
		block = "make a toggle first: p 4"
	}
	list := "nothing lies there yet"
	if len(c.Wiring().Under()) > 0 {
		list = ""
	}
	m.panel = &menu{title: "Power and wiring: add", items: []item{
		{says: "a feeder where you stand", off: spot, do: func(m *Model) tea.Msg { return feeder(m, 1) }},
		{says: "a supply", do: newSupply},
		{says: "a bus, or a terminal strip", off: none, do: newBus},
		{says: "a toggle", off: none, do: newToggle},
		{says: "a block from here on", off: block, do: newBlock},
		{says: "an accessory: lamp, signal, gate", do: newAccessory},
		{says: "an insulated rail from here on", off: rail, do: newRail},
		{says: "change or take away what is there", off: list, do: underMenu},
	}}
	return nil
}

const backFeed = "Caution: two supplies feed each other backwards through the track. With one plugged in, the mains plug of the other can be live: pull both plugs and never touch the pins."

func newSupply(m *Model) tea.Msg {
	if len(m.course.Wiring().Supplies()) == 0 {
		m.supplyForm(func(*Model) tea.Msg { return nil })
		return nil
	}
	return m.inquire(&inquiry{title: "A further supply", about: backFeed, list: m.supplyQuestions(0),
		done: func(m *Model, a answers) (tea.Msg, error) { return m.putNew(entryOf("supply", a)) }})
}

func newBus(m *Model) tea.Msg {
	return m.inquire(&inquiry{title: "A bus or strip", list: m.busQuestions(0, "bus"),
		done: func(m *Model, a answers) (tea.Msg, error) {
			kind := a["kind"]
			delete(a, "kind")
			out, err := m.putNew(entryOf(kind, a))
			if err != nil {
				a["kind"] = kind
				return nil, err
			}
			m.outlet = "bus " + a["name"]
			m.tell("%s %s is there: f hangs feeders on it", kind, a["name"])
			return out, nil
		}})
}

func newToggle(m *Model) tea.Msg {
	return m.inquire(&inquiry{title: "A toggle", list: m.toggleQuestions(0),
		done: func(m *Model, a answers) (tea.Msg, error) {
			out, err := m.putNew(entryOf("toggle", a))
			if err == nil {
				m.outlet = "toggle " + a["name"]
				m.tell("toggle %s is there: f hangs feeders on it, p 5 makes its block", a["name"])
			}
			return out, err
		}})
}

// feederInquiry asks for a feeder where there is more than one outlet.
func (m *Model) feederInquiry() tea.Msg {
	at, _ := m.course.Things().Spot()
	where := m.course.State().PlaceName(at)
	return m.inquire(&inquiry{title: "A feeder at " + where, list: m.feederQuestions(0),
		done: func(m *Model, a answers) (tea.Msg, error) {
			e := entryOf("feeder", a)
			e.Places["at"] = at
			if _, err := m.putNew(e); err != nil {
				return nil, err
			}
			m.wire, m.length = a["wire"], a["length"]
			m.tell("feeder %s at %s, on %s", a["name"], where, outletOf(a))
			return nil, nil
		}})
}

func newBlock(m *Model) tea.Msg {
	return m.inquire(&inquiry{title: "A block from here on", list: m.blockQuestions(),
		done: func(m *Model, a answers) (tea.Msg, error) {
			n, _ := strconv.Atoi(a["pieces"])
			plan := course.BlockPlan{Name: a["name"], Pieces: n, Toggle: a["toggle"], Hang: a["hang"] != "", Cut: a["cut"] != ""}
			if err := m.course.Stretches().AddBlock(plan); err != nil {
				return nil, err
			}
			m.tell("block %s is there, %s", plan.Name, plural(n, "piece"))
			if !plan.Hang && plan.Toggle != "" && !m.fedBy(plan.Toggle) {
				m.tell("block %s is there; a feeder in it must hang on %s: walk in, then f", plan.Name, plan.Toggle)
			}
			return nil, nil
		}})
}

// fedBy says whether a feeder hangs on a toggle.
func (m *Model) fedBy(toggle string) bool {
	for _, t := range m.course.Wiring().Under() {
		if e, ok := m.course.Wiring().Entry(t.ID); ok && e.Kind == "feeder" && e.Values["toggle"] == toggle {
			return true
		}
	}
	return false
}

func newAccessory(m *Model) tea.Msg {
	at, err := m.trackSpot()
	if err != nil && len(m.course.Wiring().Supplies()) == 0 {
		m.fault("lay the piece that it lies on, or first a supply")
		return nil
	}
	return m.inquire(&inquiry{title: "An accessory", list: m.accessoryQuestions(0),
		done: func(m *Model, a answers) (tea.Msg, error) {
			e := entryOf("accessory", a)
			if a["on"] == onTrack {
				e.Places["at"] = at
			}
			if out, err := m.putNew(e); err != nil || a["worked"] == "" {
				return out, err
			}
			m.say = ""
			return m.railFor(a["name"]), nil
		}})
}

func newRail(m *Model) tea.Msg {
	if len(m.course.Wiring().Worked()) == 0 {
		m.fault("first the accessory that it works, hung on a supply and not on the track: p 6")
		return nil
	}
	return m.railFor("")
}

// railFor asks for the insulated rail of an accessory; "" asks which one.
func (m *Model) railFor(works string) tea.Msg {
	list := m.railQuestions()
	a := answers{}
	if works != "" {
		a["works"] = works
		list = list[1:]
	}
	return m.inquire(&inquiry{title: strings.TrimSpace("Insulated rail from here on " + forWhat(works)), list: list, a: a,
		done: func(m *Model, a answers) (tea.Msg, error) {
			n, _ := strconv.Atoi(a["pieces"])
			tap, _ := strconv.Atoi(a["tap"])
			plan := course.RailPlan{Name: a["name"], Works: a["works"], Rail: track.Rail(a["rail"]), Pieces: n, Tap: tap, Wire: a["wire"], Length: a["length"], Untie: a["untie"] != ""}
			if err := m.course.Stretches().AddRail(plan); err != nil {
				return nil, err
			}
			m.tell("%s works %s; its two joints are insulated", plan.Name, plan.Works)
			return nil, nil
		}})
}

func forWhat(works string) string {
	if works == "" {
		return ""
	}
	return "for " + works
}

// underMenu lists what lies under the table.
func underMenu(m *Model) tea.Msg {
	var items []item
	for _, t := range m.course.Wiring().Under() {
		id := t.ID
		items = append(items, item{says: m.course.Wiring().Tell(t), do: func(m *Model) tea.Msg { return m.thingMenu(id) }})
	}
	if len(items) == 0 {
		m.fault("nothing lies there yet")
		return nil
	}
	m.panel = &menu{title: "Change, move or take away what?", items: items, tall: true}
	return nil
}

// questionsOf are the questions about a thing that is there.
func (m *Model) questionsOf(id int, kind string) []question {
	switch kind {
	case "supply":
		return m.supplyQuestions(id)
	case "bus", "strip":
		return m.busQuestions(id, kind)
	case "toggle":
		return m.toggleQuestions(id)
	case "feeder":
		return m.feederQuestions(id)
	case "block":
		return []question{togglePick(), plainName(kind)}
	case "accessory":
		return m.accessoryQuestions(id)
	}
	return append(append([]question{worksPick(id), railPick()}, wireAndLength(kind, inUnits("18 AWG", "0.5 mm2"), inUnits("4 ft", "1.2 m"))...), plainName(kind))
}

// answersOf is a thing as the answers that would make it.
func (m *Model) answersOf(id int) (course.Entry, answers) {
	e, _ := m.course.Wiring().Entry(id)
	a := answers{"name": e.Name}
	for k, v := range e.Values {
		a[k] = v
	}
	if o, ok := e.Outlet(); ok {
		o.Terminal = 0
		a["on"] = o.String()
	}
	if e.Kind == "accessory" && e.Places["at"].Piece != 0 {
		a["on"] = onTrack
	}
	if e.Kind == "toggle" {
		a["switches"], a["usually"] = orElse(a["switches"], "hot"), orElse(a["usually"], "on")
	}
	return e, a
}

// thingMenu shows a thing line by line; a line is asked anew.
func (m *Model) thingMenu(id int) tea.Msg {
	t := m.course.Things().Thing(id)
	if t == nil {
		m.fault("that is gone already")
		return nil
	}
	e, a := m.answersOf(id)
	var items []item
	qs := m.questionsOf(id, t.Kind)
	for i := range qs {
		if qs[i].off != nil && qs[i].off(m, a) || qs[i].once || qs[i].key == "terminal" {
			continue
		}
		items = append(items, item{says: lineOf(m, &qs[i], a), do: func(m *Model) tea.Msg { return m.changeOne(id, e, a, qs, i) }})
	}
	at := e.Places["at"]
	if at.Piece != 0 {
		items = append(items, item{says: "move it to where you stand", do: func(m *Model) tea.Msg { return m.moveHere(id) }})
	}
	if len(e.Places) > 0 {
		items = append(items, item{says: "go there", do: func(m *Model) tea.Msg {
			if !m.course.Things().GoTo(id) {
				m.fault("it lies nowhere any more")
			}
			return nil
		}})
	}
	items = append(items, item{says: "take it away", do: func(m *Model) tea.Msg { return m.takeThing(id) }})
	m.panel = &menu{title: m.course.Wiring().Tell(t) + ". Change what?", items: items, back: underMenu}
	return nil
}

func lineOf(m *Model, q *question, a answers) string {
	v := a[q.key]
	if q.picks != nil {
		for _, p := range q.picks(m, a) {
			if p.value == v {
				v = p.says
			}
		}
	}
	if q.key == "on" && a["terminal"] != "" {
		v += " terminal " + a["terminal"]
	}
	return orElse(q.short, "what it is") + ": " + orElse(v, "not said")
}

// changeOne asks one line anew (what it hangs on with its terminal).
func (m *Model) changeOne(id int, e course.Entry, a answers, qs []question, i int) tea.Msg {
	list := []question{qs[i]}
	if qs[i].key == "on" && i+1 < len(qs) && qs[i+1].key == "terminal" {
		list = append(list, qs[i+1])
	}
	return m.inquire(&inquiry{title: course.Spoken(e.Kind) + " " + e.Name, list: list, a: a,
		done: func(m *Model, a answers) (tea.Msg, error) {
			n := entryOf(e.Kind, a)
			for k, v := range e.Places {
				n.Places[k] = v
			}
			if err := m.reseat(&n, e, a); err != nil {
				return nil, err
			}
			if err := m.course.Wiring().Put(id, n); err != nil {
				return nil, err
			}
			m.tell("%s %s is changed (u takes it back)", course.Spoken(n.Kind), n.Name)
			return nil, nil
		}})
}

// reseat puts an accessory onto the track here, or takes it off.
func (m *Model) reseat(n *course.Entry, old course.Entry, a answers) error {
	if n.Kind != "accessory" {
		return nil
	}
	if a["on"] != onTrack {
		delete(n.Places, "at")
		n.Values["hot"], n.Values["common"] = "", ""
		return nil
	}
	for _, k := range []string{"supply", "bus", "terminal", "toggle"} {
		n.Values[k] = ""
	}
	if old.Places["at"].Piece != 0 {
		return nil
	}
	at, err := m.trackSpot()
	n.Places["at"] = at
	return err
}

func (m *Model) moveHere(id int) tea.Msg {
	e, _ := m.course.Wiring().Entry(id)
	at, err := m.course.Things().Spot()
	if e.Kind == "accessory" {
		at, err = m.trackSpot()
	}
	if !m.check(err) {
		return nil
	}
	e.Places["at"] = at
	if m.check(m.course.Wiring().Put(id, e)) {
		m.tell("%s is at %s now", e.Name, m.course.State().PlaceName(at))
	}
	return nil
}

// takeThing takes a thing away; where others need it, it asks what becomes of
// them.
func (m *Model) takeThing(id int) tea.Msg {
	t := m.course.Things().Thing(id)
	if t == nil {
		m.fault("that is gone already")
		return nil
	}
	what := m.course.Things().Describe(t)
	done := func(err error) tea.Msg {
		if m.check(err) {
			m.tell("%s taken away (u brings it back)", what)
		}
		return nil
	}
	if t.Kind == "insulated_rail" {
		m.panel = &menu{title: "Take away " + what, items: []item{
			{says: "with the joints that cut it off", do: func(m *Model) tea.Msg { return done(m.course.Stretches().RemoveRail(id, true)) }},
			{says: "alone: its joints stay insulated", do: func(m *Model) tea.Msg { return done(m.course.Stretches().RemoveRail(id, false)) }}}}
		return nil
	}
	users := m.course.Wiring().Users(id)
	if len(users) == 0 {
		return done(m.course.Wiring().RemoveWith(id))
	}
	var names []string
	for _, u := range users {
		names = append(names, m.course.Things().Describe(u))
	}
	var items []item
	for _, o := range m.heirs(id) {
		items = append(items, item{says: fmt.Sprintf("hang them on %s", o), do: func(m *Model) tea.Msg { return done(m.course.Wiring().Rehang(id, o)) }})
	}
	items = append(items, item{says: "take them away too", do: func(m *Model) tea.Msg { return done(m.course.Wiring().RemoveWith(id)) }}, item{says: "leave it all"})
	m.panel = &menu{title: fmt.Sprintf("%s: %s need%s it", what, strings.Join(names, ", "), map[bool]string{true: "s", false: ""}[len(names) == 1]), items: items}
	return nil
}

// heirs are the outlets that what hangs on a thing can hang on without it: that
// on which it hangs itself; for a supply every other one.
func (m *Model) heirs(id int) []course.Outlet {
	e, _ := m.course.Wiring().Entry(id)
	if e.Kind == "accessory" {
		return nil
	}
	if o, ok := e.Outlet(); ok {
		return []course.Outlet{o}
	}
	var out []course.Outlet
	for _, o := range m.course.Wiring().Outlets(id, e.Kind) {
		if o.Kind == "supply" {
			out = append(out, o)
		}
	}
	return out
}
