// Package layoutfile turns a layout file into a track.Layout and writes it
// back. It takes a name and the bytes, never opens anything itself, and knows
// nothing of currents: it checks that what is written makes sense as track.
//
// # Reading
//
// The file is HCL syntax with a schema of our own; Reference holds the format
// with an example for every kind of line. Read works in these steps, and each
// one reads on after a mistake:
//
//  1. syntax.go: size, nesting and operators are bounded before the parser
//     sees the text; a syntax error stands alone, for whatever follows it
//     would be guesswork. Only literal values are taken.
//  2. block.go, schema.go, construct.go: blocks and attributes against what
//     each may hold; constructions, stock pieces, then runs.
//  3. item.go: the texts of a run's pieces, word by word, so that a mistake is
//     answered at its own column. A phrase is answered once: its first mistake
//     usually causes the others.
//  4. build.go, join.go, geometry.go: pieces are laid in the frame of their
//     run, runs are moved onto each other along their joints in the order of
//     the file, and what does not meet is measured. A gap of more than 20 mm
//     or 4 degrees is a warning, since only the drawing suffers.
//  5. refs.go: feeders, insulated joints, hidden stretches, landmarks, notes
//     and histories, which name places. Where a run could not be read, places
//     on it are passed over in silence.
//
// # Conventions
//
// Pieces are numbered from 1 along the run that lays them; a crossing that is
// met a second time ("X1 again") belongs to the run that laid it. Rail names
// follow the run, those of a crossing's second way the run that goes over it;
// where none does, someone who goes from b1 to b2.
//
// Looking out of the end by which the run leaves a piece, the left rail is on
// the left hand; looking out of the one by which it enters, the right one is.
// A turnout's unused leg counts with its other leg. A bumper at the start of a
// run is Reversed: the run leaves it by its only end, "start". A bumper has no
// legs, since no rail leads on.
//
// A run without pieces (two legs that meet directly) makes a joint and no
// track.Run. Joints come run by run in the order of the walk (for a closed run
// its closing joint after these), then those of from and to. Two joints
// between the same two pieces are a mistake, since they would share a name.
//
// track.Run.MissMM and MissDeg are the larger of a run's gaps at its ends,
// with everything below a millionth taken as 0.
//
// # Writing
//
// File.Bytes is what was read. An Editor puts a changed layout's text together
// from its blocks: what is not changed keeps every byte.
//
// # Problems
//
// A Problem has a summary, a fix, a range and the other places involved;
// Render shows them. testdata/bad holds a file for every kind, with the lines,
// columns and words expected.
package layoutfile
