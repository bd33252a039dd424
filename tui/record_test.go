package tui

import (
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"

	"fishplate/tui/internal/rig"
)

func recordsShown(keys ...string) (string, *rig.Records) {
	r := rig.NewRecords()
	o := scripted()
	o.Records = r
	return ansi.Strip(Snapshot(o, 80, 40, keys...)), r
}

// TestRecords goes through the screen of kept hunts: the list, one opened, two
// compared, a note, a field, a report.
func TestRecords(t *testing.T) {
	s, _ := recordsShown("ctrl+r")
	assert.Contains(t, s, "1  2026-03-01-2  (now)")
	assert.Contains(t, s, "cannot be read: it is no saved hunt")

	s, _ = recordsShown("ctrl+r", "2", "enter")
	assert.Contains(t, s, "Fault record: test oval, after the move")
	assert.Contains(t, s, "stall at one place; shows at main 7")

	s, _ = recordsShown("ctrl+r", "3", "enter")
	assert.Contains(t, s, "! the record 2025-12-24-1 cannot be read")

	s, _ = recordsShown("ctrl+r", " ", "down", "c")
	assert.Contains(t, s, "Side by side: 2026-03-01-2 and 2026-03-01-1")
	assert.Regexp(t, `! State +found and proven +open`, s)
	assert.Regexp(t, `beeper, T1 hot to T1 common \(supply off\)\n +beep +no\n`, s)

	s, _ = recordsShown("ctrl+r", "c")
	assert.Contains(t, s, "Space marks one record")

	s, r := recordsShown("ctrl+r", "n", "why? quit", "enter", "enter")
	assert.Contains(t, s, "why? quit", "letters that are keys elsewhere are typed")
	assert.Equal(t, "why? quit", r.Reports[0].Notes[0].Text)

	_, r = recordsShown("ctrl+r", "2", "a", "2", "cleaned the joint", "enter")
	assert.Equal(t, "cleaned the joint", r.Reports[1].Repair)

	s, r = recordsShown("ctrl+r", "2", "p")
	assert.Contains(t, s, "the report is in /home/ada/oval.hcl.2026-03-01-1.html")
	assert.Equal(t, []string{"2026-03-01-1 html"}, r.Written)

	_, r = recordsShown("ctrl+r", "enter", "m")
	assert.Equal(t, []string{"2026-03-01-2 md"}, r.Written)

	s, _ = recordsShown("ctrl+r", "esc")
	assert.Contains(t, s, "What", "back where one was")
}

// Where hunts are not kept, the screen says so and no key breaks it.
func TestNoRecords(t *testing.T) {
	s := ansi.Strip(Snapshot(unkept(), 80, 24, "ctrl+r", "enter", " ", "c", "p", "m", "n", "a", "down"))
	assert.Contains(t, s, "hunts are not kept here")
}

// From the end of a hunt the report is one key away.
func TestReportFromDone(t *testing.T) {
	_, r := recordsShown("1", "enter", "enter", "1", "40", "enter", "0", "1", "n", "enter", "f", "enter", "p")
	assert.Equal(t, []string{"2026-03-01-2 html"}, r.Written)
	for _, keys := range [][]string{{"ctrl+r"}, {"no", "enter", "o"}} { // o begins an answer of the proof
		s, _ := recordsShown(append([]string{"1", "enter", "enter", "1", "40", "enter", "0", "1", "n", "enter", "f",
			"enter"}, keys...)...)
		assert.Contains(t, s, "Hunts on this layout")
	}
}

func unkept() Options {
	o := scripted()
	o.Records = nil
	return o
}
