package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"sort"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/outside"
)

// huntJSON runs a hunt for programs: one JSON object a line, in and out.
func huntJSON(w *world, a huntArgs) int {
	src, err := w.load(a.name)
	if err != nil {
		return w.refused(err)
	}
	s := &jsonSession{src: src, kit: a.kit.kit, hunt: hunt.New(src.layout, a.kit.kit), out: w.programs()}
	if a.save != "" {
		if s.keep, err = keep(src, a.save); err != nil {
			return w.fail(err)
		}
		s.keep.aside = !a.resume
		defer s.end()
	}
	if a.resume {
		if err := s.takeUp(src, a); err != nil {
			return w.fail(err)
		}
		if err := s.step(); err != nil {
			return w.fail(err)
		}
	}
	if err := s.run(newLines(w.in)); err != nil {
		return w.fail(err)
	}
	return exitOK
}

// jsonSession is one hunt with a program at the other end.
type jsonSession struct {
	src  *source
	kit  hunt.Kit // what the hunt was begun with
	hunt *hunt.Hunt
	keep *store
	out  io.Writer
}

// takeUp goes on with a kept hunt. Without --save it is only read.
func (s *jsonSession) takeUp(src *source, a huntArgs) error {
	st := s.keep
	if st == nil {
		var err error
		if st, err = keep(src, ""); err != nil {
			return err
		}
	}
	st.strict = true
	e, err := st.wanted(a.record)
	if err != nil {
		return err
	}
	if e == nil {
		return st.nothing()
	}
	old, err := resume(src, a.kit, e)
	if err != nil {
		return fmt.Errorf("the hunt kept in %s cannot be gone on with: %w", e.path, err)
	}
	s.hunt, s.kit = old.hunt, old.kit
	if s.keep != nil {
		return s.keep.goOn(e)
	}
	return nil
}

// end notes what the hunt has come to. What this could lose is worked out
// again from the journal.
func (s *jsonSession) end() {
	v := s.hunt.View()
	s.keep.see(s.hunt, &v)
	_ = s.keep.close()
}

// run answers line after line until the program quits or is gone.
func (s *jsonSession) run(in *lines) error {
	for {
		text, err := in.next()
		switch {
		case errors.Is(err, io.EOF):
			return nil
		case errors.Is(err, errLongLine):
			err = s.refuse(err)
		case err != nil:
			return fmt.Errorf("could not read the next line: %w", err)
		default:
			var quit bool
			if quit, err = s.line(text); quit {
				return err
			}
		}
		if err != nil {
			return err
		}
	}
}

// line takes one object in and answers it. What is wrong with it is answered
// too; the error is about writing.
func (s *jsonSession) line(text string) (quit bool, err error) {
	m, err := object(text)
	if err != nil {
		return false, s.refuse(err)
	}
	if kit, ok := m["kit"]; ok && len(m) == 1 {
		return false, s.setKit(kit)
	}
	if answered, err := s.shown(m); answered || err != nil {
		return false, err
	}
	e, err := event(m)
	if err != nil {
		return false, s.refuse(err)
	}
	ended := s.hunt.View().Step.Done != nil
	if err := s.hunt.Apply(e); err != nil {
		return false, s.refuse(err)
	}
	if s.keep != nil {
		if err := save(s.hunt, s.keep); err != nil { // the answer is taken, and the hunt lives
			return e.Quit, s.refuse(err)
		}
	}
	if !e.Quit {
		return false, s.step()
	}
	if d := s.hunt.View().Step.Done; d != nil && !ended {
		return true, s.step()
	}
	return true, s.put(jsonNote{"quit", "left"})
}

// jsonNote is an object that only says something.
type jsonNote struct {
	Type    string `json:"type"`
	Message string `json:"message"`
}

// kinds names all symptoms.
func kinds() string {
	var out []string
	for _, k := range hunt.Symptoms() {
		out = append(out, string(k))
	}
	return strings.Join(out, ", ")
}

// save keeps a hunt.
func save(h *hunt.Hunt, st *store) error {
	data, err := h.Save()
	if err == nil {
		err = st.write(data)
	}
	if err != nil {
		return fmt.Errorf("could not save the hunt: %w", err)
	}
	return nil
}

// refuse says what was wrong, and what is wanted still.
func (s *jsonSession) refuse(why error) error {
	v := s.hunt.View()
	return s.put(struct {
		Type    string `json:"type"`
		Message string `json:"message"`
		Step    any    `json:"step"`
	}{"error", why.Error(), stepOf(&v)})
}

// step writes what the hunt wants now.
func (s *jsonSession) step() error {
	v := s.hunt.View()
	return s.put(stepOf(&v))
}

// stepOf is what a hunt wants, for programs.
func stepOf(v *hunt.View) any {
	step := v.Step
	switch {
	case step.Ask != nil:
		return struct {
			Type string `json:"type"`
			hunt.Ask
			Warnings []string `json:"warnings,omitempty"`
		}{"ask", whole(*step.Ask), v.Warnings}
	case step.Inspect != nil:
		in := *step.Inspect
		in.Pieces = list(in.Pieces)
		return struct {
			Type string `json:"type"`
			hunt.Inspect
			Warnings []string `json:"warnings,omitempty"`
		}{"inspect", in, v.Warnings}
	case step.Done != nil:
		d := *step.Done
		if d.Prove != nil {
			p := whole(*d.Prove)
			d.Prove = &p
		}
		return struct {
			Type string `json:"type"`
			hunt.Done
			Warnings []string `json:"warnings,omitempty"`
		}{"done", d, v.Warnings}
	}
	return jsonNote{"start", "say what is wrong: " + kinds()}
}

// whole gives an ask whose lists are there even when they are empty.
func whole(a hunt.Ask) hunt.Ask {
	a.Expect, a.Steps = list(a.Expect), list(a.Steps)
	a.Setup.Loads, a.Setup.Lifted, a.Setup.Pulled = list(a.Setup.Loads), list(a.Setup.Lifted), list(a.Setup.Pulled)
	if a.Setup.Thrown == nil {
		a.Setup.Thrown = map[string]string{}
	}
	return a
}

func list[T any](s []T) []T {
	if s == nil {
		return []T{}
	}
	return s
}

// put writes one object as one line, in one piece: a reader that waits for the
// line gets it at once.
func (s *jsonSession) put(v any) error {
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return fmt.Errorf("could not put the next step into words: %w", err)
	}
	_, err := io.WriteString(s.out, b.String())
	return err
}

// keys of an object in, with an example of each.
var jsonKeys = map[string]string{
	"kit":       `{"kit":{"lamp_watts":21,"lamp_volts":12}}`,
	"symptom":   `{"symptom":"short"}`,
	"reading":   `{"reading":"212 mV"}`,
	"skip":      `{"skip":"cannot reach"}`,
	"change":    `{"change":{"n":2,"reading":"0.4"}}`,
	"undo":      `{"undo":1}`,
	"redo":      `{"redo":1}`,
	"show":      `{"show":"evidence"}`,
	"without":   `{"without":2}`,
	"found":     `{"found":"main 31"}`,
	"not_found": `{"not_found":"main 31"}`,
	"quit":      `{"quit":true}`,
}

func knownKeys() string { return strings.Join(sortedKeys(jsonKeys), ", ") }

// object reads a line as one JSON object.
func object(text string) (map[string]json.RawMessage, error) {
	if err := outside.Door.JSON([]byte(text)); err != nil {
		return nil, err
	}
	var m map[string]json.RawMessage
	if err := json.Unmarshal([]byte(text), &m); err != nil || m == nil {
		return nil, fmt.Errorf(`the line is not a JSON object; write for example {"reading":"212 mV"}`)
	}
	return m, once(json.NewDecoder(strings.NewReader(text)), true)
}

// once says which key stands twice in an object, or in one inside: the second
// would silently win. Capitals tell no keys apart, but names of turnouts.
func once(d *json.Decoder, fold bool) error {
	t, err := d.Token()
	open, isOpen := t.(json.Delim)
	if err != nil || !isOpen {
		return nil // a plain value; what is no JSON was said before
	}
	seen := map[string]bool{}
	for d.More() {
		inner := fold
		if open == '{' {
			key, _ := d.Token()
			name, _ := key.(string)
			if inner = fold && name != "thrown"; fold {
				name = strings.ToLower(name)
			}
			if seen[name] {
				return fmt.Errorf("%q stands twice on the line; write it once", name)
			}
			seen[name] = true
		}
		if err := once(d, inner); err != nil {
			return err
		}
	}
	_, _ = d.Token() // its end
	return nil
}

// event reads one object as what was said of the layout.
func event(m map[string]json.RawMessage) (hunt.Event, error) {
	var e hunt.Event
	at, hasAt := m["at"]
	sometimes, hasSometimes := m["sometimes"]
	thrown, hasThrown := m["thrown"]
	probe, hasProbe := m["probe"]
	delete(m, "at")
	delete(m, "sometimes")
	delete(m, "thrown")
	delete(m, "probe")
	key := ""
	for _, k := range sortedKeys(m) {
		if jsonKeys[k] == "" {
			if n := nearest(k, sortedKeys(jsonKeys)); n != "" {
				return e, fmt.Errorf("%q is not known; did you mean %q?", k, n)
			}
			return e, fmt.Errorf("%q is not known; one of these goes on a line: %s", k, knownKeys())
		}
		if key != "" {
			return e, fmt.Errorf("%s and %s stand on one line; write one of them on a line", key, k)
		}
		key = k
	}
	switch {
	case key == "":
		return e, fmt.Errorf("the object says nothing; one of these goes on a line: %s", knownKeys())
	case hasAt && key != "symptom":
		return e, fmt.Errorf(`at goes with symptom only, as in {"symptom":"dead","at":"main 12"}`)
	case hasSometimes && key != "symptom":
		return e, fmt.Errorf(`sometimes goes with symptom only, as in {"symptom":"short","sometimes":true}`)
	case hasThrown && key != "symptom":
		return e, fmt.Errorf("thrown goes with symptom only, as in %s", thrownExample)
	case hasProbe && key != "skip":
		return e, fmt.Errorf("probe goes with skip only, as in %s", probeExample)
	}
	if err := fill(&e, key, m[key], at); err != nil {
		return e, err
	}
	if hasSometimes && json.Unmarshal(sometimes, &e.Symptom.Sometimes) != nil {
		return e, fmt.Errorf(`sometimes is true or false, as in {"symptom":"short","sometimes":true}`)
	}
	if hasThrown && (json.Unmarshal(thrown, &e.Symptom.Thrown) != nil || e.Symptom.Thrown == nil) {
		return e, fmt.Errorf("thrown is how turnouts stood when it tripped, as in %s", thrownExample)
	}
	if hasProbe && json.Unmarshal(probe, &e.Probe) != nil {
		return e, fmt.Errorf("probe is red or black, as in %s", probeExample)
	}
	return e, nil
}

const probeExample = `{"skip":"cannot reach","probe":"red"}`

const thrownExample = `{"symptom":"short","thrown":{"W1":"diverging"}}`

func sortedKeys[T any](m map[string]T) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// fill puts the value of the only key into the event.
func fill(e *hunt.Event, key string, value, at json.RawMessage) error {
	wrong := fmt.Errorf("%s is not written like this; write for example %s", key, jsonKeys[key])
	switch key {
	case "undo":
		if json.Unmarshal(value, &e.Undo) != nil || e.Undo < 1 {
			return wrong
		}
		return nil
	case "redo":
		if json.Unmarshal(value, &e.Redo) != nil || e.Redo < 1 {
			return wrong
		}
		return nil
	case "quit":
		if json.Unmarshal(value, &e.Quit) != nil || !e.Quit {
			return wrong
		}
		return nil
	case "change":
		dec := json.NewDecoder(strings.NewReader(string(value)))
		dec.DisallowUnknownFields()
		if dec.Decode(&e.Change) != nil || e.Change == nil {
			return wrong
		}
		return nil
	}
	s := ""
	if json.Unmarshal(value, &s) != nil || strings.TrimSpace(s) == "" {
		return wrong
	}
	switch key {
	case "symptom":
		e.Symptom = &hunt.Symptom{Kind: hunt.SymptomKind(s)}
		if at != nil && json.Unmarshal(at, &e.Symptom.At) != nil {
			return fmt.Errorf(`at is a piece or a joint in quotes, as in {"symptom":"dead","at":"main 12"}`)
		}
	case "reading":
		e.Reading = s
	case "skip":
		e.Skip = s
	case "found":
		e.Found = s
	case "not_found":
		e.NotFound = s
	}
	return nil
}
