package asking

import (
	"fishplate/tui/plan"
	"fishplate/tui/scene"
)

// Keys lists what works now.
func (m *Model) Keys(sc *scene.Scene) []scene.Key {
	busy, undo, redo, empty := "", "", "", ""
	takes, clears := "", "" // worth knowing while something stands in the line
	if sc.Busy {
		busy = "still thinking"
	}
	if !sc.View.CanUndo {
		undo = "nothing to take back yet"
	}
	if !sc.View.CanRedo {
		redo = "nothing was taken back"
	}
	if m.input.Value() != "" {
		empty, takes, clears = "clear the line first (Esc)", "Enter take it", "Esc clear"
		if oneKey(sc, m.input.Value()) != "" {
			takes = "" // it goes off by itself
		}
		undo, redo = empty, empty
	}
	var out []scene.Key
	if m.page == pageMap {
		if m.plan.Finding() {
			return plan.FindKeys()
		}
		out = plan.Keys(empty)
		out = append(out, scene.Key{Press: "Esc", Does: "back to the reading", Hint: "Esc back"})
	}
	out = append(out, scene.Key{Press: "Enter",
		Does: "take the answer as typed: 0.4  0,4  212 mV  1.2k  OL  beep  no; or found main 3, notfound main 3 for " +
			"a piece you looked at; on an empty line: read on", Off: busy, Hint: takes})
	if a := sc.View.Step.Ask; a != nil && a.Digits() != "" {
		out = append(out, scene.Key{Press: "a digit", Does: a.Digits() + " (a lone digit needs no Enter)", Off: busy})
	}
	giant := scene.Key{Press: "g, *", Does: "the reading in giant letters, to be read from afar, or small again",
		Off: empty, Hint: "g giant"}
	if a := sc.View.Step.Ask; a != nil && a.OfLamp() { // there g answers: glowing
		giant.Press, giant.Hint = "*", "* giant"
	}
	return append(out,
		scene.Key{Press: "+ Enter", Does: "OL: over the range (number pad)", Off: busy},
		scene.Key{Press: ". Enter, c", Does: "can't reach that: say which probe, and no other reading is asked for " +
			"there", Off: first(busy, empty), Hint: "c can't reach"},
		scene.Key{Press: "- Enter, u", Does: "undo the last answer", Off: undo, Hint: "u undo"},
		scene.Key{Press: "-, Esc", Does: "in a line that has text: erase a character, clear the line", Hint: clears},
		scene.Key{Press: "r", Does: "redo: bring back what was undone", Off: redo, Hint: "r redo"},
		scene.Key{Press: "w, /", Does: "why this reading, what if it shows..., how to take it safely, a drawing",
			Off: empty, Hint: "w why"},
		giant,
		scene.Key{Press: "e", Does: "evidence: change or remove an earlier reading", Off: empty, Hint: "e evidence"},
		scene.Key{Press: "Tab", Does: "the map: zoom, move, follow a probe, choose a piece; Esc back", Hint: "Tab map"},
		scene.Key{Press: "up, down", Does: "scroll the text of the reading"},
		scene.Key{Press: "k", Does: "your kit", Off: empty},
		scene.Key{Press: "q", Does: "leave; the hunt is saved and goes on next time", Off: empty})
}

// first is the first reason that is one.
func first(reasons ...string) string {
	for _, r := range reasons {
		if r != "" {
			return r
		}
	}
	return ""
}
