package infer

// Known is the belief given that some suspect of the file, or a cause off the
// track, explains the readings: "not on the map" taken out. Nil where nothing
// else is left.
func (p *Posterior) Known(e *Engine) *Posterior {
	q := *p
	q.Hypo = append([]float64(nil), p.Hypo...)
	q.Pairs = append([]Pair(nil), p.Pairs...)
	rest := 0.0
	for i := range q.Hypo {
		if e.Hypos[i].blank {
			q.Hypo[i] = 0
		}
		rest += q.Hypo[i]
	}
	for i := range q.Pairs {
		rest += q.Pairs[i].P
	}
	if rest < 1e-200 {
		return nil
	}
	for i := range q.Hypo {
		q.Hypo[i] /= rest
	}
	for i := range q.Pairs {
		q.Pairs[i].P /= rest
	}
	q.Misread = make([]float64, len(p.Misread))
	for i, m := range p.Misread {
		q.Misread[i] = min(m/rest, 1)
	}
	q.Sum(e)
	return &q
}
