package main

import (
	"flag"
	"fmt"
	"path/filepath"
	"strings"

	"fishplate/diagnose/card"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/spot"
)

const cardExample = "fishplate card LAYOUT --symptom short [--at PLACE] [--format text|md|html] [-o FILE]"

// cardCommand prints a hunt as a decision card.
func cardCommand(w *world, args []string) int {
	fs := flag.NewFlagSet("card", flag.ContinueOnError)
	kit := newKit()
	fs.Var(kit, "meters", "")
	symptom := fs.String("symptom", "", "")
	at := fs.String("at", "", "")
	depth := fs.Int("depth", 0, "")
	form := fs.String("format", "", "")
	file := fs.String("o", "", "")
	words, err := parse(fs, args)
	if err != nil {
		return w.usage(err.Error(), cardExample)
	}
	name, err := one(words, "")
	if err != nil {
		return w.usage(err.Error(), cardExample)
	}
	set, err := cardForm(*form, *file)
	if err != nil {
		return w.usage(err.Error(), cardExample)
	}
	s, err := cardSymptom(*symptom, *at)
	if err != nil {
		return w.usage(err.Error(), cardExample)
	}
	if *depth < 0 || *depth > card.MaxDepth {
		return w.usage(fmt.Sprintf("--depth %d: a card can be 1 to %d readings deep", *depth, card.MaxDepth), cardExample)
	}
	src, err := w.load(name)
	if err != nil {
		return w.refused(err)
	}
	c, err := card.Build(src.layout, card.Options{Symptom: s, Kit: kit.kit, Depth: *depth, Seed: 1, Where: whereOn(src.layout)})
	if err != nil {
		return w.fail(err)
	}
	text, err := set(c.Sheet(whereOn(src.layout)))
	if err != nil {
		return w.fail(err)
	}
	if *file == "" {
		return w.print(text)
	}
	if err := writeFile(*file, []byte(text)); err != nil {
		return w.fail(err)
	}
	return w.print("wrote " + *file + "\n")
}

// cardForm is how the card is set: as asked for, else by the file's name.
func cardForm(form, file string) (func(*card.Sheet) (string, error), error) {
	if form == "" {
		switch strings.ToLower(filepath.Ext(file)) {
		case ".html", ".htm":
			form = "html"
		case ".md":
			form = "md"
		default:
			form = "text"
		}
	}
	switch form {
	case "text":
		return func(s *card.Sheet) (string, error) { return s.Text(), nil }, nil
	case "md":
		return func(s *card.Sheet) (string, error) { return s.Markdown(), nil }, nil
	case "html":
		return (*card.Sheet).HTML, nil
	}
	return nil, fmt.Errorf("--format %s is none of text, md, html", form)
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
		out := d.What
		for _, more := range []string{d.Where, d.Side, d.Near} {
			if more != "" {
				out += ", " + more
			}
		}
		return out
	}
}
