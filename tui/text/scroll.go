package text

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/viewport"

	"fishplate/tui/style"
)

// Scroll is a window onto lines that may not all fit: the framework's viewport, which
// keeps the place; the lines are cut out here, which costs a hundredth of its View.
type Scroll struct{ v viewport.Model }

// Key moves the window by a key, and says whether it was one of its own.
func (s *Scroll) Key(k string) bool {
	switch k {
	case "up":
		s.v.ScrollUp(1)
	case "down":
		s.v.ScrollDown(1)
	case "pgup":
		s.v.PageUp()
	case "pgdown", " ":
		s.v.PageDown()
	default:
		return false
	}
	return true
}

// On moves the window on by what it shows; false at the end.
func (s *Scroll) On() bool {
	more := s.Below() > 0
	s.v.PageDown()
	return more
}

// Move moves the window by n lines.
func (s *Scroll) Move(n int) { s.v.SetYOffset(s.v.YOffset + n) }

// Top is the first line in the window, and Below how many are hidden behind it.
func (s *Scroll) Top() int { return s.v.YOffset }

// Below is how many lines were hidden below when last drawn.
func (s *Scroll) Below() int { return max(s.v.TotalLineCount()-s.v.YOffset-s.v.Height, 0) }

// To begins the window at line n, or as near as View can.
func (s *Scroll) To(n int) { s.v.YOffset = n }

// Show moves the window so that line n is in view of h lines.
func (s *Scroll) Show(n, h int) { s.To(max(min(s.Top(), n), n-max(h, 2)+2)) }

// View gives h lines from the window. Where lines are hidden the last one says how many,
// and the key that reads on.
func (s *Scroll) View(t *style.Theme, lines []string, h int, on string) []string {
	s.v.Height = max(h, 0)
	if len(lines) > h {
		s.v.Height = max(h-1, 0)
	}
	s.v.SetContent(strings.Join(lines, "\n"))
	s.Move(0) // the lines may have become fewer
	if len(lines) <= h || h <= 0 {
		return lines[:min(len(lines), s.v.Height)]
	}
	says := "--"
	if n := s.Below(); n > 0 {
		says += fmt.Sprintf(" %d more: %s ", n, on)
	}
	if n := s.Top(); n > 0 {
		up := "Up"
		if strings.Contains(on, "PgDn") {
			up = "PgUp"
		}
		says += fmt.Sprintf(" %d above: %s", n, up)
	}
	out := append([]string(nil), lines[s.Top():s.Top()+s.v.Height]...)
	return append(out, t.Paint(style.Key, strings.TrimRight(says, " ")))
}
