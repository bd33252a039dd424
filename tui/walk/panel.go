package walk

import (
	"fmt"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// panel is what stands over the lower part of the screen and takes the keys: a
// menu, a form or the help.
type panel interface {
	key(m *Model, k tea.KeyMsg) tea.Msg
	view(t *style.Theme, w, h int) scene.Frame
	keys() []scene.Key
	// full says that it wants the whole screen.
	full() bool
}

// item is a line of a menu.
type item struct {
	says string
	off  string // why it cannot be chosen now
	do   func(*Model) tea.Msg
}

// menu is a numbered list: a digit chooses at once, arrows and Enter do too. Of
// a long one nine have numbers at a time; 0 gives them to the next nine.
type menu struct {
	title  string
	items  []item
	row    int
	scroll text.Scroll
	tall   bool
	back   func(*Model) tea.Msg // where Esc goes; nil: to the map
}

func (n *menu) full() bool { return n.tall }

func (n *menu) key(m *Model, k tea.KeyMsg) tea.Msg {
	switch s := k.String(); s {
	case "up":
		n.row = max(n.row-1, 0)
	case "down", "tab":
		n.row = min(n.row+1, max(len(n.items)-1, 0))
	case "?":
		m.panel = &helpPanel{about: n.keys(), back: n}
	case "esc", "q", "-": // the last one is on the number pad
		if m.course == nil {
			return Leave{}
		}
		m.panel = nil
		if n.back != nil {
			return n.back(m)
		}
	case "enter":
		return n.choose(m, n.row)
	default:
		first, count := n.page()
		d, err := strconv.Atoi(s)
		switch {
		case err == nil && d >= 1 && d <= count:
			n.row = first + d - 1
			return n.choose(m, n.row)
		case s == "0" && len(n.items) > 9:
			if n.row = first + 9; n.row >= len(n.items) {
				n.row = 0
			}
		case len(n.items) > 9:
			m.fault(fmt.Sprintf("choose 1 to %d, 0 for the others, or Esc", count))
		default:
			m.fault(fmt.Sprintf("choose 1 to %d, or Esc", count))
		}
	}
	return nil
}

// page is where the nine begin that have numbers now, and how many they are.
func (n *menu) page() (first, count int) {
	first = n.row / 9 * 9
	return first, min(len(n.items)-first, 9)
}

func (n *menu) choose(m *Model, i int) tea.Msg {
	if i >= len(n.items) {
		return nil
	}
	if off := n.items[i].off; off != "" {
		m.fault(off)
		return nil
	}
	m.panel = nil
	if n.items[i].do == nil {
		return nil
	}
	return n.items[i].do(m)
}

func (n *menu) view(t *style.Theme, w, h int) scene.Frame {
	lines := text.Wrap(t.Paint(style.Title, n.title), w)
	at, end := 0, 0
	first, count := n.page()
	for i, it := range n.items {
		number := "  "
		if i >= first && i < first+count {
			number = strconv.Itoa(i-first+1) + " "
		}
		says := it.says
		if it.off != "" {
			says += " (not now: " + it.off + ")"
		}
		mark, role := "  ", style.Plain
		if it.off != "" {
			role = style.Dim
		}
		if i == n.row {
			mark, role, at = "> ", style.Select, len(lines)
		}
		for _, l := range text.Hang(number, says, 2, w-2) {
			lines = append(lines, mark+t.Paint(role, l))
			mark = "  "
		}
		if i == first+count-1 && len(n.items) > 9 {
			end = len(lines) - 1
		}
	}
	n.scroll.Show(end, h)
	n.scroll.Show(at, h)
	on := "Down"
	if len(n.items) > 9 {
		on = "0, Down"
	}
	out := n.scroll.View(t, lines, h, on)
	return scene.Frame{Lines: out, X: 0, Y: at - n.scroll.Top()}
}

func (n *menu) keys() []scene.Key {
	_, count := n.page()
	keys := []scene.Key{
		{Press: "1-9", Does: "choose at once", Hint: fmt.Sprintf("1-%d choose", count)},
		{Press: "up, down, Enter", Does: "choose with the arrows", Hint: "Enter that one"}}
	if len(n.items) > 9 {
		keys = append(keys, scene.Key{Press: "0", Does: "give the numbers to the next nine", Hint: "0 more"})
	}
	return append(keys, scene.Key{Press: "Esc, -", Does: "back, nothing changed", Hint: "Esc back"})
}

// field is a line of a form.
type field struct {
	label   string
	input   text.Input
	choices []string // to go through with Left and Right; nil: typed
	hint    string
	says    map[string]string // what a choice means
	fresh   bool              // what stands there goes at the first letter typed
}

func typed(label, start, hint string) field {
	f := field{label: label, input: text.NewInput(), hint: hint, fresh: true}
	f.input.Set(start)
	return f
}

func chosen(label, start string, choices []string, hint string) field {
	f := typed(label, start, hint)
	f.choices = choices
	return f
}

// form asks for some values at once. Enter takes them all, so that Enter alone
// accepts what is proposed.
type form struct {
	title  string
	about  string
	fields []field
	row    int
	fault  string
	done   func(*Model, []string) (tea.Msg, error)
	cancel func(*Model) tea.Msg
	tall   bool
	scroll text.Scroll
}

func (f *form) full() bool { return f.tall }

// wrongField is an error that belongs to one field of a form.
type wrongField struct {
	row int
	err error
}

func (w *wrongField) Error() string { return w.err.Error() }

func (f *form) key(m *Model, k tea.KeyMsg) tea.Msg {
	cur := &f.fields[f.row]
	switch s := k.String(); {
	case s == "esc":
		m.panel = nil
		if f.cancel != nil {
			return f.cancel(m)
		}
	case s == "up" || s == "shift+tab":
		f.row = max(f.row-1, 0)
	case s == "down" || s == "tab":
		f.row = min(f.row+1, len(f.fields)-1)
	case s == "enter":
		return f.accept(m)
	case s == "?" && cur.helps():
		m.panel = &helpPanel{about: f.keys(), back: f}
	case cur.choices != nil:
		f.cycle(cur, s)
	default:
		f.typing(cur, k)
	}
	return nil
}

// helps says that ? is a key on this line: nothing was typed there yet.
func (f *field) helps() bool { return f.choices != nil || f.fresh || f.input.Value() == "" }

func (f *form) typing(cur *field, k tea.KeyMsg) {
	f.fault = ""
	if cur.fresh && (k.Type == tea.KeyRunes || k.Type == tea.KeySpace) {
		cur.input.Set("")
	}
	cur.fresh = false
	cur.input.Update(k)
}

// cycle goes through the choices; a letter or digit finds the next one that
// begins with it, or that has that number.
func (f *form) cycle(cur *field, s string) {
	at := 0
	for i, c := range cur.choices {
		if c == cur.input.Value() {
			at = i
		}
	}
	n := len(cur.choices)
	switch {
	case s == "left":
		at = (at - 1 + n) % n
	case s == "right" || s == " ":
		at = (at + 1) % n
	default:
		if d, err := strconv.Atoi(s); err == nil && d >= 1 && d <= n {
			at = d - 1
			break
		}
		for k := 1; k <= n && len(s) == 1; k++ {
			if strings.HasPrefix(cur.choices[(at+k)%n], s) {
				at = (at + k) % n
				break
			}
		}
	}
	cur.input.Set(cur.choices[at])
}

// values are what stands in the lines.
func (f *form) values() []string {
	out := make([]string, len(f.fields))
	for i := range f.fields {
		out[i] = strings.TrimSpace(f.fields[i].input.Value())
	}
	return out
}

func (f *form) accept(m *Model) tea.Msg {
	m.panel = nil
	out, err := f.done(m, f.values())
	if err != nil {
		if w, ok := err.(*wrongField); ok {
			f.row = w.row
		}
		f.fault = err.Error()
		f.fields[f.row].fresh = true // typing begins anew
		m.panel = f
	}
	return out
}

func (f *form) view(t *style.Theme, w, h int) scene.Frame {
	lines := text.Wrap(t.Paint(style.Title, f.title), w)
	if f.about != "" {
		lines = append(lines, text.Wrap(f.about, w)...)
	}
	wide := 0
	for i := range f.fields {
		wide = max(wide, min(text.Width(f.fields[i].label), w/2-4))
	}
	at, x := 0, 0
	for i := range f.fields {
		fl := &f.fields[i]
		mark := "  "
		if i == f.row {
			mark, at = "> ", len(lines)
		}
		label := mark + text.Fit(fl.label, wide) + " "
		room := w - text.Width(label)
		if text.Width(fl.label) > wide { // a long label gets a line of its own
			for _, l := range text.Wrap(fl.label, w-2) {
				lines = append(lines, mark+l)
				mark = "  "
			}
			label = "    "
			room = w - 4
			if i == f.row {
				at = len(lines)
			}
		}
		if i != f.row {
			lines = append(lines, label+text.Fit(fl.input.Value(), room))
			continue
		}
		value, col := fl.input.View(room, func(s string) string { return t.Paint(style.Caret, s) })
		if fl.fresh || fl.choices != nil {
			value, col = t.Paint(style.Select, fl.input.Value()), 0
		}
		x = text.Width(label) + col
		lines = append(lines, label+value)
	}
	foot := f.foot(t, w)
	f.scroll.Show(at, max(h-len(foot), 2))
	body := f.scroll.View(t, lines, max(h-len(foot), 1), "Down")
	return scene.Frame{Lines: append(append([]string(nil), body...), foot...), X: x, Y: at - f.scroll.Top()}
}

func (f *form) foot(t *style.Theme, w int) []string {
	var out []string
	cur := &f.fields[f.row]
	hint := cur.hint
	if cur.choices != nil {
		hint = strings.TrimSpace("Left, Right change it. " + cur.says[cur.input.Value()] + hint)
	}
	if hint != "" {
		for _, l := range text.Wrap(hint, w) {
			out = append(out, t.Paint(style.Dim, l))
		}
	}
	if f.fault != "" {
		for _, l := range text.Wrap("! "+f.fault, w) {
			out = append(out, t.Paint(style.Bad, l))
		}
	}
	return out
}

func (f *form) keys() []scene.Key {
	keys := []scene.Key{{Press: "Enter", Does: "take it all as it stands", Hint: "Enter take it"}}
	if len(f.fields) > 1 {
		keys = append(keys, scene.Key{Press: "up, down, Tab", Does: "another line", Hint: "Up/Down line"})
	}
	if f.fields[f.row].choices != nil {
		keys = append(keys, scene.Key{Press: "left, right", Does: "another choice", Hint: "Left/Right change"})
	} else {
		keys = append(keys, scene.Key{Press: "typing",
			Does: "replaces what is proposed; Backspace or an arrow first: changes it"})
	}
	return append(keys, scene.Key{Press: "Esc", Does: "back, nothing changed", Hint: "Esc back"})
}
