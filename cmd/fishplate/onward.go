package main

import "fishplate/diagnose/hunt"

// onward is a hunt that another work leads to, with what that told of the fault.
type onward struct {
	src     *source
	kit     *kitFlag
	config  *config
	symptom hunt.Symptom
	plain   bool // line by line, also where there is a terminal
}

// onward begins such a hunt, on the screens where there is a terminal, else line by line
// with what stands behind what was read so far.
func (w *world) onward(o *onward, in *lines) int {
	if _, _, ok := w.terminal(); ok && !o.plain {
		return screens(w, screenArgs{name: o.src.name, kit: o.kit, config: o.config, symptom: &o.symptom})
	}
	if !typedAt(w.in) {
		w.in = in.r
	}
	return huntPlain(w, huntArgs{name: o.src.name, plain: true, kit: o.kit, config: o.config, symptom: &o.symptom})
}
