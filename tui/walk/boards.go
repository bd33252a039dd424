package walk

import (
	tea "github.com/charmbracelet/bubbletea"
)

// board ends a board of a portable layout at the joint where the walk stands.
func board(m *Model, _ int) tea.Msg {
	own, err := m.course.Things().Board()
	if !m.check(err) {
		return nil
	}
	title := "A board of a portable layout ends here: " + m.course.Title(&own[0]) + " to " +
		m.course.Title(&own[len(own)-1])
	m.panel = &form{title: title, fields: []field{typed("its name", m.course.Things().NextBoard(),
		"in the order of setting up; the name of a board that is there: it goes on here")},
		done: func(m *Model, v []string) (tea.Msg, error) {
			if err := m.course.Things().EndBoard(v[0]); err != nil {
				return nil, err
			}
			m.tell("%s ends here; fishplate setup tests it on the evening", v[0])
			return nil, nil
		}}
	return nil
}
