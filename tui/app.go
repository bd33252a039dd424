package tui

import (
	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/tui/around"
	"fishplate/tui/asking"
	"fishplate/tui/caution"
	"fishplate/tui/done"
	"fishplate/tui/drill"
	"fishplate/tui/evidence"
	"fishplate/tui/help"
	"fishplate/tui/inspect"
	"fishplate/tui/kit"
	"fishplate/tui/layouts"
	"fishplate/tui/record"
	"fishplate/tui/scene"
	"fishplate/tui/symptom"
	"fishplate/tui/walk"
	"fishplate/tui/why"
)

// screen is what the root needs of a screen.
type screen interface {
	Update(*scene.Scene, tea.Msg) tea.Msg
	View(sc *scene.Scene, w, h int) scene.Frame
	Keys(*scene.Scene) []scene.Key
}

// app routes messages between the screens and the hunt; it decides nothing
// about either.
type app struct {
	o       Options
	hunt    Hunter
	sc      scene.Scene
	screens map[scene.ID]screen
	help    *help.Model
	at      scene.ID
	back    []scene.ID // where Esc goes
	w, h    int
	say     string // a line at the foot until the next key
	saveErr string // stays until a save works
	// One computation runs at a time; the others wait here, in order.
	revision int
	busy     bool
	waiting  []pending
	one      oneKey
	toGo     func() tea.Cmd // where to go as soon as nothing is computed; may be nil
	going    bool           // other screens are being made: keys wait for them
	asker    scene.ID       // the screen that sent the running event
	kitSeen  bool
	walk     *walking // nil where there is none
	ended    []error  // what could not be put by when screens were left
	cursor   *cursor
	tour     *tour // shown instead of all else while it runs
	inside   bool  // these screens run in a tour, in a part of the window
}

type pending struct {
	event   *hunt.Event
	kit     *hunt.Kit // go on with this one instead
	without int       // leave this reading out instead, just to see
	tell    bool      // work out what an earlier reading had told instead
	asker   scene.ID
}

func newApp(o Options) *app {
	a := &app{o: o, hunt: o.Hunt, kitSeen: o.KitKnown, help: help.New(), cursor: &cursor{}, say: o.Greeting,
		one: oneKey{wait: o.OneKey}}
	a.sc = scene.Scene{Layout: o.Layout, Path: o.LayoutPath, Demo: o.Demo, Kit: o.Kit, ASCII: o.ASCII, Bell: o.Bell,
		Theme: o.theme()}
	if id, s := o.around(); s != nil {
		a.screens = map[scene.ID]screen{id: s, scene.Help: a.help}
		a.at = id
		return a
	}
	if o.Walk != nil {
		a.walk = newWalking(o.Walk, o.ASCII, a.sc.Theme)
		a.screens = map[scene.ID]screen{scene.Walk: a.walk}
		a.at = scene.Walk
		return a
	}
	if a.hunt == nil {
		a.hunt = o.Start(o.Kit)
	}
	ask := asking.New()
	ask.Big = o.Big
	a.screens = map[scene.ID]screen{scene.Symptom: symptom.New(), scene.Kit: kit.New(o.Layout, o.Kit, o.KitKnown ||
		o.KitTold), scene.Caution: caution.New(),
		scene.Hunt: ask, scene.Why: why.New(), scene.Inspect: inspect.New(), scene.Done: done.New(),
		scene.Around: around.New(o.Around), scene.Evidence: evidence.New(), scene.Records: record.New(o.Records),
		scene.Drill: drill.New(o.Drills, o.Drill), scene.Help: a.help}
	a.sc.View.LayoutRef = o.Layout
	a.at = scene.Symptom
	return a
}

// Init computes the first view.
func (a *app) Init() tea.Cmd {
	if a.walk != nil { // waits for keys
		return nil
	}
	if a.hunt == nil {
		return a.tell(a.at, scene.Shown{})
	}
	first := a.start(pending{})
	if a.o.Drill != nil {
		return tea.Batch(first, a.show(scene.Drill))
	}
	if a.o.Symptom != nil {
		return tea.Batch(first, a.do(hunt.Event{Symptom: a.o.Symptom}))
	}
	if a.o.FirstRun && a.o.Tour != nil {
		return tea.Batch(first, a.startTour())
	}
	return first
}

// Update routes.
func (a *app) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		a.w, a.h = msg.Width, msg.Height
		return a, nil
	case tea.KeyMsg:
		return a, tea.Batch(a.keys(msg)...)
	case computed:
		return a, tea.Batch(a.computed(msg), a.one.answered())
	case worked:
		return a, a.tell(msg.id, msg.msg)
	case toured:
		return a, a.tourTake(msg)
	case walk.Saved:
		return a, a.walkKey(msg)
	case kept:
		return a, a.putBy(msg)
	case gone:
		return a, a.gone(msg)
	case soon:
		if a.one.goes(msg) {
			return a, a.tell(a.at, tea.KeyMsg{Type: tea.KeyEnter})
		}
		return a, nil
	case still:
		a.one.over(msg)
		return a, nil
	}
	if a.tour != nil {
		return a, nil
	}
	// Anything else (the mouse, a screen's timer) is the screen's.
	return a, a.tell(a.at, msg)
}

// keys replays runes that came in one read one by one, so that fast typing is
// not taken for one unknown key; a paste stays whole. No key here has Alt in
// it: what comes so is Esc and the next key in one read.
func (a *app) keys(k tea.KeyMsg) []tea.Cmd {
	if k.Alt && !k.Paste {
		k.Alt = false
		return append([]tea.Cmd{a.key(tea.KeyMsg{Type: tea.KeyEsc})}, a.keys(k)...)
	}
	if k.Type != tea.KeyRunes || k.Paste || len(k.Runes) < 2 {
		return []tea.Cmd{a.key(k)}
	}
	var all []tea.Cmd
	for _, r := range k.Runes {
		one := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}, Alt: k.Alt}
		if r == ' ' {
			one.Type = tea.KeySpace
		}
		all = append(all, a.key(one))
	}
	return all
}

func (a *app) key(k tea.KeyMsg) tea.Cmd {
	switch k.String() {
	case "ctrl+c":
		return tea.Quit
	case "ctrl+z":
		return tea.Suspend
	}
	if a.going || !a.inside && tooSmall(a.w, a.h) { // pressed blind
		return nil
	}
	a.say, a.toGo = "", nil
	if a.one.takes(k) {
		return nil
	}
	if k.String() == "ctrl+t" {
		return a.mouse()
	}
	if a.walk != nil {
		return a.walkKey(k)
	}
	switch k.String() {
	case "ctrl+g":
		a.bell()
		return nil
	}
	if a.tour != nil {
		return a.tourKey(k)
	}
	switch k.String() {
	case "ctrl+r":
		return a.show(scene.Records)
	case "ctrl+p":
		return a.show(scene.Drill)
	case "?":
		if a.at != scene.Help && !typing(a.screens[a.at]) {
			a.open(scene.Help)
			return nil
		}
	}
	return a.tell(a.at, k)
}

// tell gives a message to a screen and acts on the intent that comes back.
func (a *app) tell(id scene.ID, msg tea.Msg) tea.Cmd {
	at := a.screens[id]
	if at == nil { // late news for a screen that was left
		return nil
	}
	switch in := at.Update(&a.sc, msg).(type) {
	case scene.Open:
		switch in.ID {
		case scene.Walk:
			return a.toWalk()
		case scene.Tour:
			return a.startTour()
		case scene.Health, scene.Build, scene.Setup, scene.Piece, scene.Panel:
			return a.goTo(string(in.ID), with(a.o.ToAround, in.ID))
		case scene.Check, scene.Wiring, scene.Odds:
			page, id := a.o.Page, in.ID
			return read(a, id, "back", func(width int) (string, error) { return page(id, width) })
		case scene.Around:
			if len(a.o.Around) == 0 {
				a.say = "there is no other work to go to here"
				return nil
			}
		}
		return a.show(in.ID)
	case walk.Save:
		return a.walk.save(in)
	case walk.Leave:
		return a.leave(in.Goal)
	case scene.Onward:
		return a.huntFrom(a.o.Onward)
	case layouts.Pick:
		return a.goTo("the layout", with(a.o.Pick, in.N))
	case scene.Work:
		return work(id, in)
	case scene.Export:
		return a.tell(scene.Records, in)
	case scene.Back:
		a.goBack()
	case scene.Do:
		return a.do(in.Event)
	case scene.Without:
		return a.start(pending{without: in.N, asker: id})
	case scene.SetKit:
		return a.setKit(in.Kit)
	case scene.Soon:
		return a.one.begin()
	case scene.Say:
		a.say = in.Text
	case scene.Quit:
		if a.o.Home != nil {
			return a.huntFrom(a.o.Home)
		}
		return tea.Quit
	}
	return nil
}

func (a *app) bell() {
	a.sc.Bell = !a.sc.Bell
	a.say = "bell off"
	if a.sc.Bell {
		a.say = "bell on: it rings when the next reading is here (ctrl+g: off)"
		a.cursor.ring()
	}
}

func (a *app) mouse() tea.Cmd {
	a.sc.Mouse = !a.sc.Mouse
	if a.sc.Mouse {
		a.say = "mouse on: click a piece on the map (ctrl+t: off, to select text)"
		return tea.EnableMouseCellMotion
	}
	a.say = "mouse off"
	return tea.DisableMouse
}
