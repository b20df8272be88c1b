package stove

import (
	"math"
	"sort"

	"stovewright/internal/form"
	"stovewright/internal/num"
	"stovewright/message"
	"stovewright/quantity"
)

// drivers names, for each dimension that follows from others, the choice that
// moves when the user sets the follower itself: somebody who wants the skirt
// 26 cm wide inside gets the gap that makes it so. Results of the sizing, such
// as the mass, have no driver.
var drivers = map[string]string{
	"power.wood":       "power.fire",
	"chamber.area":     "chamber.width",
	"chamber.flats":    "chamber.width",
	"chamber.height":   "brick.height",
	"riser.height":     "brick.height",
	"brick.inner_side": "brick.joint",
	"brick.outer_side": "brick.thickness",
	"body.height":      "base.fill",
	"body.length":      "body.inner",
	"fill.thickest":    "body.inner",
	"skirt.inner":      "skirt.gap",
	"skirt.length":     "skirt.gap",
	"skirt.height":     "skirt.rise",
	"rest.rod_height":  "rest.height",
	"rest.rod_length":  "rest.offset",
	"stove.rim":        "base.feet",
	"stove.rest_level": "base.feet",
}

// moved is a follower that the user set: its driver, and what the rules alone
// give it.
type moved struct {
	follower, driver string
	byRule           float64
}

// solveFollowers turns overrides of followers into overrides of their drivers.
// The brief is left as it was; the new one has the drivers set in SI.
func solveFollowers(b Brief) (Brief, []moved, error) {
	var wanted []string
	for id := range b.Yours {
		if drivers[id] != "" {
			wanted = append(wanted, id)
		}
	}
	if len(wanted) == 0 {
		return b, nil, nil
	}
	sort.Strings(wanted)
	own := b
	own.Yours = make(map[string]string)
	for id, text := range b.Yours {
		if drivers[id] == "" {
			own.Yours[id] = text
		}
	}
	own.solved = make(map[string]float64)
	base := layOut(own).s
	var list []moved
	var complaints message.InputErrors
	for _, id := range wanted {
		driver := drivers[id]
		_, taken := own.Yours[driver]
		if _, solved := own.solved[driver]; taken || solved {
			complaints = append(complaints, &message.InputError{Field: "yours." + id, Value: b.Yours[id],
				Reason: message.T("stove.driver-taken", "driver", message.T("stove.dim."+driver))})
			continue
		}
		if driver == "brick.height" { // a taller brick, not fewer courses
			own.solved["brick.courses"] = base.Value("brick.courses").SI
		}
		x, complaint := solveFollower(own, id, driver, b.Yours[id])
		if complaint != nil {
			complaints = append(complaints, complaint)
			continue
		}
		own.solved[driver] = x
		list = append(list, moved{id, driver, base.Value(id).SI})
	}
	return own, list, complaints.OrNil()
}

// solveFollower finds the driver's value that gives a follower the value the
// user wrote.
func solveFollower(b Brief, id, driver, text string) (float64, *message.InputError) {
	base := layOut(b).s
	follower, d := base.byID[id], base.byID[driver]
	if follower == nil || d == nil {
		return 0, &message.InputError{Field: "yours." + id, Value: text, Reason: message.T("stove.unknown-dimension")}
	}
	low, high := followerRange(b, id, d)
	complaint := &message.InputError{Field: "yours." + id, Value: text, Try: follower.Value.String(),
		Allowed: message.T("form.allowed-range", "low", as(follower.Value, low), "high", as(follower.Value, high))}
	target, err := quantity.Parse(text, follower.Value.Unit.Dimension, follower.Value.Unit)
	if err != nil {
		complaint.Reason = form.Unread(err)
		return 0, complaint
	}
	x, err := num.Brent(func(x float64) float64 { return at(b, id, driver, x) - target }, d.Low, d.High, 1e-9)
	if err != nil {
		complaint.Reason = message.T("form.out-of-range")
		return 0, complaint
	}
	return x, nil
}

// at is a follower's value when its driver has the value x.
func at(b Brief, id, driver string, x float64) float64 {
	moved := make(map[string]float64, len(b.solved)+1)
	for k, v := range b.solved {
		moved[k] = v
	}
	moved[driver] = x
	b.solved = moved
	if d := layOut(b).s.byID[id]; d != nil {
		return d.Value.SI
	}
	return math.NaN()
}

// followerRange is what a follower may be: its value at both ends of its driver.
func followerRange(b Brief, id string, driver *Dimension) (low, high float64) {
	a, z := at(b, id, driver.ID, driver.Low), at(b, id, driver.ID, driver.High)
	return min(a, z), max(a, z)
}

func as(v quantity.Value, si float64) quantity.Value {
	v.SI = si
	return v
}

// markFollowers gives a follower that was set by the user that origin, and says
// so at the choice that moved for it.
func (s *Stove) markFollowers(list []moved) {
	for _, m := range list {
		follower, d := s.byID[m.follower], s.byID[m.driver]
		follower.Origin, follower.ByRule = Yours, m.byRule
		follower.Because = message.T("stove.why.follower", "driver", d.Name(), "value", d.Value, "because", follower.Because)
		d.Because = message.T("stove.why.driver", "follower", follower.Name(), "value", follower.Value)
	}
}

// Range is what a dimension may be set to, in SI; ok is false for results that
// cannot be set.
func (s *Stove) Range(id string) (low, high float64, ok bool) {
	d := s.byID[id]
	switch {
	case d == nil || !d.Editable:
		return 0, 0, false
	case d.Driver == "":
		return d.Low, d.High, true
	}
	low, high = followerRange(s.sized, id, s.byID[d.Driver])
	return low, high, true
}
