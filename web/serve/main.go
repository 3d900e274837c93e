// Command serve hands the built page to a browser on this machine.
//
//	go run ./web/serve -dir dist -addr localhost:8017
//
// It stops on Ctrl-C after the answers under way are finished.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/signal"
	"syscall"
	"time"

	"crownbench/web/site"
)

// Times that a slow or silent client may take before it is let go.
const (
	headerPatience = 10 * time.Second
	closePatience  = 5 * time.Second
)

func main() {
	addr := flag.String("addr", "localhost:8017", "host:port to listen on")
	dir := flag.String("dir", "dist", "folder with the built page")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := serve(ctx, os.Stdout, *addr, *dir); err != nil {
		fmt.Fprintln(os.Stderr, "serve:", err)
		os.Exit(1)
	}
}

// serve serves dir until ctx ends, and says on out where.
func serve(ctx context.Context, out io.Writer, addr, dir string) error {
	if _, err := os.Stat(dir); err != nil {
		return fmt.Errorf("the folder %s cannot be read; build the page first: %w", dir, err)
	}
	l, err := net.Listen("tcp", addr)
	if err != nil {
		return fmt.Errorf("cannot listen on %s; choose another with -addr: %w", addr, err)
	}
	host, _, err := net.SplitHostPort(addr)
	if err != nil || host == "" {
		host = "localhost"
	}
	// The port is asked of the listener because -addr may say port 0.
	fmt.Fprintf(out, "Crownbench is at http://%s/ (Ctrl-C stops it)\n",
		net.JoinHostPort(host, fmt.Sprint(l.Addr().(*net.TCPAddr).Port)))

	srv := &http.Server{
		Handler:           site.Handler(os.DirFS(dir)),
		ReadHeaderTimeout: headerPatience,
	}
	failed := make(chan error, 1)
	go func() { failed <- srv.Serve(l) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	ctx, cancel := context.WithTimeout(context.Background(), closePatience)
	defer cancel()
	if err := srv.Shutdown(ctx); err != nil && !errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return nil
}
