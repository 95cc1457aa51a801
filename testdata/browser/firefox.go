package browser

import (
	"bufio"
	"encoding/json"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/websocket"
)

// A Firefox is driven by the WebDriver BiDi protocol, a W3C draft, that the
// browser speaks itself.
type Firefox struct {
	t       *testing.T
	conn    *websocket.Conn
	last    int
	context string
}

var listening = regexp.MustCompile(`WebDriver BiDi listening on (ws://\S+)`)

// OpenFirefox starts Firefox with a profile of its own and shows a page as wide
// as a phone.
func OpenFirefox(t *testing.T, url string) *Firefox {
	t.Helper()
	c := exec.CommandContext(t.Context(), Program(t, "firefox-esr", "firefox-esr", "firefox"),
		"--headless", "--no-remote", "--profile", t.TempDir(), "--remote-debugging-port", "0", "--remote-allow-origins", "http://localhost")
	said, err := c.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		c.Process.Kill()
		c.Wait()
	})
	var address string
	for lines := bufio.NewScanner(said); address == "" && lines.Scan(); {
		if m := listening.FindStringSubmatch(lines.Text()); m != nil {
			address = m[1]
		}
	}
	if address == "" {
		t.Fatal("Firefox ended before it listened")
	}
	go func() { // it goes on talking
		for lines := bufio.NewScanner(said); lines.Scan(); {
		}
	}()
	f := &Firefox{t: t}
	if f.conn, err = websocket.Dial(address+"/session", "", "http://localhost"); err != nil {
		t.Fatal(err)
	}
	f.conn.SetDeadline(time.Now().Add(2 * time.Minute))
	f.call("session.new", map[string]any{"capabilities": map[string]any{}})
	var tree struct {
		Contexts []struct {
			Context string `json:"context"`
		} `json:"contexts"`
	}
	if err := json.Unmarshal(f.call("browsingContext.getTree", map[string]any{}), &tree); err != nil || len(tree.Contexts) == 0 {
		t.Fatalf("no window: %v", err)
	}
	f.context = tree.Contexts[0].Context
	f.call("browsingContext.setViewport", map[string]any{"context": f.context, "viewport": map[string]int{"width": 390, "height": 900}})
	f.call("browsingContext.navigate", map[string]any{"context": f.context, "url": url, "wait": "complete"})
	return f
}

// call sends a command and returns its result.
func (f *Firefox) call(method string, params map[string]any) json.RawMessage {
	f.t.Helper()
	f.last++
	if err := websocket.JSON.Send(f.conn, map[string]any{"id": f.last, "method": method, "params": params}); err != nil {
		f.t.Fatal(err)
	}
	for {
		var answer struct {
			Type    string          `json:"type"`
			ID      int             `json:"id"`
			Result  json.RawMessage `json:"result"`
			Message string          `json:"message"`
		}
		if err := websocket.JSON.Receive(f.conn, &answer); err != nil {
			f.t.Fatalf("%s: %v", method, err)
		}
		switch {
		case answer.ID != f.last: // an event
		case answer.Type == "success":
			return answer.Result
		default:
			f.t.Fatalf("%s: %s", method, answer.Message)
		}
	}
}

// Holds fails where an expression in the page is not true.
func (f *Firefox) Holds(why, expression string) {
	f.t.Helper()
	result := f.call("script.evaluate", map[string]any{
		"expression": expression, "target": map[string]string{"context": f.context}, "awaitPromise": true,
	})
	if !strings.Contains(string(result), `"value":true`) {
		f.t.Errorf("%s: %s: %s", why, expression, result)
	}
}
