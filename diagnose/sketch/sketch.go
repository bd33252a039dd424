// Package sketch draws a layout to scale as an SVG picture, seen from above: track
// with its ties at the joints, numbers, feeders and landmarks. Lengths are mm on the
// table; y grows upward there and downward in the picture.
package sketch

import (
	"fmt"
	"math"
	"strings"

	"fishplate/diagnose/page"
	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
)

// ink is the stroke of a piece by level; dark is more (Okabe and Ito's blue and
// vermilion, darkened for paper).
var ink = [4]struct {
	colour string
	width  float64 // in em
}{{"#8a8a8a", 0.18}, {"#0072b2", 0.3}, {"#a34700", 0.45}, {"#7a0019", 0.7}}

// Sketch is a picture being drawn; em is the height of its letters, mm on the
// table.
type Sketch struct {
	b                      strings.Builder
	em                     float64
	minX, minY, maxX, maxY float64
}

// New begins the picture of a layout; nil where there is nothing to draw.
func New(l *track.Layout) *Sketch {
	s := &Sketch{minX: math.Inf(1), minY: math.Inf(1), maxX: math.Inf(-1), maxY: math.Inf(-1)}
	for i := range l.Pieces {
		for _, leg := range l.Pieces[i].Legs {
			for k := 0; k <= 8; k++ {
				s.reach(plane.Along(leg, float64(k)/8))
			}
		}
		for _, e := range l.Pieces[i].Ends {
			s.reach(e.Pose)
		}
	}
	if math.IsInf(s.minX, 0) || math.IsNaN(s.minX+s.minY+s.maxX+s.maxY) {
		return nil
	}
	s.em = math.Max(math.Max(s.maxX-s.minX, 1.6*(s.maxY-s.minY))/70, 1)
	return s
}

// Plain is the picture of a layout on which nothing is suspected, with its numbers
// and what more draws; nil where there is nothing to draw.
func Plain(l *track.Layout, caption string, more func(*Sketch)) *page.Figure {
	s := New(l)
	if s == nil {
		return nil
	}
	for i := range l.Pieces {
		s.Piece(l, i, 0)
	}
	s.Numbers(l, -1)
	more(s)
	return &page.Figure{SVG: s.Close(l.Name), Caption: caption}
}

func (s *Sketch) reach(p track.Pose) {
	s.minX, s.maxX = math.Min(s.minX, p.X), math.Max(s.maxX, p.X)
	s.minY, s.maxY = math.Min(s.minY, p.Y), math.Max(s.maxY, p.Y)
}

// Em is the height of the picture's letters, mm on the table.
func (s *Sketch) Em() float64 { return s.em }

// Ring draws a circle about a place, its radius in em.
func (s *Sketch) Ring(at track.Pose, em float64, colour string) {
	fmt.Fprintf(&s.b, `<circle cx="%s" cy="%s" r="%s" fill="none" stroke="%s" stroke-width="%s"/>`+"\n", num(at.X),
		num(-at.Y), num(em*s.em), colour, num(s.em/5))
}

// Badge writes a short text in a bubble.
func (s *Sketch) Badge(at track.Pose, text string) {
	wide := s.em * (0.5 + 0.3*float64(len(text)))
	fmt.Fprintf(&s.b, `<ellipse cx="%s" cy="%s" rx="%s" ry="%s" fill="#fff" stroke="#1a1a1a" stroke-width="%s"/>`+"\n",
		num(at.X), num(-at.Y), num(wide), num(0.75*s.em), num(s.em/12))
	s.Text(at, 0, text, "#1a1a1a", false)
}

// Piece draws a piece, as much suspected as its level says (0 to 3).
func (s *Sketch) Piece(l *track.Layout, i, level int) {
	p := &l.Pieces[i]
	dash := ""
	if p.Hidden != "" {
		dash = fmt.Sprintf(` stroke-dasharray="%s %s"`, num(s.em/2), num(s.em/3))
	}
	path := ""
	for _, leg := range p.Legs {
		end := plane.Along(leg, 1)
		path += fmt.Sprintf("M%s %s", num(leg.Start.X), num(-leg.Start.Y))
		if math.Abs(leg.Turn) < 1e-6 {
			path += fmt.Sprintf("L%s %s", num(end.X), num(-end.Y))
			continue
		}
		radius := math.Abs(leg.Length / (leg.Turn * math.Pi / 180))
		large, sweep := 0, 1
		if math.Abs(leg.Turn) > 180 {
			large = 1
		}
		if leg.Turn > 0 { // left on the table is against the clock on paper
			sweep = 0
		}
		path += fmt.Sprintf("A%s %s 0 %d %d %s %s", num(radius), num(radius), large, sweep, num(end.X), num(-end.Y))
	}
	if p.Kind == track.Bumper && len(p.Ends) > 0 {
		path += s.across(p.Ends[0].Pose, 0.9)
	}
	fmt.Fprintf(&s.b, `<path d="%s" fill="none" stroke="%s" stroke-width="%s"%s/>`+"\n", path, ink[level].colour,
		num(ink[level].width*s.em), dash)
	ticks := ""
	for _, e := range p.Ends {
		ticks += s.across(e.Pose, 0.35)
	}
	fmt.Fprintf(&s.b, `<path d="%s" stroke="#1a1a1a" stroke-width="%s"/>`+"\n", ticks, num(s.em/10))
}

// across is a tick across the track.
func (s *Sketch) across(at track.Pose, half float64) string {
	a, b := Beside(at, half*s.em), Beside(at, -half*s.em)
	return fmt.Sprintf("M%s %sL%s %s", num(a.X), num(-a.Y), num(b.X), num(-b.Y))
}

// Beside is a place to the left of the track.
func Beside(at track.Pose, mm float64) track.Pose {
	h := at.Heading * math.Pi / 180
	at.X -= mm * math.Sin(h)
	at.Y += mm * math.Cos(h)
	return at
}

// At is where a place lies: an end at the joint itself.
func (s *Sketch) At(l *track.Layout, at track.Place) track.Pose {
	if q := l.Pieces[at.Piece].Ends; at.End >= 0 && at.End < len(q) {
		return q[at.End].Pose
	}
	return plane.Spot(l, at)
}

// Text writes beside the track, so many em to its left.
func (s *Sketch) Text(at track.Pose, em float64, text, colour string, bold bool) {
	p := Beside(at, em*s.em)
	weight := ""
	if bold {
		weight = ` font-weight="bold"`
	}
	fmt.Fprintf(&s.b, `<text x="%s" y="%s" fill="%s"%s>%s</text>`+"\n", num(p.X), num(-p.Y+0.35*s.em), colour, weight,
		escape.Replace(page.OneLine(text)))
}

var escape = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

// Numbers writes the first piece of every run and every few more, as there is
// room; one piece has its name already.
func (s *Sketch) Numbers(l *track.Layout, but int) {
	for _, run := range l.Runs {
		gap := 0.0
		for k, i := range run.Pieces {
			p := &l.Pieces[i]
			for _, leg := range p.Legs[:min(1, len(p.Legs))] {
				gap += leg.Length
			}
			switch {
			case i == but:
			case k == 0:
				s.Text(plane.Spot(l, track.Place{Piece: i, End: -1}), 1.1, p.ID(), "#4a4a4a", false)
			case p.Name != "":
				s.Text(plane.Spot(l, track.Place{Piece: i, End: -1}), 1.1, p.Name, "#4a4a4a", false)
			case p.Number%5 == 0 && gap > 4*s.em:
				s.Text(plane.Spot(l, track.Place{Piece: i, End: -1}), 1.1, fmt.Sprint(p.Number), "#4a4a4a", false)
			default:
				continue
			}
			gap = 0
		}
	}
}

// Furniture draws feeders and landmarks.
func (s *Sketch) Furniture(l *track.Layout) {
	for i := range l.Feeders {
		f := &l.Feeders[i]
		at := s.At(l, f.At)
		p := Beside(at, -1.3*s.em)
		fmt.Fprintf(&s.b, `<path d="M%s %sL%s %s" stroke="#00664b" stroke-width="%s"/>`+"\n", num(at.X), num(-at.Y),
			num(p.X), num(-p.Y), num(s.em/6))
		s.Text(at, -2, f.Name, "#00664b", true)
	}
	for _, m := range l.Landmarks {
		s.Text(s.At(l, m.At), -2.6, m.Name, "#8c3a6b", false)
	}
}

// Close ends the picture with room for the letters around it.
func (s *Sketch) Close(name string) string {
	room := 4.5 * s.em
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="%s %s %s %s" role="img" `+
		`font-family="sans-serif" font-size="%s" text-anchor="middle">`+"\n<title>Map of %s</title>\n",
		num(s.minX-room), num(-s.maxY-room), num(s.maxX-s.minX+2*room), num(s.maxY-s.minY+2*room), num(s.em),
		escape.Replace(page.OneLine(name))) + s.b.String() + "</svg>"
}

// num prints a length with a tenth of a millimeter.
func num(v float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0")
}
