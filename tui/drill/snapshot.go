package drill

import (
	"slices"

	practice "fishplate/diagnose/drill"
	"fishplate/diagnose/drill/debrief"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
)

// snapshot is all that is drawn of a sitting: made where the sitting works, and
// never changed after.
type snapshot struct {
	layout  *track.Layout
	title   string // of a lesson
	teaches []string
	goal    string
	thrown  []bool // by piece: a turnout thrown diverging
	opening []string
	done    []sitting.Line // what was done so far, to go on from
	help    []string
	stands  string // how the layout stands
	spent   string // readings and lifts, counted
	live    bool   // a supply is on
	lamp    bool   // a lamp lies on the table
	far     string // what waits for Enter again
	clock   float64
	acts    int
	over    bool
	lifted  []string
	loads   []hunt.Load
	points  [][]string // by piece: the names of its points, the two rails first
	meters  []string
	train   int
	log     []practice.Entry
	back    *debrief.Debrief
}

func snap(s *sitting.Sitting) snapshot {
	d := s.Drill
	over, _ := d.Over()
	st := d.State()
	out := snapshot{layout: d.Layout(), opening: sitting.Opening(d), done: s.Log(), help: sitting.Help(d),
		stands: s.Stands(), spent: s.Spent(), far: s.Far(),
		live: len(st.Setup.Sources()) > 0, lamp: d.Options().Kit.Lamp,
		clock: d.Clock(), acts: len(d.Log()), over: over, train: st.Train, points: points(d),
		log: slices.Clone(d.Log()), meters: meters(d.Options().Kit)}
	if l := s.Lesson; l != nil {
		out.title, out.teaches, out.goal = l.Title, l.Teaches, l.Goal
	}
	out.thrown = make([]bool, len(d.Layout().Pieces))
	for p := range out.thrown {
		out.thrown[p] = st.Setup.Route(p) != practice.Through
	}
	for _, j := range st.Setup.Lifted {
		out.lifted = append(out.lifted, d.Layout().Joints[j].Name)
	}
	for _, x := range st.Setup.Loads {
		out.loads = append(out.loads, hunt.Load{From: d.Network().Points[x.From].Name,
			To: d.Network().Points[x.To].Name, Ohms: x.Ohms})
	}
	return out
}

func meters(k hunt.Kit) []string {
	var out []string
	for _, m := range []struct {
		has  bool
		name string
	}{{k.Beeper, "beep"}, {k.Ohms, "ohms"}, {k.Volts, "volts"}, {k.Millivolts, "mv"}} {
		if m.has {
			out = append(out, m.name)
		}
	}
	return out
}

// points lists the points of every piece that a probe can touch: hot and common
// in its middle first, then the rest in the order of the network.
func points(d *practice.Drill) [][]string {
	n := d.Network()
	out := make([][]string, len(d.Layout().Pieces))
	for i := range out {
		hot, common := practice.Across(n, i)
		for _, p := range []int{hot, common} {
			if p >= 0 {
				out[i] = append(out[i], n.Points[p].Name)
			}
		}
		for k := range n.Points {
			if p := &n.Points[k]; p.Piece == i && k != hot && k != common {
				out[i] = append(out[i], p.Name)
			}
		}
	}
	return out
}
