package layoutfile

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"github.com/hashicorp/hcl/v2/hclwrite"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/sheet"
)

// RunLines is a run as it is written in the file. Pieces are texts like
// "8 x curve right diameter 31 angle 45".
type RunLines struct {
	Name         string
	Construction string // empty: that of the layout
	Closes       bool
	From, To     string // "W1 diverging", or empty
	Pieces       []string
}

// FeederLines is a feeder as it is written in the file.
type FeederLines struct {
	Name, At, Supply, Wire, Length string
	Hot, Common                    track.Rail // empty: those of the construction
	// Bus and Terminal, or Toggle, stand in the place of Supply.
	Bus      string
	Terminal int
	Toggle   string
	Fuse     float64 // 0: none
}

// SupplyLines is a supply as it is written in the file.
type SupplyLines struct {
	Name           string
	AC             bool
	Volts, Breaker float64
	Phase          track.Phase // empty: not checked
	Common         string      // the supply whose common post is joined to its own, or empty
}

// InsulatedLines is an insulated joint as it is written in the file.
type InsulatedLines struct {
	Joint string
	Rails []track.Rail
}

// HiddenLines is a hidden stretch as it is written in the file.
type HiddenLines struct {
	Name, From, To string
	Minutes        float64
}

// HistoryLines is a piece's history as it is written in the file.
type HistoryLines struct {
	Piece string
	Odds  float64
	Why   string
}

// PlaceLines is a landmark (a name and a place) or a note (a piece and a
// text).
type PlaceLines struct{ Name, Value string }

// Draft is a whole layout as it is written in a file, for making one from
// scratch. Places and pieces are texts in the words of the file format.
type Draft struct {
	Name, About  string
	Metric       bool // lengths without a unit are mm, else inches
	Construction string
	Runs         []RunLines
	Supplies     []SupplyLines
	Buses        []BusLines
	Toggles      []ToggleLines
	Feeders      []FeederLines
	Insulated    []InsulatedLines
	Blocks       []BlockLines
	Accessories  []AccessoryLines
	Rails        []InsulatedRailLines
	Trains       []TrainLines
	Hidden       []HiddenLines
	Landmarks    []PlaceLines
	Notes        []PlaceLines
	History      []HistoryLines
	// Before is text that stands before the runs as it is: constructions, stock
	// pieces and flaws.
	Before string
}

// Bytes writes the draft as a tidy file. Whether it can be read is for Read
// to say.
func (d *Draft) Bytes() []byte {
	w := &lines{}
	w.attr("name", quote(d.Name))
	if d.About != "" {
		w.attr("about", quote(d.About))
	}
	units := "in"
	if d.Metric {
		units = "mm"
	}
	w.attr("units", quote(units))
	if d.Construction != "" {
		w.attr("construction", quote(d.Construction))
	}
	if d.Before != "" {
		w.b.WriteString("\n" + strings.Trim(d.Before, "\n") + "\n")
	}
	for i := range d.Runs {
		w.text(d.Runs[i].text())
	}
	d.wires(w)
	for i := range d.Hidden {
		w.text(d.Hidden[i].text())
	}
	for i := range d.Landmarks {
		w.short(d.Landmarks[i].text("landmark", "at"), i == 0)
	}
	for i := range d.Notes {
		w.short(d.Notes[i].text("note", "text"), i == 0)
	}
	for i := range d.History {
		w.text(d.History[i].text())
	}
	return hclwrite.Format(w.b.Bytes())
}

type lines struct{ b bytes.Buffer }

func (w *lines) attr(name, value string) { fmt.Fprintf(&w.b, "%s = %s\n", name, value) }

// text adds a block after an empty line; short adds a block of one line,
// after an empty line when it is the first.
func (w *lines) text(s string) { w.b.WriteString("\n" + s) }

func (w *lines) short(s string, first bool) {
	if first {
		w.b.WriteString("\n")
	}
	w.b.WriteString(s)
}

func (r *RunLines) text() string {
	closes, pieces := "", ""
	if r.Closes {
		closes = "true"
	}
	if len(r.Pieces) > 0 {
		pieces = pieceList(r.Pieces)
	}
	return blockText("run", r.Name, [2]string{"construction", quoteIf(r.Construction)}, [2]string{"closes", closes},
		[2]string{"from", quoteIf(r.From)}, [2]string{"to", quoteIf(r.To)}, [2]string{"pieces", pieces})
}

func (f *FeederLines) text() string {
	attrs := append([][2]string{{"at", quote(f.At)}}, hung(f.Supply, f.Bus, f.Terminal, f.Toggle)...)
	attrs = append(attrs, [2]string{"wire", quote(f.Wire)}, [2]string{"length", quote(f.Length)},
		[2]string{"hot", quoteIf(string(f.Hot))}, [2]string{"common", quoteIf(string(f.Common))},
		[2]string{"fuse", figureIf(f.Fuse)})
	return blockText("feeder", f.Name, attrs...)
}

func (s *SupplyLines) text() string {
	current := "dc"
	if s.AC {
		current = "ac"
	}
	return blockText("supply", s.Name, [2]string{"current", quote(current)}, [2]string{"volts", figure(s.Volts)},
		[2]string{"breaker", figure(s.Breaker)},
		[2]string{"phase", quoteIf(string(s.Phase))}, [2]string{"common", quoteIf(s.Common)})
}

func (n *InsulatedLines) text() string {
	rails := make([]string, len(n.Rails))
	for i, r := range n.Rails {
		rails[i] = string(r)
	}
	return oneLiner(blockText("insulated", n.Joint, [2]string{"rails", quoteList(rails)}))
}

func (h *HiddenLines) text() string {
	return blockText("hidden", h.Name, [2]string{"from", quote(h.From)}, [2]string{"to", quote(h.To)},
		[2]string{"minutes", figure(h.Minutes)})
}

func (p *PlaceLines) text(kind, attr string) string {
	return oneLiner(blockText(kind, p.Name, [2]string{attr, quote(p.Value)}))
}

func (h *HistoryLines) text() string {
	return blockText("history", h.Piece, [2]string{"odds", figure(h.Odds)}, [2]string{"why", quoteIf(h.Why)})
}

// HangLines is what wires hang on, as it is written in the file: a supply, a
// bus and its terminal, or a toggle.
type HangLines struct {
	Supply, Bus string
	Terminal    int
	Toggle      string
}

// BusLines is a bus or a strip as it is written in the file.
type BusLines struct {
	Name  string
	Strip bool
	HangLines
	Terminals    int
	Wire, Length string
	Ring         string  // of the pair that closes a bus to a ring, or empty
	Fuse         float64 // 0: none
}

// ToggleLines is a toggle as it is written in the file. Switches is "hot",
// "common", "both" or "reverse", Usually "on", "off" or "middle"; empty is the
// first.
type ToggleLines struct {
	Name string
	HangLines
	Switches, Usually string
	Other             string // the supply of its second position, or empty
	Middle            string // "off" for one with three positions, or empty
}

// BlockLines is a block of track as it is written in the file.
type BlockLines struct{ Name, From, To, Toggle string }

// AccessoryLines is an accessory as it is written in the file.
type AccessoryLines struct {
	Name        string
	Kind        track.AccessoryKind
	Volts, Amps float64
	Cold        float64 // 0: by its kind
	At          string  // empty: it hangs on HangLines
	Hot, Common track.Rail
	HangLines
	Fuse float64 // 0: none
}

// InsulatedRailLines is an insulated rail as it is written in the file.
type InsulatedRailLines struct {
	Name                 string
	Rail                 track.Rail
	From, To, Tap, Works string
	Wire, Length         string // may be empty
}

// TrainLines is a train as it is written in the file.
type TrainLines struct {
	Name           string
	Axles, Pickups string  // empty: as usual
	Amps           float64 // 0: as usual
}

// hung writes what wires hang on.
func hung(supply, bus string, terminal int, toggle string) [][2]string {
	return [][2]string{{"supply", quoteIf(supply)}, {"bus", quoteIf(bus)}, {"terminal", wholeIf(terminal)},
		{"toggle", quoteIf(toggle)}}
}

func (h *HangLines) lines() [][2]string { return hung(h.Supply, h.Bus, h.Terminal, h.Toggle) }

func wholeIf(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

func figureIf(v float64) string {
	if v == 0 {
		return ""
	}
	return figure(v)
}

func (u *BusLines) text() string {
	kind := "bus"
	if u.Strip {
		kind = "strip"
	}
	return blockText(kind, u.Name, append(u.lines(), [2]string{"terminals", wholeIf(u.Terminals)},
		[2]string{"wire", quote(u.Wire)}, [2]string{"length", quote(u.Length)}, [2]string{"ring", quoteIf(u.Ring)},
		[2]string{"fuse", figureIf(u.Fuse)})...)
}

func (t *ToggleLines) text() string {
	return blockText("toggle", t.Name, append(t.lines(), [2]string{"switches", quoteIf(t.Switches)},
		[2]string{"usually", quoteIf(t.Usually)},
		[2]string{"other", quoteIf(t.Other)}, [2]string{"middle", quoteIf(t.Middle)})...)
}

func (k *BlockLines) text() string {
	return blockText("block", k.Name, [2]string{"from", quote(k.From)}, [2]string{"to", quote(k.To)},
		[2]string{"toggle", quoteIf(k.Toggle)})
}

func (a *AccessoryLines) text() string {
	attrs := [][2]string{{"kind", quote(string(a.Kind))}, {"volts", figure(a.Volts)}, {"amps", figure(a.Amps)},
		{"cold", figureIf(a.Cold)},
		{"at", quoteIf(a.At)}, {"hot", quoteIf(string(a.Hot))}, {"common", quoteIf(string(a.Common))}}
	return blockText("accessory", a.Name, append(append(attrs, a.lines()...), [2]string{"fuse", figureIf(a.Fuse)})...)
}

func (r *InsulatedRailLines) text() string {
	return blockText("insulated_rail", r.Name, [2]string{"rail", quote(string(r.Rail))},
		[2]string{"from", quote(r.From)}, [2]string{"to", quote(r.To)},
		[2]string{"tap", quote(r.Tap)}, [2]string{"works", quote(r.Works)}, [2]string{"wire", quoteIf(r.Wire)},
		[2]string{"length", quoteIf(r.Length)})
}

func (t *TrainLines) text() string {
	return blockText("train", t.Name, [2]string{"axles", quoteIf(t.Axles)}, [2]string{"pickups", quoteIf(t.Pickups)},
		[2]string{"amps", figureIf(t.Amps)})
}

// wires writes what carries current: supplies and all that hangs on them.
func (d *Draft) wires(w *lines) {
	for i := range d.Supplies {
		w.text(d.Supplies[i].text())
	}
	for i := range d.Buses {
		w.text(d.Buses[i].text())
	}
	for i := range d.Toggles {
		w.text(d.Toggles[i].text())
	}
	for i := range d.Feeders {
		w.text(d.Feeders[i].text())
	}
	for i := range d.Insulated {
		w.text(d.Insulated[i].text())
	}
	for i := range d.Blocks {
		w.text(d.Blocks[i].text())
	}
	for i := range d.Accessories {
		w.text(d.Accessories[i].text())
	}
	for i := range d.Rails {
		w.text(d.Rails[i].text())
	}
	for i := range d.Trains {
		w.text(d.Trains[i].text())
	}
}

func quoteIf(s string) string {
	if s == "" {
		return ""
	}
	return quote(s)
}

// blockText writes a block; the lines without a value are left out.
func blockText(kind, label string, attrs ...[2]string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s {\n", kind, quote(label))
	for _, a := range attrs {
		if a[1] != "" {
			fmt.Fprintf(&b, "  %s = %s\n", a[0], a[1])
		}
	}
	b.WriteString("}\n")
	return string(hclwrite.Format([]byte(b.String())))
}

func quoteList(list []string) string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = quote(s)
	}
	return "[" + strings.Join(out, ", ") + "]"
}

// pieceList writes a run's pieces: short ones on one line, else one a line.
func pieceList(pieces []string) string {
	if s := quoteList(pieces); len(s) < 90 {
		return s
	}
	var b strings.Builder
	b.WriteString("[\n")
	for _, p := range pieces {
		b.WriteString("    " + quote(p) + ",\n")
	}
	b.WriteString("  ]")
	return b.String()
}

// oneLiner puts a block with one attribute on one line.
func oneLiner(s string) string {
	return strings.Replace(strings.Replace(s, "{\n  ", "{ ", 1), "\n}\n", " }\n", 1)
}

// quote and figure write values as the file has them.
func quote(s string) string   { return sheet.Quote(s) }
func figure(v float64) string { return sheet.Figure(v) }
