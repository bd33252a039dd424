package drill

// A free drill is chosen by how long one wants to practise. About ten seconds an act on a
// shelf and twenty on a layout go into typing it, reading what the meter shows and
// thinking of the next one (assumed); TestLengths holds how many acts there are.
// These are minutes of the learner's, not those that the acts would take at a bench.
const (
	AMinute       = 1  // one plain short on a shelf of six pieces
	FiveMinutes   = 5  // one plain fault on the layout
	TwentyMinutes = 20 // two faults at once, on worn track
)

// Lengths lists them, minutes.
var Lengths = []int{AMinute, FiveMinutes, TwentyMinutes}

// OfLength gives options what a length stands for: what is hidden, and how hard it is to
// find. Options of no length are as they were.
func (o Options) OfLength() Options {
	switch o.Minutes {
	case AMinute:
		o.Fault, o.Difficulty = KindShort, Easy
	case FiveMinutes:
		o.Fault, o.Difficulty = KindAny, Easy
	case TwentyMinutes:
		o.Fault, o.Difficulty = KindTwo, Hard
	}
	return o
}

// Acts is how many acts fill a length, 0 where there is none.
func (o Options) Acts() int {
	seconds := 20
	if o.Minutes == AMinute {
		seconds = 10
	}
	return o.Minutes * 60 / seconds
}
