package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"fishplate/diagnose/card"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/spot"
)

// cardArgs is a card as asked for.
type cardArgs struct {
	kit         *kitFlag
	symptom, at string
	depth       int
	form, file  string
}

func (w commands) cardCommand() *cobra.Command {
	a := cardArgs{kit: newKit()}
	c := w.does(&cobra.Command{
		Use:   "card LAYOUT --symptom KIND [--at PLACE]",
		Short: "the whole hunt as a card on paper, two pages",
		Long: "Writes a hunt out for paper: one reading a box, where each outcome leads, and lists of pieces. " +
			"weak and dead need the place where it shows.",
		Example: "fishplate card demo --symptom short\nfishplate card shelf.hcl --symptom dead --at \"main 12\" " +
			"--battery --lamp P21W -o card.html",
	}, func(words []string) int { return w.card(&a, words) })
	fs := c.Flags()
	fs.StringVar(&a.symptom, "symptom", "", "what is wrong: `KIND` is short, weak or dead")
	fs.StringVar(&a.at, "at", "", "the `PLACE` where it shows, a piece or a joint")
	fs.IntVar(&a.depth, "depth", 0, "at most `N` readings in a row")
	kitFlags(c, a.kit)
	fs.StringVar(&a.form, "format", "", "`FORM` is text, md or html (prints on A4 or letter)")
	fs.StringVarP(&a.file, "output", "o", "", "write it to `FILE`; its ending tells the form")
	offer(c, "symptom", choices("short", "weak", "dead"))
	offer(c, "format", choices("text", "md", "html"))
	offer(c, "at", cobra.NoFileCompletions)
	offer(c, "depth", cobra.NoFileCompletions)
	return w.onLayout(c, false)
}

// card prints a hunt as a decision card.
func (w *world) card(a *cardArgs, words []string) int {
	name, err := one(words, "")
	if err != nil {
		return w.usage(err.Error(), "")
	}
	w.settle(w.now.Flags(), a.kit)
	form, set, err := cardForm(a.form, a.file)
	if err != nil {
		return w.usage(err.Error(), "")
	}
	s, err := cardSymptom(a.symptom, a.at)
	if err != nil {
		return w.usage(err.Error(), "")
	}
	if a.depth < 0 || a.depth > card.MaxDepth {
		return w.usage(fmt.Sprintf("--depth %d: a card can be 1 to %d readings deep", a.depth, card.MaxDepth), "")
	}
	src, err := w.load(name)
	if err != nil {
		return w.refused(err)
	}
	c, err := card.Build(src.layout, card.Options{Symptom: s, Kit: a.kit.kit, Depth: a.depth, Seed: 1,
		Where: whereOn(src.layout)})
	if err != nil {
		return w.fail(err)
	}
	text, err := set(c.Sheet(whereOn(src.layout)))
	if err != nil {
		return w.fail(err)
	}
	return w.deliver(text, form, a.file, "wrote %s")
}

// cardForm is how the card is set: as asked for, else by the file's name.
func cardForm(form, file string) (string, func(*card.Sheet) (string, error), error) {
	form, err := formOf(form, file, "text")
	if err != nil {
		return "", nil, err
	}
	switch form {
	case "md":
		return form, func(s *card.Sheet) (string, error) { return s.Markdown(), nil }, nil
	case "html":
		return form, (*card.Sheet).HTML, nil
	}
	return form, func(s *card.Sheet) (string, error) { return s.Text(), nil }, nil
}

// cardSymptom reads what is wrong.
func cardSymptom(kind, at string) (hunt.Symptom, error) {
	s := hunt.Symptom{Kind: hunt.SymptomKind(kind), At: at}
	switch s.Kind {
	case hunt.SymptomShort, hunt.SymptomShortTrain:
	case hunt.SymptomWeak, hunt.SymptomDead:
		if at == "" {
			return s, fmt.Errorf("--symptom %s needs the place where it shows, for example --at \"main 12\"", kind)
		}
	case "":
		return s, fmt.Errorf("say what is wrong: --symptom short, weak or dead")
	default:
		return s, fmt.Errorf("--symptom %s is none of short, weak, dead", kind)
	}
	return s, nil
}

// whereOn says in words where the points of a layout are.
func whereOn(l *track.Layout) card.Where {
	return func(name string) string {
		d := spot.Describe(l, spot.Parse(l, name))
		// one card has readings with it in and without
		if p := spot.Parse(l, name); p.Kind == spot.Post && p.Wire == "hot" {
			d.Where += " (behind the lamp, if one is in)"
		}
		out := d.What
		for _, more := range []string{d.Where, d.Side, d.Near} {
			if more != "" {
				out += ", " + more
			}
		}
		return out
	}
}
