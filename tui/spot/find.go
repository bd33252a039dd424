package spot

import (
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

// landmark finds the only landmark that begins so.
func landmark(l *track.Layout, low string) (track.Place, bool) {
	at, found := track.Place{Piece: -1, End: -1}, false
	for _, m := range l.Landmarks {
		if low == "" || !strings.HasPrefix(strings.ToLower(m.Name), low) {
			continue
		}
		if found {
			return track.Place{Piece: -1, End: -1}, false
		}
		at, found = m.At, true
	}
	return at, found
}
