// Package course is a layout as someone tells it who walks along the track:
// runs of pieces, a cursor between two of them, and what lies on the way. It
// is what the walk screen edits. Every piece has an identity, and feeders,
// landmarks and the rest hang on the piece and not on its number, so that they
// stay where they are when pieces are put in or taken out before them.
//
// Every change is one step of undo. After each one the layout's text is put
// together (keeping what was written by hand) and read, for the map and for
// what is wrong with it; a layout that is not good yet is no hindrance.
//
// The package knows no screen and touches no file.
package course

import (
	"fmt"
	"slices"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/sheet"
)

// Anchor is a place on the track that goes with its piece.
type Anchor struct {
	Piece int    `json:"piece"`         // a Piece's ID, 0 for nowhere
	End   string `json:"end,omitempty"` // the label of an end, empty for the middle
}

// Piece is one piece of a run, or (Words.Again) a crossing met once more.
type Piece struct {
	ID    int         `json:"id"`
	Row   int         `json:"row"` // the row of the file that it came from, -1 for none
	Text  string      `json:"text"`
	Words sheet.Words `json:"-"` // what Text says
}

// Ref is a text of the file that may be a place.
type Ref struct {
	Text string `json:"text"` // as written; for a place, as it was written first
	Was  string `json:"was,omitempty"`
	At   Anchor `json:"at"`
}

// Run is a row of pieces.
type Run struct {
	Name         string  `json:"name"`
	Construction string  `json:"construction,omitempty"` // empty: the layout's
	Closes       bool    `json:"closes,omitempty"`
	From         Ref     `json:"from"`
	To           Ref     `json:"to"`
	Pieces       []Piece `json:"pieces"`
	Block        int     `json:"block"` // of the text opened, -1 for a new one
}

// Thing is anything of the file that is no run: supplies, feeders, insulated
// joints, hidden stretches, landmarks, notes, and blocks that are kept as they
// are.
type Thing struct {
	ID     int     `json:"id"`
	Kind   string  `json:"kind"`
	Label  Ref     `json:"label"`
	Fields []Field `json:"fields,omitempty"`
	Block  int     `json:"block"`
}

// Stretch is a hidden stretch that the walk is in: it began behind a piece.
type Stretch struct {
	Name    string  `json:"name"`
	Minutes float64 `json:"minutes"`
	Run     string  `json:"run"`
	After   int     `json:"after"` // ID of the piece before it, 0 at the start of the run
}

// State is everything that undo brings back.
type State struct {
	Name         string   `json:"name"`
	About        string   `json:"about,omitempty"`
	Construction string   `json:"construction"`
	Metric       bool     `json:"metric"`
	Runs         []Run    `json:"runs"`
	Things       []Thing  `json:"things,omitempty"`
	Hidden       *Stretch `json:"hidden,omitempty"`
	Run          int      `json:"run"` // the cursor: index of its run,
	At           int      `json:"at"`  // and how many of its pieces lie behind

	version int // see Course.Version
}

type step struct {
	state State
	what  string
}

// Course is a layout being walked in.
type Course struct {
	Sizes Sizes
	text  []byte       // that was opened, empty for a new layout
	base  *sheet.Sheet // of text, nil for a new layout
	stock map[string]string
	sizes sheet.Stock // what stock says
	now   State
	undo  []step
	redo  []step
	next  int // the next ID
	last  int // the version given last
	view  view
}

// New is a layout without a piece.
func New(name, construction string, metric bool) *Course {
	c := &Course{stock: map[string]string{}, next: 1, Sizes: StartSizes(metric)}
	c.now = State{Name: name, Construction: construction, Metric: metric, Runs: []Run{{Name: "main", Block: -1}}}
	c.looking().look()
	return c
}

// State is the layout as it is now. Change nothing in it.
func (c *Course) State() *State { return &c.now }

// Version tells layouts apart: it is another after every change, and what it
// was when a change is taken back.
func (c *Course) Version() int { return c.now.version }

// Here is the run that the cursor is on.
func (c *Course) Here() *Run { return &c.now.Runs[c.now.Run] }

// Behind is the piece behind the cursor, nil at the start of the run; Ahead
// the one before it, nil at the end.
func (c *Course) Behind() *Piece {
	if c.now.At == 0 {
		return nil
	}
	return &c.Here().Pieces[c.now.At-1]
}

// Ahead is the piece that comes next, nil at the end of the run.
func (c *Course) Ahead() *Piece {
	if r := c.Here(); c.now.At < len(r.Pieces) {
		return &r.Pieces[c.now.At]
	}
	return nil
}

// Empty says that no piece is laid.
func (c *Course) Empty() bool {
	for i := range c.now.Runs {
		if len(c.now.Runs[i].Pieces) > 0 {
			return false
		}
	}
	return true
}

// Pieces counts the pieces of the whole layout.
func (c *Course) Pieces() int {
	n := 0
	for i := range c.now.Runs {
		for k := range c.now.Runs[i].Pieces {
			if c.now.Runs[i].Pieces[k].Words.Again == "" {
				n++
			}
		}
	}
	return n
}

// change makes one step of undo. do gets a state whose lists of runs and
// things are its own; it must replace, not change, the lists of pieces and
// fields in them. An error leaves everything as it was.
func (c *Course) change(what string, do func(*State) error) error {
	next := c.now
	next.Runs, next.Things = slices.Clone(c.now.Runs), slices.Clone(c.now.Things)
	id := c.next
	if err := do(&next); err != nil {
		c.next = id
		return err
	}
	c.undo = append(c.undo, step{c.now, what})
	c.redo = nil
	c.last++
	next.version = c.last
	c.now = next
	c.looking().look()
	return nil
}

// Undo takes the last change back and says what it was; empty when there is
// nothing to take back.
func (c *Course) Undo() string {
	if len(c.undo) == 0 {
		return ""
	}
	s := c.undo[len(c.undo)-1]
	c.undo = c.undo[:len(c.undo)-1]
	c.redo = append(c.redo, step{c.now, s.what})
	c.now = s.state
	c.looking().look()
	return s.what
}

// Redo makes the last change again that was taken back.
func (c *Course) Redo() string {
	if len(c.redo) == 0 {
		return ""
	}
	s := c.redo[len(c.redo)-1]
	c.redo = c.redo[:len(c.redo)-1]
	c.undo = append(c.undo, step{c.now, s.what})
	c.now = s.state
	c.looking().look()
	return s.what
}

// Undos and Redos say how many steps there are.
func (c *Course) Undos() int { return len(c.undo) }

// Redos says how many steps can be made again.
func (c *Course) Redos() int { return len(c.redo) }

func (c *Course) id() int {
	c.next++
	return c.next - 1
}

// words reads a piece's text.
func (c *Course) words(text string) (sheet.Words, error) {
	return sheet.Piece(text, c.now.Metric, c.sizes)
}

// takeStock reads the stock pieces.
func (c *Course) takeStock(stock map[string]string) {
	c.stock, c.sizes = stock, sheet.Stock{}
	for name, text := range stock {
		c.sizes[name], _ = sheet.ReadStock(text, sheet.UnitMM(c.now.Metric))
	}
}

// find gives the run and the index of a piece; -1 when it is gone.
func (s *State) find(id int) (run, at int) {
	for i := range s.Runs {
		for k := range s.Runs[i].Pieces {
			if s.Runs[i].Pieces[k].ID == id {
				return i, k
			}
		}
	}
	return -1, -1
}

// number is the piece's number along its run.
func (r *Run) number(at int) int {
	n := 0
	for k := 0; k <= at && k < len(r.Pieces); k++ {
		if r.Pieces[k].Words.Again == "" {
			n++
		}
	}
	return n
}

// Title names a piece: "W1 (main 4)", "main 7", "X1 again".
func (c *Course) Title(p *Piece) string {
	if p.Words.Again != "" {
		return p.Words.Again + " again"
	}
	s := c.now.placeName(Anchor{Piece: p.ID}, c.view.meets)
	if p.Words.Name != "" {
		return p.Words.Name + " (" + s + ")"
	}
	return s
}

// in and out are the ends by which a run enters and leaves a piece; empty
// where it does not, and for a crossing's second way, whose direction only the
// geometry knows.
func (p *Piece) in() string {
	w := &p.Words
	switch {
	case w.Again != "":
		return ""
	case w.Kind == track.Turnout && w.Trailing && w.ViaDiverging:
		return track.EndDiverging
	case w.Kind == track.Turnout && w.Trailing:
		return track.EndThrough
	case w.Kind == track.Turnout:
		return track.EndPoints
	case w.Kind == track.Crossing:
		return "a1"
	}
	return track.EndStart
}

func (p *Piece) out() string {
	w := &p.Words
	switch {
	case w.Again != "" || w.Kind == track.Bumper:
		return ""
	case w.Kind == track.Turnout && w.Trailing:
		return track.EndPoints
	case w.Kind == track.Turnout && w.ViaDiverging:
		return track.EndDiverging
	case w.Kind == track.Turnout:
		return track.EndThrough
	case w.Kind == track.Crossing:
		return "a2"
	}
	return track.EndEnd
}

// ends lists the labels of a piece's ends.
func (p *Piece) ends() []string {
	switch p.Words.Kind {
	case track.Turnout:
		if p.Words.ThreeWay {
			return []string{track.EndPoints, track.EndThrough, track.EndDiverging, track.EndThird}
		}
		return []string{track.EndPoints, track.EndThrough, track.EndDiverging}
	case track.Crossing:
		if p.Words.Again != "" {
			return nil
		}
		return []string{"a1", "a2", "b1", "b2"}
	case track.Bumper:
		return []string{track.EndStart}
	}
	return []string{track.EndStart, track.EndEnd}
}

// meets gives, for every end that is joined, the end on the other side, as far
// as the words tell.
func (s *State) meets() map[Anchor]Anchor {
	n := 0
	for i := range s.Runs {
		n += len(s.Runs[i].Pieces) + 1
	}
	out := make(map[Anchor]Anchor, 2*n)
	pair := func(a, b Anchor) {
		if a.Piece > 0 && b.Piece > 0 && a.End != "" && b.End != "" {
			out[a], out[b] = b, a
		}
	}
	for i := range s.Runs {
		r := &s.Runs[i]
		n := len(r.Pieces)
		if n == 0 {
			pair(r.From.At, r.To.At)
			continue
		}
		for k := 1; k < n; k++ {
			pair(r.Pieces[k-1].exit(), r.Pieces[k].entry())
		}
		first, last := r.Pieces[0].entry(), r.Pieces[n-1].exit()
		if r.Closes {
			pair(last, first)
		}
		pair(r.From.At, first)
		pair(last, r.To.At)
	}
	return out
}

func (p *Piece) entry() Anchor { return Anchor{p.ID, p.in()} }
func (p *Piece) exit() Anchor  { return Anchor{p.ID, p.out()} }

// PlaceName names a place as the file does: "main 7", "main 7/8",
// "main 5/siding 1", "main 20 end". Empty when its piece is gone.
func (s *State) PlaceName(a Anchor) string { return s.placeName(a, nil) }

func (s *State) placeName(a Anchor, meets map[Anchor]Anchor) string {
	i, k := s.find(a.Piece)
	if i < 0 {
		return ""
	}
	name := fmt.Sprintf("%s %d", s.Runs[i].Name, s.Runs[i].number(k))
	if a.End == "" {
		return name
	}
	if meets == nil {
		meets = s.meets()
	}
	other, ok := meets[a]
	j, m := s.find(other.Piece)
	switch {
	case !ok || j < 0:
		return name + " " + a.End
	case j == i:
		return fmt.Sprintf("%s/%d", name, s.Runs[j].number(m))
	}
	return fmt.Sprintf("%s/%s %d", name, s.Runs[j].Name, s.Runs[j].number(m))
}

// endName names an end for from and to: "W1 diverging", "main 20 end".
func (s *State) endName(a Anchor) string {
	i, k := s.find(a.Piece)
	if i < 0 {
		return ""
	}
	if n := s.Runs[i].Pieces[k].Words.Name; n != "" {
		return n + " " + a.End
	}
	return fmt.Sprintf("%s %d %s", s.Runs[i].Name, s.Runs[i].number(k), a.End)
}

// names lists the names of runs and pieces.
func (s *State) names() []string {
	var out []string
	for i := range s.Runs {
		out = append(out, s.Runs[i].Name)
		for k := range s.Runs[i].Pieces {
			if n := s.Runs[i].Pieces[k].Words.Name; n != "" {
				out = append(out, n)
			}
		}
	}
	return out
}

// freeName gives the first of W1, W2, ... that can still be given.
func (s *State) freeName(letter string) string {
	taken := s.names()
	for n := 1; ; n++ {
		if name := fmt.Sprintf("%s%d", letter, n); sheet.CheckName(name, taken) == nil {
			return name
		}
	}
}
