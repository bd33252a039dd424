package infer

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/plan"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/unit"
)

// Question is a reading that could be taken.
type Question struct {
	Setup      conductor.Setup
	Func       meter.Function
	Red, Black int
	Minutes    float64
}

// Outlook is what a question is worth and what it is expected to show.
type Outlook struct {
	Bits float64 // information about what would be lifted
	// Told is the information about what is wrong and where, of a beeper alone:
	// which rail is open tells nothing yet of what would be lifted.
	Told float64
	// By group of hypotheses: weight, decision class, and what the reading
	// would be. For a beeper Beep is the probability of a tone, for a lamp of
	// light, and Bright that of full light. Over is that of no path or more than
	// the limit.
	Weight   []float64
	Class    []int
	Members  [][]int     // every class that a row of neighbours holds
	Share    [][]float64 // the part of the row's weight that each of them has
	Line     []string    // what it lies along: what is wrong, on which rails
	Mean, SD []float64
	Beep     []float64
	Bright   []float64
	Over     []float64
	// Failed is what could not be worked out on the way, for all questions together.
	Failed Failures
}

// Open says whether no path, or more than the limit, is what row i likely shows.
func (o *Outlook) Open(i int) bool { return o.Over[i] > 0.5 }

// scoreTiles is how many rows of neighbouring pieces a question is weighed
// over: enough to find a good one, few enough to answer at once.
const scoreTiles = 36

// scoring says what each question is worth.
type scoring struct{ *Engine }

// A question is weighed over hypotheses of worthAsking and more, and over the heaviest
// that hold mostBelief where these hold less; a value's density is summed at
// densityPoints places (assumed). limitStep
// is how far the two ends of a display's limit stay apart, as a part.
const (
	worthAsking   = 3e-4
	mostBelief    = 0.95
	densityPoints = 96
	limitStep     = 1.01
)

// worthScoring lists the hypotheses that a question is weighed over. "Not on the map"
// foretells nothing: where nearly all of the belief is there, it is over what the rest is in.
func (e scoring) worthScoring(p *Posterior) []int {
	weight := slices.Clone(twoOpens{e.Engine}.shown(p.Hypo))
	for h := range weight {
		if e.Hypos[h].blank {
			weight[h] = 0
		}
	}
	alive := likeliest(weight, worthAsking, mostBelief)
	for i := range p.Pairs[:min(len(p.Pairs), scoreTiles)] { // the frame must keep what the pairs change
		alive = append(alive, p.Pairs[i].A, p.Pairs[i].B)
	}
	slices.Sort(alive)
	return slices.Compact(alive)
}

// likeliest lists those that weigh at least floor, and where these hold less than
// a share of the whole, as on a big layout of which nothing is known yet, the
// heaviest that do.
func likeliest(weight []float64, floor, share float64) []int {
	alive := aliveBy(weight, floor)
	held, all := 0.0, 0.0
	for _, i := range alive {
		held += weight[i]
	}
	for _, w := range weight {
		all += w
	}
	if held >= share*all {
		return alive
	}
	order := aliveBy(weight, math.SmallestNonzeroFloat64)
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(weight[b], weight[a]) })
	held = 0
	for n, i := range order {
		if held += weight[i]; held >= share*all {
			order = order[:n+1]
			break
		}
	}
	slices.Sort(order)
	return order
}

func (e scoring) score(p *Posterior, obs []Observation, questions []Question, alive []int, tiles int) []Outlook {
	setups, keys := distinctSetups(obs)
	var points []int
	for i := range obs {
		points = append(points, obs[i].Red, obs[i].Black)
	}
	read := len(points)
	qkeys := make([]string, len(questions))
	seen := map[string]bool{}
	for i := range questions {
		q := &questions[i]
		points = append(points, q.Red, q.Black)
		qkeys[i] = q.Setup.Key()
		if !seen[qkeys[i]] {
			seen[qkeys[i]] = true
			setups = append(setups, q.Setup)
		}
	}
	pairs := p.Pairs[:min(len(p.Pairs), tiles)]
	for i := range pairs {
		points = append(points, framer{e.Engine}.pointsOf(&e.Hypos[pairs[i].A])...)
		points = append(points, framer{e.Engine}.pointsOf(&e.Hypos[pairs[i].B])...)
	}
	f := framer{e.Engine}.newFrame(alive, p.Hypo, setups, points, read, tiles, p.scale)
	sc := scorer{s: e.newStage(f, obs), keys: keys, questions: questions, qkeys: qkeys}
	sc.cells = e.scoreCells(p, obs, questions)
	sc.value, sc.step = make([]float64, len(obs)), make([]float64, len(obs))
	for i := range obs {
		sc.value[i], sc.step[i] = e.value(&obs[i])
	}
	sc.finest = Finest(obs)
	rows := e.rowsOf(f, p, pairs)
	sc.sights = sightings(questions, qkeys)
	sc.out = make([]Outlook, len(questions))
	for i := range sc.out {
		sc.out[i].reserve(rows)
	}
	spread(len(rows), func() *scorer {
		own := sc
		own.s = sc.s.again()
		return &own
	}, func(sc *scorer, i int) { sc.weighHypo(&rows[i], i) })
	spread(len(questions), func() *plan.Scratch { return &plan.Scratch{} }, func(work *plan.Scratch, i int) {
		sc.out[i].weigh(questions[i].Func, len(e.Classes), work)
		sc.out[i].Failed = sc.s.failed.sum()
	})
	return sc.out
}

// scoreCells are the level cells that questions are weighed in: where the lamp
// that was read behind is the one asked about, those that hold something.
func (e scoring) scoreCells(p *Posterior, obs []Observation, questions []Question) []levelCell {
	read := anyBehindLamp(obs)
	lamp := read
	for i := range questions {
		lamp = lamp || behindLamp(&questions[i].Setup)
	}
	cells := relative(e.Model.cells(lamp), p.scale)
	if lamp == read && len(p.cell) == len(cells) {
		cells = slices.DeleteFunc(without(cells, p.cell), func(c levelCell) bool { return math.IsInf(c.logPrior, -1) })
	}
	return cells
}

// Finest is the finest step that each function has shown: a meter that gave
// tenths of a volt is not asked as if it gave hundredths.
func Finest(obs []Observation) map[meter.Function]float64 {
	out := map[meter.Function]float64{}
	for i := range obs {
		f, step := obs[i].Func, obs[i].Shown.Step
		if old, ok := out[f]; step > 0 && (!ok || step < old) {
			out[f] = step
		}
	}
	return out
}

// scoreRow is a hypothesis that questions are weighed over: what it stands for.
type scoreRow struct {
	hypo    *Hypo
	sev     severity
	weight  float64
	span    float64 // pieces
	members []int   // classes
	share   []float64
	line    string
}

// rowsOf lists the groups of a frame and the pairs that have weight.
func (e scoring) rowsOf(f *frame, p *Posterior, pairs []Pair) []scoreRow {
	var out []scoreRow
	for gi := range f.groups {
		g := &f.groups[gi]
		h := &e.Hypos[g.lead]
		if w := g.weightOf(p.Hypo); w > 0 {
			members, share := e.classesOf(g, p.Hypo)
			out = append(out, scoreRow{h, meanSeverity(h.sevs, p.Severity[g.lead]), w, g.span, members, share,
				e.lineOf(h)})
		}
	}
	for i := range pairs {
		if pairs[i].P > 0 {
			a, b := &e.Hypos[pairs[i].A], &e.Hypos[pairs[i].B]
			out = append(out, scoreRow{&pairs[i].hypo, pairs[i].sev, pairs[i].P, 1, []int{a.Class, b.Class},
				[]float64{0.5, 0.5}, ""})
		}
	}
	return out
}

// lineOf is what a hypothesis lies along.
func (e scoring) lineOf(h *Hypo) string {
	if h.Suspect < 0 {
		return ""
	}
	s := &e.Suspects[h.Suspect]
	if h.cut > 0 {
		return fmt.Sprintf("%s-%d %s", s.Mode, h.cut, s.Rail)
	}
	return string(s.Mode) + " " + s.Rail
}

// classesOf lists the classes of a group, each once, with the part of the
// group's weight that each has.
func (e scoring) classesOf(g *group, weight []float64) (classes []int, share []float64) {
	all := g.weightOf(weight)
	for _, h := range g.hypos {
		c := e.Hypos[h].Class
		k := slices.Index(classes, c)
		if k < 0 {
			k = len(classes)
			classes, share = append(classes, c), append(share, 0)
		}
		share[k] += weight[h] / all
	}
	return classes, share
}

// reserve makes room for what the rows predict.
func (o *Outlook) reserve(rows []scoreRow) {
	n := len(rows)
	o.Line, o.Share = make([]string, n), make([][]float64, n)
	o.Weight, o.Class, o.Members = make([]float64, n), make([]int, n), make([][]int, n)
	o.Mean, o.SD, o.Beep, o.Over = make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	o.Bright = make([]float64, n)
	for i := range rows {
		o.Weight[i], o.Class[i], o.Members[i] = rows[i].weight, rows[i].hypo.Class, rows[i].members
		o.Line[i], o.Share[i] = rows[i].line, rows[i].share
	}
}

type scorer struct {
	s           *stage
	keys, qkeys []string
	questions   []Question
	sights      [][]int // questions between the same points, which differ in the dial alone
	cells       []levelCell
	value, step []float64
	finest      map[meter.Function]float64 // the finest step that the display has shown
	out         []Outlook
	// Memory, used again and again.
	buf, k    []float64
	crossRest [][numGrows]float64
	cov       spreads
	conds     []condition
}

// weighHypo predicts all questions for one row.
func (sc *scorer) weighHypo(r *scoreRow, row int) {
	h, sev, span := r.hypo, r.sev, r.span
	e := sc.s.e
	own := map[string]*predict.Circuit{}
	cs := sc.s.cases(h, sev, own)
	fs := make([]forecast, len(sc.s.obs))
	for i := range fs {
		fs[i] = cs.forecast(&sc.s.obs[i], sc.keys[i], h.Slides, sc.step[i])
	}
	j := sc.s.jointOf(fs, sev, span, span)
	conds := sc.conditions(j)
	parts := make([][]shared, j.n)
	for a, i := range j.obs {
		parts[a] = e.sharedParts(&sc.s.obs[i], &fs[i], sev, span, nil)
	}
	for _, same := range sc.sights {
		o, f := sc.sight(cs, h, same[0])
		cov := sc.covary(j, fs, &f.m)
		for k, qi := range same {
			if o.Func = sc.questions[qi].Func; k > 0 && !math.IsInf(f.ohms, 1) {
				e.dress(&f, &o, sc.finest[o.Func])
			}
			out := &sc.out[qi]
			beep, over := 0.0, 0.0
			mean, variance := 0.0, 1.0
			switch {
			case o.Func == meter.Beeper:
				beep = e.Model.Meter.BeepOdds(f.ohms)
			case o.Func == meter.Lamp:
				var dark float64
				out.Bright[row], _, dark = lightOdds(f.light)
				beep = 1 - dark
			case math.IsInf(f.m.Mean, 0):
				over = 1
			default:
				mean, variance = sc.predict(j, cov, conds, parts, &f, &o, e.sharedParts(&o, &f, sev, span, nil))
				over = overOdds(sc.limit(o.Func, fs), mean, math.Sqrt(variance))
			}
			out.Beep[row], out.Over[row] = beep, over
			out.Mean[row], out.SD[row] = mean, math.Sqrt(variance)
		}
	}
}

// limit is the range of a function with what the readings say of its limit, if
// this row is true: what was over it, and what was shown.
func (sc *scorer) limit(f meter.Function, fs []forecast) meter.Range {
	r := sc.s.e.Model.Meter.Of(f)
	for i := range fs {
		o := &sc.s.obs[i]
		switch v := math.Abs(fs[i].m.Mean); {
		case o.Func != f || math.IsInf(v, 0):
		case o.Shown.Kind == unit.OverLimit:
			r.Over[1] = math.Min(r.Over[1], math.Max(v, limitStep*r.Over[0]))
		case o.Shown.Kind == unit.Value && math.Abs(o.Shown.Value) > r.Over[0]:
			r.Over[0] = math.Min(math.Abs(o.Shown.Value), r.Over[1]/limitStep)
		}
	}
	return r
}

// sight predicts a question. The moments lie in the scorer's own memory.
func (sc *scorer) sight(cs *cases, h *Hypo, qi int) (Observation, forecast) {
	q := &sc.questions[qi]
	o := Observation{Setup: q.Setup, Func: q.Func, Red: q.Red, Black: q.Black}
	f := cs.forecastIn(sc.buf, &o, sc.qkeys[qi], h.Slides, sc.finest[q.Func])
	if f.m.S != nil {
		sc.buf = f.m.S
	}
	return o, f
}

// sightings puts the questions together that read volts between the same
// points in the same set-up: millivolts and volts.
func sightings(questions []Question, keys []string) [][]int {
	type place struct {
		key        string
		red, black int
	}
	at := map[place]int{}
	out := make([][]int, 0, len(questions))
	for i := range questions {
		q := &questions[i]
		if q.Func != meter.Millivolts && q.Func != meter.Volts {
			out = append(out, []int{i})
			continue
		}
		k := place{keys[i], q.Red, q.Black}
		if first, ok := at[k]; ok {
			out[first] = append(out[first], i)
			continue
		}
		at[k] = len(out)
		out = append(out, []int{i})
	}
	return out
}

// meanSeverity is one Gaussian for a posterior over severity cells.
func meanSeverity(sevs []severity, w []float64) severity {
	if len(sevs) == 1 {
		return sevs[0]
	}
	m, m2, sum := 0.0, 0.0, 0.0
	for k, s := range sevs {
		l := math.Log(s.ohms)
		m += w[k] * l
		m2 += w[k] * (l*l + s.sd*s.sd)
		sum += w[k]
	}
	if sum <= 0 {
		return sevs[len(sevs)/2]
	}
	m /= sum
	return severity{ohms: math.Exp(m), sd: math.Sqrt(math.Max(m2/sum-m*m, leastVariance)), alsoSD: sevs[0].alsoSD}
}

// MinutesAfter is the expected minutes of looking once the reading of an
// outlook is known, with neighbours of a piece looked at coming cheaper.
func (o *Outlook) MinutesAfter(fn meter.Function, cost []float64, near *plan.Near, work *plan.Scratch) float64 {
	if len(o.Weight) == 0 {
		return 0
	}
	if yesNo(fn) {
		no := make([]float64, len(o.Beep))
		for i, p := range o.Beep {
			no[i] = 1 - p
		}
		return plan.ExpectedInspectionAfterDiscreteNear(o.Class, o.Weight, [][]float64{o.Beep, no}, cost, near, work)
	}
	var openW, openAll, all float64
	var class []int
	var w, m, v []float64
	for i, x := range o.Weight {
		all += x
		openAll += x * o.Over[i]
		if o.Over[i] < 1 {
			class, w, m, v = append(class, o.Class[i]), append(w, x*(1-o.Over[i])), append(m, o.Mean[i]),
				append(v, o.SD[i]*o.SD[i])
		}
	}
	if openAll > 0 {
		openW = plan.ExpectedInspectionAfterDiscreteNear(o.Class, o.Weight, [][]float64{o.Over}, cost, near, work)
	}
	number := 0.0
	if len(w) > 0 {
		number = plan.ExpectedInspectionAfterNear(class, w, m, v, cost, near, densityPoints, work)
	}
	return (openAll*openW + (all-openAll)*number) / all
}

// weigh turns predictions into bits about n classes.
func (o *Outlook) weigh(fn meter.Function, n int, work *plan.Scratch) {
	if len(o.Weight) == 0 {
		return
	}
	yes := make([]float64, len(o.Weight))
	no := make([]float64, len(o.Weight))
	any := yesNo(fn)
	for i := range yes {
		if yesNo(fn) {
			yes[i] = o.Beep[i]
		} else if o.Over[i] > 0 {
			yes[i], any = o.Over[i], true
		}
		no[i] = 1 - yes[i]
	}
	if any {
		o.Bits = plan.MutualInformationDiscrete(o.Class, o.Weight, [][]float64{yes, no}, n, work)
		if yesNo(fn) {
			row := make([]int, len(o.Weight))
			for i := range row {
				row[i] = i
			}
			o.Told = plan.MutualInformationDiscrete(row, o.Weight, [][]float64{yes, no}, len(row), work)
			return
		}
	}
	var class []int
	var w, m, v []float64
	sum, all := 0.0, 0.0
	for i := range o.Weight {
		all += o.Weight[i]
		if x := o.Weight[i] * (1 - o.Over[i]); x > 0 {
			class, w, m = append(class, o.Class[i]), append(w, x), append(m, o.Mean[i])
			v = append(v, o.SD[i]*o.SD[i])
			sum += x
		}
	}
	if len(w) > 1 {
		o.Bits += sum / all * plan.MutualInformation(class, w, m, v, n, densityPoints, work)
	}
}
