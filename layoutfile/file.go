package layoutfile

import (
	"bytes"
	_ "embed"

	"github.com/hashicorp/hcl/v2/hclsyntax"

	"fishplate/diagnose/track"
)

//go:embed demo.hcl
var demoSource []byte

//go:embed format.md
var reference string

// Demo gives the layout that comes with the program, as a file: its name and
// its text. It is invented.
func Demo() (name string, src []byte) { return "demo.hcl", bytes.Clone(demoSource) }

// Reference is the file format on a page or two, with one example for every
// kind of line, for the program to print.
func Reference() string { return reference }

// byteOrderMark is what some editors put at the start of a text.
var byteOrderMark = []byte{0xEF, 0xBB, 0xBF}

// File is a layout together with the text it was read from.
type File struct {
	// Layout is what the text says.
	Layout *track.Layout
	name   string
	mark   bool   // the text began with a byte order mark
	src    []byte // the text, without the mark
}

// Read reads a layout file. name is used for nothing but the file's own
// record; nothing is opened. All mistakes come in one pass (a syntax error
// stands alone) and then there is no File. A File with problems has warnings
// only.
func Read(name string, src []byte) (*File, Problems) {
	f := &File{name: name, src: bytes.Clone(src)}
	if bytes.HasPrefix(f.src, byteOrderMark) {
		f.mark, f.src = true, f.src[len(byteOrderMark):]
	}
	r := newReader(f.src)
	body := r.parse(name)
	if body == nil {
		return nil, r.finish()
	}
	return f.read(r, body)
}

// read makes the layout of a syntax tree.
func (f *File) read(r *reader, body *hclsyntax.Body) (*File, Problems) {
	x := r.readLayout(body)
	if !x.anyBroken() {
		x.built = x.build()
	}
	if !x.laid { // from and to were not looked up whole
		x.resolveEnds()
	}
	x.readThings()
	if r.failed() {
		return nil, r.finish()
	}
	x.l.Constructions = x.set.list
	f.Layout = x.l
	return f, r.finish()
}

// Name is the name that the file was read under.
func (f *File) Name() string { return f.name }

// Bytes is the text that was read.
func (f *File) Bytes() []byte {
	if f.mark {
		return append(bytes.Clone(byteOrderMark), f.src...)
	}
	return bytes.Clone(f.src)
}
