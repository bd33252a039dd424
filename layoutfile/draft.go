package layoutfile

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/hashicorp/hcl/v2/hclsyntax"
	"github.com/hashicorp/hcl/v2/hclwrite"
	"github.com/zclconf/go-cty/cty"

	"fishplate/diagnose/track"
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

// quote writes text as the file format does, with its escapes.
func quote(s string) string {
	return string(hclwrite.TokensForValue(cty.StringVal(s)).Bytes())
}

func figure(v float64) string {
	return string(hclwrite.TokensForValue(cty.NumberFloatVal(v)).Bytes())
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

func quoteIf(s string) string {
	if s == "" {
		return ""
	}
	return quote(s)
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
		[2]string{"hot", quoteIf(string(f.Hot))}, [2]string{"common", quoteIf(string(f.Common))}, [2]string{"fuse", figureIf(f.Fuse)})
	return blockText("feeder", f.Name, attrs...)
}

func (s *SupplyLines) text() string {
	current := "dc"
	if s.AC {
		current = "ac"
	}
	return blockText("supply", s.Name, [2]string{"current", quote(current)}, [2]string{"volts", figure(s.Volts)}, [2]string{"breaker", figure(s.Breaker)},
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
	return blockText("hidden", h.Name, [2]string{"from", quote(h.From)}, [2]string{"to", quote(h.To)}, [2]string{"minutes", figure(h.Minutes)})
}

func (p *PlaceLines) text(kind, attr string) string {
	return oneLiner(blockText(kind, p.Name, [2]string{attr, quote(p.Value)}))
}

func (h *HistoryLines) text() string {
	return blockText("history", h.Piece, [2]string{"odds", figure(h.Odds)}, [2]string{"why", quoteIf(h.Why)})
}

// oneLiner puts a block with one attribute on one line.
func oneLiner(s string) string {
	return strings.Replace(strings.Replace(s, "{\n  ", "{ ", 1), "\n}\n", " }\n", 1)
}

// Draft gives the layout in the words of its file, so that it can be changed
// and written anew; comments outside of constructions and stock pieces are not
// in it.
func (f *File) Draft() *Draft {
	r := newReader(f.src)
	body := r.parse(f.name)
	x := r.readLayout(body)
	d := &Draft{Name: x.l.Name, About: x.l.About, Metric: x.l.Metric, Construction: x.top.text("construction")}
	for _, b := range body.Blocks {
		if b.Type == "construction" || b.Type == "stock" || b.Type == "flaw" {
			d.Before += string(f.src[b.TypeRange.Start.Byte:b.CloseBraceRange.End.Byte]) + "\n"
		}
	}
	for _, n := range x.runs {
		line := RunLines{Name: n.name, Construction: n.b.text("construction"), Closes: n.closes, From: n.from, To: n.to}
		list, _ := n.b.texts("pieces")
		for _, e := range list {
			line.Pieces = append(line.Pieces, e.text)
		}
		d.Runs = append(d.Runs, line)
	}
	for _, b := range x.kinds["supply"] {
		volts, _ := b.number("volts", 0, 1e9, "")
		breaker, _ := b.number("breaker", 0, 1e9, "")
		d.Supplies = append(d.Supplies, SupplyLines{strings.TrimSpace(b.label[0]), b.text("current") == "ac", volts, breaker,
			track.Phase(b.text("phase")), b.text("common")})
	}
	for _, b := range x.kinds["feeder"] {
		fuse, _ := b.number("fuse", 0, 1e9, "")
		d.Feeders = append(d.Feeders, FeederLines{Name: strings.TrimSpace(b.label[0]), At: b.text("at"), Supply: b.text("supply"), Wire: b.text("wire"),
			Length: x.asWritten(b, "length"), Hot: track.Rail(b.text("hot")), Common: track.Rail(b.text("common")),
			Bus: b.text("bus"), Terminal: b.whole0("terminal"), Toggle: b.text("toggle"), Fuse: fuse})
	}
	x.draftWires(d)
	x.draftRest(d)
	return d
}

func (x *layoutReader) draftRest(d *Draft) {
	for _, b := range x.kinds["insulated"] {
		line := InsulatedLines{Joint: b.label[0]}
		list, _ := b.texts("rails")
		for _, e := range list {
			line.Rails = append(line.Rails, track.Rail(e.text))
		}
		d.Insulated = append(d.Insulated, line)
	}
	for _, b := range x.kinds["hidden"] {
		minutes, _ := b.number("minutes", 0, 1e9, "")
		d.Hidden = append(d.Hidden, HiddenLines{strings.TrimSpace(b.label[0]), b.text("from"), b.text("to"), minutes})
	}
	for _, b := range x.kinds["landmark"] {
		d.Landmarks = append(d.Landmarks, PlaceLines{strings.TrimSpace(b.label[0]), b.text("at")})
	}
	for _, b := range x.kinds["note"] {
		d.Notes = append(d.Notes, PlaceLines{b.label[0], b.text("text")})
	}
	for _, b := range x.kinds["history"] {
		odds, _ := b.number("odds", 0, 1e9, "")
		d.History = append(d.History, HistoryLines{b.label[0], odds, b.text("why")})
	}
}

// asWritten gives a length as the file has it; a bare number gets no unit.
func (x *layoutReader) asWritten(b *block, attr string) string {
	a := b.body.Attributes[attr]
	if a == nil {
		return ""
	}
	if t, ok := a.Expr.(*hclsyntax.TemplateExpr); ok && t.IsStringLiteral() {
		return b.text(attr)
	}
	return string(a.Expr.Range().SliceBytes(x.src))
}
