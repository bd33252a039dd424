package hunt

// PastKind says what an entry of a hunt's history is.
type PastKind string

// The kinds of entries of a history.
const (
	PastReading PastKind = "reading" // a reading taken
	PastSkip    PastKind = "skip"    // a reading that could not be taken
	PastGood    PastKind = "good"    // a piece looked at, and good
	PastBad     PastKind = "bad"     // a piece that was found bad
	PastProof   PastKind = "proof"   // the reading after a repair
	PastQuit    PastKind = "quit"    // the hunt was put aside
)

// Past is one thing that was done, after undo and corrections.
type Past struct {
	Kind PastKind
	Ask  *Ask   // what was asked: for a reading, a skip and a proof
	Text string // the reading as typed, the reason of a skip, or the piece
	Good bool   // of a proof: it was good
	// Aside says that it belongs to a repair whose proof was bad: the belief
	// no longer rests on it.
	Aside bool
	// Counts says of a proof that the hunt which went on after it rests on it.
	Counts bool
}

// History lists what was done, in order: what a record of the hunt holds
// beside what View believes.
func (h *Hunt) History() []Past {
	var out []Past
	found, bad := false, map[string]int{}
	for i := range h.entries {
		en := &h.entries[i]
		e := &en.Event
		switch {
		case e.Skip != "":
			out = append(out, Past{Kind: PastSkip, Ask: en.Ask, Text: e.Skip})
		case e.Reading != "" && found:
			p := Past{Kind: PastProof, Ask: en.Ask, Text: e.Reading, Good: h.sit.wasGood(en)}
			out = append(out, p)
			if key := h.sit.askKey(en.Ask); !p.Good {
				if bad[key]++; bad[key] > 1 {
					found = false
					out = goneOn(out)
				}
			}
		case e.Reading != "":
			out = append(out, Past{Kind: PastReading, Ask: en.Ask, Text: e.Reading})
		case e.Change != nil:
			out = corrected(out, e.Change)
		case e.Found != "":
			found, bad = true, map[string]int{}
			out = append(out, Past{Kind: PastBad, Text: e.Found})
		case e.Quit:
			out = append(out, Past{Kind: PastQuit})
		case e.NotFound != "":
			out = append(out, Past{Kind: PastGood, Text: e.NotFound})
		}
	}
	return out
}

// goneOn puts aside what came before a repair whose proof was bad; the proof
// readings since then count on.
func goneOn(list []Past) []Past {
	since := true
	for k := len(list) - 1; k >= 0; k-- {
		since = since && list[k].Kind != PastBad
		list[k].Counts = since && list[k].Kind == PastProof
		list[k].Aside = !list[k].Counts
	}
	return list
}

func (g *ground) askKey(a *Ask) string {
	q, err := a.On(g.net)
	if err != nil {
		return ""
	}
	return questionKey(&q)
}

func (m *matter) wasGood(en *entry) bool {
	r, err := en.typed(en.Event.Reading, en.Ask)
	return err == nil && m.proofGood(en.Ask, r)
}

// corrected changes or removes the Nth reading that the belief rests on.
func corrected(list []Past, c *Change) []Past {
	n := 0
	for i := range list {
		if list[i].Aside || list[i].Kind != PastReading && !list[i].Counts {
			continue
		}
		if n++; n < c.N {
			continue
		}
		if c.Reading == "" {
			return append(list[:i:i], list[i+1:]...)
		}
		list[i].Text = c.Reading
		return list
	}
	return list
}
