package layoutfile

import (
	"fmt"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/sheet"
)

// item is one text of a run's list of pieces, with its places.
type item struct {
	sheet.Words
	at, kindAt, nameAt sheet.Span
}

// hasPieces says that a run has a list of pieces, read or unread.
func hasPieces(b *block) bool { return len(b.Rows) > 0 || b.has("pieces") }

// readItems reads a run's pieces: as they are known already, else from their
// texts. False when some could not be read.
func (x runReader) readItems(n *run) bool {
	for i := range n.b.Rows {
		r := &n.b.Rows[i]
		it := item{Words: *r.Words, at: r.At, kindAt: r.At, nameAt: r.At}
		it.Count = r.Count
		x.take(n, it)
	}
	if len(n.b.Rows) > 0 {
		return true
	}
	list, ok := n.b.texts("pieces")
	for _, v := range list {
		it, good := x.readItem(v)
		ok = ok && good
		if good || it.Name != "" {
			x.take(n, it)
		}
	}
	return ok
}

// take adds an item to a run.
func (x runReader) take(n *run, it item) {
	n.items = append(n.items, it)
	if it.Again == "" {
		n.count += it.Count
	}
	if it.Name != "" && x.claim(it.Name, it.nameAt) {
		x.pieceByName[it.Name] = -1
	}
}

// readItem reads one text of a run's pieces; false when it has a mistake, which
// is answered.
func (x runReader) readItem(v *sheet.Value) (item, bool) {
	it := item{Words: sheet.Words{Count: 1}, at: v.At, kindAt: v.At, nameAt: v.At}
	if !x.plain(v) {
		return it, false
	}
	words, marks, slip := sheet.ReadPiece(v.Text, x.unit, x.stocks)
	it.Words = words
	it.kindAt = v.Part(marks.Kind)
	if words.Name != "" {
		it.nameAt = v.Part(marks.Name)
	}
	return it, !x.slip(v, slip)
}

// suits answers words of a piece that its construction makes empty.
func (x layer) suits(it *item, c *track.Construction) {
	switch {
	case c == nil:
	case it.Untied && len(c.Tied) == 0:
		x.fail(it.kindAt, fmt.Sprintf("no tie joins the rails of %s track, so untied has no meaning", c.Name),
			"take untied out")
	case it.Sensing && !c.HasRail(track.Center):
		x.fail(it.kindAt, fmt.Sprintf("%s track has no rails that sense a train", c.Name), "take sensing out")
	}
}
