package runs

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
)

// mostValues is how many values a file of JSON may hold: 10 000 parts of a sweep
// with 40 limits, or 20 000 designs of a front, have fewer.
const mostValues = 500_000

// A Seal is the last key of a file of JSON: the SHA-256, in hex, of the file
// without these digits. A file of an older build has none.
type Seal struct {
	Sum string `json:"sha256,omitempty"`
}

// sealed encodes v, of whose Seal this is, with indent, and seals it.
func (s *Seal) sealed(v any, indent string) ([]byte, error) {
	// Digits to be replaced: no other value can be the same.
	s.Sum = "sum of this file without these digits"
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetIndent("", indent)
	if err := encoder.Encode(v); err != nil {
		return nil, err
	}
	at := bytes.LastIndex(out.Bytes(), []byte(s.Sum))
	before, after := out.Bytes()[:at], out.Bytes()[at+len(s.Sum):]
	s.Sum = sumAround(before, after)
	return fmt.Appendf(nil, "%s%s%s", before, s.Sum, after), nil
}

// unsealed decodes data into v, of whose Seal this is, and reports whether
// they are the bytes that sealed wrote. Without a seal they must be those of a
// build that knew none, and so none but the keys of this one.
func (s *Seal) unsealed(data []byte, v any) error {
	// Every value but the first of a list stands behind a comma, and takes many
	// times the memory of its few bytes.
	if n := bytes.Count(data, []byte{','}); n > mostValues {
		return fmt.Errorf("damaged: %d values, want at most %d", n, mostValues)
	}
	if err := json.Unmarshal(data, v); err != nil {
		return fmt.Errorf("damaged: %w", err)
	}
	if s.Sum == "" {
		strict := json.NewDecoder(bytes.NewReader(data))
		strict.DisallowUnknownFields()
		if err := strict.Decode(v); err != nil {
			return fmt.Errorf("damaged: %w", err)
		}
		return nil
	}
	at := bytes.LastIndex(data, []byte(s.Sum))
	if at < 0 || sumAround(data[:at], data[at+len(s.Sum):]) != s.Sum {
		return errors.New("damaged: checksum mismatch")
	}
	return nil
}

func sumAround(before, after []byte) string {
	sum := sha256.New()
	sum.Write(before)
	sum.Write(after)
	return fmt.Sprintf("%x", sum.Sum(nil))
}
