package health

// Worse is what a reading shows with a link so many ohms worse, by the formula.
func (c *Check) Worse(k, link int, more float64) float64 {
	return c.rows[k].volts + c.change(link, more)[k]
}
