package walk

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/course"
)

// The questions about what rails work: accessories, blocks, insulated rails.

var accessoryPicks = picks(pick{"lamp", "a lamp, or lamps in a house"}, pick{"signal", "a signal with lamps"},
	pick{"motor", "a gate, a banner or anything with a coil that moves or a motor"},
	pick{"bumper", "a lit bumper"}, pick{"relay", "a relay"}, pick{"led", "an LED (conducts one way)"})

var usualAmps = map[string]string{"lamp": "0.2", "signal": "0.2", "motor": "0.8", "bumper": "0.2",
	"relay": "0.1", "led": "0.02"}

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
		if e, _ := m.course.Wiring().Entry(id); id != 0 && e.Places["at"].Piece != 0 {
			here.says = "the track, at " + m.course.State().PlaceName(e.Places["at"])
		} else if err != nil {
			return out
		}
		return append(out, here)
	}
	qs[0].start = func(m *Model, a answers) string {
		if a["kind"] == "bumper" {
			return onTrack
		}
		return "" // the first one: a lamp is seldom behind the toggle of a block
	}
	all := append([]question{{key: "kind", short: "", says: func(*Model, answers) string {
		return "What is it?"
	}, picks: accessoryPicks, start: fixed("lamp")}}, qs...)
	return append(all,
		question{key: "volts", short: "volts", says: func(*Model, answers) string {
			return "For how many volts is it?"
		}, tidy: tidy("accessory", "volts"),
			start: func(m *Model, a answers) string {
				return m.course.Wiring().Volts(outletOf(a))
			}, hint: "as it says on it; proposed are the volts that it gets"},
		question{key: "amps", short: "amps", says: func(*Model, answers) string {
			return "How many amperes does it take at those volts?"
		}, tidy: tidy("accessory", "amps"),
			start: func(_ *Model, a answers) string {
				return usualAmps[a["kind"]]
			}, hint: "0.2 is 200 mA; with several lamps all of them"},
		question{key: "cold", short: "ohms when cold", off: func(*Model, answers) bool {
			return id == 0
		}, hint: "empty: as usual for its kind",
			says: func(*Model, answers) string { return "How many ohms does a meter find in it, unplugged and cold?" },
			tidy: func(m *Model, _ answers, v string) (string, error) {
				return m.course.Wiring().Tidy("accessory", "cold", v)
			}},
		nameOf("accessory", func(a answers) string { return orElse(accessoryWord[a["kind"]], a["kind"]) }),
		question{key: "worked", short: "", once: true, off: func(_ *Model, a answers) bool {
			return id != 0 || tracked(a) || asks.railHere() != nil
		},
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
		return errors.New("this track has no second running rail of the common side: an insulated rail takes " +
			"three-rail track")
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
	return question{key: "toggle", short: "toggle", says: func(*Model, answers) string {
		return "Which toggle switches it?"
	},
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
	return question{key: "works", short: "works", says: func(*Model, answers) string {
		return "Which accessory does it work?"
	},
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
	return question{key: "rail", short: "rail", says: func(*Model, answers) string {
		return "Which rail is insulated? Left and right as you walk."
	},
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
	qs = append(qs, question{key: "untie", short: "", once: true, off: func(m *Model, a answers) bool {
		return len(m.asks().tied(a)) == 0
	},
		says: func(m *Model, a answers) string {
			return fmt.Sprintf("The ties of this track join both outer rails. Are these %d pieces special ones, one "+
				"outer rail held off the ties (or their ties cut)?", len(m.asks().tied(a)))
		}, picks: picks(pick{"yes", "yes: write them untied"}, pick{"", "no (then the rail cannot work)"}),
		start: fixed("yes")})
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
