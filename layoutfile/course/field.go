package course

import (
	"encoding/json"
	"slices"

	"fishplate/layoutfile/sheet"
)

// Field is a value of a thing: a place, or what is written.
type Field struct {
	Name  string
	Value sheet.Value // not of a place
	Place Ref         // of one that names a place
}

// keptField is a field as it is written down: its text is that of the place, or
// the value with its quotes.
type keptField struct {
	Name  string `json:"name"`
	Value Ref    `json:"value"`
}

// MarshalJSON writes it down.
func (f Field) MarshalJSON() ([]byte, error) {
	k := keptField{f.Name, f.Place}
	if !f.placed() {
		k.Value = Ref{Text: f.Value.Written}
	}
	return json.Marshal(k)
}

// UnmarshalJSON takes it up again.
func (f *Field) UnmarshalJSON(data []byte) error {
	var k keptField
	if err := json.Unmarshal(data, &k); err != nil {
		return err
	}
	*f = Field{Name: k.Name, Place: k.Value}
	if !f.placed() {
		*f = Field{Name: k.Name, Value: sheet.ParseValue(k.Value.Text)}
	}
	return nil
}

// placed says that the field names a place that is there.
func (f *Field) placed() bool { return f.Place.At.Piece != 0 }

// empty says that the field has no value, so that no line of the file has it.
func (f *Field) empty() bool { return !f.placed() && f.Value.Type == sheet.None }

// said is the value without its quotes; empty for a place.
func (f *Field) said() string { return f.Value.Said() }

// says that two fields say the same.
func (f *Field) same(g *Field) bool {
	if f.placed() || g.placed() {
		return f.Place.At == g.Place.At
	}
	return f.Value.Same(&g.Value)
}

func valueField(name string, v sheet.Value) Field { return Field{Name: name, Value: v} }
func textField(name, text string) Field           { return valueField(name, sheet.TextOf(text)) }
func placeField(name string, at Anchor) Field     { return Field{Name: name, Place: Ref{At: at}} }

// field finds a field; one without a value when it is not there.
func (t *Thing) field(name string) Field {
	for _, f := range t.Fields {
		if f.Name == name {
			return f
		}
	}
	return Field{Name: name}
}

// at is the place that a field names.
func (t *Thing) at(name string) Anchor {
	f := t.field(name)
	return f.Place.At
}

// said is the value of a field, without its quotes.
func (t *Thing) said(name string) string {
	f := t.field(name)
	return f.said()
}

// put gives a field another value, adds it, or (an empty one) takes it out. One
// that says the same stays as it was written.
func (t *Thing) put(fields ...Field) {
	t.Fields = slices.Clone(t.Fields)
	for _, f := range fields {
		i := slices.IndexFunc(t.Fields, func(o Field) bool { return o.Name == f.Name })
		switch {
		case i < 0 && f.empty(), i >= 0 && f.same(&t.Fields[i]):
		case i < 0:
			t.Fields = append(t.Fields, f)
		case f.empty():
			t.Fields = slices.Delete(t.Fields, i, i+1)
		default:
			t.Fields[i] = f
		}
	}
}

// move brings a field that names a place to another one.
func (t *Thing) move(name string, to Anchor) {
	t.Fields = slices.Clone(t.Fields)
	for i := range t.Fields {
		if t.Fields[i].Name == name {
			t.Fields[i].Place.At = to
		}
	}
}

// Wrong is an error about one value of a thing.
type Wrong struct {
	Field string // an attribute as the file has it, or Name
	Err   error
}

// Name is the Field of a Wrong that speaks of what the thing is called.
const Name = "name"

func (w *Wrong) Error() string { return w.Err.Error() }

// Unwrap is the error itself.
func (w *Wrong) Unwrap() error { return w.Err }
