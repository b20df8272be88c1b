package web

import (
	"slices"
	"strconv"
	"strings"
	"time"

	protocol "stovewright/bench"
	"stovewright/message"
)

// runClock is a time that runs: since the fire was lit, until a timer ends, or
// until a task should be done.
type runClock struct {
	Words     message.Text
	Elapsed   int // s
	Until     int // s; 0 where nothing ends
	Countdown bool
	Start     string // task whose timer is to be started; "" when it runs
	StartPath string // entry that takes the time of the start, where there is one
}

// Shown is the clock as it stands when the page is made.
func (c runClock) Shown() string {
	s := c.Elapsed
	if c.Countdown {
		s = c.Until - c.Elapsed
	}
	sign := ""
	if s < 0 {
		s, sign = -s, "−"
	}
	return sign + strconv.Itoa(s/60) + ":" + strconv.Itoa(s%60/10) + strconv.Itoa(s%10)
}

// Over reports whether the time has run out.
func (c runClock) Over() bool { return c.Countdown && c.Elapsed >= c.Until }

// forgotten is when a clock that still runs is taken for one that nobody stopped.
const forgotten = 10 * time.Hour

// since gives the seconds from a time of day to now, over midnight too.
func since(text string, now time.Time) (int, bool) {
	for _, layout := range []string{"15:04:05", "15:04"} {
		at, err := time.Parse(layout, strings.TrimSpace(text))
		if err != nil {
			continue
		}
		d := time.Duration(now.Hour()-at.Hour())*time.Hour + time.Duration(now.Minute()-at.Minute())*time.Minute + time.Duration(now.Second()-at.Second())*time.Second
		if d < 0 {
			d += 24 * time.Hour
		}
		return int(d.Seconds()), d < forgotten
	}
	return 0, false
}

// clock is the time that matters at a task: its own timer, that of the task that
// goes on meanwhile, the time of the fire, or the hurry; nil for none.
func (t *test) clock(tasks []runTask, task runTask, now time.Time) *runClock {
	if task.Timer.Seconds > 0 {
		return t.timer(task.Task, now)
	}
	if task.Fire.From == "" {
		return nil
	}
	for _, r := range tasks {
		if r.Part == task.Part && !(r.Pass && r.Done) && r.Timer.From != "" && t.read(r.Timer.From) != "" {
			if c := t.timer(r.Task, now); c != nil && c.Start == "" {
				c.Words = message.T("web.run.clock.meanwhile")
				return c
			}
		}
	}
	if running, ok := since(t.read(task.Fire.From), now); ok && t.read(task.Fire.To) == "" {
		return &runClock{Words: message.T("web.tests.clock.fire"), Elapsed: running}
	}
	if within, stopped := t.hurry(tasks, task); within > 0 {
		if gone, ok := since(stopped, now); ok && task.Open() && gone < 3600 {
			return &runClock{Words: message.T("web.tests.clock.within"), Elapsed: gone, Until: within, Countdown: true}
		}
	}
	return nil
}

// timer is the clock of a task that takes a set time. Its start is a reading of
// the test, or a time of its own; nil once it has been stopped.
func (t *test) timer(task protocol.Task, now time.Time) *runClock {
	c := &runClock{Words: message.T("web.tests.clock.timer"), Until: int(task.Timer.Seconds), Countdown: true, StartPath: task.Timer.From}
	if task.Timer.From == "" {
		if at, err := time.Parse(time.RFC3339, t.Run.Started[task.ID]); err == nil {
			if c.Elapsed = int(now.Sub(at).Seconds()); c.Elapsed >= 0 && now.Sub(at) < forgotten {
				return c
			}
		}
		c.Elapsed, c.Start = 0, task.ID
		return c
	}
	if t.read(task.Timer.To) != "" {
		return nil
	}
	if gone, ok := since(t.read(task.Timer.From), now); ok {
		c.Elapsed = gone
		return c
	}
	if !slices.Contains(task.Entries(), task.Timer.From) {
		return nil // it is started at another task
	}
	c.Start = task.ID
	return c
}

// hurry adds up the seconds in which a task should follow the moment when the
// fire was stopped, and gives that moment.
func (t *test) hurry(tasks []runTask, task runTask) (within int, stopped string) {
	if task.Within == 0 {
		return 0, ""
	}
	for _, r := range tasks {
		if r.Fire.To != "" && r.has(r.Fire.To) {
			within, stopped = 0, t.read(r.Fire.To)
		}
		within += int(r.Within)
		if r.ID == task.ID {
			break
		}
	}
	return within, stopped
}
