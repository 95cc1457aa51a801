package strained_test

import (
	"crypto/rand"
	"encoding/hex"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"ullage/testdata/browser"
	"ullage/testdata/certificates"
	"ullage/testdata/program"
)

// A cable joins two machines until it is cut; then nothing comes through, and
// nobody is told.
type cable struct {
	net.Listener
	mu sync.RWMutex // write-locked while cut
}

func newCable(t *testing.T, to string) *cable {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	c := &cable{Listener: l}
	t.Cleanup(func() { l.Close() })
	go func() {
		for {
			near, err := l.Accept()
			if err != nil {
				return
			}
			far, err := net.Dial("tcp", to)
			if err != nil {
				near.Close()
				continue
			}
			go c.carry(near, far)
			go c.carry(far, near)
		}
	}()
	return c
}

func (c *cable) carry(to, from net.Conn) {
	defer to.Close()
	part := make([]byte, 4096)
	for {
		n, err := from.Read(part)
		c.mu.RLock()
		_, sent := to.Write(part[:n])
		c.mu.RUnlock()
		if err != nil || sent != nil {
			return
		}
	}
}

func (c *cable) cut(d time.Duration) {
	c.mu.Lock()
	time.Sleep(d)
	c.mu.Unlock()
}

// TestFleetCutNetwork cuts the cable to one worker for longer than jobs wait
// and for less, while another worker is not cut.
func TestFleetCutNetwork(t *testing.T) {
	t.Parallel()
	brief, want := localRun(t)
	addr, dir := freePort(t), filepath.Join(t.TempDir(), "run")
	search := starts(t, "ullage", "search", brief, "-o", dir, "-q", "--serve", addr, "--workers", "0")
	for !listens(addr) && !search.ended() {
		time.Sleep(10 * time.Millisecond)
	}
	c := newCable(t, addr)
	starts(t, "ullage", "worker", "nats://"+c.Addr().String(), "--workers", "2")
	for _, d := range []time.Duration{8 * time.Second, time.Second} {
		time.Sleep(300*time.Millisecond + random(t, 500*time.Millisecond))
		c.cut(d)
	}
	starts(t, "ullage", "worker", "nats://"+addr, "--workers", "1")
	search.ends()
	program.SameRun(t, dir, want)
}

func listens(addr string) bool {
	c, err := net.Dial("tcp", addr)
	if err == nil {
		c.Close()
	}
	return err == nil
}

// TestFleetNamespaces puts the worker on a machine of its own, as far as its
// network goes, with a token and TLS, and takes the link away for a while.
func TestFleetNamespaces(t *testing.T) {
	if runtime.GOOS != "linux" || os.Geteuid() != 0 {
		t.Skip("only root on Linux may make network namespaces; TestFleetCutNetwork cuts the network without them")
	}
	browser.Program(t, "iproute2", "ip")
	t.Parallel()
	var b [3]byte
	_, _ = rand.Read(b[:])
	space, link := "ullage"+hex.EncodeToString(b[:]), "ul"+hex.EncodeToString(b[:])
	ip := func(args ...string) error {
		out, err := exec.Command("ip", args...).CombinedOutput()
		if err != nil {
			err = fmt.Errorf("ip %v: %w: %s", args, err, out)
		}
		return err
	}
	if err := ip("netns", "add", space); err != nil {
		t.Skipf("this machine makes no network namespaces: %v", err)
	}
	t.Cleanup(func() { _ = ip("netns", "del", space) })
	net16 := fmt.Sprintf("10.%d.%d.", 64+int(b[0])%128, b[1])
	for _, args := range [][]string{
		{"link", "add", link, "type", "veth", "peer", "name", "far", "netns", space},
		{"addr", "add", net16 + "1/30", "dev", link},
		{"link", "set", link, "up"},
		{"-n", space, "addr", "add", net16 + "2/30", "dev", "far"},
		{"-n", space, "link", "set", "far", "up"},
	} {
		if err := ip(args...); err != nil {
			t.Fatal(err)
		}
	}
	root := t.TempDir()
	cert, key := certificates.Make(t, root, net16+"1")
	token := filepath.Join(root, "token")
	if err := os.WriteFile(token, []byte("a-token-of-the-club\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	brief, want := localRun(t)
	_, port, _ := net.SplitHostPort(freePort(t))
	addr, dir := net16+"1:"+port, filepath.Join(root, "run")
	search := starts(t, "ullage", "search", brief, "-o", dir, "-q", "--serve", addr, "--token", token, "--tls-cert", cert, "--tls-key", key, "--workers", "0")
	worker := starts(t, "ip", "netns", "exec", space, "ullage", "worker", "tls://"+addr, "--token", token, "--tls-ca", cert)
	for !strings.Contains(worker.said(), "flying") && !search.ended() {
		time.Sleep(10 * time.Millisecond)
	}
	time.Sleep(random(t, 500*time.Millisecond))
	if err := ip("link", "set", link, "down"); err != nil {
		t.Fatal(err)
	}
	time.Sleep(7 * time.Second)
	if err := ip("link", "set", link, "up"); err != nil {
		t.Fatal(err)
	}
	search.ends()
	program.SameRun(t, dir, want)
}
