package walk

import (
	"errors"
	"path/filepath"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/layoutfile/course"
	"fishplate/layoutfile/shape"
)

const nothing = "nothing: walk it in piece by piece"

// startPanel asks what a new layout begins with.
func (starter starter) startPanel() panel {
	items := []item{{says: nothing, do: func(m *Model) tea.Msg { m.starter().aboutNew(nil); return nil }}}
	for _, s := range shape.All() {
		if s.Name == starter.m.set.Shape {
			return starter.newForm(&s)
		}
		items = append(items, item{says: s.Says, do: func(m *Model) tea.Msg { m.starter().aboutNew(&s); return nil }})
	}
	return &menu{title: "A new layout. Begin with", items: items, tall: true}
}

func (starter starter) aboutNew(s *shape.Shape) { starter.m.panel = starter.newForm(s) }

// newForm asks for name, units and track of a new layout, and for its file
// where none was named; a shape's sizes come after it.
func (starter starter) newForm(s *shape.Shape) panel {
	units := "inches"
	if starter.m.set.Metric {
		units = "millimeters"
	}
	f := &form{title: "A new layout", about: "Enter goes on with what stands here; Down goes to the next line.",
		tall: true,
		fields: []field{typed("name", layoutName(starter.m.set.Path), "what you call it"),
			chosen("lengths in", units, []string{"inches", "millimeters"}, ""),
			starter.tracks()}}
	if starter.m.set.Path == "" || len(starter.m.named) > 3 {
		f.fields = append(f.fields, typed("file", "my-layout.hcl", "where it is saved"))
	}
	for i, v := range starter.m.named {
		f.fields[i].input.Set(v)
	}
	f.cancel = func(m *Model) tea.Msg {
		m.named, m.set.Shape = f.values(), ""
		m.panel = m.starter().startPanel()
		return nil
	}
	f.done = func(m *Model, v []string) (tea.Msg, error) {
		m.named = v
		if v[0] == "" {
			return nil, &wrongField{0, errors.New("give the layout a name that you know it by")}
		}
		if len(v) > 3 {
			if v[3] == "" {
				return nil, &wrongField{3, errors.New("type the name of a file")}
			}
			m.set.Path = withEnding(v[3])
		}
		metric := v[1] == "millimeters"
		if s != nil {
			m.starter().shapeForm(s, v[0], v[2], metric)
			return nil, nil
		}
		c := course.New(v[0], v[2], metric)
		sizes := m.set.SizesIn
		if metric {
			sizes = m.set.SizesMM
		}
		if sizes != nil {
			c.Sizes = *sizes
		}
		m.starter().begin(c)
		return nil, nil
	}
	return f
}

// tracks asks for the kind of track.
func (starter starter) tracks() field {
	var names []string
	says := map[string]string{}
	for _, c := range starter.m.set.Constructions {
		names = append(names, c.Name)
		says[c.Name] = c.About
	}
	if len(names) == 0 {
		names = []string{"metal-tie"}
	}
	track := chosen("track", names[0], names, "")
	track.says = says
	return track
}

func withEnding(path string) string {
	if filepath.Ext(path) == "" {
		return path + ".hcl"
	}
	return path
}

// layoutName makes a name from that of the file: "shelf-oval.hcl" is "shelf
// oval".
func layoutName(path string) string {
	base := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	if path == "" || base == "" || base == "." {
		return "my layout"
	}
	return strings.NewReplacer("-", " ", "_", " ").Replace(base)
}

func (starter starter) shapeForm(s *shape.Shape, name, construction string, metric bool) {
	asked := s.Fields(metric)
	f := &form{title: strings.ToUpper(s.Says[:1]) + s.Says[1:], tall: true,
		about: "Enter takes it all as proposed. Feeders, tunnels and the rest are added on the way round.",
		cancel: func(m *Model) tea.Msg {
			m.panel = m.starter().newForm(s)
			return nil
		}}
	for _, a := range asked {
		f.fields = append(f.fields, typed(a.Label, a.Start, a.Hint))
	}
	f.done = func(m *Model, v []string) (tea.Msg, error) {
		sizes := map[string]string{}
		for i, a := range asked {
			sizes[a.Key] = v[i]
		}
		c, err := s.Make(name, construction, metric, sizes)
		var w *shape.Wrong
		if errors.As(err, &w) {
			for i, a := range asked {
				if a.Key == w.Key {
					return nil, &wrongField{i, w.Err}
				}
			}
		}
		if err != nil {
			return nil, err
		}
		m.starter().begin(c)
		m.origin = f
		m.tell("%d pieces laid; f puts a feeder here; arrows to a straight, then e t makes it a turnout; "+
			"w saves", c.Pieces())
		return nil, nil
	}
	starter.m.panel = f
}

func (starter starter) begin(c *course.Course) {
	starter.m.course, starter.m.origin = c, nil
	if c.State().Metric {
		starter.m.wire, starter.m.length = "0.75 mm2", "2 m"
	}
}
