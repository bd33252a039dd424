package layoutfile

import (
	"strconv"
	"strings"

	"fishplate/diagnose/track"
)

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
	return [][2]string{{"supply", quoteIf(supply)}, {"bus", quoteIf(bus)}, {"terminal", wholeIf(terminal)}, {"toggle", quoteIf(toggle)}}
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
		[2]string{"wire", quote(u.Wire)}, [2]string{"length", quote(u.Length)}, [2]string{"ring", quoteIf(u.Ring)}, [2]string{"fuse", figureIf(u.Fuse)})...)
}

func (t *ToggleLines) text() string {
	return blockText("toggle", t.Name, append(t.lines(), [2]string{"switches", quoteIf(t.Switches)}, [2]string{"usually", quoteIf(t.Usually)},
		[2]string{"other", quoteIf(t.Other)}, [2]string{"middle", quoteIf(t.Middle)})...)
}

func (k *BlockLines) text() string {
	return blockText("block", k.Name, [2]string{"from", quote(k.From)}, [2]string{"to", quote(k.To)}, [2]string{"toggle", quoteIf(k.Toggle)})
}

func (a *AccessoryLines) text() string {
	attrs := [][2]string{{"kind", quote(string(a.Kind))}, {"volts", figure(a.Volts)}, {"amps", figure(a.Amps)}, {"cold", figureIf(a.Cold)},
		{"at", quoteIf(a.At)}, {"hot", quoteIf(string(a.Hot))}, {"common", quoteIf(string(a.Common))}}
	return blockText("accessory", a.Name, append(append(attrs, a.lines()...), [2]string{"fuse", figureIf(a.Fuse)})...)
}

func (r *InsulatedRailLines) text() string {
	return blockText("insulated_rail", r.Name, [2]string{"rail", quote(string(r.Rail))}, [2]string{"from", quote(r.From)}, [2]string{"to", quote(r.To)},
		[2]string{"tap", quote(r.Tap)}, [2]string{"works", quote(r.Works)}, [2]string{"wire", quoteIf(r.Wire)}, [2]string{"length", quoteIf(r.Length)})
}

func (t *TrainLines) text() string {
	return blockText("train", t.Name, [2]string{"axles", quoteIf(t.Axles)}, [2]string{"pickups", quoteIf(t.Pickups)}, [2]string{"amps", figureIf(t.Amps)})
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

// whole0 reads a number without answering it, 0 when absent.
func (b *block) whole0(name string) int {
	v, _ := b.number(name, 0, 1e9, "")
	return int(v)
}

func (b *block) hangs() HangLines {
	return HangLines{b.text("supply"), b.text("bus"), b.whole0("terminal"), b.text("toggle")}
}

func (b *block) title() string { return strings.TrimSpace(b.label[0]) }

func (x *layoutReader) draftWires(d *Draft) {
	number := func(b *block, name string) float64 {
		v, _ := b.number(name, 0, 1e9, "")
		return v
	}
	for _, b := range append(append([]*block(nil), x.kinds["bus"]...), x.kinds["strip"]...) {
		d.Buses = append(d.Buses, BusLines{b.title(), b.kind == "strip", b.hangs(), b.whole0("terminals"), b.text("wire"), x.asWritten(b, "length"), x.asWritten(b, "ring"), number(b, "fuse")})
	}
	for _, b := range x.kinds["toggle"] {
		d.Toggles = append(d.Toggles, ToggleLines{b.title(), b.hangs(), b.text("switches"), b.text("usually"), b.text("other"), b.text("middle")})
	}
	for _, b := range x.kinds["block"] {
		d.Blocks = append(d.Blocks, BlockLines{b.title(), b.text("from"), b.text("to"), b.text("toggle")})
	}
	for _, b := range x.kinds["accessory"] {
		d.Accessories = append(d.Accessories, AccessoryLines{b.title(), track.AccessoryKind(b.text("kind")), number(b, "volts"), number(b, "amps"), number(b, "cold"),
			b.text("at"), track.Rail(b.text("hot")), track.Rail(b.text("common")), b.hangs(), number(b, "fuse")})
	}
	for _, b := range x.kinds["insulated_rail"] {
		d.Rails = append(d.Rails, InsulatedRailLines{b.title(), track.Rail(b.text("rail")), b.text("from"), b.text("to"), b.text("tap"), b.text("works"),
			b.text("wire"), x.asWritten(b, "length")})
	}
	for _, b := range x.kinds["train"] {
		d.Trains = append(d.Trains, TrainLines{b.title(), x.asWritten(b, "axles"), x.asWritten(b, "pickups"), number(b, "amps")})
	}
}
