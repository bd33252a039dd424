package tui

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
)

// Hunter is what the screens need of a hunt. *hunt.Hunt is one; tests use a
// scripted one. It is never called from two goroutines at once.
type Hunter interface {
	Apply(hunt.Event) error
	Own(hunt.Kit) error
	View() hunt.View
	Without(n int) (hunt.View, error)
	Tell() bool
	Save() ([]byte, error)
}

// computed is the answer of the hunt to an event. The revision says which
// question it answers: an older one is dropped.
type computed struct {
	revision int
	event    hunt.Event
	kit      *hunt.Kit
	view     hunt.View
	err      error // from Apply: the event did not go in
	saveErr  error
	without  int // the reading left out: view is what would be believed then
	told     bool
}

// compute applies an event, leaves a reading out, or works out what one of them had told,
// and looks at the result, away from the screen's own goroutine. It gets copies of what it needs; the hunt
// itself is used by one such command at a time (app.busy).
func compute(h Hunter, save func([]byte) error, revision int, p pending) tea.Cmd {
	return func() tea.Msg {
		out := computed{revision: revision, without: p.without, told: p.tell}
		if p.without > 0 {
			out.view, out.err = h.Without(p.without)
			return out
		}
		if p.tell {
			h.Tell()
		}
		switch {
		case p.event != nil:
			out.event = *p.event
			out.err = h.Apply(*p.event)
		case p.kit != nil:
			out.kit, out.err = p.kit, h.Own(*p.kit)
		}
		if (p.event != nil || p.kit != nil) && out.err == nil && save != nil {
			out.saveErr = store(h, save)
		}
		out.view = h.View()
		return out
	}
}

func store(h Hunter, save func([]byte) error) error {
	data, err := h.Save()
	if err != nil {
		return fmt.Errorf("could not write down the hunt: %w", err)
	}
	if err := save(data); err != nil {
		return fmt.Errorf("could not save the hunt: %w", err)
	}
	return nil
}
