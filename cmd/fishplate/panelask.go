package main

import (
	"errors"
	"io"

	"fishplate/diagnose/panel"
)

// join leads through the joining line by line.
func (b *blocks) join(plan *panel.Plan) int {
	in := newLines(b.in)
	if says := plan.Elsewhere(); says != "" {
		b.say(says)
	}
	care := plan.Cautions()
	b.say("Caution: "+care[0], plan.Stands(), "Enter: it is done. u: the one before is not done. q ends for now.")
	for all, warned := plan.All(), false; ; {
		steps, at := plan.Steps(), plan.Next()
		if at < 0 {
			b.say("All wires are joined.", "Caution: "+care[2])
			return exitOK
		}
		step := &steps[at]
		if step.Solder && !warned {
			b.say("Caution: " + care[1])
			warned = true
		}
		b.say(step.Text)
		text, err := in.next()
		done := text == ""
		switch {
		case errors.Is(err, io.EOF), text == "q", text == "quit":
			return b.print(keptTicks("panel", b.src.name) + " --ask\n")
		case err != nil:
			return b.fail(err)
		case (text == "u" || text == "undo") && at > 0:
			step = &steps[at-1]
		case text == "u" || text == "undo":
			b.say("This is the first one.")
			continue
		case !done:
			b.say("Press Enter alone when it is done; u takes the one before back, q ends for now.")
			continue
		}
		if err := b.keep(len(plan.Wires), &all[step.Wire], step, done); err != nil {
			return b.fail(err)
		}
		plan.Does(step, done)
	}
}
