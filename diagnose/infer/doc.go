// Package infer turns readings into belief: the probability of every suspect
// given what the meter showed. It takes the predictions of package predict for
// granted and knows nothing of what to ask next.
//
// # The belief on a page
//
// A link l, a rail or a joint, has the resistance
//
//	R_l = m_l exp(L_c(l) + s_l e_l),   e_l ~ N(0, 1)
//
// with the file's median m_l and spread s_l; L_rail and L_joint are what this
// layout's rails and joints have in common (Level). Reading i, on the dial f, is
//
//	y_i = (1 + g_f) h_i(R, rho, x, a) + lead + noise + digits
//
// where h_i is the circuit's answer (package predict: the value and its
// derivatives by every link, from one factorisation a set-up), rho the fault's own
// ohms, x its place along the piece, a the lamp's current, g_f the meter's scale,
// the same for all readings on a dial. The belief is
//
//	P(h | y) ~ P(h) P(symptom | h, rho) sum_{rho, q, a} w_rho w_q w_a
//	           sum_{|M| <= 2} eps^|M| (1 - eps)^(n - |M|) N(y without M) prod_{i in M} u_i
//
// over suspects h; cells of the fault's ohms rho (severities, a factor of three
// apart), of the levels q (levelCell) and of the lamp's current a (lampCells); and
// over the sets M of readings that say nothing, eps = Model.Misread each, with the
// density u_i of a reading that may show any value.
//
// # What stands for what, and where
//
//   - N is a Gaussian over all readings together, since they share joints, lamp,
//     leads and scale: joint.go, group.go. How a part grows with a level or with
//     the reading is told by grows (evidence.go).
//   - A lamp's current scales a reading by (1 + a)/(1 + lit a), exact for any
//     network of resistors; lit is the part of all ohms that is not the lamp's
//     (brighter, joint.go). Five cells; against plain draws the first piece's
//     probability is 0.027 off, with one Gaussian 0.065.
//   - Where a Gaussian finds a joint of next to nothing likely, what lies between two
//     probes is one log-normal lump (L. F. Fenton, "The sum of log-normal
//     probability distributions in scatter transmission systems", IRE Trans. CS-8,
//     1960) and the levels are log-normal by Laplace's method: skew.go, laplace.go, newton.go. 0.03 off
//     against plain draws where the Gaussian is 0.40 off, in natural logarithms.
//   - Last digits are boxes, and tents where a display shows no minus; each is
//     replaced by the Gaussian that stands for it beside the other readings
//     (expectation propagation; T. P. Minka, 2001): box.go, 0.004 off.
//   - A display of AC has no sign: the sum goes over the signs of the readings in
//     doubt too, at most three of them: unsigned.go. A sign is in doubt where some of
//     the resistances pull the other way, or the noise before the display reaches past
//     zero; the display's own error comes after the sign is lost. On a loop 0.03 off
//     against plain draws, with the sign of the medians taken for granted 0.14
//     (TestUnsignedBeliefAgainstDraws).
//   - A bridge's place along its piece: two derivatives, toward either end (slides).
//   - A range's limit is not known well, but it is one limit for all readings over
//     it: overAll (given.go), limit (score.go).
//   - A voltmeter on a rail that hangs on nothing shows noise or a few percent of the
//     supply's AC, or what leaks to it: floats (evidence.go).
//   - A dead place that current comes to by several ways is open on each: an open on
//     one of them with the others cut at the place (twoopen.go), the end on the
//     longest way first.
//   - A weak place far from its feeder on rails or joints that are worse all over needs
//     no bad one: "off the track" is weighed by how a train slows at each level
//     (tired.go). Both clips of a feeder gone bad are one hypothesis (twins.go).
//   - A feeder that may feed nothing beside a short is weighed by readings along the rails
//     and its own wires alone (moved.go); the belief is that of both ways to be fed, mixed
//     by how likely each is, and so is what a question tells (idle.go).
//   - Two faults of one kind are tried where one explains the readings badly
//     (pairs.go). A fault that comes and goes may be away for a reading (Away), and for
//     many: their sets are summed along two paths, 0.0002 below the sum over all sets in
//     natural logarithms with up to four of nine away, 0.8 with five (away.go).
//
// # What is cut off
//
// Level cells 14 nats below the best (faint) and those that hold less than 1e-7
// (emptyCell), also where a belief is worked out anew at the level that was found: no
// probability moved by more than 3e-6 for that in 24 beliefs of five times as bad track;
// hypotheses below 1e-7 are evaluated no finer (deadWeight); the 64 likeliest joints
// within nine nats are looked at again in skew.go; misreads past two at once, past one
// where a crowded layout or manyReadings are first gone through roughly (but away.go).
//
// Every number has a name, and beside it its unit, its source or "assumed".
//
// A covariance or a network without a factorisation is no cell of this sum and no
// reading of this network: it is left out, counted, and told beside the odds
// (Failures). None was met in the tests of this package (36,000 bent terms).
//
// All of it together against plain draws of everything that is not known, with full
// circuits: TestBeliefAgainstDraws, 0.011 off in the mean of nine cases, the draws'
// own error in it. That is the test to look at when stated probabilities are wrong.
package infer
