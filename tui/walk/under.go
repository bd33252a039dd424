package walk

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/course"
)

// The questions about what lies under the table. The values proposed are round
// figures of common practice, no source.

func fixed(s string) func(*Model, answers) string {
	return func(*Model, answers) string { return s }
}

func picks(p ...pick) func(*Model, answers) []pick {
	return func(*Model, answers) []pick { return p }
}

// tidy checks an answer for an attribute of the file.
func tidy(kind, attr string) func(*Model, answers, string) (string, error) {
	return func(m *Model, _ answers, v string) (string, error) {
		if v == "" {
			return "", fmt.Errorf("give the %s; Esc goes back", attr)
		}
		return m.course.Wiring().Tidy(kind, attr, v)
	}
}

func nameOf(kind string, word func(answers) string) question {
	return question{key: "name", short: "name", says: func(*Model, answers) string { return "What is its name? A hunt speaks of it by that." },
		start: func(m *Model, a answers) string { return m.course.Wiring().NextName(kind, word(a)) }, hint: "a label on the real thing helps",
		tidy: func(_ *Model, _ answers, v string) (string, error) {
			if v == "" {
				return "", fmt.Errorf("give the %s a name", course.Spoken(kind))
			}
			return v, nil
		}}
}

func plainName(kind string) question {
	return nameOf(kind, func(answers) string { return course.Spoken(kind) })
}

// outletOf reads "bus B1" and a terminal.
func outletOf(a answers) course.Outlet {
	kind, name, _ := strings.Cut(a["on"], " ")
	o := course.Outlet{Kind: kind, Name: name}
	if kind == "bus" {
		o.Terminal, _ = strconv.Atoi(a["terminal"])
	}
	return o
}

// hangsOn asks what a pair of wires hangs on, and on which terminal.
func hangsOn(kind string, id int) []question {
	onBus := func(a answers) bool { return strings.HasPrefix(a["on"], "bus ") }
	return []question{
		{key: "on", short: "on", says: func(*Model, answers) string { return "What do its wires hang on?" },
			picks: func(m *Model, _ answers) []pick { return m.asks().outletPicks(id, kind) },
			start: func(m *Model, _ answers) string { return m.outlet }},
		{key: "terminal", short: "terminal", off: func(_ *Model, a answers) bool { return !onBus(a) },
			says: func(m *Model, a answers) string {
				o := outletOf(a)
				all, _ := m.course.Wiring().Terminals(o.Name)
				return fmt.Sprintf("Which terminal of %s, 1 to %d? 1 is the nearest to the supply.", o.Name, all)
			},
			start: func(m *Model, a answers) string {
				_, free := m.course.Wiring().Terminals(outletOf(a).Name)
				return strconv.Itoa(free)
			},
			hint: "proposed is the first on which nothing hangs",
			tidy: func(m *Model, a answers, v string) (string, error) {
				o := outletOf(a)
				all, _ := m.course.Wiring().Terminals(o.Name)
				n, err := wholeNumber(v, 1, max(all, 1))
				return strconv.Itoa(n), err
			}},
	}
}

func (asks asks) outletPicks(id int, kind string) []pick {
	var out []pick
	for _, o := range asks.m.course.Wiring().Outlets(id, kind) {
		says := o.String()
		if t := asks.m.course.Things().Named("strip"); o.Kind == "bus" && slices.Contains(t, o.Name) {
			says = "terminal strip " + o.Name
		}
		out = append(out, pick{o.String(), says})
	}
	return out
}

func wireAndLength(kind string, wire, length func(m *Model) string) []question {
	return []question{
		{key: "wire", short: "wire", says: func(*Model, answers) string { return "How thick is its wire?" }, tidy: tidy(kind, "wire"),
			start: func(m *Model, _ answers) string { return wire(m) }, hints: inUnits("a bare 16 is 16 AWG; or 0.75 mm2", "a bare 0.75 is 0.75 mm2; or 16 AWG")},
		{key: "length", short: "length", says: func(*Model, answers) string { return "How long is the wire, one way?" }, tidy: tidy(kind, "length"),
			start: func(m *Model, _ answers) string { return length(m) }, hints: inUnits("a bare number is feet; or 18 in, 2 m", "a bare number is meters; or 600 mm, 3 ft")},
	}
}

// inUnits gives the first for inches, the second for millimeters.
func inUnits(in, mm string) func(*Model) string {
	return func(m *Model) string {
		if m.course.State().Metric {
			return mm
		}
		return in
	}
}

func (asks asks) supplyQuestions(id int) []question {
	others := slices.DeleteFunc(asks.m.course.Things().Named("supply"), func(s string) bool {
		t := asks.m.course.Things().Thing(id)
		return t != nil && t.Label.Text == s
	})
	alone := func(*Model, answers) bool { return len(others) == 0 }
	usual := func(i int) func(*Model, answers) string {
		return func(m *Model, _ answers) string {
			current, volts, breaker := m.asks().usualSupply()
			return []string{current, volts, breaker}[i]
		}
	}
	commons := []pick{{"", "no"}}
	for _, o := range others {
		commons = append(commons, pick{o, "yes, to that of " + o})
	}
	return []question{
		{key: "current", short: "current", says: func(*Model, answers) string { return "AC or DC?" }, picks: picks(pick{"ac", "AC"}, pick{"dc", "DC"}), start: usual(0)},
		{key: "volts", short: "volts", says: func(*Model, answers) string { return "How many volts at its posts?" }, start: usual(1), tidy: tidy("supply", "volts"), hint: "as you run it"},
		{key: "breaker", short: "breaker", says: func(*Model, answers) string { return "At how many amperes does its breaker trip?" }, start: usual(2),
			tidy: tidy("supply", "breaker"), hint: "as it stands on the supply"},
		{key: "phase", short: "phase", off: func(m *Model, a answers) bool { return alone(m, a) || a["current"] != "ac" },
			says:  func(*Model, answers) string { return "Was its phase checked against the first supply?" },
			picks: picks(pick{"", "not checked"}, pick{"in phase", "in phase"}, pick{"reversed", "reversed"}), start: fixed("")},
		{key: "common", short: "common", off: alone, says: func(*Model, answers) string {
			return "Is its common post joined to that of another supply by a wire?"
		}, picks: picks(commons...), start: fixed("")},
		plainName("supply"),
	}
}

func (asks asks) busQuestions(id int, kind string) []question {
	qs := hangsOn(kind, id)
	if id == 0 {
		qs = append([]question{{key: "kind", short: "", once: true, says: func(*Model, answers) string { return "Where are its terminals?" },
			picks: picks(pick{"bus", "along the wires: a bus under the table"}, pick{"strip", "side by side at their end: a terminal strip"}), start: fixed(kind)}}, qs...)
	}
	qs = append(qs, wireAndLength(kind, inUnits("14 AWG", "2.5 mm2"), inUnits("20 ft", "6 m"))...)
	qs[len(qs)-1].says = func(*Model, answers) string { return "How long is it, one way, to the last terminal?" }
	qs = append(qs, question{key: "terminals", short: "terminals", says: func(*Model, answers) string { return "How many terminals has it?" }, start: fixed("4"), tidy: tidy(kind, "terminals")},
		question{key: "name", short: "name", says: plainName(kind).says, hint: plainName(kind).hint, tidy: plainName(kind).tidy,
			start: func(m *Model, a answers) string { return m.course.Wiring().NextName(orElse(a["kind"], kind), "") }})
	if id != 0 && kind == "bus" {
		qs = append(qs, question{key: "ring", short: "ring, back to the supply", says: func(*Model, answers) string {
			return "If it goes on from the last terminal back to the supply, as a ring: how long is that part?"
		}, hint: "empty: it ends at the last terminal", tidy: func(m *Model, _ answers, v string) (string, error) { return m.course.Wiring().Tidy("bus", "ring", v) }})
	}
	return qs
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

func (asks asks) toggleQuestions(id int) []question {
	qs := hangsOn("toggle", id)
	return append(qs,
		question{key: "switches", short: "switches", says: func(*Model, answers) string { return "Which of the two wires does it switch?" }, start: fixed("hot"),
			picks: picks(pick{"hot", "the hot one"}, pick{"common", "the common one"}, pick{"both", "both"}, pick{"reverse", "it crosses the two: for a loop that turns trains round"})},
		question{key: "other", short: "second position", off: func(m *Model, a answers) bool {
			return a["switches"] == "reverse" || len(m.course.Wiring().Supplies()) < 2
		}, says: func(*Model, answers) string { return "What does its second position do?" }, start: fixed(""),
			picks: func(m *Model, a answers) []pick {
				out := []pick{{"", "off"}}
				for _, s := range m.course.Wiring().Supplies() {
					if !m.course.Wiring().DrawsFrom(outletOf(a), s) {
						out = append(out, pick{s, "feeds from supply " + s})
					}
				}
				return out
			}},
		question{key: "middle", short: "middle", off: func(_ *Model, a answers) bool { return a["switches"] != "reverse" && a["other"] == "" },
			says: func(*Model, answers) string { return "Has it a third position between the two, which is off?" }, picks: picks(pick{"", "no"}, pick{"off", "yes"}), start: fixed("")},
		question{key: "usually", short: "usually", says: func(*Model, answers) string { return "How does it usually stand?" }, start: fixed("on"),
			picks: func(_ *Model, a answers) []pick {
				out := []pick{{"on", "in its first position: on"}, {"off", "in its second position"}}
				if a["middle"] != "" {
					out = append(out, pick{"middle", "in the middle: off"})
				}
				return out
			}},
		plainName("toggle"))
}

func (asks asks) feederQuestions(id int) []question {
	qs := append(hangsOn("feeder", id), wireAndLength("feeder", func(m *Model) string { return m.wire }, func(m *Model) string { return m.length })...)
	return append(qs, plainName("feeder"))
}

var accessoryPicks = picks(pick{"lamp", "a lamp, or lamps in a house"}, pick{"signal", "a signal with lamps"}, pick{"motor", "a gate, a banner or anything with a coil that moves or a motor"},
	pick{"bumper", "a lit bumper"}, pick{"relay", "a relay"}, pick{"led", "an LED (conducts one way)"})

var usualAmps = map[string]string{"lamp": "0.2", "signal": "0.2", "motor": "0.8", "bumper": "0.2", "relay": "0.1", "led": "0.02"}

var accessoryWord = map[string]string{"motor": "gate", "bumper": "lit bumper"}

const onTrack = "track"

func (asks asks) accessoryQuestions(id int) []question {
	at, err := asks.trackSpot()
	tracked := func(a answers) bool { return a["on"] == onTrack }
	qs := hangsOn("accessory", id)
	outlets := qs[0].picks
	qs[0].says = func(*Model, answers) string { return "Where does its current come from?" }
	qs[0].picks = func(m *Model, a answers) []pick {
		out := outlets(m, a)
		here := pick{onTrack, "the track here, from rail to rail, at " + m.course.State().PlaceName(at)}
		if id != 0 {
			e, _ := m.course.Wiring().Entry(id)
			if e.Places["at"].Piece != 0 {
				here.says = "the track, at " + m.course.State().PlaceName(e.Places["at"])
				return append([]pick{here}, out...)
			}
		}
		if err != nil {
			return out
		}
		if a["kind"] == "bumper" {
			return append([]pick{here}, out...)
		}
		return append(out, here)
	}
	qs[0].start = func(m *Model, a answers) string {
		if a["kind"] == "bumper" {
			return onTrack
		}
		return "" // the first one: a lamp is seldom behind the toggle of a block
	}
	all := append([]question{{key: "kind", short: "", says: func(*Model, answers) string { return "What is it?" }, picks: accessoryPicks, start: fixed("lamp")}}, qs...)
	return append(all,
		question{key: "volts", short: "volts", says: func(*Model, answers) string { return "For how many volts is it?" }, tidy: tidy("accessory", "volts"),
			start: func(m *Model, a answers) string { return m.course.Wiring().Volts(outletOf(a)) }, hint: "as it says on it; proposed are the volts that it gets"},
		question{key: "amps", short: "amps", says: func(*Model, answers) string { return "How many amperes does it take at those volts?" }, tidy: tidy("accessory", "amps"),
			start: func(_ *Model, a answers) string { return usualAmps[a["kind"]] }, hint: "0.2 is 200 mA; with several lamps all of them"},
		question{key: "cold", short: "ohms when cold", off: func(*Model, answers) bool { return id == 0 }, hint: "empty: as usual for its kind",
			says: func(*Model, answers) string { return "How many ohms does a meter find in it, unplugged and cold?" },
			tidy: func(m *Model, _ answers, v string) (string, error) {
				return m.course.Wiring().Tidy("accessory", "cold", v)
			}},
		nameOf("accessory", func(a answers) string { return orElse(accessoryWord[a["kind"]], a["kind"]) }),
		question{key: "worked", short: "", once: true, off: func(_ *Model, a answers) bool { return id != 0 || tracked(a) || asks.railHere() != nil },
			says: func(*Model, answers) string {
				return "Does a train work it, by an insulated rail that begins where you stand?"
			},
			picks: picks(pick{"", "no"}, pick{"yes", "yes: its rail is asked for next"}), start: fixed("")})
}

// trackSpot is the piece that an accessory on the track lies on.
func (asks asks) trackSpot() (course.Anchor, error) {
	p := asks.m.course.Behind()
	if p == nil || p.Words.Again != "" {
		p = asks.m.course.Ahead()
	}
	if p == nil || p.Words.Again != "" {
		return course.Anchor{}, errors.New("stand behind the piece that it lies on")
	}
	return course.Anchor{Piece: p.ID}, nil
}

// railHere says why no insulated rail can begin where one stands; nil when one
// can.
func (asks asks) railHere() error {
	s, err := asks.m.course.Stretches().Span(1)
	switch {
	case err != nil:
		return err
	case !s.FromJoint:
		return errors.New("an insulated rail begins at a joint: go there first")
	case len(asks.railSets()) == 3:
		return errors.New("this track has no second running rail of the common side: an insulated rail takes three-rail track")
	}
	return nil
}

// howFar asks how many pieces a stretch from here on has.
func howFar(what string, start func(m *Model) int) question {
	return question{key: "pieces", short: "pieces", once: true, says: func(m *Model, _ answers) string {
		return fmt.Sprintf("How many pieces from here on, ahead of you, %s?", what)
	}, start: func(m *Model, _ answers) string {
		return strconv.Itoa(min(start(m), max(m.course.Stretches().Room(), 1)))
	},
		hint: "a number, or the last piece: main 12",
		tidy: func(m *Model, _ answers, v string) (string, error) {
			n, err := m.course.Stretches().SpanTo(v)
			return strconv.Itoa(n), err
		}}
}

// blockLength proposes a block up to the next insulated joint, else 8 pieces:
// the joint where one stands, met again after a whole round, ends none.
func blockLength(m *Model) int {
	n, room := m.course.Stretches().NextGap(), m.course.Stretches().Room()
	if n > 0 && (n < room || !m.course.Here().Closes) {
		return n
	}
	return min(room, 8)
}

func (asks asks) blockQuestions() []question {
	span := func(m *Model, a answers) course.Span {
		n, _ := strconv.Atoi(a["pieces"])
		s, _ := m.course.Stretches().Span(n)
		return s
	}
	yes := picks(pick{"yes", "yes"}, pick{"", "no"})
	return []question{
		howFar("belong to the block", blockLength),
		togglePick(),
		{key: "hang", short: "", off: func(m *Model, a answers) bool {
			return a["toggle"] == "" || len(m.course.Stretches().FeedersIn(span(m, a).Pieces, a["toggle"])) == 0
		}, says: func(m *Model, a answers) string {
			var names []string
			for _, f := range m.course.Stretches().FeedersIn(span(m, a).Pieces, a["toggle"]) {
				names = append(names, f.Label.Text)
			}
			return fmt.Sprintf("Do the feeders in it (%s) hang on %s?", strings.Join(names, ", "), a["toggle"])
		}, picks: yes, start: fixed("yes")},
		{key: "cut", short: "", says: func(m *Model, a answers) string {
			var names []string
			for _, r := range m.course.Stretches().CutHot(a["toggle"]) {
				names = append(names, string(r))
			}
			return fmt.Sprintf("Is the %s rail insulated at both ends of the block?", strings.Join(names, " and "))
		}, picks: picks(pick{"yes", "yes: note the joints"}, pick{"", "not yet"}), start: fixed("yes")},
		nameOf("block", func(answers) string { return "" }),
	}
}

func togglePick() question {
	return question{key: "toggle", short: "toggle", says: func(*Model, answers) string { return "Which toggle switches it?" },
		picks: func(m *Model, _ answers) []pick {
			var out []pick
			for _, t := range m.course.Things().Named("toggle") {
				out = append(out, pick{t, "toggle " + t})
			}
			return append(out, pick{"", "none"})
		},
		start: func(m *Model, _ answers) string {
			if t := m.course.Things().Named("toggle"); len(t) > 0 {
				return t[len(t)-1]
			}
			return ""
		}}
}

func worksPick(id int) question {
	return question{key: "works", short: "works", says: func(*Model, answers) string { return "Which accessory does it work?" },
		picks: func(m *Model, _ answers) []pick {
			var out []pick
			if e, ok := m.course.Wiring().Entry(id); ok {
				out = append(out, pick{e.Values["works"], e.Values["works"]})
			}
			for _, w := range m.course.Wiring().Worked() {
				out = append(out, pick{w, w})
			}
			return out
		}}
}

func railPick() question {
	return question{key: "rail", short: "rail", says: func(*Model, answers) string { return "Which rail is insulated? Left and right as you walk." },
		picks: picks(pick{"left", "the left one"}, pick{"right", "the right one"}), start: fixed("left")}
}

func (asks asks) railQuestions() []question {
	qs := []question{worksPick(0), railPick(),
		howFar("does it lie on", func(m *Model) int {
			if n := m.course.Stretches().NextGap(); n > 0 {
				return n
			}
			return 4
		}),
		{key: "tap", short: "tap", once: true, says: func(*Model, answers) string {
			return "At which of these pieces does the accessory's wire meet the rail? 1 is the first ahead of you."
		}, start: func(_ *Model, a answers) string {
			n, _ := strconv.Atoi(a["pieces"])
			return strconv.Itoa((n + 1) / 2)
		}, hint: "any piece between the two joints",
			tidy: func(_ *Model, a answers, v string) (string, error) {
				n, _ := strconv.Atoi(a["pieces"])
				k, err := wholeNumber(v, 1, n)
				return strconv.Itoa(k), err
			}}}
	qs[2].tidy = func(m *Model, _ answers, v string) (string, error) {
		n, err := m.course.Stretches().SpanTo(v)
		if err != nil {
			return "", err
		}
		s, err := m.course.Stretches().Span(n)
		if err == nil {
			err = m.course.Stretches().CanInsulate(s)
		}
		return strconv.Itoa(n), err
	}
	qs = append(qs, wireAndLength("insulated_rail", inUnits("18 AWG", "0.5 mm2"), inUnits("4 ft", "1.2 m"))...)
	qs = append(qs, question{key: "untie", short: "", once: true, off: func(m *Model, a answers) bool { return len(m.asks().tied(a)) == 0 },
		says: func(m *Model, a answers) string {
			return fmt.Sprintf("The ties of this track join both outer rails. Are these %d pieces special ones, one outer rail held off the ties (or their ties cut)?", len(m.asks().tied(a)))
		}, picks: picks(pick{"yes", "yes: write them untied"}, pick{"", "no (then the rail cannot work)"}), start: fixed("yes")})
	return append(qs, nameOf("insulated_rail", func(a answers) string { return a["works"] + " rail" }))
}

func (asks asks) tied(a answers) []int {
	n, _ := strconv.Atoi(a["pieces"])
	s, err := asks.m.course.Stretches().Span(n)
	if err != nil {
		return nil
	}
	return asks.m.course.Stretches().Tied(s.Pieces, track.Rail(a["rail"]))
}

// entryOf is the entry that the answers make.
func entryOf(kind string, a answers) course.Entry {
	e := course.Entry{Kind: kind, Name: a["name"], Values: map[string]string{}, Places: map[string]course.Anchor{}}
	for k, v := range a {
		e.Values[k] = v
	}
	if kind == "toggle" {
		agree(e.Values)
	}
	if o := outletOf(a); o.Kind != "" && o.Kind != onTrack {
		o.Into(e.Values)
	}
	return e
}

// agree takes out of a toggle what its other answers leave no room for.
func agree(v map[string]string) {
	if v["switches"] == "reverse" {
		v["other"] = ""
	} else if v["other"] == "" {
		v["middle"] = ""
	}
	if v["middle"] == "" && v["usually"] == "middle" {
		v["usually"] = "on"
	}
}

// putNew adds what was asked for.
func (asks asks) putNew(e course.Entry) (tea.Msg, error) {
	if err := asks.m.course.Wiring().Put(0, e); err != nil {
		return nil, err
	}
	if o, ok := e.Outlet(); ok && e.Kind == "feeder" {
		o.Terminal = 0
		asks.m.outlet = o.String()
	}
	asks.m.tell("%s %s is there (u takes it back)", course.Spoken(e.Kind), e.Name)
	return nil, nil
}
