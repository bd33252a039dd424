package course

// A Course holds the layout, its history and the cursor. What is done to it is
// sorted by topic; each topic is an object of its own whose changes are steps
// of undo of the course.

// Wiring is what lies under the table.
type Wiring struct{ c *Course }

// Wiring is what lies under the table.
func (c *Course) Wiring() Wiring { return Wiring{c} }

// Ends is what runs begin and end at, and how they are joined.
type Ends struct{ c *Course }

// Ends is what runs begin and end at, and how they are joined.
func (c *Course) Ends() Ends { return Ends{c} }

// Stretches is what lies on several pieces of a run: blocks, insulated rails.
type Stretches struct{ c *Course }

// Stretches is what lies on several pieces of a run: blocks, insulated rails.
func (c *Course) Stretches() Stretches { return Stretches{c} }

// Things is everything that is no run.
type Things struct{ c *Course }

// Things is everything that is no run.
func (c *Course) Things() Things { return Things{c} }

// Sizing is how pieces and their sizes are written.
type Sizing struct{ c *Course }

// Sizing is how pieces and their sizes are written.
func (c *Course) Sizing() Sizing { return Sizing{c} }

// Cursor is where one stands.
type Cursor struct{ c *Course }

// Cursor is where one stands.
func (c *Course) Cursor() Cursor { return Cursor{c} }

// Laying is putting pieces in and taking them out where one stands.
type Laying struct{ c *Course }

// Laying is putting pieces in and taking them out where one stands.
func (c *Course) Laying() Laying { return Laying{c} }

// opener takes a file, or a walk that was kept, up.
type opener struct{ c *Course }

func (c *Course) opener() opener { return opener{c} }

// looking reads the layout as it stands, for the map and for what is wrong.
type looking struct{ c *Course }

func (c *Course) looking() looking { return looking{c} }
