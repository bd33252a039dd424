package stage

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/nodal"
	"fishplate/diagnose/piece"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Modules plans what is read while a portable layout is set up: the joints of each board
// to those that stand, in the order of the file, then the plugs of its feeders, and the
// supplies. It fails where the layout has no boards.
func Modules(l *track.Layout) (*Plan, error) {
	if len(l.Modules) == 0 {
		return nil, fmt.Errorf("%s has no modules: name its boards in the file, in the order of setting up, "+
			"each as a module with its first and last piece (fishplate help file)", l.Name)
	}
	m, err := newMaker(l)
	if err != nil {
		return nil, err
	}
	plan := &Plan{Portable: true}
	b := newBoards(m)
	for k := range l.Modules {
		if w := b.stop(k); w != nil {
			if len(plan.Wiring) == 0 {
				plan.First = b.first(k)
			}
			plan.Wiring = append(plan.Wiring, *w)
		}
	}
	m.portable = true
	plan.Wiring = append(plan.Wiring, m.wiring()...)
	for i := range plan.Wiring {
		for k := range plan.Wiring[i].Readings {
			plan.Wiring[i].Readings[k].kept = SetUp + plan.Wiring[i].Wires + ": "
		}
	}
	return plan, nil
}

// SetUp begins the key of every reading of a layout that is set up: it is taken anew each
// time, and not with what was read while the layout was built.
const SetUp = "set up: "

// boards is what stands of a portable layout.
type boards struct {
	m      *maker
	owner  []int // by piece: its module, -1 for none
	joined *nodal.Union
	apart  []int // joints between boards that are not joined yet
	sound  []float64
}

func newBoards(m *maker) *boards {
	b := &boards{m: m, owner: make([]int, len(m.l.Pieces)), joined: nodal.NewUnion(len(m.l.Pieces))}
	for p := range b.owner {
		b.owner[p] = -1
	}
	for k := range m.l.Modules {
		for _, p := range m.l.Modules[k].Pieces {
			b.owner[p] = k
		}
	}
	for j := range m.l.Joints {
		x, y := m.l.Joints[j].A.Piece, m.l.Joints[j].B.Piece
		if b.owner[x] == b.owner[y] {
			b.joined.Join(x, y)
		} else {
			b.apart = append(b.apart, j)
		}
	}
	for i := range m.n.Links {
		b.sound = append(b.sound, m.n.Links[i].Ohms)
	}
	return b
}

// plugsOut is the caution of all that is read between boards.
const plugsOut = "Every supply unplugged, and every plug between boards out: a live wire ruins the meter."

// stop is what is read as a board comes to those that stand; nil for the first.
func (b *boards) stop(k int) *Wire {
	l := b.m.l
	name := l.Modules[k].Name
	var now, late []int
	for _, j := range slices.Clone(b.apart) {
		x, y := l.Joints[j].A.Piece, l.Joints[j].B.Piece
		if max(b.owner[x], b.owner[y]) != k {
			continue
		}
		if b.joined.Find(x) == b.joined.Find(y) {
			late = append(late, j)
			continue
		}
		b.joined.Join(x, y)
		now = append(now, j)
	}
	if len(now)+len(late) == 0 {
		return nil
	}
	w := &Wire{Wires: name, Board: true, Caution: plugsOut, Piece: l.Modules[k].Pieces[0],
		Mend: "Look at the joint just read: no beep where one must be is a joiner or pin that is not home, bent or " +
			"dirty, or a wire at it that is off. " +
			"A beep between rails: draw the board back; if it still beeps, it is on the board, or on those that stand."}
	if len(now) > 0 {
		w.Do = append(w.Do, fmt.Sprintf("Two at a board: fingers clear of its edge. Push %s home at %s.", name,
			b.names(now)))
	}
	if len(late) > 0 {
		w.Do = append(w.Do, fmt.Sprintf(
			"Leave %s apart as yet, joiners pushed back: a ring hides an open joint from every beeper.",
			b.names(late)))
	}
	b.apart = slices.DeleteFunc(b.apart, func(j int) bool { return slices.Contains(now, j) })
	for _, j := range now {
		w.Readings = append(w.Readings, b.across(j, false)...)
	}
	b.closes(w, late)
	return w
}

// closes joins what makes rings, and reads there what a beep still tells: a rail that is cut
// elsewhere on its way round, and that hot and common stay apart.
func (b *boards) closes(w *Wire, late []int) {
	if len(late) == 0 {
		return
	}
	b.apart = slices.DeleteFunc(b.apart, func(j int) bool { return slices.Contains(late, j) })
	join := fmt.Sprintf("Now join %s as well.", b.names(late))
	var list []Reading
	for _, j := range late {
		list = append(list, b.across(j, true)...)
	}
	w.After = fmt.Sprintf("Look at every joiner at %s: a beep that comes round the ring does not tell whether it is "+
		"home. A health check does, for rails that a supply feeds, held against good evenings.", b.names(late))
	if len(list) == 0 {
		w.After = join + " " + w.After
		return
	}
	list[0].Do = join
	w.Readings = append(w.Readings, list...)
}

// first says what stands before board k comes: boards that join nothing as yet, and what is
// on no board.
func (b *boards) first(k int) string {
	var names []string
	var off []int
	for p, o := range b.owner {
		if o < 0 {
			off = append(off, p)
		}
	}
	if len(off) > 0 {
		names = append(names, "what is on no board ("+unit.And(b.m.l.RowNames(off))+")")
	}
	for i := range b.m.l.Modules[:k] {
		names = append(names, b.m.l.Modules[i].Name)
	}
	return "First put up " + unit.And(names) + ": nothing is read there yet."
}

func (b *boards) names(joints []int) string {
	var out []string
	for _, j := range joints {
		out = append(out, b.m.l.Joints[j].Name)
	}
	return strings.Join(out, ", ")
}

// bench is the boards as they stand, all plugs out, with a fault or none.
func (b *boards) bench(s *fault.Suspect) (*simulate.Bench, conductor.Setup) {
	set := conductor.Bare(b.m.l)
	set.UnplugAll(b.m.l)
	for i := range b.m.l.Feeders {
		set.Pull(i)
	}
	set.Lift(b.apart...)
	var bad []simulate.Fault
	if s != nil {
		bad = append(bad, simulate.Fault{Suspect: *s, Ohms: s.MaxOhms})
	}
	return simulate.NewBench(b.m.n, b.sound, bad), set
}

// across is what is read at a joint: each rail across it, where a beep tells, and hot
// against common. In a ring no beep tells of rails that are tied to each other, either.
func (b *boards) across(j int, ring bool) []Reading {
	l, n := b.m.l, b.m.n
	q := &l.Joints[j]
	c := l.Pieces[q.A.Piece].Construction
	bench, set := b.bench(nil)
	var out []Reading
	for _, r := range c.Rails {
		red, black := n.At(q.A, r), n.At(q.B, l.AcrossJoint(j, r))
		if red < 0 || black < 0 {
			continue
		}
		x := Reading{Red: n.Points[red].Name, Black: n.Points[black].Name, red: red, black: black}
		ohms := bench.Ohms(set, red, black)
		switch {
		case q.IsInsulated(r) && ohms > piece.BeepsTo:
			x.Want, x.Why = piece.Silent, "the insulated joint holds"
		case !q.IsInsulated(r) && ohms <= piece.BeepsTo:
			x.Want, x.Most = piece.Beeps, math.Ceil(10*(ohms+piece.OverLeads))/10
			x.Why = fmt.Sprintf("the %s rail is through at %s", r, q.Name)
			if b.tells(j, r, red, black) {
				break
			}
			if x.Why = fmt.Sprintf("rails tied to each other are through at %s, one of them at least",
				q.Name); ring || r != c.Common {
				continue
			}
		default:
			continue
		}
		out = append(out, x)
	}
	hot, common := n.At(q.A, c.Hot), n.At(q.A, c.Common)
	if hot >= 0 && common >= 0 && bench.Ohms(set, hot, common) > dirt {
		out = append(out, Reading{Red: n.Points[hot].Name, Black: n.Points[common].Name, Want: piece.Silent,
			Why: "nothing joins hot and common on what stands", red: hot, black: common})
	}
	return out
}

// tells says whether a beep across a joint shows that one of its rails is open: not where
// current gets round, as by ties.
func (b *boards) tells(j int, r track.Rail, red, black int) bool {
	for i := range b.m.faults {
		s := &b.m.faults[i]
		k := &b.m.n.Links[s.Links[0]]
		if s.Mode != track.Open || k.Joint != j || b.m.n.Points[k.A].Rail != r && b.m.n.Points[k.B].Rail != r {
			continue
		}
		bench, set := b.bench(s)
		return bench.Ohms(set, red, black) > piece.BeepsTo
	}
	return true
}

// aboutSetUp is what a check list of boards is, in a sentence.
func (p *Plan) aboutSetUp() string {
	return fmt.Sprintf("%s, board by board as the file has them, then plug by plug. "+
		"Two people: one calls and ticks, one holds the probes.",
		unit.Count(len(p.Wiring), "stop"))
}
