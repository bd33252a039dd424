package tui

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/charmbracelet/bubbles/help"
	"github.com/charmbracelet/bubbles/key"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/outside"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// The smallest window with a screen in it.
const (
	minWidth  = 40
	minHeight = 15
)

// View draws the screen, clamped to the window whatever a screen hands over.
func (a *app) View() string {
	if a.w < 1 || a.h < 1 {
		return ""
	}
	if !a.inside && tooSmall(a.w, a.h) {
		a.cursor.set(-1, -1)
		return saysTooSmall(a.w, a.h)
	}
	if a.tour != nil {
		return a.tourView()
	}
	foot := a.footer()
	room := a.h - 1 - len(foot)
	f := a.screens[a.at].View(&a.sc, a.w, room)
	if keys := a.footer(); len(keys) == len(foot) { // what lies below is known now
		foot = keys
	}
	lines := make([]string, 0, a.h)
	lines = append(lines, a.header())
	for i := 0; i < room; i++ {
		if i < len(f.Lines) {
			lines = append(lines, f.Lines[i])
		} else {
			lines = append(lines, "")
		}
	}
	lines = append(lines, foot...)
	for i := range lines {
		if a.sc.ASCII {
			lines[i] = text.ASCII(lines[i])
		}
		lines[i] = strings.TrimRight(clampLine(lines[i], a.w), " ")
	}
	a.place(f, room)
	return strings.Join(lines, "\n")
}

// tooSmall says whether nothing can be shown in a window; one whose size is not
// known yet is not.
func tooSmall(w, h int) bool {
	return w > 0 && h > 0 && (w < minWidth || h < minHeight)
}

// saysTooSmall says so in as many lines as it takes and there are.
func saysTooSmall(w, h int) string {
	s := fmt.Sprintf("%dx%d is too small: make it %dx%d. Keys do nothing until then; all is kept. Ctrl-C leaves.", w, h,
		minWidth, minHeight)
	lines := text.Wrap(s, w)
	lines = lines[:min(len(lines), h)]
	for i := range lines {
		lines[i] = clampLine(lines[i], w)
	}
	return strings.Join(lines, "\n")
}

// place notes where the terminal's cursor belongs.
func (a *app) place(f scene.Frame, room int) {
	if f.Y < 0 || f.Y >= room {
		a.cursor.set(-1, -1)
		return
	}
	a.cursor.set(min(max(f.X, 0), a.w-1), f.Y+1)
}

// clampLine cuts a line to w columns. Names in a layout may hold anything:
// control characters, bidirectional overrides and all escape sequences but
// our own colours are taken out.
func clampLine(s string, w int) string {
	if !plain(s) {
		s = clean(s)
	}
	if ansi.StringWidth(s) <= w {
		return s
	}
	return ansi.Truncate(s, w, "")
}

func plain(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] < ' ' || s[i] >= 0x7f {
			return false
		}
	}
	return true
}

func clean(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); {
		if n := colour(s[i:]); n > 0 {
			b.WriteString(s[i : i+n])
			i += n
			continue
		}
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == '\n' || r == '\t' || outside.Unseen(r):
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
		i += n
	}
	return b.String()
}

// colour gives the length of the colour sequence (ECMA-48 SGR) that s begins
// with, 0 for none.
func colour(s string) int {
	if !strings.HasPrefix(s, "\x1b[") {
		return 0
	}
	for i := 2; i < len(s); i++ {
		switch c := s[i]; {
		case c == 'm':
			return i + 1
		case c != ';' && (c < '0' || c > '9'):
			return 0
		}
	}
	return 0
}

// header says where one is: layout, what is hunted, and how far the hunt has come.
func (a *app) header() string {
	t := &a.sc.Theme
	left, right := "", string(a.at)
	if a.o.Layout != nil {
		left = a.o.Layout.Name
	}
	if a.o.Demo {
		left += " (demo)"
	}
	v := &a.sc.View
	switch {
	case a.sc.Busy && len(a.waiting) > 0:
		right = "thinking (more waiting)"
	case a.sc.Busy:
		right = "thinking"
	case v.Symptom != nil:
		right = progress(v, a.w, progressCells)
		if room := a.w - text.Width(right) - 2; text.Width(a.hunting(left, room)) > room {
			right = progress(v, a.w, 0) // which reading it is says more than the bar
		}
		left = a.hunting(left, a.w-text.Width(right)-2)
	}
	if s, ok := a.screens[a.at].(interface{ Title() (left, right string) }); ok {
		left, right = s.Title()
	}
	if s, ok := a.screens[a.at].(interface{ ShortTitle() string }); ok && a.w < 60 {
		left = s.ShortTitle()
	}
	room := a.w - text.Width(right) - 2
	return t.Paint(style.Title, text.Fit(left, room)) + "  " + t.Paint(style.Dim, right)
}

// hunting adds to the layout's name what is hunted and the number of the reading;
// where all of it does not fit the name goes.
func (a *app) hunting(name string, room int) string {
	s := strings.ReplaceAll(string(a.sc.View.Symptom.Kind), "-", " ")
	if at := a.sc.View.Symptom.At; at != "" {
		s += " at " + at
	}
	if ask := a.sc.View.Step.Ask; ask != nil {
		s += fmt.Sprintf("   reading %d", ask.N)
		if ask.Again != "" || ask.Aside != nil {
			s += ", once more"
		}
	}
	if whole := name + "   " + s; text.Width(whole) <= room {
		return whole
	}
	return s
}

// progressCells is how many marks the bar of what is left has.
const progressCells = 10

// progress shows how many pieces are left of all, also as a bar of so many cells; or
// that the hunt is over with them.
func progress(v *hunt.View, w, cells int) string {
	switch d := v.Step.Done; {
	case d != nil && d.Proven:
		return "proven"
	case d != nil && d.Found != "":
		return "found"
	}
	all := len(v.Pieces)
	left := min(v.Hidden95, all)
	full := 0
	if all > 0 {
		full = (cells*left + all - 1) / all
	}
	s := strings.TrimSpace(fmt.Sprintf("%d of %d %s%s", left, all, strings.Repeat("#", full),
		strings.Repeat(".", cells-full)))
	if w >= 60 {
		s = "left " + s
	}
	return s
}

// footer shows what was just said, else a save that failed, else the keys
// worth knowing here.
func (a *app) footer() []string {
	t := &a.sc.Theme
	if a.say != "" {
		return said(t, style.Label, a.say, a.w)
	}
	if a.saveErr != "" {
		return said(t, style.Bad, "! "+a.saveErr, a.w)
	}
	if s, ok := a.screens[a.at].(interface {
		Foot(sc *scene.Scene, w, h int) []string
	}); ok {
		return s.Foot(&a.sc, a.w, a.h)
	}
	keys := a.screens[a.at].Keys(&a.sc)
	if a.at != scene.Help && a.at != scene.Check && !typing(a.screens[a.at]) {
		return []string{keysIn(t, keys, scene.Key{Hint: "? help"}, a.w)}
	}
	return []string{keysIn(t, keys, scene.Key{}, a.w)}
}

// keysIn gives as many keys as fit w columns, and one that is never pushed out. The
// part's own Width lets lines through that are wider.
func keysIn(t *style.Theme, keys []scene.Key, last scene.Key, w int) string {
	foot := help.New()
	foot.ShortSeparator, foot.Styles = "  ", help.Styles{ShortKey: lipgloss.NewStyle().Transform(func(s string) string {
		return t.Paint(style.Key, s)
	})}
	var all []key.Binding
	for _, k := range keys {
		if b := k.Foot(); b.Enabled() {
			all = append(all, b)
		}
	}
	for n := len(all); ; n-- {
		if line := foot.ShortHelpView(append(all[:n:n], last.Foot())); n == 0 || text.Width(line) <= w {
			return line
		}
	}
}

// said gives a remark in at most three lines.
func said(t *style.Theme, r style.Role, s string, w int) []string {
	lines := text.Wrap(s, w)
	lines = lines[:min(len(lines), 3)]
	for i := range lines {
		lines[i] = t.Paint(r, lines[i])
	}
	return lines
}
