package walk

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/course"
	"fishplate/layoutfile/sheet"
)

// act is what a key does.
type act = func(m *Model, n int) tea.Msg

// put lays pieces at the cursor or, after e, puts one in the place of the one
// behind it.
func (m *Model) put(text string, n int) {
	if m.swap {
		m.swap = false
		if m.check(m.course.Laying().Replace(text)) {
			m.tell("now %s", m.course.Behind().Text)
		}
		return
	}
	if m.check(m.course.Laying().Lay(text, n)) {
		m.last = text
		var says []string
		if p := m.course.Behind(); p != nil && p.Words.Name != "" {
			says = append(says, fmt.Sprintf("%s is called %s", p.Words.Kind, p.Words.Name))
		}
		if m.course.Here().Closes {
			says = append(says, "put in, the run is longer; to change a piece instead: u, then e first")
		}
		m.tell("%s", strings.Join(says, "; "))
	}
}

// lays is the key of a piece: it lays n of the size used last.
func lays(k track.Kind, hand int) act {
	return func(m *Model, n int) tea.Msg {
		m.put(m.course.Sizing().Compose(k, hand, m.course.Sizes.Now(k)), n)
		return nil
	}
}

// turnout asks to which side: it branches off, or (joins) another track comes
// in. Someone who walks towards the points has the leg that comes in from the
// left on the right hand of one who looks from the points.
func turnout(joins bool) act {
	return func(m *Model, n int) tea.Msg {
		side := func(hand int) func(*Model) tea.Msg {
			return func(m *Model) tea.Msg { m.layTurnout(hand, joins, n); return nil }
		}
		title := "Turnout: where does the other track leave?"
		words := [2]string{"to the left  (l)", "to the right  (r)"}
		if joins {
			title, words = "Turnout: from where does the other track come in?",
				[2]string{"from the left  (l)", "from the right  (r)"}
		}
		m.panel = &sides{menu{title: title,
			items: []item{{says: words[0], do: side(1)}, {says: words[1], do: side(-1)}}}}
		return nil
	}
}

// sides is a menu that l and r choose from, too.
type sides struct{ menu }

func (s *sides) key(m *Model, k tea.KeyMsg) tea.Msg {
	switch k.String() {
	case "l", "L":
		return s.choose(m, 0)
	case "r", "R":
		return s.choose(m, 1)
	}
	return s.menu.key(m, k)
}

func (m *Model) layTurnout(side int, joins bool, n int) {
	hand := side
	if joins {
		hand = -side
	}
	text := m.course.Sizing().Compose(track.Turnout, hand, m.course.Sizes.Now(track.Turnout))
	if joins {
		text += " trailing"
	}
	m.put(text, n)
}

// crossing lays one or, where one was crossed only once so far, asks which.
func crossing(m *Model, n int) tea.Msg {
	open := m.onceCrossed()
	if len(open) == 0 || m.swap {
		return lays(track.Crossing, 0)(m, n)
	}
	var items []item
	for _, name := range open[:min(len(open), 8)] {
		items = append(items, item{says: name + " once more, the other way across", do: func(m *Model) tea.Msg {
			m.put(name+" again", 1)
			return nil
		}})
	}
	items = append(items, item{says: "a new crossing", do: func(m *Model) tea.Msg {
		return lays(track.Crossing, 0)(m, n)
	}})
	m.panel = &menu{title: "Which crossing?", items: items}
	return nil
}

func (m *Model) onceCrossed() []string {
	var open []string
	again := map[string]bool{}
	s := m.course.State()
	for i := range s.Runs {
		for k := range s.Runs[i].Pieces {
			again[s.Runs[i].Pieces[k].Words.Again] = true
		}
	}
	for i := range s.Runs {
		for k := range s.Runs[i].Pieces {
			if w := &s.Runs[i].Pieces[k].Words; w.Kind == track.Crossing && w.Again == "" && w.Name != "" &&
				!again[w.Name] {
				open = append(open, w.Name)
			}
		}
	}
	return open
}

// again lays the piece laid last once more.
func again(m *Model, n int) tea.Msg {
	if m.last == "" {
		p := m.course.Behind()
		if p == nil || p.Words.Name != "" || p.Words.Again != "" {
			m.fault("lay a piece first: Enter lays the same again")
			return nil
		}
		m.last = p.Text
	}
	m.put(m.last, n)
	return nil
}

// sized asks for the size of a kind first; what is chosen stays with its key.
func sized(k track.Kind, hand int) act {
	return func(m *Model, n int) tea.Msg {
		then := func(m *Model) tea.Msg {
			if k == track.Turnout {
				return turnout(false)(m, n)
			}
			return lays(k, hand)(m, n)
		}
		m.askSize(k, then)
		return nil
	}
}

// askSize offers the sizes of a kind and a line to type another.
func (m *Model) askSize(k track.Kind, then func(*Model) tea.Msg) {
	list := *m.course.Sizes.Of(k)
	var items []item
	for _, size := range list[:min(len(list), 8)] {
		items = append(items, item{says: size, do: func(m *Model) tea.Msg {
			m.course.Sizes.Use(k, size)
			return then(m)
		}})
	}
	items = append(items, item{says: "another size", do: func(m *Model) tea.Msg { m.typeSize(k, then); return nil }})
	m.panel = &menu{title: fmt.Sprintf("Which %s? It stays with its key.", k), items: items}
}

func (m *Model) typeSize(k track.Kind, then func(*Model) tea.Msg) {
	m.panel = &form{title: "Another " + string(k),
		fields: []field{typed("size", m.course.Sizes.Now(k), course.SizeHint(k, m.course.State().Metric))},
		done: func(m *Model, v []string) (tea.Msg, error) {
			size, err := m.course.Sizing().ParseSize(k, v[0])
			if err != nil {
				return nil, err
			}
			m.course.Sizes.Use(k, size)
			return then(m), nil
		}}
}

// sizes lists what each key lays.
func sizes(m *Model, _ int) tea.Msg {
	var items []item
	for _, k := range []track.Kind{track.Straight, track.Curve, track.Turnout, track.Crossing} {
		items = append(items, item{says: fmt.Sprintf("%ss: %s", k, m.course.Sizes.Now(k)), do: func(m *Model) tea.Msg {
			m.askSize(k, func(m *Model) tea.Msg { m.tell("%s: %s from now on", k, m.course.Sizes.Now(k)); return nil })
			return nil
		}})
	}
	m.panel = &menu{title: "What the keys lay", items: items}
	return nil
}

// swap makes the next piece key change the piece behind.
func swap(m *Model, _ int) tea.Msg {
	p := m.course.Behind()
	if p == nil {
		m.fault("no piece lies behind you to change: go behind it first (Right)")
		return nil
	}
	m.swap = !m.swap
	return nil
}

func via(m *Model, _ int) tea.Msg {
	if m.check(m.course.Ends().Via()) {
		leg := "through"
		if m.course.Behind().Words.ViaDiverging {
			leg = "diverging"
		}
		m.tell("this run now follows the %s leg of %s", leg, m.course.Behind().Words.Name)
	}
	return nil
}

// words lays any piece that the file format knows, in its words.
func words(m *Model, n int) tea.Msg {
	m.panel = &form{title: "A piece in the words of the file",
		fields: []field{typed("piece", "",
			"in sizes of common practice: turnout wye diameter 31 angle 22.5; slip 22.5 length 12; straight 10 "+
				"untied; X1 again; all of them: fishplate format")},
		done: func(m *Model, v []string) (tea.Msg, error) {
			many, text := sheet.SplitCount(v[0])
			if m.swap {
				m.swap = false
				return nil, m.course.Laying().Replace(text)
			}
			return nil, m.course.Laying().Lay(text, many*n)
		}}
	return nil
}

func deleteBehind(m *Model, n int) tea.Msg {
	if m.swap {
		return escape(m, 1)
	}
	return m.deleted(m.course.Laying().DeleteBehind(n))
}

func deleteAhead(m *Model, n int) tea.Msg { return m.deleted(m.course.Laying().DeleteAhead(n)) }

func (m *Model) deleted(said string, err error) tea.Msg {
	if m.check(err) {
		if said == "" {
			said = "taken out"
		}
		m.tell("%s (u brings it back)", said)
	}
	return nil
}

func move(by int) act {
	return func(m *Model, n int) tea.Msg { m.course.Cursor().Move(by * n); return nil }
}

func otherRun(by int) act {
	return func(m *Model, n int) tea.Msg {
		if len(m.course.State().Runs) == 1 {
			m.tell("there is one run only; d walks off a turnout's other leg")
			return nil
		}
		m.course.Cursor().NextRunOver(by * n)
		return nil
	}
}

func toEnd(end bool) act {
	return func(m *Model, _ int) tea.Msg { m.course.Cursor().To(end); return nil }
}

func jump(m *Model, _ int) tea.Msg {
	m.panel = &form{title: "Go to", fields: []field{typed("place", "",
		"main 7, or 7 on this run; W1; main 7/8; a run, a feeder or a landmark")},
		done: func(m *Model, v []string) (tea.Msg, error) { return nil, m.course.Cursor().Jump(v[0]) }}
	return nil
}

// padKey is a key of the number pad, laid out as one sees the track ahead.
func (m *Model) padKey(s string) (tea.Msg, bool) {
	n := 1
	switch s {
	case "8":
		return lays(track.Straight, 0)(m, n), true
	case "7":
		return lays(track.Curve, 1)(m, n), true
	case "9":
		return lays(track.Curve, -1)(m, n), true
	case "4", "6":
		m.layTurnout(map[string]int{"4": 1, "6": -1}[s], false, n)
	case "1", "3":
		m.layTurnout(map[string]int{"1": 1, "3": -1}[s], true, n)
	case "5":
		return crossing(m, n), true
	case "2":
		return lays(track.Bumper, 0)(m, n), true
	case "0":
		return feeder(m, n), true
	case ".", ",":
		return undo(m, n), true
	case "-":
		return deleteBehind(m, n), true
	case "+":
		return again(m, n), true
	case "*":
		m.howMany()
	case "/":
		return more(m, n), true
	default:
		return nil, false
	}
	return nil, true
}

// howMany asks how many of the piece laid last there shall be in all.
func (m *Model) howMany() {
	p := m.course.Behind()
	if p == nil || p.Words.Again != "" || p.Words.Name != "" {
		m.fault("lay a straight or a curve first; * then says how many")
		return
	}
	text := p.Text
	m.panel = &form{title: "How many of " + text + " in all?",
		fields: []field{typed("pieces", "2", "a number, then Enter")},
		done: func(m *Model, v []string) (tea.Msg, error) {
			n, err := wholeNumber(v[0], 1, 999)
			if err == nil && n > 1 {
				err = m.course.Laying().Lay(text, n-1)
			}
			return nil, err
		}}
}
