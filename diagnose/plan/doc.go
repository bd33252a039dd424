// Package plan is the mathematics of choosing: which test next, where to cut,
// in which order to look, and what a reading is worth. It works on abstract
// hypotheses 0..n-1 with weights, costs and predictions; it knows nothing of
// tracks, meters or people. Each algorithm stands in its own file with its
// source named.
//
// Weights need not sum to 1 unless said; they must be finite and not negative.
// Costs are minutes, or any other unit that adds up. Information is in bits.
// Slices of different lengths, negative weights and classes out of range are
// mistakes of the caller and panic. Nothing here depends on map order, a clock
// or a source of randomness.
package plan
