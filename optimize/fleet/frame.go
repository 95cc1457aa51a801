package fleet

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"ullage/optimize"
)

// format is the version of the frame and of what stands in it.
const format = 2

// frame is the first line of a job or an answer, in JSON. Behind it come the
// body and the SHA-256 of all before.
type frame struct {
	Kind   string          `json:"ullage"` // job or answer
	Format int             `json:"format"`
	Head   json.RawMessage `json:"head"`
}

const (
	jobKind    = "job"
	answerKind = "answer"
)

func seal(kind string, head any, body []byte) ([]byte, error) {
	fields, err := json.Marshal(head)
	if err != nil {
		return nil, err
	}
	line, err := json.Marshal(frame{kind, format, fields})
	if err != nil {
		return nil, err
	}
	out := make([]byte, 0, len(line)+1+len(body)+sha256.Size)
	out = append(append(append(out, line...), '\n'), body...)
	sum := sha256.Sum256(out)
	return append(out, sum[:]...), nil
}

// unseal reads the head and returns the body.
func unseal(kind string, data []byte, head any) ([]byte, error) {
	end := bytes.IndexByte(data, '\n')
	if end < 0 || len(data)-end-1 < sha256.Size {
		return nil, fmt.Errorf("%s: %w: no head and checksum in %d bytes", kind, optimize.ErrCorrupt, len(data))
	}
	body := data[:len(data)-sha256.Size]
	if sum := sha256.Sum256(body); !bytes.Equal(sum[:], data[len(body):]) {
		return nil, fmt.Errorf("%s: %w: checksum mismatch", kind, optimize.ErrCorrupt)
	}
	var f frame
	if err := json.Unmarshal(data[:end], &f); err != nil || f.Kind != kind {
		return nil, fmt.Errorf("%s: %w: begins with %.40q", kind, optimize.ErrCorrupt, data[:end])
	}
	if f.Format != format {
		return nil, fmt.Errorf("%s: format %d, this build reads %d", kind, f.Format, format)
	}
	if err := json.Unmarshal(f.Head, head); err != nil {
		return nil, fmt.Errorf("%s: %w: %w", kind, optimize.ErrCorrupt, err)
	}
	return body[end+1:], nil
}

// key returns the name of a sealed job: its checksum in hex.
func key(sealed []byte) string { return hex.EncodeToString(sealed[len(sealed)-sha256.Size:]) }
