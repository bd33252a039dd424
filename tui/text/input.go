package text

import (
	"github.com/charmbracelet/bubbles/key"
	"github.com/charmbracelet/bubbles/textinput"
	tea "github.com/charmbracelet/bubbletea"
)

// Input is one line of typing. It never starts a command and never blinks.
type Input struct{ m textinput.Model }

// NewInput gives an empty line.
func NewInput() Input {
	m := textinput.New()
	m.Prompt = ""
	m.CharLimit = 120
	m.KeyMap.Paste = key.NewBinding(key.WithDisabled()) // would ask the system's clipboard
	m.Focus()
	return Input{m}
}

// Value is what was typed.
func (i *Input) Value() string { return i.m.Value() }

// Set replaces what was typed.
func (i *Input) Set(s string) { i.m.SetValue(s); i.m.CursorEnd() }

// Update takes a key; it says whether the line changed.
func (i *Input) Update(k tea.KeyMsg) bool {
	was, at := i.m.Value(), i.m.Position()
	i.m, _ = i.m.Update(k)
	return i.m.Value() != was || i.m.Position() != at
}

// UpdatePad is Update for a line that a number pad must be enough for: "-"
// behind text takes back what stands before the caret. At the start of the line
// it stays a sign.
func (i *Input) UpdatePad(k tea.KeyMsg) bool {
	if k.String() == "-" && !k.Paste && i.m.Position() > 0 {
		k = tea.KeyMsg{Type: tea.KeyBackspace}
	}
	return i.Update(k)
}

// View gives the line, w columns wide at most, and the column of the caret;
// caret paints the one cell under it.
func (i *Input) View(w int, caret func(string) string) (string, int) {
	r := []rune(i.m.Value())
	at := i.m.Position()
	if w < 2 {
		return "", 0
	}
	lo := 0
	for lo < at && Width(string(r[lo:at])) > w-1 {
		lo++
	}
	before, under, after := string(r[lo:at]), " ", ""
	if at < len(r) {
		under, after = string(r[at]), string(r[at+1:])
	}
	col := Width(before)
	for Width(before+under+after) > w && after != "" {
		rs := []rune(after)
		after = string(rs[:len(rs)-1])
	}
	return before + caret(under) + after, col
}
