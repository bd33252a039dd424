package quiz

import (
	"encoding/json"
	"fmt"
	"maps"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/outside"
	"fishplate/diagnose/track"
)

// saved is a quiz on disk: the drill with what was done, its fault sealed, and what the
// class has called and won.
type saved struct {
	Drill  json.RawMessage `json:"drill"`
	Points map[string]int  `json:"points,omitempty"`
	Calls  []savedCall     `json:"calls,omitempty"`
}

type savedCall struct {
	Who string    `json:"who,omitempty"`
	Act drill.Act `json:"act"`
}

// Save gives the quiz as JSON, for Resume.
func (q *Quiz) Save() ([]byte, error) {
	data, err := q.s.Save()
	if err != nil {
		return nil, err
	}
	s := saved{Drill: data, Points: q.points}
	for i, a := range q.acts {
		s.Calls = append(s.Calls, savedCall{q.calls[i].Who, a})
	}
	return json.Marshal(s)
}

// Resume goes on with a quiz on the layout that it was begun on.
func Resume(l *track.Layout, data []byte, salt [16]byte) (*Quiz, error) {
	var s saved
	if err := outside.Drill.Decode(data, &s); err != nil {
		return nil, fmt.Errorf("this is not a saved quiz: %w", err)
	}
	d, err := drill.Resume(l, s.Drill)
	if err != nil {
		return nil, err
	}
	if len(s.Calls) > Most {
		return nil, fmt.Errorf("this saved quiz is damaged: %d calls; the most are %d", len(s.Calls), Most)
	}
	q := New(sitting.New(d, coach.Silent, nil, salt))
	maps.Copy(q.points, s.Points)
	for _, was := range s.Calls {
		c, err := q.weigh(was.Act)
		if err != nil {
			return nil, fmt.Errorf("this saved quiz is damaged: %w", err)
		}
		c.Who = was.Who
		q.calls, q.acts = append(q.calls, c), append(q.acts, was.Act)
	}
	return q, nil
}

// Begun says that something was called or done already.
func (q *Quiz) Begun() bool { return len(q.calls) > 0 || len(q.s.Drill.Log()) > 0 }
