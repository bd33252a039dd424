package layoutfile

import (
	"errors"
	"fmt"
	"strings"

	"github.com/hashicorp/hcl/v2"

	"fishplate/diagnose/track"
)

// PieceWords is what the text of one piece says ("8 x curve left diameter 31
// angle 45"). Lengths are millimeters, angles degrees.
type PieceWords struct {
	Count        int
	Kind         track.Kind
	Hand         int // +1 left, -1 right, 0 neither
	RadiusMM     float64
	Angle        float64
	LengthMM     float64
	Trailing     bool   // a turnout met from a leg
	ViaDiverging bool   // a turnout whose diverging leg the run follows
	ThreeWay     bool   // a turnout with a third leg
	Again        string // the crossing that is crossed a second time
	Name         string
}

// ReadPiece reads the text of a piece as it stands in a run's list. metric
// says that lengths without a unit are mm, else inches; sizes gives the text
// of each stock piece by its name (nil: none). The error says what is wrong
// and what to write instead.
func ReadPiece(text string, metric bool, sizes map[string]string) (PieceWords, error) {
	if strings.ContainsAny(text, "\"\n\r") {
		return PieceWords{}, errors.New("a piece is written on one line, without quotes")
	}
	unit := unitMM(metric)
	stocks := map[string]stock{}
	for _, w := range strings.Fields(text) {
		if s, ok := sizes[w]; ok {
			it, err := readOne(s, unit, nil)
			if err != nil {
				return PieceWords{}, fmt.Errorf("the stock piece %s: %w", w, err)
			}
			stocks[w] = stock{item: it, at: hcl.Range{Start: hcl.InitialPos}}
		}
	}
	it, err := readOne(text, unit, stocks)
	if err != nil {
		return PieceWords{}, err
	}
	return PieceWords{Count: it.count, Kind: it.kind, Hand: it.hand, RadiusMM: it.radius, Angle: it.angle, LengthMM: it.length,
		Trailing: it.trailing, ViaDiverging: it.leaves, ThreeWay: it.three, Again: it.again, Name: it.name}, nil
}

// readOne reads one text as if it were a file. A stock piece may lack its
// hand, which is no mistake there.
func readOne(text string, unit float64, stocks map[string]stock) (item, error) {
	src := []byte(`"` + text + `"`)
	r := newReader(src)
	end := hcl.Pos{Line: 1, Column: 1 + columns(string(src)), Byte: len(src)}
	at := hcl.Range{Start: hcl.InitialPos, End: end}
	if stocks != nil {
		it, ok := r.readItem(entry{at: at, text: text}, unit, stocks)
		if !ok {
			return it, r.firstError()
		}
		return it, nil
	}
	it := item{count: 1, at: at, kindAt: at}
	p := r.newPhrase(at, unit)
	if p == nil {
		return it, r.firstError()
	}
	p.kind(&it, nil)
	for !p.done() && !p.bad {
		p.argument(&it, nil)
	}
	if p.bad {
		return it, r.firstError()
	}
	return it, nil
}

func (r *reader) firstError() error {
	for _, p := range r.finish() {
		if p.Fix != "" {
			return fmt.Errorf("%s: %s", p.Summary, p.Fix)
		}
		return errors.New(p.Summary)
	}
	return errors.New("this piece cannot be read")
}

// CheckName says why name cannot be given to a run or a piece, where others
// are the names that are taken; nil when it can.
func CheckName(name string, others []string) error {
	switch {
	case !isName(name):
		return fmt.Errorf("a name is a letter, then letters, digits, - or _ (up to %d)", maxNameLength)
	case contains(reserved, name):
		return fmt.Errorf("%q has a meaning of its own in the file: choose another name", name)
	}
	for _, o := range others {
		if o == name {
			return fmt.Errorf("the name %q is taken", name)
		}
		if folded(o) == folded(name) {
			return fmt.Errorf("%q is too easily taken for %q: choose a name that cannot be misread", name, o)
		}
	}
	return nil
}

// NameKey is what a name looks and sounds like: of two names with equal keys
// one would be taken for the other, and a layout may have only one of them.
func NameKey(name string) string { return folded(name) }

// CheckWire says why a wire's size is not known; nil when it is.
func CheckWire(wire string) error {
	_, err := wireOhms(wire)
	return err
}

// ReadLength reads a length with or without a unit, in millimeters.
func ReadLength(text string, metric bool) (float64, error) {
	bad := errors.New(`write a length like "10", "4 3/8", "6 ft" or "254 mm"`)
	if strings.ContainsAny(text, "\"\n\r") || strings.TrimSpace(text) == "" {
		return 0, bad
	}
	src := []byte(`"` + text + `"`)
	r := newReader(src)
	end := hcl.Pos{Line: 1, Column: 1 + columns(string(src)), Byte: len(src)}
	p := r.newPhrase(hcl.Range{Start: hcl.InitialPos, End: end}, unitMM(metric))
	if p == nil {
		return 0, r.firstError()
	}
	mm := p.length("the length", 1, 1e6)
	if p.bad {
		return 0, r.firstError()
	}
	if !p.done() {
		return 0, bad
	}
	return mm, nil
}

func unitMM(metric bool) float64 {
	if metric {
		return mmPer["mm"]
	}
	return mmPer["in"]
}

// Miss is how far two ends that should meet are apart, seen by someone who
// walks out of the first: millimeters ahead and to the left, and degrees to be
// turned (left positive).
type Miss struct{ AheadMM, LeftMM, Turn float64 }

// MissBetween measures from an end to the one that it should meet. Both poses
// look out of their pieces.
func MissBetween(from, to track.Pose) Miss {
	g := gapBetween(from, to)
	return Miss{g.along, g.across, g.turn}
}

// MM is the distance.
func (m Miss) MM() float64 { return gap{m.AheadMM, m.LeftMM, m.Turn}.mm() }

// Within says whether track flexes that far, so that no warning is given.
func (m Miss) Within() bool {
	return m.MM() <= toleranceMM && m.Turn <= toleranceDeg && m.Turn >= -toleranceDeg
}

// FindPlace finds a place by any of the names that the format knows: "main 7",
// "W1", "main 7/8", "main 5/siding 1", "W1 diverging", "main 20/end".
func FindPlace(l *track.Layout, text string) (track.Place, bool) {
	none := track.Place{Piece: -1, End: -1}
	head, side, joint := strings.Cut(strings.Join(strings.Fields(text), " "), "/")
	if head == "" {
		return none, false
	}
	if p := l.FindPiece(head); p >= 0 {
		if !joint {
			return track.Place{Piece: p, End: -1}, true
		}
		for e := range l.Pieces[p].Ends {
			_, own, _ := strings.Cut(l.SideName(track.EndRef{Piece: p, End: e}), "/")
			if own == side || own == l.Pieces[p].Run+" "+side || l.Pieces[p].Ends[e].Label == side || l.Pieces[p].Run+" "+own == side {
				return track.Place{Piece: p, End: e}, true
			}
		}
		return none, false
	}
	if i := strings.LastIndexByte(head, ' '); i > 0 && !joint {
		if p := l.FindPiece(head[:i]); p >= 0 {
			if e := l.Pieces[p].EndIndex(head[i+1:]); e >= 0 {
				return track.Place{Piece: p, End: e}, true
			}
		}
	}
	return none, false
}
