package fleet

import (
	"bytes"
	"encoding/json"
	"errors"
)

// What a worker asks a desk for. Each is a message with a reply but for the
// last two, which nobody waits for.
const (
	takeJob   = "take"  // a job
	readPart  = "read"  // the bytes of the job from At on
	writePart = "write" // takes bytes of the answer from At on
	whoServes = "who"   // asked by a desk: is there another?
	beat      = "beat"  // I am at it
	leave     = "leave" // give what I hold to others
)

// partBytes is how much of a job or an answer travels in one message: a slow
// line carries it before anybody loses patience, and every server takes it.
const partBytes = 64 << 10

const (
	mostIsland = 1 << 30             // bytes of an island: some hundred million flights
	mostBytes  = mostIsland + 32<<20 // of a job or an answer
)

// A call is what a worker sends.
type call struct {
	Do   string `json:"do"`
	ID   string `json:"id"`   // of the connection: no other worker knows it
	Name string `json:"name"` // for messages
	Program
	Key  string `json:"key,omitempty"`  // of the job
	At   int64  `json:"at,omitempty"`   // place of the part
	Size int64  `json:"size,omitempty"` // bytes of the answer in all
}

// A reply is what a desk sends back.
type reply struct {
	Key     string  `json:"key,omitempty"`     // of a job to fly; empty: none now
	Size    int64   `json:"size,omitempty"`    // of the job
	At      int64   `json:"at,omitempty"`      // how far the answer has come
	Gone    bool    `json:"gone,omitempty"`    // the job is not the worker's, or no more
	Refused string  `json:"refused,omitempty"` // the worker gets no jobs at all, and why
	Wanted  Program `json:"wanted"`            // by the jobs
}

// mostHead is the length of a message's first line.
const mostHead = 4 << 10

var errHead = errors.New("message: no head")

// pack writes a message: head in JSON on a line, and bytes behind it.
func pack(head any, part []byte) []byte {
	line, err := json.Marshal(head)
	if err != nil {
		panic(err) // calls and replies hold text and numbers only
	}
	return append(append(line, '\n'), part...)
}

// unpack reads what pack wrote.
func unpack(data []byte, head any) (part []byte, err error) {
	end := bytes.IndexByte(data[:min(len(data), mostHead)], '\n')
	if end < 0 {
		return nil, errHead
	}
	return data[end+1:], json.Unmarshal(data[:end], head)
}
