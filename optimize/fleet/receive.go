package fleet

import (
	"strings"
	"time"

	"github.com/nats-io/nats.go"
)

// receive answers a worker. A reply goes to the inbox of who asked and nowhere
// else, whatever the message says.
func (d *Desk) receive(m *nats.Msg) {
	var c call
	part, err := unpack(m.Data, &c)
	if err != nil || !c.sane() || m.Reply != "" && !c.mayReplyTo(m.Reply) {
		return
	}
	answer := func(r reply, part []byte) {
		if m.Reply != "" {
			r.Wanted = d.run.Program
			_ = d.link.conn.Publish(m.Reply, pack(r, part)) // who hears nothing asks again
		}
	}
	if c.Do == whoServes {
		answer(reply{}, nil)
		return
	}
	refused := d.jobs.refusal(c.ID)
	if c.Program != d.run.Program {
		refused = "another program"
	}
	if refused != "" {
		answer(reply{Refused: refused}, nil)
		return
	}
	switch c.Do {
	case takeJob:
		d.jobs.seek(seeker{id: c.ID, name: c.Name, until: time.Now().Add(d.pace.patience / 2), hand: func(q *question) {
			if q == nil {
				answer(reply{}, nil)
				return
			}
			answer(reply{Key: q.key, Size: int64(len(q.sealed))}, nil)
		}})
	case readPart:
		answer(d.jobs.read(&c))
	case writePart:
		answer(d.jobs.write(&c, part), nil)
	case beat:
		d.jobs.heard(c.ID, c.Key)
	case leave:
		d.jobs.release(c.ID)
	}
}

// mostName is the length of a worker's name in messages.
const mostName = 80

// sane reports whether the call can be a worker's, and cuts what would fill
// memory or messages.
func (c *call) sane() bool {
	c.Name = c.Name[:min(len(c.Name), mostName)]
	return len(c.ID) >= 8 && len(c.ID) <= mostName && !strings.ContainsAny(c.ID, ".*> \t")
}

// mayReplyTo reports whether a reply there reaches nobody but the worker: a
// desk that published to any subject it was told would lend out its rights.
func (c *call) mayReplyTo(subject string) bool {
	return strings.HasPrefix(subject, inbox(c.ID)+".") && !strings.ContainsAny(subject, "*> \t")
}
