package card

import (
	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
	"fishplate/tui/scene"
	"fishplate/tui/style"
)

// Hookup draws how the lamp is hooked up, where a step does that; nil elsewhere.
func Hookup(sc *scene.Scene, a *hunt.Ask) []string {
	if !sc.View.HooksUp() {
		return nil
	}
	if lines := Lamp(sc, a); lines != nil {
		return append([]string{sc.Theme.Paint(style.Title, "THE LAMP")}, lines...)
	}
	return nil
}

// Lamp draws how the lamp of a reading is hooked up; nil where it has none.
func Lamp(sc *scene.Scene, a *hunt.Ask) []string {
	h, ok := gear.HookupFor(&sc.Kit, sc.Layout, &a.Setup.Source)
	if !ok {
		return nil
	}
	return h.Draw(sc.ASCII)
}
