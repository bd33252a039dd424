package hunt

import (
	"errors"

	"fishplate/diagnose/track"
)

// Hunt is one hunt on one layout.
type Hunt struct {
	layout *track.Layout
	kit    Kit
	events []Event
}

// New starts a hunt that waits for a symptom.
func New(l *track.Layout, kit Kit) *Hunt { return &Hunt{layout: l, kit: kit} }

// Apply takes one event. An error says what is wrong with it in the user's
// words; the hunt is then as it was.
func (h *Hunt) Apply(e Event) error {
	return errors.New("not built yet")
}

// View computes what is wanted and believed now.
func (h *Hunt) View() View { return View{LayoutRef: h.layout} }

// Save gives the journal as JSON, for Resume.
func (h *Hunt) Save() ([]byte, error) { return nil, errors.New("not built yet") }

// Resume replays a saved journal on a layout.
func Resume(l *track.Layout, kit Kit, saved []byte) (*Hunt, error) {
	return nil, errors.New("not built yet")
}
