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
	if err := m.asks().railHere(); err != nil {
		rail = err.Error()
	} else if len(c.Wiring().Worked()) == 0 {
		if rail = "first its accessory: p 6"; len(c.Things().Named("accessory")) > 0 {
			rail = "first an accessory on a supply, not on the track: p 6"
		}
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

const backFeed = "Caution: two supplies feed each other backwards through the track. With one plugged in, the mains " +
	"plug of the other can be live: pull both plugs and never touch the pins."

func newSupply(m *Model) tea.Msg {
	if len(m.course.Wiring().Supplies()) == 0 {
		m.under().supplyForm(func(*Model) tea.Msg { return nil })
		return nil
	}
	return m.asks().inquire(&inquiry{title: "A further supply", about: backFeed, list: m.asks().supplyQuestions(0),
		done: func(m *Model, a answers) (tea.Msg, error) { return m.asks().putNew(entryOf("supply", a)) }})
}

func newBus(m *Model) tea.Msg {
	return m.asks().inquire(&inquiry{title: "A bus or strip", list: m.asks().busQuestions(0, "bus"),
		done: func(m *Model, a answers) (tea.Msg, error) {
			kind := a["kind"]
			delete(a, "kind")
			out, err := m.asks().putNew(entryOf(kind, a))
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
	return m.asks().inquire(&inquiry{title: "A toggle", list: m.asks().toggleQuestions(0),
		done: func(m *Model, a answers) (tea.Msg, error) {
			out, err := m.asks().putNew(entryOf("toggle", a))
			if err == nil {
				m.outlet = "toggle " + a["name"]
				m.tell("toggle %s is there: f hangs feeders on it, p 5 makes its block", a["name"])
			}
			return out, err
		}})
}

// feederInquiry asks for a feeder where there is more than one outlet.
func (under underTable) feederInquiry() tea.Msg {
	at, _ := under.m.course.Things().Spot()
	where := under.m.course.State().PlaceName(at)
	return under.m.asks().inquire(&inquiry{title: "A feeder at " + where, list: under.m.asks().feederQuestions(0),
		done: func(m *Model, a answers) (tea.Msg, error) {
			e := entryOf("feeder", a)
			e.Places["at"] = at
			if _, err := m.asks().putNew(e); err != nil {
				return nil, err
			}
			m.wire, m.length = a["wire"], a["length"]
			m.tell("feeder %s at %s, on %s", a["name"], where, outletOf(a))
			return nil, nil
		}})
}

func newBlock(m *Model) tea.Msg {
	return m.asks().inquire(&inquiry{title: "A block from here on", list: m.asks().blockQuestions(),
		done: func(m *Model, a answers) (tea.Msg, error) {
			n, _ := strconv.Atoi(a["pieces"])
			plan := course.BlockPlan{Name: a["name"], Pieces: n, Toggle: a["toggle"], Hang: a["hang"] != "",
				Cut: a["cut"] != ""}
			if err := m.course.Stretches().AddBlock(plan); err != nil {
				return nil, err
			}
			m.tell("block %s is there, %s", plan.Name, plural(n, "piece"))
			if !plan.Hang && plan.Toggle != "" && !m.under().fedBy(plan.Toggle) {
				m.tell("block %s is there; a feeder in it must hang on %s: walk in, then f", plan.Name, plan.Toggle)
			}
			return nil, nil
		}})
}

// fedBy says whether a feeder hangs on a toggle.
func (under underTable) fedBy(toggle string) bool {
	for _, t := range under.m.course.Wiring().Under() {
		if e, ok := under.m.course.Wiring().Entry(t.ID); ok && e.Kind == "feeder" && e.Values["toggle"] == toggle {
			return true
		}
	}
	return false
}

func newAccessory(m *Model) tea.Msg {
	at, err := m.asks().trackSpot()
	if err != nil && len(m.course.Wiring().Supplies()) == 0 {
		m.fault("lay the piece that it lies on, or first a supply")
		return nil
	}
	return m.asks().inquire(&inquiry{title: "An accessory", list: m.asks().accessoryQuestions(0),
		done: func(m *Model, a answers) (tea.Msg, error) {
			e := entryOf("accessory", a)
			if a["on"] == onTrack {
				e.Places["at"] = at
			}
			if out, err := m.asks().putNew(e); err != nil || a["worked"] == "" {
				return out, err
			}
			m.say = ""
			return m.under().railFor(a["name"]), nil
		}})
}

func newRail(m *Model) tea.Msg {
	return m.under().railFor("")
}

// railFor asks for the insulated rail of an accessory; "" asks which one.
func (under underTable) railFor(works string) tea.Msg {
	list := under.m.asks().railQuestions()
	a := answers{}
	if works != "" {
		a["works"] = works
		list = list[1:]
	}
	return under.m.asks().inquire(&inquiry{title: strings.TrimSpace("Insulated rail from here on " + forWhat(works)),
		list: list, a: a,
		done: func(m *Model, a answers) (tea.Msg, error) {
			n, _ := strconv.Atoi(a["pieces"])
			tap, _ := strconv.Atoi(a["tap"])
			plan := course.RailPlan{Name: a["name"], Works: a["works"], Rail: track.Rail(a["rail"]), Pieces: n,
				Tap: tap, Wire: a["wire"], Length: a["length"], Untie: a["untie"] != ""}
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
		items = append(items, item{says: m.course.Wiring().Tell(t), do: func(m *Model) tea.Msg {
			return m.under().thingMenu(id)
		}})
	}
	if len(items) == 0 {
		m.fault("nothing lies there yet")
		return nil
	}
	m.panel = &menu{title: "Change, move or take away what?", items: items, tall: true}
	return nil
}

// questionsOf are the questions about a thing that is there.
func (asks asks) questionsOf(id int, kind string) []question {
	switch kind {
	case "supply":
		return asks.supplyQuestions(id)
	case "bus", "strip":
		return asks.busQuestions(id, kind)
	case "toggle":
		return asks.toggleQuestions(id)
	case "feeder":
		return asks.feederQuestions(id)
	case "block":
		return []question{togglePick(), plainName(kind)}
	case "accessory":
		return asks.accessoryQuestions(id)
	}
	return append(append([]question{worksPick(id), railPick()}, wireAndLength(kind, inUnits("18 AWG", "0.5 mm2"),
		inUnits("4 ft", "1.2 m"))...), plainName(kind))
}

// answersOf is a thing as the answers that would make it.
func (asks asks) answersOf(id int) (course.Entry, answers) {
	e, _ := asks.m.course.Wiring().Entry(id)
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
func (under underTable) thingMenu(id int) tea.Msg {
	t := under.m.course.Things().Thing(id)
	if t == nil {
		under.m.fault("that is gone already")
		return nil
	}
	e, a := under.m.asks().answersOf(id)
	var items []item
	qs := under.m.asks().questionsOf(id, t.Kind)
	for i := range qs {
		if qs[i].off != nil && qs[i].off(under.m, a) || qs[i].once || qs[i].key == "terminal" {
			continue
		}
		items = append(items, item{says: lineOf(under.m, &qs[i], a), do: func(m *Model) tea.Msg {
			return m.under().changeOne(id, e, a, qs, i)
		}})
	}
	at := e.Places["at"]
	if at.Piece != 0 {
		items = append(items, item{says: "move it to where you stand", do: func(m *Model) tea.Msg {
			return m.under().moveHere(id)
		}})
	}
	if len(e.Places) > 0 {
		items = append(items, item{says: "go there", do: func(m *Model) tea.Msg {
			if !m.course.Things().GoTo(id) {
				m.fault("it lies nowhere any more")
			}
			return nil
		}})
	}
	items = append(items, item{says: "take it away", do: func(m *Model) tea.Msg { return m.under().takeThing(id) }})
	under.m.panel = &menu{title: under.m.course.Wiring().Tell(t) + ". Change what?", items: items, back: underMenu}
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
func (under underTable) changeOne(id int, e course.Entry, a answers, qs []question, i int) tea.Msg {
	list := []question{qs[i]}
	if qs[i].key == "on" && i+1 < len(qs) && qs[i+1].key == "terminal" {
		list = append(list, qs[i+1])
	}
	return under.m.asks().inquire(&inquiry{title: course.Spoken(e.Kind) + " " + e.Name, list: list, a: a,
		done: func(m *Model, a answers) (tea.Msg, error) {
			n := entryOf(e.Kind, a)
			for k, v := range e.Places {
				n.Places[k] = v
			}
			if err := m.under().reseat(&n, e, a); err != nil {
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
func (under underTable) reseat(n *course.Entry, old course.Entry, a answers) error {
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
	at, err := under.m.asks().trackSpot()
	n.Places["at"] = at
	return err
}

func (under underTable) moveHere(id int) tea.Msg {
	e, _ := under.m.course.Wiring().Entry(id)
	at, err := under.m.course.Things().Spot()
	if e.Kind == "accessory" {
		at, err = under.m.asks().trackSpot()
	}
	if !under.m.check(err) {
		return nil
	}
	e.Places["at"] = at
	if under.m.check(under.m.course.Wiring().Put(id, e)) {
		under.m.tell("%s is at %s now", e.Name, under.m.course.State().PlaceName(at))
	}
	return nil
}

// takeThing takes a thing away; where others need it, it asks what becomes of
// them.
func (under underTable) takeThing(id int) tea.Msg {
	t := under.m.course.Things().Thing(id)
	if t == nil {
		under.m.fault("that is gone already")
		return nil
	}
	what := under.m.course.Things().Describe(t)
	done := func(err error) tea.Msg {
		if under.m.check(err) {
			under.m.tell("%s taken away (u brings it back)", what)
		}
		return nil
	}
	if t.Kind == "insulated_rail" {
		under.m.panel = &menu{title: "Take away " + what, items: []item{
			{says: "with the joints that cut it off", do: func(m *Model) tea.Msg {
				return done(m.course.Stretches().RemoveRail(id, true))
			}},
			{says: "alone: its joints stay insulated", do: func(m *Model) tea.Msg {
				return done(m.course.Stretches().RemoveRail(id, false))
			}}}}
		return nil
	}
	users := under.m.course.Wiring().Users(id)
	if len(users) == 0 {
		return done(under.m.course.Wiring().RemoveWith(id))
	}
	var names []string
	for _, u := range users {
		names = append(names, under.m.course.Things().Describe(u))
	}
	var items []item
	for _, o := range under.heirs(id) {
		items = append(items, item{says: fmt.Sprintf("hang them on %s", o), do: func(m *Model) tea.Msg {
			return done(m.course.Wiring().Rehang(id, o))
		}})
	}
	items = append(items, item{says: "take them away too", do: func(m *Model) tea.Msg {
		return done(m.course.Wiring().RemoveWith(id))
	}}, item{says: "leave it all"})
	under.m.panel = &menu{title: fmt.Sprintf("%s: %s need%s it", what, strings.Join(names, ", "),
		map[bool]string{true: "s", false: ""}[len(names) == 1]), items: items}
	return nil
}

// heirs are the outlets that what hangs on a thing can hang on without it: that
// on which it hangs itself; for a supply every other one.
func (under underTable) heirs(id int) []course.Outlet {
	e, _ := under.m.course.Wiring().Entry(id)
	if e.Kind == "accessory" {
		return nil
	}
	if o, ok := e.Outlet(); ok {
		return []course.Outlet{o}
	}
	var out []course.Outlet
	for _, o := range under.m.course.Wiring().Outlets(id, e.Kind) {
		if o.Kind == "supply" {
			out = append(out, o)
		}
	}
	return out
}
