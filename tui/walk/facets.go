package walk

// A Model holds the walk's state and routes its keys. What it draws, what it
// asks and what it changes under the table are objects of their own.

// picture draws the map and the words beside it.
type picture struct{ m *Model }

func (m *Model) picture() picture { return picture{m} }

// asks makes the questions about what lies under the table.
type asks struct{ m *Model }

func (m *Model) asks() asks { return asks{m} }

// underTable is the forms and menus of what lies under the table.
type underTable struct{ m *Model }

func (m *Model) under() underTable { return underTable{m} }

// saver writes the file, and asks where and whether.
type saver struct{ m *Model }

func (m *Model) saver() saver { return saver{m} }

// starter begins a new layout.
type starter struct{ m *Model }

func (m *Model) starter() starter { return starter{m} }
