package layoutfile

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/hashicorp/hcl/v2/hclsyntax"

	"fishplate/diagnose/track"
)

// Every edit changes the text, reads it again, and takes effect only when the
// result is a good layout: else the problems are given and the File stays as
// it was. Comments stay, except those inside a block that is taken out.

// apply replaces the text by another and reads it.
func (f *File) apply(src []byte) Problems {
	g, problems := Read(f.name, src)
	if g == nil {
		return problems
	}
	f.src, f.Layout = g.src, g.Layout
	return problems
}

func refusal(format string, args ...any) Problems {
	return Problems{{Summary: fmt.Sprintf(format, args...), Range: Range{1, 1, 1, 1}}}
}

// body is the syntax tree of the text as it stands.
func (f *File) body() *hclsyntax.Body { return newReader(f.src).parse(f.name) }

func (f *File) block(kind, label string) *hclsyntax.Block {
	for _, b := range f.body().Blocks {
		if b.Type == kind && len(b.Labels) == 1 && strings.TrimSpace(b.Labels[0]) == strings.TrimSpace(label) {
			return b
		}
	}
	return nil
}

// insert puts a new block behind the last one of its kind, or at the end.
func (f *File) insert(kind, text string) Problems {
	at := -1
	for _, b := range f.body().Blocks {
		if b.Type == kind {
			at = b.CloseBraceRange.End.Byte
		}
	}
	short := strings.Count(text, "\n") == 1
	if at < 0 {
		text, at = "\n"+text, len(f.src)
		if at > 0 && f.src[at-1] != '\n' {
			text = "\n" + text
		}
	} else {
		if !short {
			text = "\n" + text
		}
		if eol := bytes.IndexByte(f.src[at:], '\n'); eol >= 0 {
			at += eol + 1
		} else {
			text, at = "\n"+text, len(f.src)
		}
	}
	return f.apply(splice(f.src, at, at, f.newlines(text)))
}

// newlines gives text the line ends that the file has.
func (f *File) newlines(text string) string {
	if bytes.Contains(f.src, []byte("\r\n")) {
		return strings.ReplaceAll(text, "\n", "\r\n")
	}
	return text
}

func splice(src []byte, from, to int, text string) []byte {
	out := make([]byte, 0, len(src)+len(text))
	out = append(out, src[:from]...)
	out = append(out, text...)
	return append(out, src[to:]...)
}

// remove takes a block out, with its line when nothing else stands on it. A
// comment above it stays.
func (f *File) remove(kind, label string) Problems {
	b := f.block(kind, label)
	if b == nil {
		return refusal("there is no %s %q", kind, label)
	}
	from, to := b.TypeRange.Start.Byte, b.CloseBraceRange.End.Byte
	rest := to
	for rest < len(f.src) && strings.IndexByte(" \t\r", f.src[rest]) >= 0 {
		rest++
	}
	if rest < len(f.src) && f.src[rest] == '\n' {
		for from > 0 && strings.IndexByte(" \t", f.src[from-1]) >= 0 {
			from--
		}
		to = rest + 1
		if bytes.HasSuffix(f.src[:from], []byte("\n\n")) && (to == len(f.src) || f.src[to] == '\n') {
			from--
		}
	}
	return f.apply(splice(f.src, from, to, ""))
}

// set gives an attribute of a block (of the file itself when kind is empty) a
// new value. Only the value's own characters change; where the attribute is
// new, a line is added.
func (f *File) set(kind, label, attr, value string) Problems {
	body := f.body()
	var b *hclsyntax.Block
	if kind != "" {
		if b = f.block(kind, label); b == nil {
			return refusal("there is no %s %q", kind, label)
		}
		body = b.Body
	}
	if a := body.Attributes[attr]; a != nil {
		at := a.Expr.Range()
		return f.apply(splice(f.src, at.Start.Byte, at.End.Byte, f.newlines(value)))
	}
	if b == nil {
		end := body.Attributes["name"].Expr.Range().End.Byte // Read saw to it that there is one
		if eol := bytes.IndexByte(f.src[end:], '\n'); eol >= 0 {
			end += eol + 1
		}
		return f.apply(splice(f.src, end, end, f.newlines(attr+" = "+value+"\n")))
	}
	from, to := b.OpenBraceRange.End.Byte, b.CloseBraceRange.Start.Byte
	inside := strings.TrimRight(string(f.src[from:to]), " \t\r\n")
	if b.OpenBraceRange.Start.Line == b.CloseBraceRange.Start.Line && strings.TrimSpace(inside) != "" {
		inside = f.newlines("\n") + "  " + strings.TrimSpace(inside)
	}
	return f.apply(splice(f.src, from, to, inside+f.newlines("\n  "+attr+" = "+value+"\n")))
}

// SetName gives the layout another name.
func (f *File) SetName(name string) Problems { return f.set("", "", "name", quote(name)) }

// SetAbout says something else about the layout.
func (f *File) SetAbout(text string) Problems { return f.set("", "", "about", quote(text)) }

// AddRun adds a run behind the others.
func (f *File) AddRun(r RunLines) Problems { return f.insert("run", r.text()) }

// RemoveRun takes a run out. Whatever lies on it must go first.
func (f *File) RemoveRun(name string) Problems { return f.remove("run", name) }

// AddSupply adds a supply.
func (f *File) AddSupply(s SupplyLines) Problems { return f.insert("supply", s.text()) }

// RemoveSupply takes a supply out. Its feeders must go first.
func (f *File) RemoveSupply(name string) Problems { return f.remove("supply", name) }

// AddFeeder adds a feeder.
func (f *File) AddFeeder(l FeederLines) Problems { return f.insert("feeder", l.text()) }

// RemoveFeeder takes a feeder out.
func (f *File) RemoveFeeder(name string) Problems { return f.remove("feeder", name) }

// AddInsulated insulates rails at a joint. The rails are named as on the piece
// that the joint's name begins with.
func (f *File) AddInsulated(joint string, rails ...track.Rail) Problems {
	n := InsulatedLines{joint, rails}
	return f.insert("insulated", n.text())
}

// RemoveInsulated takes an insulated joint out, by the name it has in the
// file.
func (f *File) RemoveInsulated(joint string) Problems { return f.remove("insulated", joint) }

// AddLandmark adds something that a person can find on the table.
func (f *File) AddLandmark(name, at string) Problems {
	p := PlaceLines{name, at}
	return f.insert("landmark", p.text("landmark", "at"))
}

// RemoveLandmark takes a landmark out.
func (f *File) RemoveLandmark(name string) Problems { return f.remove("landmark", name) }

// AddHidden adds a stretch that is hard to reach.
func (f *File) AddHidden(h HiddenLines) Problems { return f.insert("hidden", h.text()) }

// RemoveHidden takes a hidden stretch out.
func (f *File) RemoveHidden(name string) Problems { return f.remove("hidden", name) }

// AddNote adds a remark about a piece.
func (f *File) AddNote(piece, text string) Problems {
	p := PlaceLines{piece, text}
	return f.insert("note", p.text("note", "text"))
}

// RemoveNote takes the first note about a piece out, by the name it has in
// the file.
func (f *File) RemoveNote(piece string) Problems { return f.remove("note", piece) }

// SetOdds gives a piece a history: how its odds of every fault compare with
// those of the construction, and why. A history that it has already is
// replaced, whichever of its names that one uses.
func (f *File) SetOdds(piece string, factor float64, why string) Problems {
	want := f.Layout.FindPiece(piece)
	if want < 0 {
		return refusal("there is no piece %q", piece)
	}
	for _, b := range f.body().Blocks {
		if b.Type != "history" || len(b.Labels) != 1 || f.Layout.FindPiece(strings.Join(strings.Fields(b.Labels[0]), " ")) != want {
			continue
		}
		old := b.Labels[0]
		before := *f
		if p := f.set("history", old, "odds", figure(factor)); p.Errors() {
			return p
		}
		p := f.set("history", old, "why", quote(why))
		if p.Errors() {
			*f = before
		}
		return p
	}
	h := HistoryLines{piece, factor, why}
	return f.insert("history", h.text())
}

// SetRunPieces replaces the pieces of a run. Pieces that stay keep the
// comments beside and above them; the comments of those that go stay as lines
// of their own.
func (f *File) SetRunPieces(run string, pieces []string) Problems {
	b := f.block("run", run)
	if b == nil {
		return refusal("there is no run %q", run)
	}
	a := b.Body.Attributes["pieces"]
	if a == nil {
		if len(pieces) == 0 {
			return nil
		}
		return f.set("run", run, "pieces", pieceList(pieces))
	}
	list := f.readList(a)
	at := a.Expr.Range()
	return f.apply(splice(f.src, at.Start.Byte, at.End.Byte, f.newlines(list.with(pieces))))
}
