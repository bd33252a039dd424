package main

import (
	"os"
	"path/filepath"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
	"fishplate/layoutfile"
	"fishplate/tui"
)

// tour says what the tour of the screens runs on: the demo, with what
// is recommended there. It is shown by itself once, where the demo is opened and no
// hunt is kept.
func tour(o *tui.Options, src *source) {
	o.Tour = func() tui.Options {
		l := src.layout
		if !src.demo {
			file, _ := layoutfile.Read(layoutfile.Demo())
			l = file.Layout
		}
		var kit hunt.Kit
		gear.Recommend(&kit, gear.AC(l))
		return tui.Options{Layout: l, Kit: kit}
	}
	dir, err := os.UserConfigDir()
	if err != nil {
		return // nowhere to note that it was seen: do not show it each time
	}
	seen := filepath.Join(dir, "fishplate", "tour-seen")
	_, err = os.Stat(seen)
	o.FirstRun = src.demo && o.Hunt == nil && os.IsNotExist(err)
	o.TourSeen = func() {
		// Where this cannot be written the tour comes again: no harm.
		if os.MkdirAll(filepath.Dir(seen), 0o755) == nil {
			_ = os.WriteFile(seen, nil, 0o600)
		}
	}
}
