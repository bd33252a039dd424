package course

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Board lists the pieces that a board would have that ended where the cursor stands: those
// behind it, back to the board before or to the start of the run.
func (things Things) Board() ([]Piece, error) {
	s := &things.c.now
	taken := map[int]bool{}
	for i := range s.Things {
		if t := &s.Things[i]; t.Kind == "module" {
			if run, at := s.covered(t); run == s.Run {
				for _, k := range at {
					taken[k] = true
				}
			}
		}
	}
	r, from := &s.Runs[s.Run], s.At
	for from > 0 && !taken[from-1] {
		from--
	}
	own := slices.DeleteFunc(slices.Clone(r.Pieces[from:s.At]), func(p Piece) bool { return p.Words.Again != "" })
	if len(own) == 0 {
		return nil, errors.New("no piece lies behind you that is on no board yet: walk to the last piece of the board")
	}
	return own, nil
}

// EndBoard ends a board of a portable layout at the cursor. A name that a board has
// makes it a further stretch of that board.
func (things Things) EndBoard(name string) error {
	own, err := things.Board()
	if err != nil {
		return err
	}
	name = strings.TrimSpace(name)
	return things.c.change("board "+name, func(s *State) error {
		fields := []Field{placeField("from", Anchor{Piece: own[0].ID}),
			placeField("to", Anchor{Piece: own[len(own)-1].ID})}
		label := name
		if slices.Contains(s.labels("module"), name) {
			for n := 2; slices.Contains(s.labels("module"), label); n++ {
				label = name + ", " + strconv.Itoa(n)
			}
			fields = append(fields, textField("board", s.boardOf(name)))
		}
		label, err := things.label(s, "module", label)
		if err != nil {
			return err
		}
		things.add(s, Thing{Kind: "module", Label: Ref{Text: label}, Fields: fields})
		return nil
	})
}

// boardOf is the board that a module's stretch is of.
func (s *State) boardOf(name string) string {
	for i := range s.Things {
		if t := &s.Things[i]; t.Kind == "module" && t.Label.Text == name && t.said("board") != "" {
			return t.said("board")
		}
	}
	return name
}

// NextBoard is the name that is proposed for a board.
func (things Things) NextBoard() string {
	taken := things.c.now.labels("module")
	for n := 1; ; n++ {
		if name := fmt.Sprintf("board %d", n); !slices.Contains(taken, name) {
			return name
		}
	}
}
