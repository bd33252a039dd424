package walk

import (
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/track"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

func (m *Model) walkKeys() []scene.Key {
	c := m.course
	size := func(k track.Kind) string { return " (" + c.Sizes.Now(k) + ")" }
	empty := ""
	if c.Empty() {
		empty = "nothing is laid yet"
	}
	start := ""
	if c.Behind() == nil {
		start = "no piece lies behind you"
	}
	undo, redo := "", ""
	if c.Undos() == 0 && m.origin == nil {
		undo = "nothing to take back"
	}
	if c.Redos() == 0 {
		redo = "nothing to make again"
	}
	leg := ""
	if len(c.Ends().Legs()) == 0 {
		leg = "no turnout or crossing has a free leg"
	}
	end := ""
	if _, free := c.Ends().End(); !free {
		end = "the end of this run is taken, or it has none yet"
	}
	check := ""
	if !m.set.CanCheck {
		check = "there is no check to go on to"
	}
	full, many, open, change := "", "1-9 how many", "", ""
	if c.Here().Closes {
		change = "e change it"
	}
	if c.Laying().Room() != nil && !m.swap {
		full, many, open = "the run ends here", "", "o open the end"
	}
	keys := []scene.Key{
		{Press: "s", Does: "a straight" + size(track.Straight), Off: full, Hint: "s straight"},
		{Press: "l, r", Does: "a curve to the left, to the right" + size(track.Curve), Off: full, Hint: "l/r curve"},
		{Press: "t, then l or r", Does: "a turnout: another track leaves to that side" + size(track.Turnout), Off: full,
			Hint: "t turnout"},
		{Press: "j, then l or r", Does: "a turnout: another track joins from that side", Off: full, Hint: "j joins"},
		{Press: "x", Does: "a crossing" + size(track.Crossing) + ", or one met again", Off: full},
		{Press: "b", Does: "a bumper, at the end of a run", Off: full},
		{Press: "1-9", Does: "how many: 8 then l lays eight curves", Hint: many},
		{Press: "Enter", Does: "the same piece again", Off: full},
		{Press: "S L R T X", Does: "the same piece, but its size is asked first; it stays with the key", Off: full,
			Hint: "S size"},
		{Press: "e", Does: "the next piece key changes the piece behind you: e t makes it a turnout", Off: start,
			Hint: change},
		{Press: "c", Does: "join the end of the run to its start or to another end, with a straight cut to fit where " +
			"one fits", Off: end, Hint: "c close"},
		{Press: "d", Does: "walk off along a turnout's other leg: a siding, a spur; where none lies here it lists " +
			"them all (D: its name first)", Off: leg, Hint: "d siding"},
		{Press: "f", Does: "a feeder at the joint where you stand", Off: empty, Hint: "f feeder"},
		{Press: "i", Does: "an insulated joint where you stand", Off: empty},
		{Press: "h", Does: "a tunnel or another stretch that is hard to reach begins; h again: it ends",
			Hint: "h tunnel"},
		{Press: "m", Does: "a landmark, to count joints from", Off: empty, Hint: "m landmark"},
		{Press: "M", Does: "a board of a portable layout ends where you stand (fishplate setup)", Off: start},
		{Press: "n", Does: "a note about the piece behind you", Off: start},
		{Press: "a", Does: "a name for the piece behind you", Off: start},
		{Press: "left, right", Does: "walk back and on, piece by piece; pieces are put in where you stand",
			Hint: "arrows walk"},
		{Press: "up, down", Does: "another run"},
		{Press: "Home, End, PgUp, PgDn", Does: "start or end of the run, ten pieces"},
		{Press: "/", Does: "go to a piece, a joint, a name"},
		{Press: "Backspace, Delete", Does: "take out the piece behind, the piece ahead (with a count: that many)",
			Off: empty},
		{Press: "v", Does: "the run follows the other leg of the turnout behind you"},
		{Press: "y", Does: "take something away that lies here or under the table", Off: empty},
		{Press: "o", Does: "open the end of the run again", Hint: open},
		{Press: "p", Does: "power and wiring: supplies, buses, toggles, blocks, accessories, insulated rails; change " +
			"and move them", Hint: "p power"},
		{Press: ":", Does: "any other piece, in the words of the file: a wye, a three-way or curved turnout, a slip, " +
			"an untied straight"},
		{Press: "z", Does: "the sizes that the keys lay"},
		{Press: "u, U", Does: "take back, make again", Off: both(undo, redo), Hint: "u undo"},
		{Press: "+ -", Does: "bigger map, smaller map"},
		{Press: "!", Does: "what is wrong, and where"},
		{Press: "w", Does: "save in " + m.saver().fileName(), Off: empty, Hint: "w save"},
		{Press: "g", Does: "save, and hunt for a fault on this layout", Off: empty},
		{Press: "k", Does: "save, and check the wiring", Off: check},
		{Press: "Tab", Does: "everything else: names, track, separate runs", Hint: "Tab more"},
		{Press: "*", Does: "digits lay pieces, for the number pad; again: back to letters"},
		{Press: "q", Does: "leave; what you entered is kept", Hint: "q leave"},
	}
	if m.pad {
		return append(padKeys(), keys[9:]...)
	}
	return keys
}

// Hints are the footer's words for the keys that work now, the most wanted
// first: in a narrow window how to save and to leave must not be pushed out.
func (m *Model) Hints(w int) []string {
	var all []string
	for _, k := range m.Keys() {
		if k.Hint != "" && k.Off == "" {
			all = append(all, k.Hint)
		}
	}
	if w >= 60 || m.panel != nil || m.course == nil {
		return all
	}
	order := []string{"s ", "l/r ", "8 ", "7/9 ", "t ", "e ", "w ", "/ ", "Tab ", "q "}
	if g := m.picture().aim(); g != nil && g.Miss.Within() {
		order = append([]string{"c "}, order...)
	}
	var out []string
	for _, o := range order {
		for _, h := range all {
			if strings.HasPrefix(h, o) {
				out = append(out, h)
			}
		}
	}
	for _, h := range all {
		if !slices.Contains(out, h) {
			out = append(out, h)
		}
	}
	return out
}

func both(a, b string) string {
	if a != "" && b != "" {
		return a
	}
	return ""
}

func padKeys() []scene.Key {
	return []scene.Key{
		{Press: "8", Does: "a straight", Hint: "8 straight"},
		{Press: "7, 9", Does: "a curve to the left, to the right", Hint: "7/9 curve"},
		{Press: "4, 6", Does: "a turnout: a track leaves to the left, to the right", Hint: "4/6 turnout"},
		{Press: "1, 3", Does: "a turnout: a track joins from the left, from the right"},
		{Press: "5", Does: "a crossing"}, {Press: "2", Does: "a bumper"},
		{Press: "0", Does: "a feeder", Hint: "0 feeder"},
		{Press: "*", Does: "how many of the last piece in all", Hint: "* how many"},
		{Press: "+, Enter", Does: "the same again", Hint: "+ again"},
		{Press: "-", Does: "take out the piece behind you", Hint: "- take out"},
		{Press: ".", Does: "take back", Hint: ". undo"},
		{Press: "/", Does: "everything else, by number", Hint: "/ more"},
	}
}

// helpPanel shows what works now, on the whole screen.
type helpPanel struct {
	about  []scene.Key
	back   panel // to go back to, nil for the map
	scroll text.Scroll
}

func help(m *Model, _ int) tea.Msg {
	m.panel = &helpPanel{about: m.walkKeys()}
	return nil
}

func (p *helpPanel) full() bool { return true }

func (p *helpPanel) key(m *Model, k tea.KeyMsg) tea.Msg {
	if !p.scroll.Key(k.String()) {
		m.panel = p.back
	}
	return nil
}

// HelpHere says whether ? is a key now, and not a letter that is typed.
func (m *Model) HelpHere() bool {
	f, typing := m.panel.(*form)
	return !typing || f.fields[f.row].helps()
}

// padPicture is the number pad, laid out as one sees the track ahead.
var padPicture = []string{
	"   /  more   *  how many    -  take out",
	"   7  curve  8  straight    9  curve     +  again",
	"   4  turnout leaves left   6  right",
	"   5  crossing",
	"   1  turnout joins left    3  right",
	"   2  bumper   0  feeder    .  take back",
}

func (p *helpPanel) view(t *style.Theme, w, h int) scene.Frame {
	w = min(w, 96)
	lines := text.Wrap(t.Paint(style.Title, "Help: walking a layout in"), w)
	for _, s := range []string{"Go along your track with your finger and press a key for what lies there. You stand " +
		"at the arrow; pieces are put in there, so going back and typing inserts.",
		"O on the map is the end that this run comes nearest to. Left and right are as you walk."} {
		lines = append(lines, text.Wrap(s, w)...)
	}
	lines = append(lines, "", t.Paint(style.Title, "Keys that work here now"))
	for _, k := range p.about {
		s := k.Does
		if k.Off != "" {
			s += " (not now: " + k.Off + ")"
		}
		lines = append(lines, text.Hang(t.Paint(style.Key, k.Press)+" ", s, min(18, w/3), w)...)
	}
	lines = append(lines, "", t.Paint(style.Title, "The number pad, after *"))
	for _, l := range padPicture {
		lines = append(lines, text.Wrap(l, w)...)
	}
	lines = append(lines, "", t.Paint(style.Title, "Always"))
	for _, k := range [][2]string{{"Ctrl-T",
		"the mouse on or off (on: click a piece to go there; off: your terminal selects text)"},
		{"Ctrl-Z", "stop for a while; the shell's fg comes back"}, {"Ctrl-C", "leave at once; nothing is lost"},
		{"Esc", "one step back"}} {
		lines = append(lines, text.Hang(t.Paint(style.Key, k[0])+" ", k[1], min(18, w/3), w)...)
	}
	return scene.Frame{Lines: p.scroll.View(t, lines, h, "Down"), X: 0, Y: 0}
}

func (p *helpPanel) keys() []scene.Key {
	return []scene.Key{{Press: "up, down, PgUp, PgDn", Does: "scroll", Hint: "Up/Down scroll"},
		{Press: "any other", Does: "back", Hint: "Esc back"}}
}
