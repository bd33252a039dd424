package layoutfile

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/sheet"
)

// layingBlocks are what the file of a layout half built keeps: what lies on the
// table, one supply, and what is known of both. Wires come behind the track.
var layingBlocks = []string{"construction", "stock", "run", "insulated", "hidden", "landmark", "note", "history",
	"flaw", "counted", "train"}

// benchLeads is the pair of wires that feeds a layout half built.
const benchLeads = "bench-leads"

// Laid gives the text of the layout while it is built: pieces 0..last, where the
// joints that close a ring with a piece from fresh on are still open, and a pair of
// leads from the first supply clipped on at a place (a joint, or an end that is
// free while built). Comments in what is kept stay.
func (f *File) Laid(last, fresh int, at track.EndRef) ([]byte, error) {
	want := f.sheet.Copy()
	supply := ""
	want.Blocks = slices.DeleteFunc(want.Blocks, func(b *sheet.Block) bool {
		switch {
		case b.Kind == "supply" && supply == "":
			supply = b.Label()
			return false
		case b.Kind == "run":
			return !f.layRun(b, last, fresh)
		}
		return !slices.Contains(layingBlocks, b.Kind)
	})
	if supply == "" {
		supply = "bench-battery"
		b := &sheet.Block{Kind: "supply", Labels: []sheet.Label{{Text: supply}}, From: -1}
		b.Set("current", sheet.TextOf("dc"))
		b.Set("volts", sheet.NumberOf(12))
		b.Set("breaker", sheet.NumberOf(3))
		want.Blocks = append(want.Blocks, b)
	}
	want.Set("name", sheet.TextOf(f.Layout.Name+", laid as far as "+f.Layout.Pieces[last].ID()))
	place := f.laidName(at, last)
	b := &sheet.Block{Kind: "feeder", Labels: []sheet.Label{{Text: benchLeads}}, From: -1}
	b.Set("at", sheet.TextOf(place))
	b.Set("supply", sheet.TextOf(supply))
	b.Set("wire", sheet.TextOf("16 AWG"))
	b.Set("length", sheet.TextOf("4 ft"))
	want.Blocks = append(want.Blocks, b)
	return f.settle(want)
}

// settle takes out what names pieces that are not laid yet, until the rest reads.
func (f *File) settle(want *sheet.Sheet) ([]byte, error) {
	for range len(want.Blocks) + 1 {
		text := sheet.Write(f.sheet, want)
		file, problems := Read("laid", text)
		if file != nil {
			return text, nil
		}
		// The blocks of the text are those of the sheet, the new ones last.
		now, slips := Parse("laid", text)
		if now == nil {
			return nil, slips
		}
		bad := map[string]bool{}
		for _, p := range problems {
			if !p.Warning && p.Block >= 0 && now.Blocks[p.Block].Kind != "run" {
				bad[blockKey(now.Blocks[p.Block])] = true
			}
		}
		before := len(want.Blocks)
		want.Blocks = slices.DeleteFunc(want.Blocks, func(b *sheet.Block) bool { return bad[blockKey(b)] })
		if len(want.Blocks) == before {
			return nil, fmt.Errorf("the part that is laid makes no layout of its own: %w", problems)
		}
	}
	return nil, fmt.Errorf("the part that is laid makes no layout of its own")
}

func blockKey(b *sheet.Block) string {
	key := b.Kind
	for _, l := range b.Labels {
		key += "\x00" + l.Text
	}
	return key
}

// layRun cuts a run to its pieces that are laid, and leaves open what is not closed
// yet; false where none is laid.
func (f *File) layRun(b *sheet.Block, last, fresh int) bool {
	i := slices.IndexFunc(f.Layout.Runs, func(r track.Run) bool { return r.Name == strings.TrimSpace(b.Label()) })
	if i < 0 {
		return false // a run without pieces: a joint that is closed at the end
	}
	laid, all := 0, f.Layout.Runs[i].Pieces
	for _, p := range all {
		if p <= last {
			laid++
		}
	}
	if laid == 0 {
		return false
	}
	if laid < len(all) || slices.Max(all) >= fresh {
		b.Attrs = slices.DeleteFunc(b.Attrs, func(a sheet.Attr) bool { return a.Name == "closes" || a.Name == "to" })
	}
	if laid == len(all) {
		return true
	}
	var rows []sheet.Row
	left := laid
	for _, row := range b.Rows {
		if strings.Contains(" "+row.Text+" ", " again ") { // laid by the run that crossed it first
			rows = append(rows, row)
			continue
		}
		if left == 0 {
			break
		}
		row.Count = min(row.Count, left)
		left -= row.Count
		rows = append(rows, row)
	}
	b.Rows = rows
	return true
}

// laidName names an end as it is called while only some pieces are laid.
func (f *File) laidName(at track.EndRef, last int) string {
	p := &f.Layout.Pieces[at.Piece]
	if j := p.Ends[at.End].Joint; j >= 0 {
		q := &f.Layout.Joints[j]
		if max(q.A.Piece, q.B.Piece) <= last {
			return f.Layout.SideName(at)
		}
	}
	return p.ID() + "/" + p.Ends[at.End].Label
}
