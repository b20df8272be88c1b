package web

import (
	"fmt"
	"strings"
	"time"

	protocol "stovewright/bench"
	"stovewright/message"
)

// home is a household of a round, with the visit that is next.
type home struct {
	Code   string
	Visit  int // counted from one
	Visits int
	Due    message.Text // when the visit is to be made
	Late   bool
	Task   string // where the visit begins; "" when all are made
	Here   bool   // the task at hand is of this household
}

// round is how far each household of a kitchen test has got; nil for other
// tests.
func (t *test) round(tasks []runTask) []home {
	f, ok := t.Form.(*protocol.KitchenForm)
	if !ok || len(f.Households) == 0 {
		return nil
	}
	list := make([]home, len(f.Households))
	next := t.nextTask(tasks)
	for i := range list {
		h := &list[i]
		h.Code, h.Visits = strings.TrimSpace(f.Households[i].Code), f.Visits()
		if h.Code == "" {
			h.Code = fmt.Sprintf("H%02d", i+1)
		}
		for at, task := range tasks {
			if !task.Open() || !strings.HasSuffix(task.Part, fmt.Sprint(".h", i+1)) {
				continue
			}
			fmt.Sscanf(task.Part, "v%d", &h.Visit)
			h.Task, h.Here = task.ID, at == next
			h.Due, h.Late = dueWords(task.Due, time.Now())
			break
		}
	}
	return list
}

// dueWords say when a visit is to be made; zero for one without a time. A visit
// is late when more than four hours have passed.
func dueWords(due, now time.Time) (words message.Text, late bool) {
	if due.IsZero() {
		return message.Text{}, false
	}
	day := func(t time.Time) string { return t.Format(time.DateOnly) }
	now, _ = time.Parse(protocol.VisitTime, now.Format(protocol.VisitTime)) // the clock on the wall, as the visits have it
	id := "on"
	switch {
	case now.Sub(due) > 4*time.Hour:
		id, late = "over", true
	case day(due) == day(now):
		id = "today"
	case day(due) == day(now.Add(24*time.Hour)):
		id = "tomorrow"
	}
	return message.T("web.run.due."+id, "time", due.Format("15:04"), "date", day(due)), late
}
