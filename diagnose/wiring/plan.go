// Package wiring is the record of a layout's wires: each pair with its length,
// size and what stands before it, a label for both of its ends, what hangs on
// every terminal, what to buy, and the feeders that keep the volts at the far end.
// It takes a checked layout for granted. It is pure.
package wiring

import (
	"fmt"

	"fishplate/diagnose/check"
	"fishplate/diagnose/track"
)

// Plan is the wiring of a layout.
type Plan struct {
	Layout    string     `json:"layout"`
	Wires     []Wire     `json:"wires"`
	Terminals []Terminal `json:"terminals"`
	Gaps      []Gap      `json:"insulated_joints"`
	Buy       []Item     `json:"buy"`
	Drops     []Drop     `json:"drops"`
	// Unsolved are supplies whose volts mean nothing: shorted by design, or joined.
	Unsolved []string `json:"unsolved"`
}

// Options is what the user may state.
type Options struct {
	// TrainAmps is the current of the train, put on each piece in turn; 0 as check
	// has it.
	TrainAmps float64
	// Drop is the most volts that may stay in wires, joints and rails under that
	// train; 0 takes Share of the supply's volts.
	Drop float64
}

// Share is the part of a supply's volts that may be lost where nothing is said:
// 5 %, often quoted, source not named, and nobody says why.
const Share = 0.05

// Make writes the wiring of a layout down, and looks for the feeders that hold
// the wanted volts.
func Make(l *track.Layout, o Options) (*Plan, error) {
	r, err := check.Run(l, check.Options{TrainAmps: o.TrainAmps})
	if err != nil {
		return nil, err
	}
	p := &Plan{Layout: l.Name, Wires: wires(l), Terminals: terminals(l), Gaps: gaps(l), Unsolved: r.Unsolved}
	p.Buy = buy(p)
	for i := range r.Volts {
		d, err := design(l, o, &r.Volts[i])
		if err != nil {
			return nil, fmt.Errorf("could not work out the feeders of %s: %w", r.Volts[i].Supply, err)
		}
		p.Drops = append(p.Drops, d)
	}
	return p, nil
}
