package tui

import (
	"fmt"
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/tui/scene"
)

// open goes to a screen; Esc comes back from it.
func (a *app) open(id scene.ID) {
	if id == a.at {
		return
	}
	if id == scene.Help {
		a.help.Reset(a.at, a.screens[a.at].Keys(&a.sc))
	}
	a.back = append(a.back, a.at)
	a.at = id
}

func (a *app) goBack() {
	if a.at == scene.Kit && a.sc.Held != nil { // asked for on the way: back to the symptom
		a.sc.Held = nil
	}
	if n := len(a.back); n > 0 {
		a.at, a.back = a.back[n-1], a.back[:n-1]
		return
	}
	a.at = a.main()
}

// main is the screen that fits what the hunt wants now.
func (a *app) main() scene.ID {
	s := &a.sc.View.Step
	switch {
	case s.Done != nil:
		return scene.Done
	case s.Inspect != nil:
		return scene.Inspect
	case s.Ask != nil:
		return scene.Hunt
	}
	return scene.Symptom
}

// do hands an event to the hunt, after asking for the kit the first time.
func (a *app) do(e hunt.Event) tea.Cmd {
	if e.Symptom != nil && !a.kitSeen {
		a.sc.Held = &e
		a.open(scene.Kit)
		return nil
	}
	return a.start(pending{event: &e, asker: a.at})
}

func (a *app) setKit(k hunt.Kit) tea.Cmd {
	if a.sc.View.Symptom != nil {
		return a.start(pending{kit: &k, asker: scene.Kit})
	}
	owns(a, k)
	held := a.sc.Held
	a.sc.Held = nil
	a.goBack()
	if a.busy { // only before the first event, so nothing can be lost
		a.say = "still thinking: choose your kit again in a moment"
		return nil
	}
	a.hunt = a.o.Start(k)
	if held != nil {
		return a.start(pending{event: held, asker: scene.Symptom})
	}
	return a.start(pending{})
}

// owns takes a kit that was told.
func owns(a *app, k hunt.Kit) {
	a.kitSeen, a.sc.Kit = true, k
	if a.o.KeepKit != nil {
		a.o.KeepKit(k)
	}
}

// start begins a computation, or queues it behind the running one.
func (a *app) start(p pending) tea.Cmd {
	if a.busy {
		a.waiting, a.sc.Busy = append(a.waiting, p), true
		return nil
	}
	a.revision++
	a.busy, a.sc.Busy, a.asker = true, !p.tell, p.asker
	return compute(a.hunt, a.o.Save, a.revision, p)
}

// computed takes the hunt's answer. An old one is dropped; one with others
// waiting behind it is not shown.
func (a *app) computed(m computed) tea.Cmd {
	if m.revision != a.revision {
		return nil
	}
	a.busy, a.sc.Busy = false, false
	asker := a.asker
	before := a.main()
	if m.saveErr != nil {
		a.saveErr = m.saveErr.Error()
	} else if m.err == nil {
		a.saveErr = ""
	}
	var next tea.Cmd
	if len(a.waiting) > 0 {
		p := a.waiting[0]
		a.waiting = a.waiting[1:]
		next = a.start(p)
	} else if m.without == 0 {
		if m.event.Reading != "" || m.event.NotFound != "" {
			a.say += wentUp(&a.sc.View, &m.view) + notEnough(&a.sc.View, &m.view)
		}
		a.see(m.view)
	}
	switch {
	case asker == "" || m.told:
	case m.without > 0:
		a.screens[asker].Update(&a.sc, scene.WithoutIs{N: m.without, View: m.view, Err: m.err})
		return next
	case m.err != nil:
		a.screens[asker].Update(&a.sc, scene.Refused{Event: m.event, Err: m.err})
	case m.kit != nil:
		owns(a, *m.kit)
		a.goBack()
	default:
		if s, ok := a.screens[asker].Update(&a.sc, scene.Taken{Event: m.event}).(scene.Say); ok {
			a.say = s.Text
		}
	}
	if next != nil {
		return next
	}
	if !m.told {
		a.turn(before)
	}
	if to := a.toGo; to != nil {
		a.say, a.toGo = "", nil
		return to()
	}
	if a.untold() {
		return a.start(pending{tell: true})
	}
	return nil
}

// untold says whether what some reading had told is to be worked out yet: of a hunt that
// was taken up or changed, once nothing else is wanted.
func (a *app) untold() bool {
	return slices.ContainsFunc(a.sc.View.Evidence, func(e hunt.Evidence) bool { return e.Untold })
}

// wentUp says why more is left behind an answer than before it, empty where less is.
func wentUp(was, now *hunt.View) string {
	if was.Symptom == nil || was.Step.Done != nil || now.Step.Done != nil || now.Hidden95 <= was.Hidden95 {
		return ""
	}
	return fmt.Sprintf("left went up, from %d to %d: that speaks against the places that were likeliest, and others "+
		"come back", was.Hidden95, now.Hidden95)
}

// notEnough says what a proof that is bad for good came to, empty for all else: the last
// of what is warned of anew, which is of the repair.
func notEnough(was, now *hunt.View) string {
	if was.Step.Done == nil || now.Step.Done != nil {
		return ""
	}
	for _, w := range slices.Backward(now.Warnings) {
		if !slices.Contains(was.Warnings, w) {
			return w
		}
	}
	return ""
}

// see takes over a view.
func (a *app) see(v hunt.View) {
	was, now := a.sc.View.Step.Ask, v.Step.Ask
	if a.sc.Bell && now != nil && (was == nil || was.N != now.N || was.Red != now.Red || was.Black != now.Black) {
		a.cursor.ring()
	}
	a.sc.View = v
	a.sc.View.LayoutRef = a.o.Layout
}

// turn goes to the screen that the hunt wants now, unless the user is reading
// another one that still makes sense.
func (a *app) turn(before scene.ID) {
	now := a.main()
	if ask := a.sc.View.Step.Ask; ask != nil && !a.sc.Warned && len(a.sc.View.Evidence) == 0 && len(ask.Cautions) > 0 {
		a.sc.Warned = true
		a.back, a.at = []scene.ID{now}, scene.Caution
		return
	}
	if a.stays(before, now) {
		if len(a.back) > 0 {
			a.back[0] = now
		}
		return
	}
	a.at, a.back = now, nil
}

// stays says whether the screen that is looked at still makes sense when the hunt goes
// from one screen to another: what the hunt's own screens ask for is over, and the
// others have nothing to do with it.
func (a *app) stays(before, now scene.ID) bool {
	step := &a.sc.View.Step
	switch a.at {
	case scene.Symptom, scene.Hunt, scene.Inspect, scene.Done:
		return false
	case scene.Kit:
		return now == before
	case scene.Why:
		if d := step.Done; d != nil { // why the proof
			return now == before && d.Prove != nil && !d.Proven
		}
		return step.Ask != nil
	case scene.Caution:
		return step.Ask != nil
	}
	return true
}
