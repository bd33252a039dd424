package walk

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

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
	return question{key: "name", short: "name", says: func(*Model, answers) string {
		return "What is its name? A hunt speaks of it by that."
	},
		start: func(m *Model, a answers) string {
			return m.course.Wiring().NextName(kind, word(a))
		}, hint: "a label on the real thing helps",
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
		{key: "wire", short: "wire", says: func(*Model, answers) string {
			return "How thick is its wire?"
		}, tidy: tidy(kind, "wire"),
			start: func(m *Model, _ answers) string {
				return wire(m)
			}, hints: inUnits("a bare 16 is 16 AWG; or 0.75 mm2", "a bare 0.75 is 0.75 mm2; or 16 AWG")},
		{key: "length", short: "length", says: func(*Model, answers) string {
			return "How long is the wire, one way?"
		}, tidy: tidy(kind, "length"),
			start: func(m *Model, _ answers) string {
				return length(m)
			}, hints: inUnits("a bare number is feet; or 18 in, 2 m", "a bare number is meters; or 600 mm, 3 ft")},
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
		{key: "current", short: "current", says: func(*Model, answers) string {
			return "AC or DC?"
		}, picks: picks(pick{"ac", "AC"}, pick{"dc", "DC"}), start: usual(0)},
		{key: "volts", short: "volts", says: func(*Model, answers) string {
			return "How many volts at its posts?"
		}, start: usual(1), tidy: tidy("supply", "volts"), hint: "as you run it"},
		{key: "breaker", short: "breaker", says: func(*Model, answers) string {
			return "At how many amperes does its breaker trip?"
		}, start: usual(2),
			tidy: tidy("supply", "breaker"), hint: "as it stands on the supply"},
		{key: "phase", short: "phase", off: func(m *Model, a answers) bool {
			return alone(m, a) || a["current"] != "ac"
		},
			says:  func(*Model, answers) string { return "Was its phase checked against the first supply?" },
			picks: picks(pick{"", "not checked"}, pick{"in phase", "in phase"}, pick{"reversed", "reversed"}),
			start: fixed("")},
		{key: "common", short: "common", off: alone, says: func(*Model, answers) string {
			return "Is its common post joined to that of another supply by a wire?"
		}, picks: picks(commons...), start: fixed("")},
		plainName("supply"),
	}
}

func (asks asks) busQuestions(id int, kind string) []question {
	qs := hangsOn(kind, id)
	if id == 0 {
		qs = append([]question{{key: "kind", short: "", once: true, says: func(*Model, answers) string {
			return "Where are its terminals?"
		},
			picks: picks(pick{"bus", "along the wires: a bus under the table"},
				pick{"strip", "side by side at their end: a terminal strip"}), start: fixed(kind)}}, qs...)
	}
	qs = append(qs, wireAndLength(kind, inUnits("14 AWG", "2.5 mm2"), inUnits("20 ft", "6 m"))...)
	qs[len(qs)-1].says = func(*Model, answers) string { return "How long is it, one way, to the last terminal?" }
	qs = append(qs, question{key: "terminals", short: "terminals", says: func(*Model, answers) string {
		return "How many terminals has it?"
	}, start: fixed("4"), tidy: tidy(kind, "terminals")},
		question{key: "name", short: "name", says: plainName(kind).says, hint: plainName(kind).hint,
			tidy:  plainName(kind).tidy,
			start: func(m *Model, a answers) string { return m.course.Wiring().NextName(orElse(a["kind"], kind), "") }})
	if id != 0 && kind == "bus" {
		qs = append(qs, question{key: "ring", short: "ring, back to the supply", says: func(*Model, answers) string {
			return "If it goes on from the last terminal back to the supply, as a ring: how long is that part?"
		}, hint: "empty: it ends at the last terminal", tidy: func(m *Model, _ answers, v string) (string, error) {
			return m.course.Wiring().Tidy("bus", "ring", v)
		}})
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
		question{key: "switches", short: "switches", says: func(*Model, answers) string {
			return "Which of the two wires does it switch?"
		}, start: fixed("hot"),
			picks: picks(pick{"hot", "the hot one"}, pick{"common", "the common one"}, pick{"both", "both"},
				pick{"reverse", "it crosses the two: for a loop that turns trains round"})},
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
		question{key: "middle", short: "middle", off: func(_ *Model, a answers) bool {
			return a["switches"] != "reverse" && a["other"] == ""
		},
			says: func(*Model, answers) string {
				return "Has it a third position between the two, which is off?"
			}, picks: picks(pick{"", "no"}, pick{"off", "yes"}), start: fixed("")},
		question{key: "usually", short: "usually", says: func(*Model, answers) string {
			return "How does it usually stand?"
		}, start: fixed("on"),
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
	qs := append(hangsOn("feeder", id), wireAndLength("feeder", func(m *Model) string {
		return m.wire
	}, func(m *Model) string { return m.length })...)
	return append(qs, plainName("feeder"))
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
