// Package track is the layout as built: constructions, pieces, joints, rails,
// feeders and supplies, with the place of every piece on the table. It holds
// data and names only. It takes for granted that the layout was checked by
// whoever made it (package layoutfile does), and it knows nothing of meters,
// resistances in a network or faults hunted.
//
// Lengths are millimeters, angles degrees (counter-clockwise positive, 0 along
// +x), resistances ohm, times minutes.
package track

import (
	"math"
	"strconv"
)

var inf = math.Inf(1)

func itoa(n int) string { return strconv.Itoa(n) }

// Kind is the kind of a piece.
type Kind string

// The kinds of pieces.
const (
	Straight Kind = "straight"
	Curve    Kind = "curve"
	Turnout  Kind = "turnout"
	Crossing Kind = "crossing"
	Bumper   Kind = "bumper"
)

// The labels of ends. A straight, a curve and a bumper have "start" and "end"
// (a bumper only "start"); a turnout "points", "through", "diverging"; a
// crossing "a1", "a2" (the route first laid) and "b1", "b2".
const (
	EndStart     = "start"
	EndEnd       = "end"
	EndPoints    = "points"
	EndThrough   = "through"
	EndDiverging = "diverging"
	EndThird     = "third" // of a three-way turnout, to the right
)

// Form tells apart pieces of one kind that lie differently or join their ways
// differently.
type Form string

// The forms of turnouts and crossings. A wye's through leg is its right-hand
// one (for hand +1) and turns away as much as the other; a curved turnout's
// through leg turns the same way as the other, less sharply; a slip is a
// crossing whose points also lead from a1 to b2 and from b1 to a2, a single slip
// one whose points lead from a1 to b2 only; a three-way turnout diverges to the
// left and has a third leg to the right.
const (
	FormUsual      Form = ""
	FormWye        Form = "wye"
	FormCurved     Form = "curved"
	FormThreeWay   Form = "three-way"
	FormSlip       Form = "slip"
	FormSingleSlip Form = "single slip"
)

// Pose is a place on the table and a heading.
type Pose struct {
	X, Y    float64 // mm
	Heading float64 // degrees
}

// End is one end of a piece.
type End struct {
	Label string
	// Pose is the place of the end; its heading points out of the piece.
	Pose Pose
	// OutLeft is the rail (by the name it has on this piece) that lies on the
	// left hand of someone who looks out of the piece through this end.
	OutLeft Rail
	Joint   int // index into Layout.Joints, -1 when nothing is joined here
}

// Leg is one way through a piece, for its length and for drawing.
type Leg struct {
	From, To int     // indices into Piece.Ends
	Length   float64 // mm along the center line
	Start    Pose    // place of From, heading into the piece
	Turn     float64 // degrees turned from From to To, left positive, 0 straight
}

// Piece is one section of track.
type Piece struct {
	Run    string
	Number int    // from 1 along its run
	Name   string // the name given to it ("W1"), or empty
	Kind   Kind
	// Hand is +1 for a turnout that diverges to the left seen from its
	// points, -1 for one to the right; 0 otherwise.
	Hand int
	// Reversed says that the run goes through the piece against the piece's
	// own direction (a turnout met from its through or diverging end). Rail
	// names always follow the run; Wiring follows the piece.
	Reversed bool
	// Backward says that a run goes over the second way of a crossing or a slip
	// from b2 to b1: rail names of those two ends follow that run.
	Backward     bool
	Construction *Construction
	Ends         []End
	Legs         []Leg
	Form         Form
	// Untied says that no tie joins the outer rails of this piece, though its
	// construction would: the special piece of an insulated rail, or cut ties.
	Untied bool
	// Sensing says that the turnout's own inner rails behind the frog are cut
	// off inside and throw its points to suit a train that comes in by them.
	Sensing      bool
	Hidden       string  // name of the hidden stretch it lies in, or empty
	ExtraMinutes float64 // added to every touch of this piece
	Line         int     // line in the layout file, 0 when there is none
}

// ID is the name by which the piece is known everywhere: "main 7".
func (p *Piece) ID() string { return p.Run + " " + strconv.Itoa(p.Number) }

// Wiring is the inside of a turnout, a crossing or a slip by its construction;
// nil for all other pieces.
func (p *Piece) Wiring() *Wiring {
	c := p.Construction
	switch {
	case p.Form == FormThreeWay && len(c.ThreeWay.Conductors) > 0:
		return &c.ThreeWay
	case p.Kind == Turnout:
		return &c.Turnout
	case p.Form == FormSingleSlip && len(c.SingleSlip.Conductors) > 0:
		return &c.SingleSlip
	case p.Slips() && len(c.Slip.Conductors) > 0:
		return &c.Slip
	case p.Kind == Crossing:
		return &c.Crossing
	}
	return nil
}

// Slips says whether it is a slip, single or double.
func (p *Piece) Slips() bool { return p.Form == FormSlip || p.Form == FormSingleSlip }

// Positions are what the points of a turnout or slip can be thrown to, through
// first; nil for a piece without points.
func (p *Piece) Positions() []string {
	switch {
	case p.Kind == Turnout && p.EndIndex(EndThird) >= 0:
		return []string{EndThrough, EndDiverging, EndThird}
	case p.Kind == Turnout, p.Slips():
		return []string{EndThrough, EndDiverging}
	}
	return nil
}

// EndIndex finds an end by label, -1 when there is none.
func (p *Piece) EndIndex(label string) int {
	for i := range p.Ends {
		if p.Ends[i].Label == label {
			return i
		}
	}
	return -1
}

// EndRef is one end of one piece.
type EndRef struct{ Piece, End int }

// Joint is where two pieces meet.
type Joint struct {
	Name string // "main 7/8", or "main 5/siding 1" between runs
	A, B EndRef
	// Insulated lists the rails (by their names on piece A) that are meant to
	// make no contact here.
	Insulated []Rail
	Line      int
}

// Other is the end that end e meets here.
func (j *Joint) Other(e EndRef) EndRef {
	if j.A == e {
		return j.B
	}
	return j.A
}

// IsInsulated says whether rail r (by its name on piece A) is a gap here.
func (j *Joint) IsInsulated(r Rail) bool {
	for _, x := range j.Insulated {
		if x == r {
			return true
		}
	}
	return false
}

// Run is a named row of pieces.
type Run struct {
	Name   string
	Pieces []int // indices into Layout.Pieces, in order
	Closed bool  // the last piece is joined to the first
	// Miss is how far a closed run's ends are apart, mm and degrees; both 0
	// where the geometry closes.
	MissMM, MissDeg float64
}

// Place is a spot on the track: at a joint when Joint >= 0 (then on the Piece
// side of it), else in the middle of the piece.
type Place struct {
	Piece int
	End   int // index into Ends when at an end, -1 in the middle
}

// Landmark is something a person can find on the table.
type Landmark struct {
	Name string
	At   Place
}

// Stretch is a row of pieces that is hard to reach.
type Stretch struct {
	Name    string
	Pieces  []int
	Minutes float64 // more minutes per touch
}

// Note is a remark of the owner's about a piece.
type Note struct {
	Piece int
	Text  string
}

// OddsFactor multiplies the odds of every flaw of a piece: its own history (a
// bench check passed, an earlier repair).
type OddsFactor struct {
	Piece  int
	Factor float64
	Why    string
}

// Counted multiplies the odds of one fault of one part everywhere: what hunts found,
// against what was assumed.
type Counted struct {
	Part  Part
	Mode  FaultMode
	Times float64
	Why   string
}

// Layout is a whole layout, checked.
type Layout struct {
	Name          string
	About         string
	Metric        bool // lengths are shown in mm (else inches)
	Constructions []*Construction
	Runs          []Run
	Pieces        []Piece
	Joints        []Joint
	Feeders       []Feeder
	Terminals     []Terminal
	Supplies      []Supply
	// Commons are pairs of supplies whose common posts are joined by a wire.
	Commons     [][2]int
	Buses       []Bus
	Toggles     []Toggle
	Blocks      []Block
	Accessories []Accessory
	// InsulatedRails holds the declared ones first, then those of sensing
	// turnouts.
	InsulatedRails []InsulatedRail
	Trains         []Train
	Landmarks      []Landmark
	Hidden         []Stretch
	// Modules are the boards of a portable layout, in the order of setting up; what is on
	// none of them stands already.
	Modules []Stretch
	Notes   []Note
	Odds    []OddsFactor
	Counted []Counted
	// Flaws of what lies under the table; nil: WiringFlaws.
	Flaws []Flaw
}

// FindPiece finds a piece by ID ("main 7") or given name ("W1"), -1 when
// there is none.
func (l *Layout) FindPiece(name string) int {
	for i := range l.Pieces {
		if l.Pieces[i].Name == name || l.Pieces[i].ID() == name {
			return i
		}
	}
	return -1
}

// FindJoint finds a joint by either of its names ("main 7/8", "main 8/7"),
// -1 when there is none.
func (l *Layout) FindJoint(name string) int {
	for i := range l.Joints {
		j := &l.Joints[i]
		if j.Name == name || l.SideName(j.A) == name || l.SideName(j.B) == name {
			return i
		}
	}
	return -1
}

// SideName names one end of one piece: "main 7/8" is the end of piece 7 that
// faces piece 8, "main 8/7" the end of 8 that faces 7, "main 40/end" an end
// that nothing is joined to.
func (l *Layout) SideName(e EndRef) string {
	p := &l.Pieces[e.Piece]
	j := p.Ends[e.End].Joint
	if j < 0 {
		return p.ID() + "/" + p.Ends[e.End].Label
	}
	o := l.Joints[j].A
	if o == e {
		o = l.Joints[j].B
	}
	q := &l.Pieces[o.Piece]
	if q.Run == p.Run {
		return p.ID() + "/" + strconv.Itoa(q.Number)
	}
	return p.ID() + "/" + q.ID()
}

// RowName names a row of pieces of one run by its ends: "main 3 to 9"; one of
// another run by both, one of a single piece by that.
func (l *Layout) RowName(first, last int) string {
	p, q := &l.Pieces[first], &l.Pieces[last]
	switch {
	case first == last:
		return p.ID()
	case p.Run != q.Run:
		return p.ID() + " to " + q.ID()
	}
	return p.ID() + " to " + strconv.Itoa(q.Number)
}

// RowNames names pieces, those that follow each other in a run together: "main 1 to 4".
func (l *Layout) RowNames(pieces []int) []string {
	var out []string
	for i := 0; i < len(pieces); {
		j := i
		for j+1 < len(pieces) && l.Pieces[pieces[j+1]].Run == l.Pieces[pieces[i]].Run &&
			l.Pieces[pieces[j+1]].Number == l.Pieces[pieces[j]].Number+1 {
			j++
		}
		out = append(out, l.RowName(pieces[i], pieces[j]))
		i = j + 1
	}
	return out
}

// PlaceName names a place: the piece, or the side of a joint.
func (l *Layout) PlaceName(p Place) string {
	if p.End < 0 {
		return l.Pieces[p.Piece].ID()
	}
	return l.SideName(EndRef{p.Piece, p.End})
}

// AcrossJoint gives, for a rail of joint j named as on piece A, the name that
// the same conductor has on piece B. What lies on the left looking out of A
// lies on the right looking out of B.
func (l *Layout) AcrossJoint(j int, r Rail) Rail {
	a, b := l.Joints[j].A, l.Joints[j].B
	if r == Center {
		return Center
	}
	outA := l.Pieces[a.Piece].Ends[a.End].OutLeft
	outB := l.Pieces[b.Piece].Ends[b.End].OutLeft
	if r == outA {
		return outB.Mirror()
	}
	return outB
}
