package fleet

import (
	"bytes"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"syscall"
)

// readFile reads a regular file of at most that many bytes. A pipe or a device
// is refused without waiting for what it has to say, and read no byte of.
func readFile(path string, most int64) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	return readRegular(path, info, most)
}

// readOwn is readFile for a file that others may have put there: it follows no
// link.
func readOwn(path string, most int64) ([]byte, error) {
	info, err := os.Lstat(path)
	if err != nil {
		return nil, err
	}
	return readRegular(path, info, most)
}

// readRegular reads the file that info was asked of, unless another has taken
// its place meanwhile.
func readRegular(path string, info fs.FileInfo, most int64) ([]byte, error) {
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s: %s, want a regular file", path, kind(info.Mode()))
	}
	f, err := os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if now, err := f.Stat(); err != nil || !os.SameFile(info, now) {
		return nil, errors.Join(err, fmt.Errorf("%s: replaced while it was opened", path))
	}
	if info.Size() > most {
		return nil, fmt.Errorf("%s: %d bytes, want at most %d", path, info.Size(), most)
	}
	var data bytes.Buffer
	data.Grow(int(info.Size()) + bytes.MinRead)
	if _, err := io.Copy(&data, io.LimitReader(f, most+1)); err != nil {
		return nil, err
	}
	if int64(data.Len()) > most {
		return nil, fmt.Errorf("%s: more than %d bytes, want at most that", path, most)
	}
	return data.Bytes(), nil
}

func kind(mode fs.FileMode) string {
	switch mode.Type() {
	case fs.ModeDir:
		return "a folder"
	case fs.ModeSymlink:
		return "a link"
	}
	return "a device or a pipe"
}

const (
	// A token of 16 characters keeps guessing hopeless: of base 64 they are 96
	// bits.
	shortestToken = 16
	mostToken     = 4 << 10  // bytes of a token's file
	mostPEM       = 16 << 20 // bytes of certificates
)

// ReadToken returns the token in a file, which is its first line. The error
// does not repeat path: people type the token itself there.
func ReadToken(path string) (string, error) {
	data, err := readFile(path, mostToken)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrInvalid) {
			return "", errors.New("no such file, want the name of one whose first line is the token")
		}
		return "", errors.New("a file that cannot be read, want a regular file whose first line is the token")
	}
	token, _, _ := strings.Cut(string(data), "\n")
	if token = strings.TrimSpace(token); len(token) < shortestToken {
		return "", fmt.Errorf("a token of %d characters, want at least %d", len(token), shortestToken)
	}
	return token, nil
}

// ServerTLS reads a certificate and its key, two files in PEM. It errs where
// they cannot be read or do not belong together.
func ServerTLS(cert, key string) (*tls.Config, error) {
	public, err := readFile(cert, mostPEM)
	if err != nil {
		return nil, err
	}
	private, err := readFile(key, mostPEM)
	if err != nil {
		return nil, err
	}
	pair, err := tls.X509KeyPair(public, private)
	if err != nil {
		return nil, fmt.Errorf("%s, %s: %w", cert, key, err)
	}
	return &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}, nil
}

// ReadCA reads the certificates, in PEM, of who vouches for a server. It errs
// where the file cannot be read or holds none.
func ReadCA(path string) (*x509.CertPool, error) {
	data, err := readFile(path, mostPEM)
	if err != nil {
		return nil, err
	}
	pool := x509.NewCertPool()
	if !pool.AppendCertsFromPEM(data) {
		return nil, fmt.Errorf("%s: no certificate, want PEM", path)
	}
	return pool, nil
}
