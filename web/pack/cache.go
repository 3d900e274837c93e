package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/andybalholm/brotli"
)

// maxQuality is the highest quality of brotli.
const maxQuality = 11

// cache keeps compressed files by the hash of their content, so that a build
// compresses only what changed. Brotli at its highest quality takes most of a
// minute for the program; that is paid once per change.
type cache struct {
	dir     string
	quality int
	used    map[string]bool
}

func openCache(dir string, quality int) (*cache, error) {
	if quality < 0 || quality > maxQuality {
		return nil, fmt.Errorf("-quality is %d; brotli has 0 to %d", quality, maxQuality)
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, err
	}
	return &cache{dir: dir, quality: quality, used: make(map[string]bool)}, nil
}

// brotli returns content compressed at the quality of the cache or, when a
// better one is at hand, at that.
func (c *cache) brotli(content []byte) ([]byte, error) {
	for q := maxQuality; q >= c.quality; q-- {
		kept, err := os.ReadFile(c.path(content, fmt.Sprintf("%d.br", q)))
		if err == nil {
			return kept, nil
		}
		if !os.IsNotExist(err) {
			return nil, err
		}
	}
	var b bytes.Buffer
	// 24 is the widest window that a browser must accept (RFC 7932, section
	// 9.1); the program is larger than the default window.
	w := brotli.NewWriterOptions(&b, brotli.WriterOptions{Quality: c.quality, LGWin: 24})
	return c.store(content, fmt.Sprintf("%d.br", c.quality), w, &b)
}

// gzip returns content compressed for hosts and browsers without brotli.
func (c *cache) gzip(content []byte) ([]byte, error) {
	kept, err := os.ReadFile(c.path(content, "gz"))
	if err == nil {
		return kept, nil
	}
	if !os.IsNotExist(err) {
		return nil, err
	}
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	return c.store(content, "gz", w, &b)
}

func (c *cache) path(content []byte, ext string) string {
	sum := sha256.Sum256(content)
	name := hex.EncodeToString(sum[:16]) + "." + ext
	c.used[name] = true
	return filepath.Join(c.dir, name)
}

func (c *cache) store(content []byte, ext string, w io.WriteCloser, packed *bytes.Buffer) ([]byte, error) {
	if _, err := w.Write(content); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return packed.Bytes(), replace(c.path(content, ext), packed.Bytes())
}

// prune forgets what this build had no use for.
func (c *cache) prune() error {
	entries, err := os.ReadDir(c.dir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if !c.used[e.Name()] {
			if err := os.Remove(filepath.Join(c.dir, e.Name())); err != nil {
				return err
			}
		}
	}
	return nil
}
