package drill

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/outside"
	"fishplate/diagnose/track"
)

// saved is a drill on disk. What is hidden stands in Sealed and nowhere else.
type saved struct {
	Format  int          `json:"fishplate_drill"`
	Layout  string       `json:"layout"`
	Print   string       `json:"fingerprint"` // of what can fail on the layout
	Options Options      `json:"options"`
	Symptom hunt.Symptom `json:"symptom"`
	Salt    []byte       `json:"salt"`
	Sealed  []byte       `json:"sealed"` // see seal.go
	Acts    []Act        `json:"acts"`
}

const saveFormat = 1

// Save gives the drill as JSON, for Resume. The hidden fault is in it sealed;
// salt is 16 random bytes, the same for every save of one drill or not.
func (d *Drill) Save(salt [16]byte) ([]byte, error) {
	s := saved{Format: saveFormat, Layout: d.layout.Name, Print: fmt.Sprintf("%016x", Fingerprint(d.n)), Options: d.o,
		Symptom: d.symptom, Salt: salt[:], Acts: []Act{}}
	for _, e := range d.log {
		s.Acts = append(s.Acts, e.Act)
	}
	var err error
	if s.Sealed, err = seal(d.world.truth, s.Salt, s.Print); err != nil {
		return nil, err
	}
	return json.MarshalIndent(s, "", " ")
}

// Salt draws the salt of a save from a generator.
func Salt(rng *rand.Rand) (salt [16]byte) {
	for i := range salt {
		salt[i] = byte(rng.Uint32())
	}
	return salt
}

// Resume takes up a saved drill on the layout that it was begun on, and does
// its acts again.
func Resume(l *track.Layout, data []byte) (*Drill, error) {
	var s saved
	if err := outside.Drill.Decode(data, &s); err != nil {
		return nil, fmt.Errorf("this is not a saved drill: %w", err)
	}
	if s.Format != saveFormat {
		return nil, fmt.Errorf("this is not a saved drill that this version knows")
	}
	if err := s.check(); err != nil {
		return nil, fmt.Errorf("this saved drill is damaged: %w", err)
	}
	if s.Options.Class > 0 {
		l = forClass(l)
	}
	n, err := conductor.Build(l)
	if err != nil {
		return nil, err
	}
	if print := fmt.Sprintf("%016x", Fingerprint(n)); print != s.Print {
		return nil, fmt.Errorf("this drill was begun on the layout %q, and this is another one or has changed since: "+
			"name that layout, or begin a new drill", s.Layout)
	}
	if len(n.Posts) == 0 || len(l.Feeders) == 0 {
		return nil, fmt.Errorf("this layout has no supply or no feeder")
	}
	t, err := unseal(s.Sealed, s.Salt, s.Print)
	if err != nil {
		return nil, err
	}
	d := start(l, n, s.Options, t, s.Symptom)
	for i, a := range s.Acts {
		if _, err := d.Do(a); err != nil {
			return nil, fmt.Errorf("this saved drill is damaged: act %d: %w", i+1, err)
		}
	}
	return d, nil
}

// mostActs is far more than anyone does in one drill.
const mostActs = 3000

// check refuses what no drill can have written: what is told of the fault, and
// what lies on the table, stand outside the seal.
func (s *saved) check() error {
	if len(s.Acts) > mostActs {
		return fmt.Errorf("it has %d acts; the limit is %d", len(s.Acts), mostActs)
	}
	if !slices.Contains(hunt.Symptoms(), s.Symptom.Kind) {
		return fmt.Errorf("%q is no symptom", outside.Line(string(s.Symptom.Kind)))
	}
	if m := s.Options.Minutes; m != 0 && !slices.Contains(Lengths, m) {
		return fmt.Errorf("there is no drill of %d minutes", m)
	}
	if o := &s.Options; o.Fault != "" && !slices.Contains(Kinds, o.Fault) ||
		!slices.Contains(Difficulties, o.Difficulty) && o.Difficulty != "" {
		return fmt.Errorf("there is no such kind of drill: %q, %q", outside.Line(o.Fault), outside.Line(o.Difficulty))
	}
	return s.Options.Kit.Check()
}

// SavedOptions gives the options of a saved drill, the lesson among them,
// without unsealing it.
func SavedOptions(data []byte) (o Options, err error) {
	var s saved
	if err := outside.Drill.Decode(data, &s); err != nil || s.Format != saveFormat {
		return o, fmt.Errorf("this is not a saved drill that this version knows")
	}
	return s.Options, nil
}

// SavedSalt gives the salt of a saved drill, false where it has none.
func SavedSalt(data []byte) (salt [16]byte, ok bool) {
	var s saved
	if err := outside.Drill.Decode(data, &s); err != nil || len(s.Salt) != len(salt) {
		return salt, false
	}
	return [16]byte(s.Salt), true
}
