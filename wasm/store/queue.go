package store

import (
	"slices"

	"crownbench/wasm/tray"
)

// command is changes that are written in one transaction, at most one to a
// specimen, and who waits for it.
type command struct {
	changes   []tray.Change
	waiting   []chan<- error
	conflicts []*Conflict // of changes that have been withdrawn
}

func (c *command) concerns(id string) bool {
	return slices.ContainsFunc(c.changes, func(d tray.Change) bool { return d.ID() == id })
}

// take adds later changes: of two changes to one specimen, the first one's
// Before and the second one's After remain.
func (c *command) take(changes []tray.Change) {
	for _, d := range changes {
		i := slices.IndexFunc(c.changes, func(e tray.Change) bool { return e.ID() == d.ID() })
		if i < 0 {
			c.changes = append(c.changes, d)
			continue
		}
		if c.changes[i].After = d.After; c.changes[i].Before == nil && d.After == nil {
			c.changes = slices.Delete(c.changes, i, i+1) // come and gone
		}
	}
}

// tell answers everybody who waits for the command.
func (c *command) tell(err error) {
	for _, w := range c.waiting {
		w <- err
	}
	c.waiting = nil
}

// queue is the commands not written yet, in order. The zero value is empty.
type queue struct {
	commands []*command
	flying   *command // the one being written just now; it is in commands too
}

// add puts a command at the end. Moves of one drag come faster than a disk
// writes: a change to a single specimen joins the last command when that one
// waits and changes nothing but the same specimen. w, if not nil, is told the
// outcome; it must have room for one.
func (q *queue) add(changes []tray.Change, w chan<- error) {
	var c *command
	if n := len(q.commands); n > 0 && len(changes) == 1 {
		if last := q.commands[n-1]; last != q.flying && len(last.changes) == 1 && last.concerns(changes[0].ID()) {
			c = last
		}
	}
	if c == nil {
		c = &command{}
		q.commands = append(q.commands, c)
	}
	c.take(changes)
	if w != nil {
		c.waiting = append(c.waiting, w)
	}
}

// next gives the first command that concerns no specimen in held, or nil. The
// specimens of commands passed over are held too, for the order of changes to
// one specimen must stay.
func (q *queue) next(held map[string]bool) *command {
	for _, c := range q.commands {
		if !slices.ContainsFunc(c.changes, func(d tray.Change) bool { return held[d.ID()] }) {
			return c
		}
		hold(held, c)
	}
	return nil
}

func hold(held map[string]bool, c *command) {
	for _, d := range c.changes {
		held[d.ID()] = true
	}
}

// waited tells whether somebody waits for any command.
func (q *queue) waited() bool {
	return slices.ContainsFunc(q.commands, func(c *command) bool { return len(c.waiting) > 0 })
}

// remove takes a command out.
func (q *queue) remove(c *command) {
	q.commands = slices.DeleteFunc(q.commands, func(d *command) bool { return d == c })
}

// withdraw takes out the changes to a conflict's specimen that are still
// waiting. They were made before anybody knew of the conflict and set out from
// the state that lost; the last of them becomes what the conflict calls ours.
func (q *queue) withdraw(k *Conflict) {
	for _, c := range q.commands {
		if c == q.flying {
			continue
		}
		if i := slices.IndexFunc(c.changes, func(d tray.Change) bool { return d.ID() == k.ID }); i >= 0 {
			k.Ours = c.changes[i].After
			c.changes = slices.Delete(c.changes, i, i+1)
			if len(c.waiting) > 0 {
				c.conflicts = append(c.conflicts, k)
			}
		}
	}
	q.commands = slices.DeleteFunc(q.commands, func(c *command) bool {
		return c != q.flying && len(c.changes) == 0 && len(c.waiting) == 0
	})
}

// concerns tells whether a change to that specimen is not written yet.
func (q *queue) concerns(id string) bool {
	return slices.ContainsFunc(q.commands, func(c *command) bool { return c.concerns(id) })
}

// pending is how many specimens have changes not written yet.
func (q *queue) pending() int {
	ids := map[string]bool{}
	for _, c := range q.commands {
		hold(ids, c)
	}
	return len(ids)
}
