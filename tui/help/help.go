// Package help shows what works now on the screen that it was called from.
package help

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Model is the screen's own state.
type Model struct {
	// About and Keys are set by the root: the screen that help was called from.
	About  scene.ID
	Keyed  []scene.Key
	scroll text.Scroll
	search text.Input
	find   bool
}

// New makes the screen.
func New() *Model { return &Model{search: text.NewInput()} }

// Reset begins anew for a screen.
func (m *Model) Reset(about scene.ID, keys []scene.Key) {
	m.About, m.Keyed, m.scroll, m.find = about, keys, text.Scroll{}, false
	m.search.Set("")
}

// Update takes a message and gives back what to do.
func (m *Model) Update(_ *scene.Scene, msg tea.Msg) tea.Msg {
	k, ok := msg.(tea.KeyMsg)
	if !ok {
		return nil
	}
	switch s := k.String(); {
	case s == "esc" && (m.find || m.search.Value() != ""):
		m.find, m.scroll = false, text.Scroll{}
		m.search.Set("")
	case s == "esc":
		return scene.Back{}
	case !m.find && m.scroll.Key(s), m.find && s != " " && m.scroll.Key(s):
	case m.find && s == "enter":
		m.find = false
	case m.find:
		m.search.Update(k)
		m.scroll = text.Scroll{}
	case s == "enter" && m.scroll.On():
	case s == "t":
		return scene.Open{ID: scene.Tour}
	case s == "/":
		m.find = true
	case s == "q" || s == "enter" || s == "?":
		return scene.Back{}
	}
	return nil
}

// about says in a sentence what each screen is for.
var about = map[scene.ID]string{
	scene.Symptom: "Say what is wrong and, where it matters, at which place. Choose the place on the map or type " +
		"its name.",
	scene.Kit: "Say what is printed on your meter's dial, whether you have a lamp and what is written on it " +
		"(not to know it is fine), and what feeds it. Readings are chosen from what you have. Enter takes what is " +
		"ticked: at first the recommended set.",
	scene.Caution: "What to mind before touching anything.",
	scene.Hunt: "One reading at a time: put the probes where R and B stand, type what the meter shows. The map " +
		"shows which pieces are still suspected.",
	scene.Why:     "Why this reading, and what each outcome would mean.",
	scene.Inspect: "Enough is known: look at these pieces in this order, and say for each whether it was the bad one.",
	scene.Done:    "Found. After the repair, one reading proves it.",
	scene.Evidence: "All readings so far. A wrong one can be changed or removed; the hunt goes on as if it had been " +
		"so from the start.",
	scene.Drill: "Practice: find a hidden fault with the meter and a coach. Type what you do, or work on the map; " +
		"at the end your hunt stands beside the program's own.",
	scene.Around: "The work that keeps evenings from going wrong: pieces before they go down, track while it is " +
		"laid, a panel of thin wires, a minute before the show.",
	scene.Panel: "Thin wires from the track to one labelled block, so that most faults are found standing there: " +
		"what each further pair is worth, where they go, and how they are joined, one thing at a time.",
	scene.Quiz: "A drill before a class. The class calls what to read; type each call, with the name of a side " +
		"before it where there are sides (red: mv T1 hot to main 12). Enter alone shows the calls beside what the " +
		"program would do, and the best of the class is done.",
	scene.Piece: "A box of pieces on the bench, before they go down: black where it says, red from end to end, " +
		"and one key for each reading. Who passes is written into the layout's file, who does not is put aside with " +
		"what to mend.",
	scene.Build: "Lay the pieces that are named, stop, and read what must beep and what must be silent; what is " +
		"good is ticked. A stop that fails begins a hunt on what is laid. For two people: one calls, one holds the " +
		"probes (g: large letters).",
	scene.Setup: "A portable layout as it is set up, for two people: one calls and ticks, one holds the probes " +
		"(g: large letters). Board by board what to join and what must beep or be silent across each joint, then " +
		"plug by plug. What was good is ticked.",
	scene.Health: "A battery, its lamp across the rails, and a few millivolts, held against those of good " +
		"evenings: is all as it was, or which part got worse? Type each reading with all its digits.",
	scene.Wiring: "Every wire with a label for both of its ends, what to buy, and feeders that keep the volts at " +
		"the far end. On paper: fishplate wiring FILE -o wires.html",
	scene.Odds: "What the proven hunts of this layout found, against the odds that are assumed. Into the file: " +
		"fishplate odds FILE --write",
	scene.Check:   "What is wrong with the design, the worst first, and the volts that reach the worst place.",
	scene.Layouts: "The layouts of this folder, the newest first. A layout goes on with the hunt that was left.",
	scene.Records: "The hunts kept of this layout. Open one to read it, mark one and compare it with another, add " +
		"what only you know, write a page to print.",
}

// entry is one thing that help says: found by any of its words.
type entry struct {
	title bool
	lines []string
}

// entries gives all of help in w columns, the screen's own part first.
func (m *Model) entries(sc *scene.Scene, w int) []entry {
	t := &sc.Theme
	var out []entry
	add := func(lines []string) { out = append(out, entry{lines: lines}) }
	title := func(s string) {
		if len(out) > 0 {
			add([]string{""})
		}
		out = append(out, entry{title: true, lines: text.Wrap(t.Paint(style.Title, s), w)})
	}
	title("Help: " + string(m.About))
	add(text.Wrap(about[m.About], w))
	title("Keys that work here now")
	for _, k := range append(append([]scene.Key(nil), m.Keyed...), everywhere...) {
		s := k.Does
		if k.Off != "" {
			s += " (not now: " + k.Off + ")"
		}
		add(text.Hang(t.Paint(style.Key, k.Press)+" ", s, min(18, w/3), w))
	}
	if sc.Layout != nil {
		title("On the map")
		add(plan.Legend(sc, plan.Show{Chosen: -1, Ask: sc.View.Step.Ask, Detail: true}, w, 60))
		for _, s := range mapHelp {
			add(text.Wrap(s, w))
		}
	}
	for _, topic := range topics {
		title(topic.title)
		for _, k := range topic.rows {
			if k[0] == "" {
				add(text.Wrap(k[1], w))
				continue
			}
			add(text.Hang(t.Paint(style.Key, k[0])+" ", k[1], min(18, w/3), w))
		}
	}
	return out
}

// lines gives what is shown: everything, or what has the searched words.
func (m *Model) lines(sc *scene.Scene, w int) []string {
	want := strings.Fields(strings.ToLower(m.search.Value()))
	var out []string
	head := []string(nil) // the title above a hit is shown with it
	for _, e := range m.entries(sc, w) {
		if e.title {
			head = e.lines
		}
		switch {
		case len(want) == 0:
			out = append(out, e.lines...)
		case !e.title && has(e.lines, want):
			out = append(append(out, head...), e.lines...)
			head = nil
		}
	}
	if len(out) == 0 {
		return text.Wrap("nothing about \""+m.search.Value()+"\" here; try one short word, or Esc for all of it", w)
	}
	return out
}

// has says whether all the words stand in the lines.
func has(lines []string, words []string) bool {
	all := strings.ToLower(ansi.Strip(strings.Join(lines, " ")))
	for _, word := range words {
		if !strings.Contains(all, word) {
			return false
		}
	}
	return true
}

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	lines := m.lines(sc, min(w, 96))
	in, x := m.search.View(w-9, func(s string) string { return t.Paint(style.Caret, s) })
	var foot []string
	if m.find {
		foot = []string{"SEARCH > " + in}
	} else if m.search.Value() != "" {
		foot = []string{t.Paint(style.Dim, "found for \""+m.search.Value()+"\"; Esc all of it")}
	}
	body := m.scroll.View(t, lines, max(h-len(foot), 1), "Enter")
	f := scene.Frame{Lines: append(body, foot...), X: 0, Y: 0}
	if m.find {
		f.X, f.Y = 9+x, len(body)
	}
	return f
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	return []scene.Key{{Press: "up, down", Does: "scroll"}, {Press: "/", Does: "search", Hint: "/ search"},
		{Press: "t", Does: "the tour of one minute", Hint: "t tour"}, {Press: "Esc", Does: "back", Hint: "Esc back"}}
}
