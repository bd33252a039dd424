package rival

import (
	"fmt"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
)

// Halving hunts with a beeper alone, in the way that every book teaches: cut
// what is left in two, ask which part is bad, and go on there. A part that is a
// loop is cut in two places at once. A break is hunted along the way from the
// supply to the place that is dead. It knows no odds and no resistances. Weak
// contacts are out of its reach: a beeper sounds through them.
func Halving(d *drill.Drill) Result {
	if !d.Options().Kit.Beeper {
		return Result{Name: "halving", Why: "there is no beeper on the table"}
	}
	if d.Symptom().Sometimes {
		return Result{Name: "halving", Why: "halving trusts every beep, and this fault is away now and then"}
	}
	t := d.Twin(streamHalving)
	h := &halving{own: own{t: t}, l: t.Layout(), looked: map[string]bool{}}
	var err error
	switch kind := d.Symptom().Kind; {
	case kind == hunt.SymptomShort:
		err = h.short()
	case kind == hunt.SymptomDead:
		err = h.dead(d.Symptom().At)
	case kind == hunt.SymptomShortTrain:
		return Result{Name: "halving", Why: "the short goes with the train: there is nothing to halve"}
	case kind == hunt.SymptomPhase:
		return Result{Name: "halving", Why: "a beeper does not tell one phase from the other"}
	case kind.OfAccessory():
		return Result{Name: "halving", Why: "plain halving is for the track, not for an accessory's wires"}
	default:
		return Result{Name: "halving", Why: "a beeper sounds through a weak contact: halving with it finds none"}
	}
	return finish("halving", t, err)
}

type halving struct {
	own
	l      *track.Layout
	looked map[string]bool
}

// beep reads the beeper; black may be empty (the two rails at a place).
func (h *halving) beep(red, black string) (bool, error) {
	e, err := h.t.Do(drill.Act{Do: drill.DoRead, Meter: "beeper", Red: red, Black: black})
	if err != nil {
		return false, err
	}
	if e.Stopped != "" {
		return false, fmt.Errorf("reading: %s", e.Stopped)
	}
	return e.Shows == "beep", nil
}

// try accuses names in order, each once, until one is found.
func (h *halving) try(names ...string) (found bool, err error) {
	for _, n := range names {
		if over, _ := h.t.Over(); over || h.looked[n] {
			continue
		}
		h.looked[n] = true
		if err := h.accuse(n); err != nil {
			return false, err
		}
		if log := h.t.Log(); log[len(log)-1].Found != "" {
			return true, nil
		}
	}
	return false, nil
}

// short repeats until nothing is shorted any more: there may be two.
func (h *halving) short() error {
	if err := h.clear(); err != nil {
		return err
	}
	for range 3 {
		on, err := h.atSupplies()
		if err != nil {
			return err
		}
		if !on {
			_, err := h.try(append([]string{drill.OffTrack}, h.accessories()...)...)
			return err
		}
		if err := h.oneShort(); err != nil {
			return err
		}
		if over, _ := h.t.Over(); over {
			return nil
		}
		if err := h.together(); err != nil {
			return err
		}
		h.looked = map[string]bool{}
	}
	return nil
}

// clear takes off what a beeper would sound through: trains, and accessories,
// whose lamps and coils are a few ohm when cold.
func (h *halving) clear() error {
	if err := h.do(drill.Act{Do: drill.DoTrain, To: drill.Off}); err != nil {
		return err
	}
	for _, name := range h.accessories() {
		if err := h.do(drill.Act{Do: drill.DoPull, At: name}); err != nil {
			return err
		}
	}
	return nil
}

// accessories are the names of all accessories.
func (h *halving) accessories() []string {
	var out []string
	for i := range h.l.Accessories {
		out = append(out, h.l.Accessories[i].Name)
	}
	return out
}

// atSupplies asks at the posts of each supply.
func (h *halving) atSupplies() (bool, error) {
	for i := range h.l.Supplies {
		if on, err := h.beep(h.l.Supplies[i].Name, ""); on || err != nil {
			return on, err
		}
	}
	return false, nil
}

// together closes all joints and puts all feeders back.
func (h *halving) together() error {
	out := hunt.Setup{Unplugged: h.accessories()}
	for _, i := range h.l.UsuallyOff() {
		out.Off = append(out.Off, h.l.Toggles[i].Name)
	}
	for _, a := range h.hands(&out) {
		if err := h.do(a); err != nil {
			return err
		}
	}
	return nil
}

func (h *halving) oneShort() error {
	if len(h.l.Feeders) > 1 { // feeders join what the cuts part
		for i := range h.l.Feeders {
			if err := h.do(drill.Act{Do: drill.DoPull, At: h.l.Feeders[i].Name}); err != nil {
				return err
			}
		}
	}
	region, err := h.island()
	if err != nil {
		return err
	}
	for len(region) > 1 {
		part, cut := halve(h.l, region)
		if part == nil {
			break
		}
		for _, j := range cut {
			if err := h.do(drill.Act{Do: drill.DoLift, At: h.l.Joints[j].Name}); err != nil {
				return err
			}
		}
		on, err := h.inPart(part)
		if err != nil {
			return err
		}
		if on {
			region = part
		} else {
			region = minus(region, part)
		}
	}
	return h.lookAround(region)
}

// inPart asks a part of the track: from the hot rail to every rail that some
// feeder takes as common, until one sounds. Three separate rails have two.
func (h *halving) inPart(part []int) (bool, error) {
	n, at := h.t.Network(), spot(h, part)
	c := h.l.Pieces[at].Construction
	asked := map[int]bool{}
	for _, rail := range append([]track.Rail{c.Common}, h.commons()...) {
		hot, common := n.Middle(at, c.Hot), n.Middle(at, rail)
		if rail == c.Common {
			hot, common = drill.Across(n, at)
		}
		if hot < 0 || common < 0 || asked[n.NodeOf(common)] || n.NodeOf(hot) == n.NodeOf(common) {
			continue
		}
		asked[n.NodeOf(common)] = true
		if on, err := h.beep(n.Points[hot].Name, n.Points[common].Name); on || err != nil {
			return on, err
		}
	}
	return false, nil
}

// commons are the rails that feeders take as common, in the order of feeders.
func (h *halving) commons() []track.Rail {
	var out []track.Rail
	for i := range h.l.Feeders {
		out = append(out, h.l.Feeders[i].Common)
	}
	return out
}

// spot is a piece of a part where both rails can be touched.
func spot(h *halving, part []int) int {
	for _, p := range part {
		if hot, common := drill.Across(h.t.Network(), p); hot >= 0 && common >= 0 {
			return p
		}
	}
	return part[0]
}

// island asks each part of the track that insulated joints keep apart.
func (h *halving) island() ([]int, error) {
	all := make([]int, len(h.l.Pieces))
	for i := range all {
		all[i] = i
	}
	parts := components(h.l, all, nil)
	for k, part := range parts {
		if k == len(parts)-1 {
			return part, nil
		}
		on, err := h.inPart(part)
		if err != nil || on {
			return part, err
		}
	}
	return nil, nil
}

// lookAround looks at the pieces left, at the feeders there, and at the
// neighbours: what bridges a joint may be seen from the other side only.
func (h *halving) lookAround(region []int) error {
	var names, feeders []string
	in := map[int]bool{}
	for _, p := range region {
		in[p] = true
		names = append(names, h.l.Pieces[p].ID())
	}
	for i := range h.l.Feeders {
		if in[h.l.Feeders[i].At.Piece] {
			feeders = append(feeders, h.l.Feeders[i].Name)
		}
	}
	names = append(names, feeders...)
	for _, j := range h.l.Joints {
		if in[j.A.Piece] != in[j.B.Piece] {
			names = append(names, h.l.Pieces[j.A.Piece].ID(), h.l.Pieces[j.B.Piece].ID())
		}
	}
	_, err := h.try(names...)
	return err
}
