package tui

import (
	"fmt"
	"math"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/unit"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// tour shows the program on a layout of its own in about a minute: it presses
// keys in screens that run inside it, and says what is to be seen. The user's
// own hunt stays as it is, and nothing of the tour is saved.
type tour struct {
	app *app
	at  int
}

// toured is a message on its way to the screens inside a tour.
type toured struct {
	to  *tour
	msg tea.Msg
}

// stop is one station: the keys that lead to it and what is to be seen.
type stop struct {
	keys func(*app) []string
	says string
}

func keys(k ...string) func(*app) []string { return func(*app) []string { return k } }

var stops = []stop{
	{keys(), "This is a tour of one minute on an invented layout; nothing of it is saved. A hunt begins with what " +
		"you saw. Here the breaker trips at once: choice 1."},
	{keys("1"), "Before the first reading stands what can hurt you or the track. Read it before you touch anything."},
	{keys("enter"), "One reading at a time. First what your hands do, in their order, with a drawing where it helps."},
	{answer, "Type what you see or what the meter shows, as it shows it: bright, 0.4, 212 mV, OL, beep, no. The line " +
		"below says at once what that would mean. Enter takes it."},
	{keys("enter"), "Then comes the next reading, the one that tells most for its time: the dial, where red goes and " +
		"where black."},
	{answered, "Places are counted from something you can see, and drawn: R and B are your probes."},
	{keys("tab"), "Tab: the map, R and B on it. Later what is ruled out is dotted, and 1, 2, 3 stand on the " +
		"likeliest pieces."},
	{keys("tab", "w", "3"), "w: why this reading, what if it shows something else, and how to take it safely, with a " +
		"drawing of the probes on the rails."},
	{keys("esc", "g"), "g (or * on the number pad): letters to be read from the other end of the table. The number " +
		"pad is enough for a whole hunt: 1 beeps, 0 silent, figures, + over the range, - undo, . can't reach, Enter."},
	{keys("g", "e"), "e: every reading so far and what it told. Change one, remove one, undo (u) and redo (r) at any " +
		"depth, or look what would be believed without it (o)."},
	{keys("esc", "?"), "At the end come the few pieces to lift, likeliest first, and one reading that proves the " +
		"repair. ? shows on every screen what works there now; t in it shows this tour again. Enter: to your own " +
		"hunt."},
}

// answer types the likeliest outcome of the reading that is wanted.
func answer(a *app) []string {
	if ask := a.sc.View.Step.Ask; ask != nil {
		return []string{likely(ask)}
	}
	return nil
}

// answered types it and takes it.
func answered(a *app) []string { return append(answer(a), "enter") }

// likely gives the likeliest outcome as a meter would show it.
func likely(a *hunt.Ask) string {
	best := hunt.Outcome{Shows: "no", P: -1}
	for _, o := range a.Expect {
		if o.P > best.P {
			best = o
		}
	}
	switch u := unit.Setting(a.Meter).Unit(); {
	case best.Shows == "silent":
		return "no"
	case a.OfLamp() && len(best.Kinds) > 0: // a row may hold two lights
		return string(best.Kinds[0])
	case best.From != nil && best.To != nil:
		return unit.FormatDigits((*best.From+*best.To)/2, u, 3)
	case best.From != nil:
		return unit.FormatDigits(*best.From+math.Abs(*best.From)/10, u, 3)
	case best.To != nil:
		return unit.FormatDigits(*best.To-math.Abs(*best.To)/2, u, 3)
	case slices.Contains(best.Kinds, unit.Value):
		return unit.FormatDigits(0, u, 3)
	}
	return best.Shows
}

// startTour begins the tour, where there is a layout for it.
func (a *app) startTour() tea.Cmd {
	if a.o.Tour == nil {
		a.say = "there is no tour here"
		return nil
	}
	o := a.o.Tour()
	o.ASCII, o.Light, o.OneKey = a.o.ASCII, a.o.Light, a.o.OneKey
	o.Demo, o.KitKnown, o.Save, o.Tour, o.FirstRun = true, true, nil, nil, false
	o.defaults()
	t := &tour{app: newApp(o)}
	t.app.inside = true
	a.tour = t
	return t.carry(t.app.Init())
}

// carry brings what a command of the screens inside says back to them.
func (t *tour) carry(c tea.Cmd) tea.Cmd {
	if c == nil {
		return nil
	}
	return func() tea.Msg {
		switch m := c().(type) {
		case nil, tea.QuitMsg, tea.SuspendMsg:
			return nil
		case tea.BatchMsg:
			for i := range m {
				m[i] = t.carry(m[i])
			}
			return m
		default:
			return toured{t, m}
		}
	}
}

// tourTake hands a message to the screens inside.
func (a *app) tourTake(m toured) tea.Cmd {
	if a.tour != m.to {
		return nil // a tour that was left
	}
	_, c := m.to.app.Update(m.msg)
	return m.to.carry(c)
}

// tourKey takes the keys of the tour itself.
func (a *app) tourKey(k tea.KeyMsg) tea.Cmd {
	switch k.String() {
	case "esc", "q":
		a.endTour()
	case "enter", " ", "right", "+":
		return a.tourNext()
	}
	return nil
}

func (a *app) endTour() {
	a.tour = nil
	if a.o.TourSeen != nil {
		a.o.TourSeen()
	}
	a.say = "? and then t shows the tour again"
}

func (a *app) tourNext() tea.Cmd {
	t := a.tour
	switch {
	case t.app.busy: // the next station needs the answer
		return nil
	case t.at == len(stops)-1:
		a.endTour()
		return nil
	}
	t.at++
	var all []tea.Cmd
	for _, k := range stops[t.at].keys(t.app) {
		for _, m := range keyMsgs(k) {
			_, c := t.app.Update(m)
			all = append(all, t.carry(c))
		}
	}
	return tea.Batch(all...)
}

// tourView draws the screens inside and the caption below them.
func (a *app) tourView() string {
	t, th := a.tour, &a.sc.Theme
	caption := text.Wrap(stops[t.at].says, a.w)
	does := "Enter next, Esc leaves"
	if t.app.busy {
		does = "thinking; Esc leaves"
	}
	rule := fmt.Sprintf("== TOUR %d/%d == %s ", t.at+1, len(stops), does)
	rule += strings.Repeat("=", max(a.w-text.Width(rule), 0))
	room := max(a.h-len(caption)-1, 4)
	t.app.w, t.app.h = a.w, room
	lines := strings.Split(t.app.View(), "\n")
	lines = lines[:min(len(lines), room)]
	for len(lines) < room {
		lines = append(lines, "")
	}
	lines = append(lines, th.Paint(style.Key, clampLine(rule, a.w)))
	for _, l := range caption {
		lines = append(lines, clampLine(l, a.w))
	}
	lines = lines[:min(len(lines), a.h)]
	a.cursor.set(0, min(room+1, a.h-1)) // what is new is the caption
	return strings.Join(lines, "\n")
}
