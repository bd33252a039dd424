package spot

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fishplate/diagnose/track"
)

// Find reads what someone types for a place: a name in full ("main 12", "W1",
// "main 12/13"), a bare number for a piece or joint of the first run ("12",
// "12/13"), a run's number and a piece's ("2.3": the third of the second run,
// all on the number pad), a feeder, or how a landmark begins. Upper and lower
// case are the same.
func Find(l *track.Layout, typed string) (track.Place, bool) {
	s := strings.Join(strings.Fields(typed), " ")
	if s == "" {
		return track.Place{Piece: -1, End: -1}, false
	}
	if at, ok := FindPlace(l, s); ok {
		return at, true
	}
	if full, ok := numbered(l, s); ok {
		return FindPlace(l, full)
	}
	low := strings.ToLower(s)
	for i := range l.Pieces {
		p := &l.Pieces[i]
		if strings.ToLower(p.ID()) == low || (p.Name != "" && strings.ToLower(p.Name) == low) {
			return track.Place{Piece: i, End: -1}, true
		}
	}
	for i := range l.Feeders {
		if strings.ToLower(l.Feeders[i].Name) == low {
			return l.Feeders[i].At, true
		}
	}
	for _, r := range l.Runs { // "MAIN 12/13"
		if rest, ok := strings.CutPrefix(low, strings.ToLower(r.Name)+" "); ok && r.Name != "" {
			return FindPlace(l, r.Name+" "+rest)
		}
	}
	return landmark(l, strings.TrimPrefix(low, "the "))
}

// numbered turns "12" and "2.12" into a full name.
func numbered(l *track.Layout, s string) (string, bool) {
	run, rest := 1, s
	if i := strings.IndexAny(s, ".,"); i >= 0 {
		n, err := strconv.Atoi(s[:i])
		if err != nil {
			return "", false
		}
		run, rest = n, s[i+1:]
	}
	if run < 1 || run > len(l.Runs) || rest == "" {
		return "", false
	}
	for _, c := range rest {
		if c != '/' && (c < '0' || c > '9') {
			return "", false
		}
	}
	return l.Runs[run-1].Name + " " + rest, true
}

// landmark finds the only landmark that is meant.
func landmark(l *track.Layout, low string) (track.Place, bool) {
	if found := called(l, low); len(found) == 1 {
		return found[0].At, true
	}
	return track.Place{Piece: -1, End: -1}, false
}

// called lists the landmarks that begin so; where none does, those whose names hold
// every word.
func called(l *track.Layout, low string) []track.Landmark {
	words := strings.FieldsFunc(low, func(r rune) bool { return r == ' ' || r == ',' })
	for len(words) > 1 && slices.Contains([]string{"by", "at", "near", "in", "the"}, words[0]) {
		low, words = strings.TrimSpace(strings.TrimPrefix(low, words[0])), words[1:]
	}
	if len(words) == 0 {
		return nil
	}
	var begin, hold []track.Landmark
	for _, m := range l.Landmarks {
		name := strings.ToLower(m.Name)
		if strings.HasPrefix(name, low) {
			begin = append(begin, m)
		}
		own := strings.FieldsFunc(name, func(r rune) bool { return r == ' ' || r == ',' })
		if !slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(own, w) }) {
			hold = append(hold, m)
		}
	}
	if len(begin) > 0 {
		return begin
	}
	return hold
}

// Missing says why no place is found by what was typed, and what to type.
func Missing(l *track.Layout, typed string) string {
	low := strings.ToLower(strings.Join(strings.Fields(typed), " "))
	if low == "" {
		return "Name a piece or a joint."
	}
	if found := called(l, low); len(found) > 1 {
		return fmt.Sprintf("There is more than one %s: %s.", typed, strings.Join(landmarks(l, found), "; "))
	}
	for i := range l.Runs {
		r := &l.Runs[i]
		name, n := strings.ToLower(r.Name), len(r.Pieces)
		rest, ok := strings.CutPrefix(low, name+" ")
		switch number, err := strconv.Atoi(rest); {
		case low == name:
			return fmt.Sprintf("%s has the pieces 1 to %d: name one, as in %s.", r.Name, n,
				l.Pieces[r.Pieces[n/2]].ID())
		case ok && err == nil:
			return fmt.Sprintf("There is no %s %d: the run has %s.", r.Name, number, pieces(n))
		}
	}
	return fmt.Sprintf("There is no piece or joint %q on this layout.", typed)
}

func pieces(n int) string {
	if n == 1 {
		return "1 piece"
	}
	return strconv.Itoa(n) + " pieces"
}

// Names lists what a place can be called: runs with their pieces, named pieces and
// landmarks, a line each.
func Names(l *track.Layout) []string {
	var runs, named []string
	for i := range l.Runs {
		if r := &l.Runs[i]; len(r.Pieces) > 0 {
			runs = append(runs, l.RowName(r.Pieces[0], r.Pieces[len(r.Pieces)-1]))
		}
	}
	for i := range l.Pieces {
		if p := &l.Pieces[i]; p.Name != "" && p.Name != p.ID() {
			named = append(named, title(l, i))
		}
	}
	var out []string
	for _, x := range []struct {
		what string
		list []string
	}{{"Pieces", runs}, {"Names", named}, {"Landmarks", landmarks(l, l.Landmarks)}} {
		if len(x.list) > 0 {
			out = append(out, x.what+": "+strings.Join(x.list, "; ")+".")
		}
	}
	return out
}

// landmarks names landmarks with where they stand.
func landmarks(l *track.Layout, list []track.Landmark) []string {
	var out []string
	for _, m := range list {
		out = append(out, m.Name+" ("+l.PlaceName(m.At)+")")
	}
	return out
}
