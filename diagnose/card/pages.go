package card

import "unicode/utf8"

// The page as sheet.html sets it, for the worse of A4 (narrow) and letter
// (short): lines in a column, characters in a line, and what frames, borders
// and gaps take, in lines. Letters are taken as wide as those of the widest
// common sans-serif face, 0.6 of their size.
const (
	columnLines = 93.0
	lineChars   = 69
	boldChars   = 61
	frameLines  = 0.9
	rowLines    = 0.06
	mapLines    = 9.5 // the map of boxes
	aboutChars  = 132 // the lines above the columns
)

// Pages is how many pages the HTML takes on paper, at most. It packs the boxes
// into columns as a browser does: none is broken.
func (s *Sheet) Pages() int {
	top := 3.0
	for _, p := range s.About {
		top += rowsOf(p, aboutChars)
	}
	blocks := []float64{listLines(s.Before) + float64(len(s.Lamp)) + mapLines + 1 + frameLines}
	for i := range s.Boxes {
		blocks = append(blocks, s.Boxes[i].lines(s.Off))
	}
	blocks = append(blocks, listLines(s.Notes)+2+frameLines, listLines(s.After)+1+frameLines)
	columns, used := 1, 0.0
	for _, b := range blocks {
		room := columnLines
		if columns <= 2 {
			room -= top
		}
		if used > 0 && used+b > room {
			columns, used = columns+1, 0
		}
		used += b
	}
	return (columns + 1) / 2
}

// rowsOf is how many lines a text takes.
func rowsOf(text string, chars int) float64 {
	n := utf8.RuneCountInString(text)
	return float64((n + chars - 1) / chars)
}

func listLines(list []string) float64 {
	sum := 0.0
	for _, x := range list {
		sum += rowsOf(x, lineChars-4) + 0.1
	}
	return sum
}

// lines is how tall a box is.
func (b *SheetBox) lines(off string) float64 {
	sum := 2 + frameLines // its head and the line to write on
	for _, c := range b.Cautions {
		sum += rowsOf(c, boldChars)
	}
	sum += listLines(b.Steps)
	if b.State != "" {
		sum += rowsOf("Meanwhile "+b.State, lineChars)
	}
	sum += rowsOf(b.Dial, lineChars) + rowsOf("Red: "+b.Red, lineChars) + rowsOf("Black: "+b.Black, lineChars)
	wide := 0
	for _, r := range b.Rows {
		wide = max(wide, utf8.RuneCountInString(r.Shows)+2)
	}
	for _, r := range b.Rows {
		n := 1.0
		if r.List != "" {
			n = rowsOf(off+", look at "+r.List, lineChars-wide-2)
		}
		sum += n + rowLines
	}
	return sum
}
