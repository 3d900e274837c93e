//go:build browser

package browsertest

import (
	"fmt"
	"os"
	"testing"
)

func TestMain(m *testing.M) {
	code, err := withBrowser(m.Run)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}
