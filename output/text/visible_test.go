package text_test

import (
	"encoding/json"
	"testing"

	"ullage/output/text"
)

// TestVisible escapes what steers a terminal or is not seen, and loses nothing.
func TestVisible(t *testing.T) {
	for in, want := range map[string]string{
		"a\tb ± µ…\n":                    "a\tb ± µ…\n",
		"a\x1b[31mb":                     `a\u001b[31mb`,
		"\u009b\u202e\u200b\u2028\ufeff": `\u009b\u202e\u200b\u2028\ufeff`,
		"\U000e0041":                     `\udb40\udc41`,
		"a\xffb\ufffd":                   `a\ufffdb` + "\ufffd",
	} {
		if got := string(text.Visible([]byte(in))); got != want {
			t.Errorf("Visible(%q) = %q, want %q", in, got, want)
		}
	}
	const title = "\u202eemalg\u009b\U000e0041ß\n"
	data, err := json.Marshal(title)
	if err != nil {
		t.Fatal(err)
	}
	var again string
	if err := json.Unmarshal(text.Visible(data), &again); err != nil || again != title {
		t.Errorf("JSON of %q reads as %q, %v", title, again, err)
	}
}
