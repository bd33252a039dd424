package layoutfile

import (
	"bytes"
	_ "embed"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

//go:embed demo.hcl
var demoSource []byte

//go:embed format.md
var format string

// Demo gives the layout that comes with the program, as a file: its name and
// its text. It is invented.
func Demo() (name string, src []byte) { return "demo.hcl", bytes.Clone(demoSource) }

// Reference is the file format on a page or two, with one example for every
// kind of line, for the program to print.
func Reference() string { return schema.Reference(format) }

// File is a layout together with the text it was read from.
type File struct {
	// Layout is what the text says.
	Layout *track.Layout
	name   string
	src    []byte
	sheet  *sheet.Sheet
}

// Read reads a layout file. name is used for nothing but the file's own
// record; nothing is opened. All mistakes come in one pass (a syntax error
// stands alone) and then there is no File. A File with problems has warnings
// only.
func Read(name string, src []byte) (*File, Problems) {
	r := newReader(sheet.Unmarked(src))
	body := r.parse(name)
	if body == nil {
		return nil, r.finish()
	}
	f := &File{name: name, src: bytes.Clone(src)}
	f.sheet = sheet.FromSyntax(f.src, body)
	if f.Layout = r.layout(f.sheet).l; r.failed() {
		return nil, r.finish()
	}
	return f, r.finish()
}

// Look makes the layout of a sheet that has no text. With mistakes there is no
// whole layout, but tracks is the pieces and joints where those are good. The
// places of the problems are those of the sheet.
func Look(s *sheet.Sheet) (whole, tracks *track.Layout, problems Problems) {
	r := &reader{}
	x := r.layout(s)
	if x.built {
		tracks = &track.Layout{Name: x.l.Name, About: x.l.About, Metric: x.l.Metric, Pieces: x.l.Pieces,
			Joints: x.l.Joints, Runs: x.l.Runs, Constructions: x.set.list}
	}
	if !r.failed() {
		whole = x.l
	}
	return whole, tracks, r.finish()
}

// layout makes the layout of a sheet, as far as there are no mistakes.
func (r *reader) layout(s *sheet.Sheet) *layoutReader {
	x := r.readLayout(s)
	if !x.anyBroken() {
		x.built = layer{x}.build()
	}
	if !x.laid { // from and to were not looked up whole
		layer{x}.resolveEnds()
	}
	thingReader{x}.readThings()
	x.l.Constructions = x.set.list
	return x
}

// Sheet is what the text says, as it is written. Change nothing in it.
func (f *File) Sheet() *sheet.Sheet { return f.sheet }

// Bytes is the text that was read.
func (f *File) Bytes() []byte { return bytes.Clone(f.src) }
