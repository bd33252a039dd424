package course

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
)

// Outlet is what a pair of wires hangs on: a supply, a terminal of a bus or
// strip, or a toggle.
type Outlet struct {
	Kind, Name string // Kind is "supply", "bus" or "toggle"
	Terminal   int    // of a bus
}

// String says an outlet: "supply T1", "bus B1 terminal 2", "toggle S1".
func (o Outlet) String() string {
	if o.Kind == "bus" && o.Terminal > 0 {
		return fmt.Sprintf("bus %s terminal %d", o.Name, o.Terminal)
	}
	return o.Kind + " " + o.Name
}

// Into writes the outlet into the values of an entry.
func (o Outlet) Into(v map[string]string) {
	for _, a := range []string{"supply", "bus", "terminal", "toggle"} {
		v[a] = ""
	}
	v[o.Kind] = o.Name
	if o.Kind == "bus" {
		v["terminal"] = strconv.Itoa(max(o.Terminal, 1))
	}
}

// Outlet is what the entry hangs on; false when it hangs on nothing.
func (e *Entry) Outlet() (Outlet, bool) {
	for _, k := range []string{"supply", "bus", "toggle"} {
		if n := e.Values[k]; n != "" && (k != "toggle" || e.Kind != "block") {
			o := Outlet{Kind: k, Name: n}
			if k == "bus" {
				o.Terminal, _ = strconv.Atoi(e.Values["terminal"])
			}
			return o, true
		}
	}
	return Outlet{}, false
}

// Outlets lists what a thing of a kind can hang on, without terminals; one
// that draws its current from the thing (id, 0 for a new one) is none.
func (wiring Wiring) Outlets(id int, kind string) []Outlet {
	var out []Outlet
	for _, t := range wiring.Under() {
		o := Outlet{Kind: t.Kind, Name: t.Label.Text}
		switch t.Kind {
		case "strip":
			o.Kind = "bus"
		case "supply", "bus":
		case "toggle":
			if kind == "toggle" {
				continue // the format has no toggle behind a toggle
			}
		default:
			continue
		}
		if t.ID != id && !wiring.draws(t.ID, id) {
			out = append(out, o)
		}
	}
	return out
}

// draws says whether thing a gets its current through thing b.
func (wiring Wiring) draws(a, b int) bool {
	for range wiring.c.now.Things {
		e, ok := wiring.Entry(a)
		if !ok {
			return false
		}
		o, ok := e.Outlet()
		if !ok {
			return false
		}
		t := wiring.outletThing(o)
		if t == nil {
			return false
		}
		if t.ID == b {
			return true
		}
		a = t.ID
	}
	return false
}

// DrawsFrom says whether an outlet gets its current from a supply in the end.
func (wiring Wiring) DrawsFrom(o Outlet, supply string) bool {
	t, s := wiring.outletThing(o), wiring.outletThing(Outlet{Kind: "supply", Name: supply})
	return t != nil && s != nil && (t.ID == s.ID || wiring.draws(t.ID, s.ID))
}

// Volts is what an outlet gets, as the supply that it draws from is written; the
// first supply's where that is not said (a place on the track). Empty without one.
func (wiring Wiring) Volts(o Outlet) string {
	supplies := wiring.Supplies()
	for _, name := range supplies {
		if wiring.DrawsFrom(o, name) {
			return wiring.outletThing(Outlet{Kind: "supply", Name: name}).said("volts")
		}
	}
	if len(supplies) == 0 {
		return ""
	}
	return wiring.outletThing(Outlet{Kind: "supply", Name: supplies[0]}).said("volts")
}

// outletThing finds what an outlet belongs to.
func (wiring Wiring) outletThing(o Outlet) *Thing {
	for i := range wiring.c.now.Things {
		t := &wiring.c.now.Things[i]
		if t.Label.Text == o.Name && (t.Kind == o.Kind || o.Kind == "bus" && t.Kind == "strip") {
			return t
		}
	}
	return nil
}

// Terminals is how many terminals a bus or strip has, and the first on which
// nothing hangs (its last when all are taken).
func (wiring Wiring) Terminals(bus string) (all, free int) {
	t := wiring.outletThing(Outlet{Kind: "bus", Name: bus})
	if t == nil {
		return 0, 0
	}
	all, _ = strconv.Atoi(t.said("terminals"))
	taken := map[string]bool{}
	for i := range wiring.c.now.Things {
		if u := &wiring.c.now.Things[i]; u.Kind != t.Kind || u.ID != t.ID {
			if e, ok := wiring.Entry(u.ID); ok && e.Values["bus"] == bus {
				taken[e.Values["terminal"]] = true
			}
		}
	}
	for free = 1; free < all && taken[strconv.Itoa(free)]; free++ {
	}
	return all, free
}

// Users lists what needs a thing: what hangs on it, and the insulated rail that
// works it.
func (wiring Wiring) Users(id int) []*Thing {
	t := wiring.c.Things().Thing(id)
	if t == nil {
		return nil
	}
	var out []*Thing
	for i := range wiring.c.now.Things {
		u := &wiring.c.now.Things[i]
		for _, f := range u.Fields {
			needs := f.Name == "works" || f.Name != "other" && f.Name != "common" && u.Kind != "block"
			if needs && u.ID != id && u.names(&f, t.Kind, t.Label.Text) {
				out = append(out, u)
				break
			}
		}
	}
	return out
}

// RemoveWith takes a thing away together with all that needs it.
func (wiring Wiring) RemoveWith(id int) error {
	t := wiring.c.Things().Thing(id)
	if t == nil {
		return errors.New("that is gone already")
	}
	gone := []int{id}
	for i := 0; i < len(gone); i++ {
		for _, u := range wiring.Users(gone[i]) {
			if !slices.Contains(gone, u.ID) {
				gone = append(gone, u.ID)
			}
		}
	}
	return wiring.c.change("taking away "+wiring.c.Things().Describe(t), func(s *State) error {
		for _, id := range gone {
			s.forget(id)
		}
		return nil
	})
}

// Rehang takes a thing away, and what hung on it hangs on an outlet now.
func (wiring Wiring) Rehang(id int, on Outlet) error {
	t := wiring.c.Things().Thing(id)
	if t == nil {
		return errors.New("that is gone already")
	}
	for _, u := range wiring.Users(id) {
		if u.Kind == "toggle" && on.Kind == "toggle" {
			return fmt.Errorf("%s cannot hang on another toggle: hang it elsewhere first",
				wiring.c.Things().Describe(u))
		}
	}
	users := wiring.Users(id)
	return wiring.c.change("taking away "+wiring.c.Things().Describe(t), func(s *State) error {
		for _, u := range users {
			e, _ := wiring.Entry(u.ID)
			on.Into(e.Values)
			if e.Values["other"] == on.Name {
				e.Values["other"] = ""
			}
			if err := wiring.put(s, u.ID, e); err != nil {
				return err
			}
		}
		s.forget(id)
		return nil
	})
}
