package walk

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// answers are what was said to the questions so far, by their keys.
type answers map[string]string

// pick is an answer to choose: its value, and what it says.
type pick struct{ value, says string }

// question is one thing to be asked. It is typed, or one of picks is chosen.
type question struct {
	key   string
	short string // on the list of what can be changed: "length"
	says  func(m *Model, a answers) string
	picks func(m *Model, a answers) []pick
	start func(m *Model, a answers) string // what is proposed
	hint  string
	hints func(m *Model) string                               // instead, by the units of the layout
	tidy  func(m *Model, a answers, v string) (string, error) // checks an answer
	off   func(m *Model, a answers) bool                      // is not asked now
	once  bool                                                // is asked of a new thing only
}

// inquiry asks questions one at a time. Each proposes an answer that Enter
// takes; + takes all that are left; Esc goes one question back.
type inquiry struct {
	title string
	about string // a caution, with the first question
	list  []question
	a     answers
	at    int
	past  []int // the questions asked before this one
	sub   panel // a menu or a form of one line
	done  func(m *Model, a answers) (tea.Msg, error)
}

func (asks asks) inquire(q *inquiry) tea.Msg {
	if q.a == nil {
		q.a = answers{}
	}
	q.at = -1
	return q.next(asks.m)
}

func (q *inquiry) full() bool { return false }

// next goes to the next question that is asked, or ends.
func (q *inquiry) next(m *Model) tea.Msg {
	for q.at++; q.at < len(q.list); q.at++ {
		one := &q.list[q.at]
		if one.off != nil && one.off(m, q.a) {
			continue
		}
		if one.picks != nil { // with one answer there is nothing to ask
			if p := one.picks(m, q.a); len(p) == 1 && len(q.list) > 1 {
				q.a[one.key] = p[0].value
				continue
			}
		}
		q.show(m)
		return nil
	}
	m.panel = nil
	out, err := q.done(m, q.a)
	if err == nil {
		return out
	}
	if len(q.past) == 0 && q.sub == nil {
		m.fault(err.Error())
		return nil
	}
	q.back(m) // the last one is asked again
	q.refuse(m, err)
	return nil
}

// refuse shows what is wrong with an answer.
func (q *inquiry) refuse(m *Model, err error) {
	if f, ok := q.sub.(*form); ok {
		f.fault = err.Error()
	} else {
		m.fault(err.Error())
	}
}

// show makes the panel of a question.
func (q *inquiry) show(m *Model) {
	one := &q.list[q.at]
	start := ""
	if v, said := q.a[one.key]; said {
		start = v
	} else if one.start != nil {
		start = one.start(m, q.a)
	}
	if one.picks == nil {
		f := typed("", start, one.hint)
		if one.hints != nil {
			f.hint = one.hints(m)
		}
		q.sub = &form{title: one.says(m, q.a), fields: []field{f}, done: func(m *Model, v []string) (tea.Msg, error) {
			return q.answer(m, v[0])
		}}
	} else {
		n := &menu{title: one.says(m, q.a)}
		for i, p := range one.picks(m, q.a) {
			if p.value == start {
				n.row = i
			}
			n.items = append(n.items, item{says: p.says, do: func(m *Model) tea.Msg {
				out, err := q.answer(m, p.value)
				if err != nil {
					m.fault(err.Error())
					m.panel = q
				}
				return out
			}})
		}
		q.sub = n
	}
	m.panel = q
}

// answer takes one, and goes on.
func (q *inquiry) answer(m *Model, v string) (tea.Msg, error) {
	one := &q.list[q.at]
	if one.tidy != nil {
		var err error
		if v, err = one.tidy(m, q.a, v); err != nil {
			return nil, err
		}
	}
	q.a[one.key] = v
	q.past = append(q.past, q.at)
	return q.next(m), nil
}

// back goes to the question before; false at the first one.
func (q *inquiry) back(m *Model) bool {
	if len(q.past) == 0 {
		return false
	}
	q.at = q.past[len(q.past)-1]
	q.past = q.past[:len(q.past)-1]
	q.show(m)
	return true
}

func (q *inquiry) key(m *Model, k tea.KeyMsg) tea.Msg {
	f, isForm := q.sub.(*form)
	switch s := k.String(); {
	case s == "esc", s == "-" && (!isForm || f.fields[0].fresh):
		if !q.back(m) {
			m.panel = nil
			m.tell("nothing changed")
		}
		return nil
	case s == "?":
		m.panel = &helpPanel{about: q.keys(), back: q}
		return nil
	case s == "+" && (!isForm || f.fields[0].fresh):
		return q.rest(m)
	}
	out := q.sub.key(m, k)
	if m.panel == panel(q.sub) { // refused: the question stays
		m.panel = q
	}
	return out
}

// rest takes everything that is left as it is proposed; it stops where that is
// refused.
func (q *inquiry) rest(m *Model) tea.Msg {
	enter := tea.KeyMsg{Type: tea.KeyEnter}
	for range len(q.list) {
		at := q.at
		out := q.sub.key(m, enter)
		if m.panel == panel(q.sub) {
			m.panel = q
		}
		if m.panel != panel(q) || q.at <= at {
			return out
		}
	}
	return nil
}

func (q *inquiry) view(t *style.Theme, w, h int) scene.Frame {
	head := text.Wrap(t.Paint(style.Dim, q.title+q.said()), w)
	head = head[:min(len(head), 2)]
	if q.about != "" && len(q.past) == 0 {
		head = append(head, text.Wrap(t.Paint(style.Label, q.about), w)...)
	}
	head = head[:max(min(len(head), h-3), 0)]
	f := q.sub.view(t, w, h-len(head))
	f.Lines = append(head, f.Lines...)
	f.Y += len(head)
	for len(f.Lines) < min(steady, h) { // the map above keeps its size from question to question
		f.Lines = append(f.Lines, "")
	}
	return f
}

// steady is how many lines most questions take.
const steady = 7

func (q *inquiry) keys() []scene.Key {
	keys := []scene.Key{{Press: "Enter", Does: "take what is proposed, or what was typed", Hint: "Enter take it"}}
	if n, ok := q.sub.(*menu); ok {
		keys = append([]scene.Key{{Press: "1-9", Does: "choose at once",
			Hint: fmt.Sprintf("1-%d choose", min(len(n.items), 9))}}, keys...)
		keys = append(keys, scene.Key{Press: "up, down", Does: "choose with the arrows"})
	} else {
		keys = append(keys, scene.Key{Press: "typing",
			Does: "replaces what is proposed; Backspace or an arrow first: changes it"})
	}
	if q.at < len(q.list)-1 {
		keys = append(keys, scene.Key{Press: "+", Does: "take this and all that is still to be asked as proposed",
			Hint: "+ all as proposed"})
	}
	return append(keys, scene.Key{Press: "Esc, -", Does: "the question before; at the first one: back, nothing changed",
		Hint: "Esc back"})
}

// said lists the answers so far.
func (q *inquiry) said() string {
	var out []string
	for _, i := range q.past {
		if v := q.a[q.list[i].key]; v != "" {
			out = append(out, strings.TrimSpace(q.list[i].short+" "+v))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return ": " + strings.Join(out, ", ")
}
