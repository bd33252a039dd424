package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"fishplate/diagnose/piece"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// passed is written into a piece's history.
const passed = "bench check passed"

// box is a box of pieces taken through the bench, one after the other.
type box struct {
	w      *world
	in     *lines
	name   string // the layout's file
	layout *track.Layout
	beeper bool
	passed int
	aside  []string
	ticks  *ticks // who was put aside before
}

// boxOf is the box of a layout's pieces, with who was put aside before.
func boxOf(w *world, src *source) (*box, error) {
	kept, err := readTicks(src.name)
	return &box{w: w, name: src.name, layout: src.layout, ticks: kept}, err
}

// testBox asks for each piece of a layout what was wrong with it, and keeps each
// pass in the layout's file at once.
func (w benching) testBox(words []string, a *pieceArgs) int {
	if len(words) == 0 || words[0] == demoName || words[0] == stdinName {
		return w.usage("name the layout file that passes are written into", "fishplate piece test shelf.hcl")
	}
	s, err := w.load(words[0])
	if err != nil {
		return w.refused(err)
	}
	only, err := piecesOf(s.layout, words[1:])
	if err != nil {
		return w.usage(err.Error(), "")
	}
	lots, err := piece.Box(s.layout)
	if err != nil {
		return w.fail(err)
	}
	b, err := boxOf(w.world, s)
	if err != nil {
		return w.fail(err)
	}
	b.in, b.beeper = newLines(w.in), a.beeper
	if _, _, ok := w.terminal(); ok && !a.plain {
		s := &stay{w: w.world, look: a.look}
		return s.run(b.screens(s, lots, only))
	}
	start := paper{width: w.checkWidth()}
	for _, s := range piece.Before() {
		start.para("- ", s)
	}
	if code := w.print(start.String()); code != exitOK {
		return code
	}
	for i := range lots {
		more, err := b.lot(&lots[i], only)
		if err != nil {
			return w.fail(err)
		}
		if !more {
			break
		}
	}
	return b.end()
}

// piecesOf finds pieces by name; all of a layout where none is named.
func piecesOf(l *track.Layout, names []string) ([]int, error) {
	var out []int
	for _, n := range names {
		p := l.FindPiece(n)
		if p < 0 {
			return nil, fmt.Errorf("there is no piece %q on this layout; write it as \"main 7\" or by its own name", n)
		}
		out = append(out, p)
	}
	if len(names) == 0 {
		for i := range l.Pieces {
			out = append(out, i)
		}
	}
	return out, nil
}

// lot takes all pieces of a kind through; false when the user is done.
func (b *box) lot(lot *piece.Lot, only []int) (bool, error) {
	told := false
	for _, p := range lot.Pieces {
		if !slices.Contains(only, p) || b.hasPassed(p) {
			continue
		}
		if !told {
			told = true
			if err := b.sheet(lot); err != nil {
				return false, err
			}
		}
		more, err := b.one(lot, p)
		if !more || err != nil {
			return more, err
		}
	}
	return true, nil
}

// sheet shows how pieces of a kind are read.
func (b *box) sheet(lot *piece.Lot) error {
	page, err := lot.Page(b.layout, b.beeper, false)
	if err != nil {
		return err
	}
	text, err := b.w.sheet(page, "text", false)
	if err == nil && b.w.print(text) != exitOK {
		err = errors.New("the sheet could not be shown")
	}
	return err
}

func (b *box) hasPassed(p int) bool {
	for _, o := range b.layout.Odds {
		if o.Piece == p && strings.Contains(o.Why, passed) {
			return true
		}
	}
	return false
}

// one asks for a piece until there is an answer to it.
func (b *box) one(lot *piece.Lot, p int) (bool, error) {
	if says := b.ticks.aside(b.layout.Pieces[p].ID()); says != "" {
		b.w.say("", says)
	}
	for {
		b.w.print(fmt.Sprintf("\n%s: Enter = all as it must be; else the numbers of what was not (%d, %d); s = "+
			"later; q = stop\n",
			upper(piece.Loose(b.layout, p)), lot.Readings[0].N, lot.Readings[len(lot.Readings)-1].N))
		text, err := b.in.next()
		switch {
		case errors.Is(err, io.EOF):
			return false, nil
		case err != nil:
			return false, err
		case text == "":
			return true, b.pass(lot, p)
		case text == "q" || text == "quit":
			return false, nil
		case text == "s":
			return true, nil
		case text == "help" || text == "?":
			if err := b.sheet(lot); err != nil {
				return false, err
			}
			b.w.print(pieceHelp)
			continue
		}
		wrong, err := numbers(text, len(lot.Readings))
		if err != nil {
			b.w.print(err.Error() + "\n")
			continue
		}
		if err := b.putAside(p, wrong); err != nil {
			return false, err
		}
		return true, b.reject(lot, wrong)
	}
}

// pieceHelp says what can be typed.
const pieceHelp = `
Take each reading above on the piece in your hand. Then type:
  Enter alone   all readings were as they must be: the piece passes
  3, or 2-4     the numbers of those that were not: what is wrong with it is said
  s             leave this piece for later
  q             stop; what passed is kept
`

// putAside keeps that a piece was not as it must be.
func (b *box) putAside(p int, wrong []int) error {
	id := b.layout.Pieces[p].ID()
	b.aside = append(b.aside, id)
	return b.ticks.putAside(b.name, id, wrong)
}

// numbers reads "8, 16" or "8 16" or "3-5".
func numbers(text string, most int) ([]int, error) {
	var out []int
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' }) {
		from, to, span := strings.Cut(word, "-")
		a, err := strconv.Atoi(from)
		z := a
		if span && err == nil {
			z, err = strconv.Atoi(to)
		}
		if err != nil || a < 1 || z > most || z < a {
			return nil, fmt.Errorf("%q is no reading of this piece: write numbers from 1 to %d, as 3 or 2-4", word,
				most)
		}
		for n := a; n <= z; n++ {
			out = append(out, n)
		}
	}
	slices.Sort(out)
	if out = slices.Compact(out); len(out) == 0 {
		return nil, fmt.Errorf("write numbers from 1 to %d, as 3 or 2-4", most)
	}
	return out, nil
}

func (b *box) reject(lot *piece.Lot, wrong []int) error {
	mends, err := lot.Mends(wrong, b.beeper)
	if err != nil {
		return err
	}
	page := paper{width: b.w.checkWidth()}
	for _, n := range wrong {
		page.para("  ", lot.Says(n))
	}
	if len(mends) == 0 {
		page.para("  ", piece.Unexplained)
	}
	for i := range mends {
		page.para("  ", fmt.Sprintf("%.0f %%: %s", 100*mends[i].Odds, mends[i].Say()))
	}
	page.para("  ", piece.Aside)
	b.w.print(page.String())
	return nil
}

// pass writes a pass into the file as it is now: it may have been changed since.
func (b *box) pass(lot *piece.Lot, p int) error {
	says, err := b.keep(lot, p)
	if err == nil {
		b.w.print("  " + says + "\n")
	}
	return err
}

// keep keeps that a piece passed, and says what that makes of it.
func (b *box) keep(lot *piece.Lot, p int) (says string, err error) {
	odds, err := lot.Factor(b.beeper)
	if err != nil {
		return "", err
	}
	id := b.layout.Pieces[p].ID()
	if err := oneAtATime("layout", b.name, func() error { return b.write(id, odds) }); err != nil {
		return "", err
	}
	b.passed++
	if err := b.ticks.passes(b.name, id); err != nil {
		return "", err
	}
	return fmt.Sprintf("%s passed: odds %g in %s", id, odds, b.name), nil
}

// write puts a piece's odds into the file as it is now.
func (b *box) write(id string, odds float64) error {
	_, text, err := b.w.read(b.name)
	if err != nil {
		return err
	}
	file, problems := layoutfile.Read(b.name, text)
	if file == nil {
		return fmt.Errorf("%s has been changed, and cannot be read any more: %w", b.name, problems)
	}
	at := file.Layout.FindPiece(id)
	if at < 0 {
		return fmt.Errorf("%s has been changed: there is no %s any more", b.name, id)
	}
	return writeFile(b.name, file.WithHistory([]track.OddsFactor{{Piece: at, Factor: odds, Why: passed}}))
}

// end says what became of the box. Pieces put aside are no error.
func (b *box) end() int {
	return b.w.print("\n" + b.came() + "\n")
}

// came says what became of the box.
func (b *box) came() string {
	s := fmt.Sprintf("%d passed", b.passed)
	if len(b.aside) > 0 {
		s += "; put aside: " + strings.Join(b.aside, ", ")
	}
	return s + "."
}
