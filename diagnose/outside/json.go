package outside

import "encoding/json"

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
