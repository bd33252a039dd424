package handout

import (
	"fmt"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
)

// stream tells the scatter of these readings from those of learners and rivals.
const stream = 9

// table is what every reading along the track shows.
type table struct {
	title string
	how   []string
	head  []string
	rows  [][]string
	aloud []string
}

// column is one reading taken at every piece: between two of its rails' points, or
// from one of them to where the hot or the common wires join.
type column struct {
	head       string
	meter      simulate.Function
	supply     string // as an act says it
	red, black func(hot, common string) string
}

// hand takes the readings of a twin of the drill.
type hand struct {
	t      *drill.Drill
	supply string
}

// read takes the table of a drill.
func read(d *drill.Drill) (*table, error) {
	n := d.Network()
	if len(n.Posts) != 1 || len(d.Layout().Toggles) > 0 {
		return nil, fmt.Errorf("a sheet of paper is for a layout with one supply and no toggles: each throw would " +
			"want a table of its own")
	}
	post := d.Layout().Supplies[0].Name
	wires := [2]string{post + " hot", post + " common"}
	t, cols := &table{}, []column(nil)
	across := column{"hot to common", simulate.Volts, drill.On, own(0), own(1)}
	toHot := column{"hot to " + wires[0], simulate.Millivolts, drill.Lamp, own(0), at(wires[0])}
	toCommon := column{"common to " + wires[1], simulate.Millivolts, drill.Lamp, own(1), at(wires[1])}
	if len(d.Hidden()) == 0 {
		return nil, fmt.Errorf("the trains are at fault, not the track: there is nothing to read along it")
	}
	s := d.Symptom()
	if s.Sometimes {
		return nil, fmt.Errorf("a fault that comes and goes has no table")
	}
	h := &hand{t: d.Twin(stream), supply: drill.Off}
	if err := h.do(drill.Act{Do: drill.DoTrain, To: drill.Off}); err != nil {
		return nil, err
	}
	switch s.Kind {
	case hunt.SymptomShort:
		across.supply = drill.Lamp
		t.title = "What is shown with the trains off, and the supply on through the lamp"
		cols = []column{across, toHot, toCommon}
	case hunt.SymptomDead:
		t.title = "What is shown with the trains off, the supply on; the beeper with it off"
		toHot.meter, toCommon.meter = simulate.Beeper, simulate.Beeper
		toHot.supply, toCommon.supply = drill.Off, drill.Off
		cols = []column{across, toHot, toCommon}
	case hunt.SymptomWeak:
		t.title = "What is shown with the supply on and a lamp laid across the rails at " + s.At
		toHot.supply, toCommon.supply = drill.On, drill.On
		if err := h.do(drill.Act{Do: drill.DoLoad, At: s.At, To: drill.On}); err != nil {
			return nil, err
		}
		cols = []column{across, toHot, toCommon}
	default:
		return nil, refused(s)
	}
	t.how = []string{"Red on the piece, black where the column says. What is not here, say: that cannot be read " +
		"tonight.",
		"Points stand at through unless a reading asks otherwise; a lifted joint is not in this table."}
	return t, h.fill(t, n, cols)
}

func own(side int) func(hot, common string) string {
	return func(hot, common string) string { return [2]string{hot, common}[side] }
}

func at(point string) func(hot, common string) string {
	return func(string, string) string { return point }
}

// fill takes all readings, column by column: one change of the supply each.
func (h *hand) fill(t *table, n *conductor.Network, cols []column) error {
	t.head = []string{"piece"}
	for i := range n.Layout.Pieces {
		t.rows = append(t.rows, []string{n.Layout.Pieces[i].ID()})
	}
	for _, c := range cols {
		t.head = append(t.head, c.head+" ("+string(c.meter)+")")
		if err := h.supplied(c.supply); err != nil {
			return err
		}
		for i := range n.Layout.Pieces {
			hot, common := drill.Across(n, i)
			if hot < 0 || common < 0 {
				t.rows[i] = append(t.rows[i], "no such rails")
				continue
			}
			a, b := n.Points[hot].Name, n.Points[common].Name
			e, err := h.t.Do(drill.Act{Do: drill.DoRead, Meter: string(c.meter), Red: c.red(a, b),
				Black: c.black(a, b)})
			if err != nil {
				return err
			}
			if e.Stopped != "" {
				return fmt.Errorf("%s: %s", e.Act, e.Stopped)
			}
			t.rows[i] = append(t.rows[i], e.Shows)
		}
	}
	t.how = append(t.how, "Read in this order: "+strings.Join(t.head[1:], ", ")+".")
	for _, r := range t.rows {
		t.aloud = append(t.aloud, r[0]+": "+strings.Join(r[1:], ", "))
	}
	return nil
}

// supplied brings the supply to what a column wants.
func (h *hand) supplied(to string) error {
	if to == h.supply {
		return nil
	}
	if h.supply != drill.Off {
		if err := h.do(drill.Act{Do: drill.DoSupply, To: drill.Off}); err != nil {
			return err
		}
	}
	h.supply = to
	if to == drill.Off {
		return nil
	}
	return h.do(drill.Act{Do: drill.DoSupply, To: to})
}

func (h *hand) do(a drill.Act) error {
	e, err := h.t.Do(a)
	switch {
	case err != nil:
		return fmt.Errorf("%s: %w", a, err)
	case e.Stopped != "":
		return fmt.Errorf("%s: %s", a, e.Stopped)
	}
	return nil
}
