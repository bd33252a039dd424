package walk

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
	"fishplate/layoutfile/course"
	"fishplate/tui/draw"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// View draws the screen in w by h cells: the map, where one stands below it,
// and a panel over the lower part.
func (m *Model) View(w, h int) scene.Frame {
	t := &m.set.Theme
	if m.panel != nil && (m.panel.full() || h < 16 || m.course == nil) {
		return m.panel.view(t, w, h)
	}
	if m.panel != nil {
		room := max(h/2, min(h-5, 12))
		p := m.panel.view(t, w, room)
		top := h - len(p.Lines) - 1
		lines := append(m.picture().mapLines(w, top), t.Paint(style.Dim, strings.Repeat("-", w)))
		p.Lines = append(lines, p.Lines...)
		p.Y += len(lines)
		return p
	}
	foot := m.picture().standing(w, h)
	foot = foot[:min(len(foot), h)]
	lines := append(m.picture().mapLines(w, h-len(foot)), foot...)
	return scene.Frame{Lines: lines, X: min(text.Width(foot[len(foot)-1]), w-1), Y: len(lines) - 1}
}

// mapLines draws the map, exactly h lines.
func (pic picture) mapLines(w, h int) []string {
	if h <= 0 {
		return nil
	}
	var out []string
	l, _ := pic.m.course.Layout()
	switch {
	case l == nil || pic.m.course.Empty():
		out = pic.welcome(w)
	default:
		most := 0
		if h >= 12 {
			most = 3
		}
		var keys []string
		t := &pic.m.set.Theme
		_, keys = plan.Explained(t, l, [2]int{w, h}, pic.window(l, w, h), pic.look(l), most)
		h := max(h-len(keys), 1) // the map is smaller by the lines of its key
		pic.m.grid, keys = plan.Explained(t, l, [2]int{w, h}, pic.window(l, w, h), pic.look(l), len(keys))
		out = append(plan.Paint(t, pic.m.grid), keys...)
	}
	for len(out) < h {
		out = append(out, "")
	}
	return out[:h]
}

// welcome stands where the map will be.
func (pic picture) welcome(w int) []string {
	t := &pic.m.set.Theme
	out := append([]string{""}, text.Wrap(t.Paint(style.Title, "Walk along your track and say what lies there."), w)...)
	for _, k := range [][2]string{{"s", "a straight"}, {"l r", "a curve to the left, to the right"},
		{"t", "a turnout where a track leaves"}, {"j", "one where a track joins"},
		{"x b", "a crossing, a bumper"}, {"8 l", "eight curves to the left"},
		{"S L R T", "the same, another size first"}} {
		out = append(out, text.Hang("  "+t.Paint(style.Key, k[0])+" ", k[1], 11, w)...)
	}
	return out
}

func (pic picture) window(l *track.Layout, w, h int) draw.Window {
	if pic.m.zoom <= 1 {
		return draw.Fit(l, w, h)
	}
	at := track.Pose{}
	if p, ok := pic.spot(); ok {
		at = plane.Spot(l, p)
	}
	return draw.Near(l, w, h, pic.m.zoom, at.X, at.Y)
}

// spot is where the cursor stands, on the layout as drawn.
func (pic picture) spot() (track.Place, bool) {
	a, err := pic.m.course.Things().Spot()
	l, _ := pic.m.course.Layout()
	i := pic.m.course.Index(a.Piece)
	if err != nil || l == nil || i < 0 {
		return track.Place{Piece: -1, End: -1}, false
	}
	return track.Place{Piece: i, End: l.Pieces[i].EndIndex(a.End)}, true
}

// aim is the end that the run is walked towards: one that it meets already,
// else (where it begins nowhere else) its own start, else the nearest.
func (pic picture) aim() *course.Target {
	targets := pic.m.course.Ends().Targets()
	if len(targets) == 0 {
		return nil
	}
	if !targets[0].Miss.Within() && pic.m.course.Here().From.At.Piece == 0 {
		for i := range targets {
			if targets[i].Own {
				return &targets[i]
			}
		}
	}
	return &targets[0]
}

// look puts an arrow where one stands, pointing the way one walks, and an O at
// the end that the run could be joined to.
func (pic picture) look(l *track.Layout) draw.Look {
	look := draw.Look{ASCII: pic.m.set.ASCII, Chosen: -1, Names: true}
	if g := pic.aim(); g != nil {
		if i := pic.m.course.Index(g.At.Piece); i >= 0 {
			look.Marks = append(look.Marks, draw.Mark{At: track.Place{Piece: i, End: l.Pieces[i].EndIndex(g.At.End)},
				Text: "O", Kind: draw.LoadEnd})
		}
	}
	if p, ok := pic.spot(); ok {
		look.Marks = append(look.Marks, draw.Mark{At: p, Text: pic.arrow(l, p), Kind: draw.Chosen})
	}
	return look
}

func (pic picture) arrow(l *track.Layout, p track.Place) string {
	if p.End < 0 || p.End >= len(l.Pieces[p.Piece].Ends) {
		return "@"
	}
	heading := l.Pieces[p.Piece].Ends[p.End].Pose.Heading // looks out of the piece
	if pic.m.course.Behind() == nil {
		heading += 180
	}
	h := math.Mod(math.Mod(heading, 360)+360, 360)
	return string(">^<v"[int(math.Floor((h+45)/90))%4])
}

// standing says where one stands, what lies there, and what is wrong; the last
// line is the one that is typed on.
func (pic picture) standing(w, h int) []string {
	t := &pic.m.set.Theme
	var out []string
	add := func(label, s string, most int) {
		lines := text.Hang(t.Paint(style.Label, label)+" ", s, text.Width(label)+1, w)
		out = append(out, lines[:min(len(lines), most)]...)
	}
	many := 1
	if h >= 20 {
		many = 2
	}
	if w < 60 { // by how much it misses, and what lies here, must be seen
		many = 2
	}
	add("END", pic.ending(), many)
	add("BEHIND", pic.behind(), many)
	add("AHEAD", pic.ahead(), 1)
	if hidden := pic.m.course.State().Hidden; hidden != nil {
		add("HIDDEN", hidden.Name+" goes on: h where it ends", 1)
	}
	if list := pic.m.course.Troubles(); len(list) > 0 {
		s := list[0].Says
		if list[0].Where != "" && !strings.Contains(s, list[0].Where) {
			s = list[0].Where + ": " + s
		}
		label := "! "
		if len(list) > 1 {
			label = fmt.Sprintf("! %d things: ", len(list))
		}
		lines := text.Wrap(t.Paint(style.Warn, label+s), w)
		out = append(out, lines[:min(len(lines), many)]...)
	}
	return append(out, pic.prompt())
}

// ending says where the run ends and by how much it misses.
func (pic picture) ending() string {
	c := pic.m.course
	r := c.Here()
	n := len(r.Pieces)
	head := fmt.Sprintf("%s, %s", r.Name, plural(n, "piece"))
	switch {
	case n == 0 && r.From.At.Piece != 0:
		return r.Name + " begins at " + c.Ends().EndName(r.From.At)
	case n == 0:
		return r.Name + " has no piece yet"
	case r.Closes:
		return head + ", closes" + pic.missed()
	case r.To.At.Piece != 0:
		return head + ", joined to " + c.Ends().EndName(r.To.At) + pic.missed()
	}
	g := pic.aim()
	switch {
	case g == nil && r.Pieces[n-1].Words.Kind == track.Bumper:
		return head + ", ends at a bumper"
	case g == nil:
		return head + ", ends open"
	}
	s := c.Say(g.Miss)
	if s == "meets" {
		return head + ", meets " + g.Name + ": c joins it"
	}
	name := g.Name
	if g.Own {
		name = "its start"
	}
	out := head + "; " + name + " is " + s
	if fit, ok := c.Ends().FitFor(g); ok {
		out += " (a straight of " + fit.Size + " fits: c)"
	}
	return out
}

// missed is how far the joined ends of the run are apart.
func (pic picture) missed() string {
	l, good := pic.m.course.Layout()
	if !good {
		return ""
	}
	for i := range l.Runs {
		if r := &l.Runs[i]; r.Name == pic.m.course.Here().Name && (r.MissMM >= 0.5 || r.MissDeg >= 0.1) {
			return fmt.Sprintf(", misses by %s, %s deg", pic.m.course.Length(r.MissMM, 1),
				strconv.FormatFloat(r.MissDeg, 'f', 1, 64))
		}
	}
	return ""
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func (pic picture) behind() string {
	p := pic.m.course.Behind()
	if p == nil {
		return "nothing: the start of the run" + pic.here()
	}
	return pic.m.course.Title(p) + ", " + pic.m.course.Sizing().Plain(p) + pic.here()
}

// here lists what lies where one stands.
func (pic picture) here() string {
	s, said := "", map[int]bool{}
	for _, t := range pic.m.course.Things().AtSpot() {
		s += "; " + pic.m.course.Things().Describe(t)
		said[t.ID] = true
	}
	for _, t := range pic.m.course.Stretches().Over() {
		if !said[t.ID] {
			s += "; in " + pic.m.course.Things().Describe(t)
		}
	}
	return s
}

func (pic picture) ahead() string {
	p := pic.m.course.Ahead()
	switch {
	case p == nil && pic.m.course.Here().Closes:
		return "the start of the run"
	case p == nil && pic.m.course.Here().To.At.Piece != 0:
		return pic.m.course.Ends().EndName(pic.m.course.Here().To.At)
	case p == nil && pic.m.course.Behind() != nil && pic.m.course.Behind().Words.Kind == track.Bumper:
		return "nothing: the track ends here"
	case p == nil:
		return "nothing yet"
	}
	return pic.m.course.Title(p) + ", " + pic.m.course.Sizing().Plain(p)
}

// prompt is the line that is typed on.
func (pic picture) prompt() string {
	t := &pic.m.set.Theme
	switch {
	case pic.m.swap:
		return t.Paint(style.Label, "CHANGE IT TO > ")
	case pic.m.count != "":
		return t.Paint(style.Label, "HOW MANY > ") + pic.m.count + " x "
	case pic.m.pad:
		return t.Paint(style.Label, "PAD > ")
	}
	return t.Paint(style.Label, "WHAT LIES THERE > ")
}

// Title says what the header shows: the layout's name.
func (m *Model) Title() string {
	if m.course == nil {
		return "a new layout"
	}
	return m.course.State().Name
}

// State says what stands on the right of the header.
func (m *Model) State() string {
	if m.course == nil {
		return "walk"
	}
	s := plural(m.course.Pieces(), "piece")
	if m.Changed() {
		return s + ", not saved"
	}
	return s
}

// Said is the line at the foot, and whether it is a mistake.
func (s *saying) Said() (string, bool) { return s.say, s.bad }

// click goes behind the piece that was clicked on the map; the header is a
// line of its own.
func (m *Model) click(e tea.MouseMsg) {
	if e.Action != tea.MouseActionPress || e.Button != tea.MouseButtonLeft || m.panel != nil || m.grid == nil ||
		m.course == nil {
		return
	}
	x, y := e.X, e.Y-1
	if x < 0 || y < 0 || x >= m.grid.W || y >= m.grid.H {
		return
	}
	here := m.course.Behind()
	under := m.grid.At(x, y)
	for i, p := range under { // clicking again goes through pieces that share a cell
		if here != nil && m.course.Index(here.ID) == p {
			m.course.Cursor().Go(m.course.PieceAt(under[(i+1)%len(under)]))
			return
		}
	}
	if len(under) > 0 {
		m.course.Cursor().Go(m.course.PieceAt(under[0]))
	}
}
