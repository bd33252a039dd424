// Package plan is the map as part of a screen: it keeps zoom and place, turns
// the drawn grid into coloured lines, and explains the marks. What is drawn is
// package draw's.
package plan

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
	"fishplate/tui/draw"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
)

// Model is the state of a map.
type Model struct {
	Zoom float64 // 0 or 1: the whole layout
	// Free says that the user moved the window; otherwise a zoomed map follows
	// the probe.
	Free  bool
	black bool    // follow the black probe, not the red one
	X, Y  float64 // the middle, mm, when Free
	grid  *draw.Grid
	win   draw.Window
	// picked is the chosen piece + 1, 0 for none.
	picked int
	find   finder
	caretX int // where the name is typed, on the last line drawn
	height int
	last   drawn // what lines were drawn for
	lines  []string
}

// Show says what to point out.
type Show struct {
	Ask    *hunt.Ask // its probes and set-up
	Chosen int       // a piece, -1 for none
	Plain  bool      // no suspicion
	Detail bool      // the map is what the user looks at: say more below it
	Named  *[]Named  // places with names of their own; may be nil
}

// Named is a place with a name of its own.
type Named struct {
	At   track.Place
	Name string
	Lit  bool // it is this one's turn
}

// Key takes the keys of the map: + and - zoom, arrows move, f follows the
// probe, a shows all; n, p and / choose a piece. It says whether the key was
// one. Digits are none: they belong to answers.
func (m *Model) Key(sc *scene.Scene, k tea.KeyMsg) bool {
	return m.pickKey(sc, k) || m.ViewKey(k)
}

// ViewKey takes the keys that change what part of the table is shown: + and -
// (also z and Z, where those have another meaning), arrows, f and a.
func (m *Model) ViewKey(k tea.KeyMsg) bool {
	step := 20.0
	if m.win.MMPerDot > 0 {
		step = m.win.MMPerDot * 16
	}
	switch k.String() {
	case "+", "=", "z":
		m.Zoom = min(max(m.Zoom, 1)*1.5, 40)
	case "-", "_", "Z":
		m.Zoom = max(max(m.Zoom, 1)/1.5, 1)
	case "a", "home":
		m.Zoom, m.Free, m.picked = 0, false, 0
	case "f": // the red probe; again: the black one
		again := !m.Free && m.picked == 0 && m.Zoom > 1
		m.black = again && !m.black
		m.Free, m.picked = false, 0
		m.Zoom = max(m.Zoom, 4)
	case "left":
		m.move(-step, 0)
	case "right":
		m.move(step, 0)
	case "up":
		m.move(0, step)
	case "down":
		m.move(0, -step)
	default:
		return false
	}
	return true
}

func (m *Model) move(dx, dy float64) {
	if m.Zoom <= 1 {
		m.Zoom = 2
	}
	if !m.Free {
		m.Free, m.X, m.Y = true, m.win.X, m.win.Y
	}
	m.X += dx
	m.Y += dy
}

// At lists the pieces under a cell of the map last drawn.
func (m *Model) At(x, y int) []int {
	if m.grid == nil || x < 0 || y < 0 || x >= m.grid.W || y >= m.grid.H {
		return nil
	}
	return m.grid.At(x, y)
}

// Anchor gives the cell of a piece's middle on the map last drawn.
func (m *Model) Anchor(piece int) (x, y int, ok bool) {
	if m.grid == nil || piece < 0 || piece >= len(m.grid.Anchor) || m.grid.Anchor[piece] < 0 {
		return 0, 0, false
	}
	a := m.grid.Anchor[piece]
	return a % m.grid.W, a / m.grid.W, true
}

// Probe gives the cell of the red probe's mark on the map last drawn.
func (m *Model) Probe() (x, y int, ok bool) {
	if m.grid == nil {
		return 0, 0, false
	}
	for i := range m.grid.Cells {
		if m.grid.Cells[i].Kind == draw.ProbeRed {
			return i % m.grid.W, i / m.grid.W, true
		}
	}
	return 0, 0, false
}

// drawn is all that a map hangs on: the same once more is not drawn again, so
// that typing costs no map. Pointers in it stand for snapshots, which do not
// change; holding them here keeps them from being used for others.
type drawn struct {
	layout      *track.Layout
	pieces      *float64
	ranked      *hunt.Candidate
	ask         *hunt.Ask
	theme       style.Theme
	ascii, free bool
	black       bool
	show        Show
	zoom, x, y  float64
	picked      int
	w, h        int
}

func (m *Model) drawn(sc *scene.Scene, show Show, w, h int) drawn {
	d := drawn{layout: sc.Layout, ask: show.Ask, theme: sc.Theme, ascii: sc.ASCII, free: m.Free, black: m.black,
		show: show,
		zoom: m.Zoom, x: m.X, y: m.Y, picked: m.picked, w: w, h: h}
	if len(sc.View.Pieces) > 0 {
		d.pieces = &sc.View.Pieces[0]
	}
	if len(sc.View.Ranked) > 0 {
		d.ranked = &sc.View.Ranked[0]
	}
	return d
}

// View draws the map, w by h, with as much of its legend as there is room for
// below it.
func (m *Model) View(sc *scene.Scene, show Show, w, h int) []string {
	now := m.drawn(sc, show, w, h)
	if m.lines != nil && now == m.last && !m.find.on {
		return slices.Clone(m.lines)
	}
	lines := m.view(sc, show, w, h)
	m.last, m.lines = now, slices.Clone(lines)
	if m.find.on {
		m.lines = nil
	}
	return lines
}

func (m *Model) view(sc *scene.Scene, show Show, w, h int) []string {
	if i := m.Picked(); i >= 0 && i < len(sc.Layout.Pieces) {
		show.Chosen = i
	}
	look := Look(sc, show)
	var legend []string
	if h >= leastLegend {
		legend = Legend(sc, show, w, h)
	}
	legend = append(m.below(sc, show, w, h), legend...)
	if most := max(h/2, h-8); len(legend) > most {
		legend = legend[:max(most, 0)]
	}
	m.height = h
	most := 0
	if h >= leastLegend {
		most = max(h/6, 1)
	}
	var keys []string
	draws := func() {
		mh := max(h-len(legend)-len(keys), 1)
		m.win = m.window(sc, show, w, mh)
		m.grid, keys = Explained(&sc.Theme, sc.Layout, [2]int{w, mh}, m.win, look, most)
	}
	if draws(); len(keys) > 0 { // the map's own key needs room: a lower map, with no more letters
		most = len(keys)
		draws()
	}
	lines := append(Paint(&sc.Theme, m.grid), legend...)
	lines = append(lines, keys...)
	if m.find.on && h > 1 {
		var line string
		line, m.caretX = m.findLine(sc, w)
		for len(lines) < h {
			lines = append(lines, "")
		}
		lines[h-1] = line
	}
	return lines
}

// below is what stands between the map and its legend: the chosen piece and,
// while the map is what the user looks at, the reading's points.
func (m *Model) below(sc *scene.Scene, show Show, w, h int) []string {
	out := m.about(sc, w)
	if show.Detail && h >= 12 {
		out = append(out, Points(sc, show, w)...)
	}
	return out
}

// Cursor gives the cell, counted from the map's own top left, where the
// terminal's cursor belongs: the line being typed, the chosen piece, the red
// probe.
func (m *Model) Cursor() (x, y int, ok bool) {
	if m.find.on {
		return m.caretX, m.height - 1, true
	}
	if i := m.Picked(); i >= 0 {
		if x, y, ok = m.Anchor(i); ok {
			return x, y, true
		}
	}
	return m.Probe()
}

func (m *Model) window(sc *scene.Scene, show Show, w, h int) draw.Window {
	if m.Zoom <= 1 {
		return draw.Fit(sc.Layout, w, h)
	}
	x, y := m.X, m.Y
	if !m.Free {
		x, y = focus(sc, show, m.black)
	}
	return draw.Near(sc.Layout, w, h, m.Zoom, x, y)
}

// focus is the place to follow: the chosen piece, else a probe.
func focus(sc *scene.Scene, show Show, black bool) (x, y float64) {
	l := sc.Layout
	if show.Chosen >= 0 && show.Chosen < len(l.Pieces) {
		p := plane.Spot(l, track.Place{Piece: show.Chosen, End: -1})
		return p.X, p.Y
	}
	if show.Ask != nil {
		names := []string{show.Ask.Red, show.Ask.Black}
		if black {
			slices.Reverse(names)
		}
		for _, name := range names { // one may be at the supply, off the map
			if p := spot.Parse(l, name); p.Place.Piece >= 0 {
				at := plane.Spot(l, p.Place)
				return at.X, at.Y
			}
		}
	}
	win := draw.Fit(l, 10, 10)
	return win.X, win.Y
}

// Look gathers what the map shows.
func Look(sc *scene.Scene, show Show) draw.Look {
	look := draw.Look{ASCII: sc.ASCII, Chosen: show.Chosen, Names: true}
	if !show.Plain {
		look.Levels = draw.Levels(sc.View.Pieces)
		for i, c := range sc.View.Ranked {
			if i >= 3 || c.P < draw.LikelyFrom {
				break
			}
			if k := sc.Layout.FindPiece(c.Piece); k >= 0 {
				look.Ranks = append(look.Ranks, k)
			} else {
				look.Ranks = append(look.Ranks, -1)
			}
		}
	}
	for _, name := range lifted(sc, show) {
		if at, ok := spot.FindPlace(sc.Layout, name); ok {
			look.Marks = append(look.Marks, draw.Mark{At: at, Text: "x", Kind: draw.LiftedMark})
		}
	}
	if show.Ask != nil {
		look.Marks = append(look.Marks, probes(sc.Layout, show.Ask)...)
	}
	if show.Named != nil {
		for _, n := range *show.Named {
			kind := draw.LoadEnd
			if n.Lit {
				kind = draw.ProbeRed
			}
			look.Marks = append(look.Marks, draw.Mark{At: n.At, Text: n.Name, Kind: kind})
		}
	}
	return look
}

func lifted(sc *scene.Scene, show Show) []string {
	if show.Ask != nil {
		return show.Ask.Setup.Lifted
	}
	return sc.View.Lifted
}

// letter is a lettered point of a reading.
type letter struct {
	point  spot.Point
	letter string
	kind   draw.Kind
}

// lettered gives every point of a reading that a hand has to find: both
// probes (R, B), the ends of lamps and jumpers (L, the second M, N, ...), the
// wires of feeders to pull (P), and where a supply is led to the track (S).
func lettered(l *track.Layout, a *hunt.Ask) []letter {
	var out []letter
	add := func(name, s string, k draw.Kind) {
		p := spot.Parse(l, name)
		if p.Place.Piece < 0 {
			return
		}
		out = append(out, letter{p, s, k})
	}
	for i, load := range a.Setup.Loads {
		s := string(rune('L' + min(i, 3)))
		add(load.From, s, draw.LoadEnd)
		add(load.To, s, draw.LoadEnd)
	}
	for _, f := range a.Setup.Pulled {
		add(f+" hot", "P", draw.LoadEnd)
	}
	for _, s := range append([]hunt.Source{a.Setup.Source}, a.Setup.Also...) {
		if s.Kind != "none" {
			add(s.From, "S", draw.LoadEnd)
			add(s.To, "S", draw.LoadEnd)
		}
	}
	add(a.Red, "R", draw.ProbeRed)
	add(a.Black, "B", draw.ProbeBlack)
	return out
}

func probes(l *track.Layout, a *hunt.Ask) []draw.Mark {
	var out []draw.Mark
	for _, p := range lettered(l, a) {
		side := map[track.Rail]int{track.Left: 1, track.Right: -1}[p.point.Rail]
		out = append(out, draw.Mark{At: p.point.Place, Side: side, Text: p.letter, Kind: p.kind})
	}
	return out
}

// roles gives the colour of each kind of cell that is no rail.
var roles = map[draw.Kind]style.Role{
	draw.ProbeRed: style.ProbeRed, draw.ProbeBlack: style.ProbeBlack, draw.LoadEnd: style.Key,
	draw.FeederMark: style.Feeder, draw.LiftedMark: style.Lifted, draw.GapMark: style.Gap,
	draw.BumperMark: style.Landmark, draw.LandmarkName: style.Landmark, draw.PieceNumber: style.Number,
	draw.Rank: style.Hot, draw.Chosen: style.Select,
}

var levels = [...]style.Role{draw.Unknown: style.Track, draw.Out: style.Out, draw.Possible: style.Possible,
	draw.Likely: style.Likely, draw.Hot: style.Hot}

// Paint turns a grid into coloured lines, one escape sequence a run of cells.
func Paint(t *style.Theme, g *draw.Grid) []string {
	lines := make([]string, g.H)
	var b strings.Builder
	for y := range lines {
		b.Reset()
		on := ""
		for x := 0; x < g.W; x++ {
			c := &g.Cells[y*g.W+x]
			want := ""
			switch {
			case c.Kind == draw.Rail:
				want = t.Start(levels[c.Level])
			case c.Kind != draw.Empty:
				want = t.Start(roles[c.Kind])
			}
			if want != on {
				if on != "" {
					b.WriteString(style.Reset)
				}
				b.WriteString(want)
				on = want
			}
			b.WriteRune(c.Rune)
		}
		if on != "" {
			b.WriteString(style.Reset)
		}
		lines[y] = b.String()
	}
	return lines
}
