package drill

import (
	"strings"
)

// CountLog sums up a log.
func CountLog(log []Entry) Counts {
	c := Counts{ByMeter: map[string]int{}}
	train, live, load := true, false, false
	open := map[string]bool{}
	taken := map[string]bool{}
	setup := ""
	for i := range log {
		e := &log[i]
		c.Minutes += e.Minutes
		if e.Stopped != "" {
			c.Stops++
			continue
		}
		if e.Act.Do != DoRead && e.Act.Do != DoLook {
			setup += "|" + string(e.Act.Do) + e.Act.At + e.Act.To
		}
		switch e.Act.Do {
		case DoRead:
			c.read(e, train, live && (load || train))
			key := setup + e.Act.Meter + e.Act.Red + e.Act.Black
			if taken[key] {
				c.Repeats++
			}
			taken[key] = true
		case DoLift:
			c.Lifts++
			c.Joints++
			open[e.Act.At] = true
			c.Together = max(c.Together, len(open))
		case DoSeat:
			delete(open, e.Act.At)
		case DoTrain:
			train = e.Act.To == On
		case DoSupply:
			live = e.Act.To != Off
		case DoLoad:
			load = e.Act.To != Off
		case DoLook:
			c.look(e)
		case DoAccuse:
			c.accuse(e)
		case DoGiveUp:
			c.GaveUp = true
		}
	}
	return c
}

func (c *Counts) read(e *Entry, train, loaded bool) {
	c.Readings++
	c.ByMeter[e.Act.Meter]++
	if train {
		c.TrainOn++
	}
	if loaded {
		c.ByLoad++
	}
	if acrossJoint(e.Act.Red, e.Act.Black) {
		c.AcrossJoint++
	}
}

func (c *Counts) look(e *Entry) {
	if e.Minutes > 0 {
		c.Looks++
	}
	if e.Lift {
		c.Lifts++
	}
}

func (c *Counts) accuse(e *Entry) {
	c.look(e)
	if e.Found != "" {
		c.Found++
	} else {
		c.Wrong++
	}
}

// acrossJoint says that two points are the two sides of one joint of a run:
// "main 7/8 center" and "main 8/7 center".
func acrossJoint(red, black string) bool {
	a, b := sides(red), sides(black)
	return a[0] != "" && a[0] == b[1] && a[1] == b[0]
}

func sides(point string) [2]string {
	head, _ := cutLast(point)
	run, ends := cutLast(head)
	a, b, ok := strings.Cut(ends, "/")
	if !ok {
		return [2]string{}
	}
	return [2]string{run + a, run + b}
}
