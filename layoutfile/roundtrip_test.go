package layoutfile

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// drawDraft makes a random layout that has no mistake in it.
func drawDraft(t *rapid.T) *Draft {
	d := &Draft{Name: rapid.StringMatching(`[A-Za-z"$\\{é ]{1,12}x`).Draw(t, "name"),
		Metric: rapid.Bool().Draw(t, "metric"),
		Construction: rapid.SampledFrom([]string{"metal-tie", "roadbed", "solid-rail", "two-rail"}).Draw(t,
			"construction")}
	var legs []string
	turnouts, crossings := 0, 0
	runs := rapid.IntRange(1, 5).Draw(t, "runs")
	for i := 0; i < runs; i++ {
		r := RunLines{Name: fmt.Sprintf("run%c", 'a'+i)}
		if i > 0 && len(legs) > 0 && rapid.Bool().Draw(t, "branch") {
			k := rapid.IntRange(0, len(legs)-1).Draw(t, "leg")
			r.From = legs[k]
			legs = append(legs[:k], legs[k+1:]...)
		}
		n := rapid.IntRange(3, 12).Draw(t, "pieces")
		for k := 0; k < n; k++ {
			hand := rapid.SampledFrom([]string{"left", "right"}).Draw(t, "hand")
			switch rapid.IntRange(0, 7).Draw(t, "kind") {
			case 0, 1:
				r.Pieces = append(r.Pieces, fmt.Sprintf("%d x straight %d mm", rapid.IntRange(1, 4).Draw(t, "count"),
					rapid.IntRange(20, 400).Draw(t, "length")))
			case 2, 3:
				r.Pieces = append(r.Pieces, fmt.Sprintf("%d x curve %s radius 15.5 in angle %d",
					rapid.IntRange(1, 4).Draw(t, "count"), hand, rapid.IntRange(5, 90).Draw(t, "angle")))
			case 4:
				turnouts++
				way := rapid.SampledFrom([]string{"", " facing", " trailing", " trailing via diverging",
					" via diverging"}).Draw(t, "way")
				r.Pieces = append(r.Pieces, fmt.Sprintf("turnout %s radius 500 mm angle 22.5%s as W%d", hand, way,
					turnouts))
				if strings.Contains(way, "diverging") {
					legs = append(legs, fmt.Sprintf("W%d through", turnouts))
				} else {
					legs = append(legs, fmt.Sprintf("W%d diverging", turnouts))
				}
			case 6, 7:
				drawForm(t, d, &r, &legs, &turnouts, &crossings)
			case 5:
				crossings++
				x := fmt.Sprintf("X%d", crossings)
				r.Pieces = append(r.Pieces, fmt.Sprintf("crossing %d length 200 mm as %s",
					rapid.IntRange(10, 170).Draw(t, "angle"), x), "2 x straight 100 mm")
				if rapid.Bool().Draw(t, "again") {
					r.Pieces = append(r.Pieces, x+" again", "straight 100 mm")
				} else {
					legs = append(legs, x+" b1", x+" b2")
				}
			}
		}
		if r.From == "" {
			r.Closes = rapid.Bool().Draw(t, "closes")
		}
		if !r.Closes && rapid.Bool().Draw(t, "bumper") {
			r.Pieces = append(r.Pieces, "bumper")
		}
		d.Runs = append(d.Runs, r)
	}
	drawThings(t, d)
	return d
}

// drawForm adds a wye, a curved turnout or a slip, and pieces without ties.
func drawForm(t *rapid.T, d *Draft, r *RunLines, legs *[]string, turnouts, crossings *int) {
	if rapid.Bool().Draw(t, "slip") {
		if d.Construction == "metal-tie" {
			r.Pieces = append(r.Pieces, "straight 100 mm untied", "curve left radius 400 mm angle 30 untied")
		}
		*crossings++
		r.Pieces = append(r.Pieces, fmt.Sprintf("slip 20 length 300 mm as X%d", *crossings), "straight 100 mm")
		*legs = append(*legs, fmt.Sprintf("X%d b1", *crossings))
		return
	}
	form := rapid.SampledFrom([]string{"wye radius 500 mm angle 15",
		"left radius 400 mm angle 22.5 curved radius 500 mm",
		"right diameter 800 mm angle 20 curved diameter 1 m"}).Draw(t, "form")
	if d.Construction != "two-rail" && rapid.Bool().Draw(t, "sensing") {
		form += " sensing"
	}
	*turnouts++
	r.Pieces = append(r.Pieces, fmt.Sprintf("turnout %s as W%d", form, *turnouts))
	*legs = append(*legs, fmt.Sprintf("W%d diverging", *turnouts))
}

func drawThings(t *rapid.T, d *Draft) {
	piece := func() string { return d.Runs[0].Name + " " + itoa(rapid.IntRange(1, 3).Draw(t, "at")) }
	text := rapid.StringMatching(`[a-z][a-z"$\\{%# é]{0,9}x`)
	d.Supplies = []SupplyLines{{"T1", rapid.Bool().Draw(t, "ac"), float64(rapid.IntRange(1, 48).Draw(t, "volts")) / 2,
		7.5, "", ""}}
	drawWires(t, d, piece)
	for i := rapid.IntRange(0, 3).Draw(t, "feeders"); i > 0; i-- {
		d.Feeders = append(d.Feeders, FeederLines{Name: fmt.Sprintf("F%d", i), At: piece(), Supply: "T1",
			Wire:   rapid.SampledFrom([]string{"16 AWG", "0.75 mm2"}).Draw(t, "wire"),
			Length: rapid.SampledFrom([]string{"6 ft", "1.5 m", "254 mm", "30"}).Draw(t, "length"), Hot: track.Right,
			Common: track.Left})
	}
	if len(d.Insulated) == 0 && rapid.Bool().Draw(t, "insulated") {
		d.Insulated = []InsulatedLines{{d.Runs[0].Name + " 2/1", []track.Rail{track.Left}}}
	}
	if rapid.Bool().Draw(t, "hidden") {
		d.Hidden = []HiddenLines{{text.Draw(t, "tunnel"), d.Runs[0].Name + " 1", d.Runs[0].Name + " 3", 2.5}}
	}
	if rapid.Bool().Draw(t, "landmark") {
		d.Landmarks = []PlaceLines{{text.Draw(t, "mark"), piece()}}
	}
	if rapid.Bool().Draw(t, "note") {
		d.Notes = []PlaceLines{{piece(), text.Draw(t, "note")}}
	}
	if rapid.Bool().Draw(t, "history") {
		d.History = []HistoryLines{{piece(), 0.2, text.Draw(t, "why")}}
	}
}

// drawWires puts things under the table, each hanging on what may stand before
// or behind it in the file.
func drawWires(t *rapid.T, d *Draft, piece func() string) {
	hang := func(what string) HangLines {
		switch {
		case len(d.Buses) > 0 && rapid.Bool().Draw(t, what+" on bus"):
			return HangLines{Bus: d.Buses[0].Name, Terminal: rapid.IntRange(1, d.Buses[0].Terminals).Draw(t,
				what+" terminal")}
		case len(d.Toggles) > 0 && rapid.Bool().Draw(t, what+" on toggle"):
			return HangLines{Toggle: "S1"}
		}
		return HangLines{Supply: "T1"}
	}
	if rapid.Bool().Draw(t, "second supply") {
		s := SupplyLines{"T2", d.Supplies[0].AC, 12, 3, "", rapid.SampledFrom([]string{"", "T1"}).Draw(t, "common")}
		if s.AC {
			s.Phase = rapid.SampledFrom([]track.Phase{"", track.PhaseIn, track.PhaseReversed}).Draw(t, "phase")
		}
		d.Supplies = append(d.Supplies, s)
	}
	if rapid.Bool().Draw(t, "bus") {
		d.Buses = append(d.Buses, BusLines{"B1", false, hang("bus"), rapid.IntRange(1, 9).Draw(t, "terminals"),
			"14 AWG", "6 m", rapid.SampledFrom([]string{"", "2 m"}).Draw(t, "ring"),
			float64(rapid.IntRange(0, 5).Draw(t, "fuse"))})
	}
	if rapid.Bool().Draw(t, "strip") {
		d.Buses = append(d.Buses, BusLines{"P1", true, hang("strip"), 3, "0.75 mm2", "30", "", 0})
	}
	if rapid.Bool().Draw(t, "toggle") {
		h := hang("toggle")
		s := ToggleLines{"S1", h, rapid.SampledFrom([]string{"", "hot", "common", "both", "reverse"}).Draw(t,
			"switches"), rapid.SampledFrom([]string{"", "on", "off"}).Draw(t, "usually"), "", ""}
		if s.Switches == "reverse" && rapid.Bool().Draw(t, "three positions") {
			s.Middle, s.Usually = "off", rapid.SampledFrom([]string{"", "off", "middle"}).Draw(t, "usually of three")
		}
		d.Toggles = append(d.Toggles, s)
		if last := &d.Toggles[len(d.Toggles)-1]; len(d.Supplies) > 1 && last.Switches != "reverse" &&
			rapid.Bool().Draw(t, "chooses") {
			last.Other = "T2"
		}
	}
	for i := rapid.IntRange(0, 3).Draw(t, "accessories"); i > 0; i-- {
		a := AccessoryLines{Name: fmt.Sprintf("lamp %d", i),
			Kind: track.AccessoryKind(rapid.SampledFrom(schema.Find("accessory").Attr("kind").Words).Draw(t,
				"accessory")), Volts: 14, Amps: 0.25, Fuse: float64(rapid.IntRange(0, 2).Draw(t, "accessory's fuse")),
			Cold: float64(rapid.IntRange(0, 3).Draw(t, "cold"))}
		if rapid.Bool().Draw(t, "on track") {
			a.At, a.Hot, a.Common = piece(), track.Left, track.Right
		} else {
			a.HangLines = hang("accessory")
		}
		d.Accessories = append(d.Accessories, a)
	}
	if rapid.Bool().Draw(t, "train") {
		d.Trains = []TrainLines{{"freight \"é", rapid.SampledFrom([]string{"", "8 in"}).Draw(t, "axles"), "120 mm",
			float64(rapid.IntRange(0, 4).Draw(t, "amps"))}}
	}
	run := d.Runs[0].Name
	if rapid.Bool().Draw(t, "block") {
		d.Blocks = []BlockLines{{"yard", run + " 1", run + " 3", ""}}
	}
	if d.Construction != "two-rail" && rapid.Bool().Draw(t, "rail") {
		d.Insulated = []InsulatedLines{{run + " 1/2", []track.Rail{track.Left}}}
		d.Accessories = append(d.Accessories, AccessoryLines{Name: "gate", Kind: track.Relay, Volts: 14, Amps: 0.5,
			HangLines: hang("gate")})
		d.Rails = []InsulatedRailLines{{Name: "road", Rail: track.Left, From: run + " 1/2", To: run + " 2/3",
			Tap: run + " 2", Works: "gate", Wire: "18 AWG", Length: "1 m"}}
	}
}

// withoutLines is a layout with the lines of its file forgotten, since the
// same layout can be written on other lines.
func withoutLines(l *track.Layout) track.Layout {
	n := *l
	n.Pieces, n.Joints = append([]track.Piece(nil), l.Pieces...), append([]track.Joint(nil), l.Joints...)
	n.Feeders, n.Supplies = append([]track.Feeder(nil), l.Feeders...), append([]track.Supply(nil), l.Supplies...)
	for i := range n.Pieces {
		n.Pieces[i].Line = 0
	}
	for i := range n.Joints {
		n.Joints[i].Line = 0
	}
	for i := range n.Feeders {
		n.Feeders[i].Line = 0
	}
	for i := range n.Supplies {
		n.Supplies[i].Line = 0
	}
	n.Buses, n.Toggles, n.Blocks = append([]track.Bus(nil), l.Buses...), append([]track.Toggle(nil), l.Toggles...),
		append([]track.Block(nil), l.Blocks...)
	n.Accessories, n.InsulatedRails = append([]track.Accessory(nil), l.Accessories...),
		append([]track.InsulatedRail(nil), l.InsulatedRails...)
	n.Trains = append([]track.Train(nil), l.Trains...)
	n.Terminals = append([]track.Terminal(nil), l.Terminals...)
	for i := range n.Terminals {
		n.Terminals[i].Line = 0
	}
	for i := range n.Buses {
		n.Buses[i].Line = 0
	}
	for i := range n.Toggles {
		n.Toggles[i].Line = 0
	}
	for i := range n.Blocks {
		n.Blocks[i].Line = 0
	}
	for i := range n.Accessories {
		n.Accessories[i].Line = 0
	}
	for i := range n.InsulatedRails {
		n.InsulatedRails[i].Line = 0
	}
	for i := range n.Trains {
		n.Trains[i].Line = 0
	}
	return n
}

func TestReadWriteReadIsTheIdentity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDraft(t)
		src := d.Bytes()
		f, problems := Read("draft.hcl", src)
		var shown strings.Builder
		require.NoError(t, problems.Render(&shown, "draft.hcl", 0, false))
		require.NotNil(t, f, shown.String()+string(src))
		checkLayout(t, f.Layout)
		require.Equal(t, string(src), string(f.Bytes()))
		sameAsWritten(t, d, f.Sheet())
		// the same file with other spaces and comments
		messy := "# first\n\n" + strings.ReplaceAll(string(src), " = ", "= /* é */ ") + "# last"
		g, _ := Read("messy.hcl", []byte(messy))
		require.NotNil(t, g, messy)
		require.Equal(t, withoutLines(f.Layout), withoutLines(g.Layout))
		h, _ := Read("again.hcl", anew(g))
		require.NotNil(t, h)
		require.Equal(t, withoutLines(f.Layout), withoutLines(h.Layout))
	})
}

// Without an edit the text stays as it is, and written anew it says the same.
func TestBytesInBytesOut(t *testing.T) {
	demo, src := Demo()
	texts := map[string][]byte{demo: src, "small": []byte(small),
		"windows": []byte(strings.ReplaceAll(small, "\n", "\r\n")), "marked": append([]byte("\xEF\xBB\xBF"), small...)}
	for _, path := range layoutFiles(t) {
		b, err := os.ReadFile(path)
		require.NoError(t, err)
		texts[path] = b
	}
	for name, src := range texts {
		f := mustRead(t, name, string(src))
		require.Equal(t, string(src), string(f.Bytes()), name)
		g := mustRead(t, name, string(anew(f)))
		require.Equal(t, withoutLines(f.Layout), withoutLines(g.Layout), name)
	}
}

// anew writes a file from its values: every block but those with blocks of
// their own inside is taken out, and a new one put in its place.
func anew(f *File) []byte {
	want := &sheet.Sheet{Block: sheet.Block{Attrs: f.Sheet().Attrs}}
	for _, b := range f.Sheet().Blocks {
		if b.Kind == "construction" || b.Kind == "flaw" {
			want.Blocks = append(want.Blocks, b)
			continue
		}
		n := &sheet.Block{Kind: b.Kind, Labels: b.Labels, From: -1, Rows: b.Pieces()}
		for k := range n.Rows {
			n.Rows[k].From = -1
		}
		for _, a := range b.Attrs {
			if a.Name != "pieces" {
				n.Attrs = append(n.Attrs, a)
			}
		}
		want.Blocks = append(want.Blocks, n)
	}
	return sheet.Write(f.Sheet(), want)
}

// sameAsWritten asks that a file's blocks are those of the draft that it was
// written from, value by value.
func sameAsWritten(t require.TestingT, d *Draft, s *sheet.Sheet) {
	require.Equal(t, []any{d.Name, d.Metric, d.Construction}, []any{s.Text("name"), s.Text("units") == "mm",
		s.Text("construction")})
	have := map[string][]*sheet.Block{}
	for _, b := range s.Blocks {
		have[b.Kind] = append(have[b.Kind], b)
	}
	require.Len(t, have["run"], len(d.Runs))
	for i, r := range d.Runs {
		b := have["run"][i]
		require.Equal(t, []any{r.Name, r.Closes, r.From, r.To}, []any{b.Label(), b.Flag("closes"), b.Text("from"),
			b.Text("to")})
		rows := b.Pieces()
		require.Len(t, rows, len(r.Pieces))
		for k, text := range r.Pieces {
			n, piece := sheet.SplitCount(text)
			require.Equal(t, []any{n, piece, k}, []any{rows[k].Count, rows[k].Text, rows[k].From})
		}
	}
	for i := range d.Supplies {
		b, s := have["supply"][i], &d.Supplies[i]
		require.Equal(t, []any{s.Name, s.Volts, s.Breaker}, []any{b.Label(), b.Attr("volts").Value.Number,
			b.Attr("breaker").Value.Number})
	}
	for i := range d.Feeders {
		b, s := have["feeder"][i], &d.Feeders[i]
		require.Equal(t, []any{s.Name, s.At, s.Wire, s.Length}, []any{b.Label(), b.Text("at"), b.Text("wire"),
			b.Text("length")})
	}
	for i := range d.Accessories {
		b, s := have["accessory"][i], &d.Accessories[i]
		require.Equal(t, []any{s.Name, s.Volts, s.Amps, s.At}, []any{b.Label(), b.Attr("volts").Value.Number,
			b.Attr("amps").Value.Number, b.Text("at")})
	}
}
