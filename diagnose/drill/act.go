// Package drill is practice: a layout with a fault that nobody sees, and a
// learner who hunts it with a meter. It takes the layout and a generator of
// random numbers, hides a fault, tells the symptom, and answers acts. Every
// act costs its minutes, the same as in a hunt; what would hurt someone is
// stopped, with the reason. It has no clock, no files, no terminal and no
// opinion of what is learnt: that is package coach's.
//
// The hidden fault never leaves this package but by Reveal, which is for the
// end of a drill. Save writes it sealed.
package drill

// Do is the kind of an act.
type Do string

// The acts.
const (
	DoRead   Do = "read"   // read a meter between two points
	DoLift   Do = "lift"   // lift a joint: no rail touches across it
	DoSeat   Do = "seat"   // put a lifted joint together again
	DoPull   Do = "pull"   // both wires of a feeder off the supply
	DoPlug   Do = "plug"   // and back on
	DoThrow  Do = "throw"  // throw a turnout
	DoSupply Do = "supply" // off, on, or on through a lamp in series
	DoLoad   Do = "load"   // lay a lamp (or a clip lead) across the rails at a place, or take it away
	DoTrain  Do = "train"  // off the rails, or on at a piece
	DoRun    Do = "run"    // run a train past every place
	DoLook   Do = "look"   // look under a piece
	DoAccuse Do = "accuse" // this one is bad: repair it
	DoGiveUp Do = "give up"
)

// What an act's To may say.
const (
	Off       = "off"
	On        = "on"
	Lamp      = "lamp"
	Through   = "through"
	Diverging = "diverging"
	Leads     = "leads"  // of a reading: the two leads touched together
	Jumper    = "jumper" // a clip lead in place of a train's wheels
)

// OffTrack is the name to accuse when the train itself is bad.
const OffTrack = "off the track"

// Act is one thing that the learner does.
type Act struct {
	Do    Do     `json:"do"`
	Meter string `json:"meter,omitempty"` // of a reading: beeper, ohms, volts, millivolts, amps
	// Red and Black are points of the network. Red alone names a place: the
	// reading is then from its hot to its common rail.
	Red   string `json:"red,omitempty"`
	Black string `json:"black,omitempty"`
	At    string `json:"at,omitempty"` // the joint, feeder, turnout, toggle, piece or supply
	To    string `json:"to,omitempty"` // off, on, lamp, jumper, through, diverging
}

// Result is what a look came to.
type Result string

// The results.
const (
	ResultClean    Result = "clean"    // nothing wrong to be seen there
	ResultThere    Result = "there"    // the fault is there, and was left as it is
	ResultRepaired Result = "repaired" // it was there, and is repaired
)

// Entry is an act with what came of it.
type Entry struct {
	Act     Act     `json:"act"`
	Shows   string  `json:"shows,omitempty"`   // of a reading: the display
	Says    string  `json:"says,omitempty"`    // what happened, in words
	Stopped string  `json:"stopped,omitempty"` // why the act was stopped; then it changed nothing
	Minutes float64 `json:"minutes"`
	Clock   float64 `json:"clock"` // minutes since the start, this act included
	Caution string  `json:"caution,omitempty"`
	Lift    bool    `json:"lift,omitempty"`  // a joint was opened, or a piece lifted to look
	Found   string  `json:"found,omitempty"` // the piece that was bad and is repaired now
	Result  Result  `json:"result,omitempty"`
}

// Counts is what was done, in numbers.
type Counts struct {
	Readings    int     // readings that were taken
	Lifts       int     // joints lifted, and pieces looked under
	Joints      int     // joints lifted
	Looks       int     // looks at pieces, feeders and trains, with and without accusing
	Wrong       int     // accusations that were wrong
	Stops       int     // acts stopped because they were unsafe
	Repeats     int     // readings taken again just as before
	Together    int     // the most joints lifted at once
	TrainOn     int     // readings with a train on the rails
	Minutes     float64 // all of it
	Found       int     // faults found
	GaveUp      bool
	ByMeter     map[string]int // readings by setting
	ByLoad      int            // readings with a lamp across the rails or a train on them, under current
	AcrossJoint int            // readings from one side of a joint to the other
}
