package main

import (
	"encoding/json"
	"fmt"

	"fishplate/diagnose/hunt"
)

// jsonEvidence is one reading taken, for programs.
type jsonEvidence struct {
	N        int     `json:"n"`
	Meter    string  `json:"meter"`
	Red      string  `json:"red"`
	Black    string  `json:"black"`
	Reading  string  `json:"reading"`
	Expected string  `json:"expected"`
	Said     string  `json:"said"`
	Bits     float64 `json:"bits"`
	Before   int     `json:"before"`
	After    int     `json:"after"`
	Odd      bool    `json:"odd"`
}

// shown answers an object that asks to see something and says nothing about
// the layout: the hunt is then as it was.
func (s *jsonSession) shown(m map[string]json.RawMessage) (answered bool, err error) {
	if len(m) != 1 {
		return false, nil
	}
	if value, ok := m["without"]; ok {
		return true, s.without(value)
	}
	value, ok := m["show"]
	if !ok {
		return false, nil
	}
	what := ""
	if json.Unmarshal(value, &what) == nil {
		v := s.hunt.View()
		switch what {
		case "evidence":
			v = s.hunt.Told()
			return true, s.evidence(&v)
		case "suspects":
			return true, s.suspects(&v, 0)
		case "step":
			return true, s.step()
		case "kit":
			return true, s.put(s.kitNow())
		}
	}
	return true, s.refuse(fmt.Errorf(`show is "evidence", "suspects", "step" or "kit"; write for example %s`,
		jsonKeys["show"]))
}

func (s *jsonSession) evidence(v *hunt.View) error {
	rows := []jsonEvidence{}
	for i := range v.Evidence {
		e := &v.Evidence[i]
		rows = append(rows, jsonEvidence{e.N, e.Ask.Meter, e.Ask.Red, e.Ask.Black, e.Reading, e.Expected, e.Said,
			e.Bits, e.Before, e.After, e.Odd})
	}
	return s.put(struct {
		Type     string         `json:"type"`
		Evidence []jsonEvidence `json:"evidence"`
	}{"evidence", rows})
}

func (s *jsonSession) suspects(v *hunt.View, without int) error {
	return s.put(struct {
		Type     string           `json:"type"`
		Without  int              `json:"without,omitempty"`
		Pieces   []hunt.Candidate `json:"pieces"`
		NotOnMap float64          `json:"not_on_map"`
		Hold95   int              `json:"hold95"`
	}{"suspects", without, list(v.Ranked), v.NotOnMap, v.Hidden95})
}

// without says what would be believed without one reading.
func (s *jsonSession) without(value json.RawMessage) error {
	n := 0
	if json.Unmarshal(value, &n) != nil {
		return s.refuse(fmt.Errorf("without is not written like this; write for example %s", jsonKeys["without"]))
	}
	v, err := s.hunt.Without(n)
	if err != nil {
		return s.refuse(err)
	}
	return s.suspects(&v, n)
}
