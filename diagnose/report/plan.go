package report

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"fishplate/diagnose/page"
	"fishplate/diagnose/track"
)

// Map draws the layout as an SVG picture to scale, seen from above: pieces with
// their suspicion (by width as well as by shade), the bad one framed, feeders,
// landmarks, and the numbers of the readings where the red probe was.
func (r *Report) Map() string {
	s := newSheet(r.layout)
	if s == nil {
		return ""
	}
	for i := range r.layout.Pieces {
		s.piece(r.layout, i, r.level(i))
	}
	if bad := r.layout.FindPiece(r.Piece); bad >= 0 {
		at := s.middle(r.layout, bad)
		fmt.Fprintf(&s.b, `<circle cx="%s" cy="%s" r="%s" fill="none" stroke="#a33a00" stroke-width="%s"/>`+"\n", num(at.X), num(-at.Y), num(1.6*s.em), num(s.em/5))
		s.text(at, 2.1, "bad: "+r.Piece, "#a33a00", true)
	}
	s.numbers(r.layout, r.layout.FindPiece(r.Piece))
	s.furniture(r.layout)
	s.probes(r)
	return s.close(r.Layout)
}

// level is how much a piece is suspected, 0 to 3.
func (r *Report) level(i int) int {
	if i >= len(r.suspicion) {
		return 0
	}
	switch p := r.suspicion[i]; {
	case p >= 0.25:
		return 3
	case p >= 0.06:
		return 2
	case p*float64(len(r.suspicion)) >= 0.5:
		return 1
	}
	return 0
}

// ink is the stroke of a piece by level; dark is more (Okabe and Ito's blue and
// vermilion, darkened for paper).
var ink = [4]struct {
	colour string
	width  float64 // in em
}{{"#8a8a8a", 0.18}, {"#0072b2", 0.3}, {"#a34700", 0.45}, {"#7a0019", 0.7}}

// sheet is a picture being drawn; em is the height of its letters, mm on the
// table.
type sheet struct {
	b                      strings.Builder
	em                     float64
	minX, minY, maxX, maxY float64
}

func newSheet(l *track.Layout) *sheet {
	s := &sheet{minX: math.Inf(1), minY: math.Inf(1), maxX: math.Inf(-1), maxY: math.Inf(-1)}
	for i := range l.Pieces {
		for _, leg := range l.Pieces[i].Legs {
			for k := 0; k <= 8; k++ {
				s.reach(along(leg, float64(k)/8))
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

func (s *sheet) reach(p track.Pose) {
	s.minX, s.maxX = math.Min(s.minX, p.X), math.Max(s.maxX, p.X)
	s.minY, s.maxY = math.Min(s.minY, p.Y), math.Max(s.maxY, p.Y)
}

// along gives the place at a share of a leg: an arc of a circle of radius
// length/turn, or a straight line (plane geometry).
func along(leg track.Leg, share float64) track.Pose {
	h := leg.Start.Heading * math.Pi / 180
	d, turn := leg.Length*share, leg.Turn*share*math.Pi/180
	p := leg.Start
	p.Heading += leg.Turn * share
	if math.Abs(turn) < 1e-9 {
		p.X += d * math.Cos(h)
		p.Y += d * math.Sin(h)
		return p
	}
	radius := d / turn
	p.X += radius * (math.Sin(h+turn) - math.Sin(h))
	p.Y -= radius * (math.Cos(h+turn) - math.Cos(h))
	return p
}

func (s *sheet) piece(l *track.Layout, i, level int) {
	p := &l.Pieces[i]
	dash := ""
	if p.Hidden != "" {
		dash = fmt.Sprintf(` stroke-dasharray="%s %s"`, num(s.em/2), num(s.em/3))
	}
	path := ""
	for _, leg := range p.Legs {
		end := along(leg, 1)
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
	fmt.Fprintf(&s.b, `<path d="%s" fill="none" stroke="%s" stroke-width="%s"%s/>`+"\n", path, ink[level].colour, num(ink[level].width*s.em), dash)
	ticks := ""
	for _, e := range p.Ends {
		ticks += s.across(e.Pose, 0.35)
	}
	fmt.Fprintf(&s.b, `<path d="%s" stroke="#1a1a1a" stroke-width="%s"/>`+"\n", ticks, num(s.em/10))
}

// across is a tick across the track.
func (s *sheet) across(at track.Pose, half float64) string {
	a, b := beside(at, half*s.em), beside(at, -half*s.em)
	return fmt.Sprintf("M%s %sL%s %s", num(a.X), num(-a.Y), num(b.X), num(-b.Y))
}

// beside is a place to the left of the track.
func beside(at track.Pose, mm float64) track.Pose {
	h := at.Heading * math.Pi / 180
	at.X -= mm * math.Sin(h)
	at.Y += mm * math.Cos(h)
	return at
}

// middle is the middle of a piece; a bumper's is its end.
func (s *sheet) middle(l *track.Layout, i int) track.Pose {
	p := &l.Pieces[i]
	if len(p.Legs) > 0 {
		return along(p.Legs[0], 0.5)
	}
	if len(p.Ends) > 0 {
		return p.Ends[0].Pose
	}
	return track.Pose{}
}

func (s *sheet) place(l *track.Layout, at track.Place) track.Pose {
	if at.End >= 0 && at.End < len(l.Pieces[at.Piece].Ends) {
		return l.Pieces[at.Piece].Ends[at.End].Pose
	}
	return s.middle(l, at.Piece)
}

// text writes beside the track, so many em to its left.
func (s *sheet) text(at track.Pose, em float64, text, colour string, bold bool) {
	p := beside(at, em*s.em)
	weight := ""
	if bold {
		weight = ` font-weight="bold"`
	}
	fmt.Fprintf(&s.b, `<text x="%s" y="%s" fill="%s"%s>%s</text>`+"\n", num(p.X), num(-p.Y+0.35*s.em), colour, weight, escape.Replace(page.OneLine(text)))
}

var escape = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

// numbers writes the first piece of every run and every few more, as there is
// room; one piece has its name already.
func (s *sheet) numbers(l *track.Layout, but int) {
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
				s.text(s.middle(l, i), 1.1, p.ID(), "#4a4a4a", false)
			case p.Name != "":
				s.text(s.middle(l, i), 1.1, p.Name, "#4a4a4a", false)
			case p.Number%5 == 0 && gap > 4*s.em:
				s.text(s.middle(l, i), 1.1, fmt.Sprint(p.Number), "#4a4a4a", false)
			default:
				continue
			}
			gap = 0
		}
	}
}

// furniture draws feeders and landmarks.
func (s *sheet) furniture(l *track.Layout) {
	for i := range l.Feeders {
		f := &l.Feeders[i]
		at := s.place(l, f.At)
		p := beside(at, -1.3*s.em)
		fmt.Fprintf(&s.b, `<path d="M%s %sL%s %s" stroke="#00664b" stroke-width="%s"/>`+"\n", num(at.X), num(-at.Y), num(p.X), num(-p.Y), num(s.em/6))
		s.text(at, -2, f.Name, "#00664b", true)
	}
	for _, m := range l.Landmarks {
		s.text(s.place(l, m.At), -2.6, m.Name, "#8c3a6b", false)
	}
}

// probes numbers the places of the red probe; readings at one place share a
// circle.
func (s *sheet) probes(r *Report) {
	at := map[track.Place]string{}
	var order []track.Place
	for i := range r.Readings {
		x := &r.Readings[i]
		place, ok := placeOf(r.layout, x.Red)
		if !ok || x.N == 0 {
			continue
		}
		if at[place] == "" {
			order = append(order, place)
		} else {
			at[place] += ","
		}
		at[place] += fmt.Sprint(x.N)
	}
	sort.Slice(order, func(a, b int) bool {
		if order[a].Piece != order[b].Piece {
			return order[a].Piece < order[b].Piece
		}
		return order[a].End < order[b].End
	})
	for _, place := range order {
		p := beside(s.place(r.layout, place), -1.1*s.em)
		wide := s.em * (0.5 + 0.3*float64(len(at[place])))
		fmt.Fprintf(&s.b, `<ellipse cx="%s" cy="%s" rx="%s" ry="%s" fill="#fff" stroke="#1a1a1a" stroke-width="%s"/>`+"\n", num(p.X), num(-p.Y), num(wide), num(0.75*s.em), num(s.em/12))
		s.text(p, 0, at[place], "#1a1a1a", false)
	}
}

// placeOf finds where a point of the netlist lies: its last word is the rail or
// the wire. Posts of a supply lie nowhere on the track.
func placeOf(l *track.Layout, point string) (track.Place, bool) {
	cut := strings.LastIndexByte(point, ' ')
	if cut < 0 {
		return track.Place{}, false
	}
	name := point[:cut]
	for i := range l.Feeders {
		if l.Feeders[i].Name == name {
			return l.Feeders[i].At, true
		}
	}
	if i := l.FindPiece(name); i >= 0 {
		return track.Place{Piece: i, End: -1}, true
	}
	if j := l.FindJoint(name); j >= 0 {
		e := l.Joints[j].A
		return track.Place{Piece: e.Piece, End: e.End}, true
	}
	return track.Place{}, false
}

// close ends the picture with room for the letters around it.
func (s *sheet) close(name string) string {
	room := 4.5 * s.em
	return fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="%s %s %s %s" role="img" font-family="sans-serif" font-size="%s" text-anchor="middle">`+"\n<title>Map of %s</title>\n",
		num(s.minX-room), num(-s.maxY-room), num(s.maxX-s.minX+2*room), num(s.maxY-s.minY+2*room), num(s.em), escape.Replace(page.OneLine(name))) + s.b.String() + "</svg>"
}

// num prints a length with a tenth of a millimeter.
func num(v float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0")
}
