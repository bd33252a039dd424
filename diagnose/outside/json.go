package outside

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// JSON measures a text before it is parsed as JSON: one pass, no memory. Whether
// it is JSON is for the parser to say.
func (l Limits) JSON(src []byte) error {
	if err := l.Size(int64(len(src))); err != nil {
		return err
	}
	s := &scan{l: l, src: src, line: 1}
	for ; s.at < len(src); s.at++ {
		var err error
		switch b := src[s.at]; {
		case b == '\n':
			s.newline()
			continue
		case b == ' ' || b == '\t' || b == '\r' || b == ',' || b == ':':
			continue
		case b == '{' || b == '[':
			err = s.open()
		case b == '}' || b == ']':
			s.shut()
			continue
		case b == '"':
			err = s.quoted(false)
		case wordByte(b):
			err = s.word()
		}
		if err == nil {
			err = s.count()
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// Decode measures a text and parses it.
func (l Limits) Decode(src []byte, into any) error {
	if err := l.JSON(src); err != nil {
		return err
	}
	return json.Unmarshal(src, into)
}

// Twice gives the name of a key that stands twice in an object of a text that
// was measured, empty where none does.
func Twice(src []byte) (string, error) {
	type object struct {
		keys map[string]bool // nil: a list
		key  bool            // a key comes next
	}
	var open []object
	d := json.NewDecoder(bytes.NewReader(src))
	for {
		t, err := d.Token()
		if errors.Is(err, io.EOF) {
			return "", nil
		}
		if err != nil {
			return "", fmt.Errorf("it is no JSON: %w", err)
		}
		top := len(open) - 1
		switch v := t.(type) {
		case json.Delim:
			switch v {
			case '{':
				open = append(open, object{map[string]bool{}, true})
			case '[':
				open = append(open, object{})
			default:
				open = open[:top]
				if top > 0 {
					open[top-1].key = true
				}
			}
			continue
		case string:
			if top >= 0 && open[top].keys != nil && open[top].key {
				if open[top].keys[v] {
					return v, nil
				}
				open[top].keys[v], open[top].key = true, false
				continue
			}
		}
		if top >= 0 {
			open[top].key = true
		}
	}
}
