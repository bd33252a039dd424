// Package shape makes whole layouts of the usual shapes from a few sizes, for
// people to start from: an oval, one with a siding, a figure eight, a dogbone,
// double track, a yard ladder. Each closes by plane geometry alone; where the
// sizes do not fit, the pieces that must be cut are cut.
package shape

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/layoutfile"
	"fishplate/layoutfile/course"
	"fishplate/layoutfile/sheet"
)

// Field is a size that a shape asks for.
type Field struct {
	Key, Label string
	Start      string // what stands there before anything is typed
	Hint       string
}

// Shape is one of the usual shapes.
type Shape struct {
	Name   string // as it is chosen: "oval", "figure-eight"
	Says   string
	fields []string
	make   func(*maker) error
}

// All lists the shapes.
func All() []Shape {
	return []Shape{
		{"oval", "an oval", []string{"curve", "straight", "long", "short"}, oval},
		{"oval-siding", "an oval with a passing siding", []string{"curve", "straight", "turnout", "before", "between",
			"after"}, siding},
		{"figure-eight", "a figure eight over one crossing", []string{"curve", "straight", "crossing"}, eight},
		{"dogbone", "a dogbone: two loops, the long sides close together", []string{"curve", "straight", "long"},
			dogbone},
		{"double", "double track with two crossovers", []string{"curve", "outer", "straight", "turnout", "long"},
			double},
		{"yard", "a yard ladder: one lead, dead-end tracks", []string{"straight", "turnout", "lead", "tracks",
			"spacing", "storage"}, yard},
	}
}

// Find gives the shape of a name; the error lists the names.
func Find(name string) (Shape, error) {
	var names []string
	for _, s := range All() {
		if s.Name == name {
			return s, nil
		}
		names = append(names, s.Name)
	}
	return Shape{}, fmt.Errorf("no shape is called %q; known are %s", name, strings.Join(names, ", "))
}

var labels = map[string][2]string{
	"curve": {"curves", ""}, "outer": {"curves of the outer track", ""}, "straight": {"straights", ""},
	"turnout": {"turnouts", ""}, "crossing": {"crossing", ""},
	"long":   {"straights along each long side", "a whole number"},
	"short":  {"straights at each short end", "a whole number, 0 for none"},
	"before": {"straights before the siding", "a whole number"}, "between": {"straights between its turnouts",
		"a whole number"},
	"after": {"straights after the siding", "a whole number"}, "lead": {"straights of the lead", "a whole number"},
	"tracks": {"dead-end tracks", "a whole number from 2 to 12"}, "spacing": {"from track to track", "a length"},
	"storage": {"straights of each track", "a whole number"},
}

// Fields lists the sizes that the shape asks for, with some to begin with.
func (s *Shape) Fields(metric bool) []Field {
	z := course.StartSizes(metric)
	starts := map[string]string{"curve": z.Now(track.Curve), "straight": z.Now(track.Straight),
		"turnout": z.Now(track.Turnout), "crossing": z.Now(track.Crossing),
		"long": "6", "short": "0", "before": "2", "between": "8", "after": "2", "lead": "2", "tracks": "4",
		"storage": "6", "spacing": "6", "outer": "diameter 42 angle 30"}
	if metric {
		starts["spacing"], starts["outer"] = "150", "radius 500 angle 30"
	}
	if s.Name == "yard" || s.Name == "double" {
		starts["turnout"] = z.Turnout[1]
	}
	if s.Name == "double" {
		starts["long"] = "8"
	}
	var out []Field
	for _, k := range s.fields {
		f := Field{Key: k, Label: labels[k][0], Start: starts[k], Hint: labels[k][1]}
		if kind := kindOf[k]; kind != "" {
			f.Hint = course.SizeHint(kind, metric)
		}
		out = append(out, f)
	}
	return out
}

var kindOf = map[string]track.Kind{"curve": track.Curve, "outer": track.Curve, "straight": track.Straight,
	"turnout": track.Turnout, "crossing": track.Crossing}

// Wrong is a size that does not do.
type Wrong struct {
	Key string // the field
	Err error
}

// Error says what is wrong with it.
func (w *Wrong) Error() string { return labels[w.Key][0] + ": " + w.Err.Error() }

// Unwrap gives the cause.
func (w *Wrong) Unwrap() error { return w.Err }

// Make makes the layout. sizes holds what was typed for each field; a field
// that is missing is as in Fields. The error is a *Wrong where one field is to
// blame.
func (s *Shape) Make(name, construction string, metric bool, sizes map[string]string) (*course.Course, error) {
	m := &maker{construction: construction, metric: metric, values: map[string]string{}}
	for _, f := range s.Fields(metric) {
		m.values[f.Key] = f.Start
		if v, ok := sizes[f.Key]; ok {
			m.values[f.Key] = v
		}
	}
	if err := s.make(m); err != nil {
		return nil, err
	}
	if m.err != nil {
		return nil, m.err
	}
	f, problems := layoutfile.Read(name, m.text(name))
	if f == nil {
		return nil, problems
	}
	return course.Open(f)
}

// maker collects the runs of a shape.
type maker struct {
	construction string
	metric       bool
	runs         []*sheet.Block
	values       map[string]string
	err          error // the first wrong field
}

func (m *maker) wrong(key string, err error) {
	if m.err == nil {
		m.err = &Wrong{key, err}
	}
}

// piece reads a size field: its text for the file, and what it says in mm.
func (m *maker) piece(key string) (string, sheet.Words) {
	kind := kindOf[key]
	c := course.New("x", m.construction, m.metric)
	size, err := c.Sizing().ParseSize(kind, m.values[key])
	if err != nil {
		m.wrong(key, err)
		return "", sheet.Words{}
	}
	hand := 0
	if kind == track.Curve || kind == track.Turnout {
		hand = 1
	}
	w, err := sheet.Piece(c.Sizing().Compose(kind, hand, size), m.metric, nil)
	if err != nil {
		m.wrong(key, err)
	}
	return size, w
}

func (m *maker) count(key string, lo, hi int) int {
	n, err := strconv.Atoi(strings.TrimSpace(m.values[key]))
	if err != nil || n < lo || n > hi {
		m.wrong(key, fmt.Errorf("give a whole number from %d to %d", lo, hi))
		return lo
	}
	return n
}

// curves is how many curve pieces turn by degrees.
func (m *maker) curves(key string, degrees, angle float64) int {
	n := math.Round(degrees / angle)
	if angle <= 0 || n < 1 || math.Abs(n*angle-degrees) > 1e-6 {
		m.wrong(key, fmt.Errorf("pieces of %g degrees do not add up to the %g that are needed here", angle, degrees))
		return 1
	}
	return int(n)
}

// length writes mm in the units of the file.
func (m *maker) length(mm float64) string {
	v := mm / 25.4
	if m.metric {
		v = mm
	}
	return strconv.FormatFloat(math.Round(v*1e4)/1e4, 'f', -1, 64)
}

// back is the curve that brings a track behind a turnout to its own way again, in the
// words of the turnout's size.
func (m *maker) back(turnout string, t sheet.Words) string {
	width, mm := "diameter", 2*t.RadiusMM
	if strings.HasPrefix(turnout, "radius") {
		width, mm = "radius", t.RadiusMM
	}
	return fmt.Sprintf("curve right %s %s angle %g", width, m.length(mm), t.Angle)
}

func times(n int, text string) []string {
	switch {
	case n <= 0:
		return nil
	case n == 1:
		return []string{text}
	}
	return []string{fmt.Sprintf("%d x %s", n, text)}
}

// straights covers a length with whole straights and one that is cut; a rest
// that is too short to lie by itself is cut together with its neighbour. What
// is then still shorter than a piece may be is laid at the field key.
func (m *maker) straights(key string, mm, each float64, size string) []string {
	const least = 12 // mm: shorter pieces hold no pins (assumed)
	if mm < 0.01 {
		return nil
	}
	n := int((mm + 0.01) / each)
	rest := mm - float64(n)*each
	switch {
	case rest < 0.01:
		return times(n, "straight "+size)
	case rest < least && n > 0:
		n, rest = n-1, rest+each
	}
	cut := "straight " + m.length(rest)
	if _, err := sheet.Piece(cut, m.metric, nil); err != nil {
		m.wrong(key, fmt.Errorf("with these sizes a gap of %s is left that no piece fills: change one a little",
			m.length(rest)))
	}
	return append(times(n, "straight "+size), cut)
}

func (m *maker) run(name string, closes bool, from, to string, pieces ...[]string) {
	var all []string
	for _, p := range pieces {
		all = append(all, p...)
	}
	b := &sheet.Block{Kind: "run", Labels: []sheet.Label{{Text: name}}, From: -1}
	if closes {
		b.Set("closes", sheet.FlagOf(true))
	}
	if from != "" {
		b.Set("from", sheet.TextOf(from))
	}
	if to != "" {
		b.Set("to", sheet.TextOf(to))
	}
	for _, text := range all {
		n, piece := sheet.SplitCount(text)
		b.Rows = append(b.Rows, sheet.Row{Count: n, Text: piece, From: -1})
	}
	m.runs = append(m.runs, b)
}

// text is the layout's file.
func (m *maker) text(name string) []byte {
	units := "in"
	if m.metric {
		units = "mm"
	}
	s := &sheet.Sheet{Block: sheet.Block{Blocks: m.runs}}
	s.Set("name", sheet.TextOf(name))
	s.Set("units", sheet.TextOf(units))
	s.Set("construction", sheet.TextOf(m.construction))
	return sheet.Write(nil, s)
}

func sin(deg float64) float64 { return math.Sin(deg * math.Pi / 180) }
func cos(deg float64) float64 { return math.Cos(deg * math.Pi / 180) }

// through is the length of a turnout's through leg: as given, else so that
// both legs end abreast (as package layoutfile lays it).
func through(w sheet.Words) float64 {
	if w.LengthMM > 0 {
		return w.LengthMM
	}
	return w.RadiusMM * sin(w.Angle)
}

var errLong = errors.New("more straights are needed there: the turnouts do not fit")

func (m *maker) millimeters(key string) (float64, error) {
	mm, err := sheet.ReadLength(m.values[key], m.metric)
	if err != nil {
		m.wrong(key, err)
	}
	return mm, err
}
