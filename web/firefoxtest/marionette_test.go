//go:build firefox

package firefoxtest

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"strconv"
	"strings"
)

// marionette is a connection to a running Firefox. A message is its length in
// bytes in decimal, a colon and a JSON array: [0, id, command, parameters] to
// Firefox, [1, id, error, result] from it (Firefox Source Docs, Marionette,
// Protocol).
type marionette struct {
	conn net.Conn
	in   *bufio.Reader
	id   int
}

func dial(address string) (*marionette, error) {
	conn, err := net.Dial("tcp", address)
	if err != nil {
		return nil, err
	}
	m := &marionette{conn: conn, in: bufio.NewReader(conn)}
	if _, err := m.read(); err != nil { // its name and its version of the protocol
		return nil, err
	}
	return m, nil
}

func (m *marionette) read() ([]byte, error) {
	size, err := m.in.ReadString(':')
	if err != nil {
		return nil, err
	}
	n, err := strconv.Atoi(strings.TrimSuffix(size, ":"))
	if err != nil {
		return nil, fmt.Errorf("the length of a message: %w", err)
	}
	b := make([]byte, n)
	_, err = io.ReadFull(m.in, b)
	return b, err
}

// call sends a command and decodes its result into result, which may be nil.
func (m *marionette) call(command string, parameters, result any) error {
	m.id++
	if parameters == nil {
		parameters = struct{}{}
	}
	b, err := json.Marshal([]any{0, m.id, command, parameters})
	if err != nil {
		return err
	}
	if _, err := fmt.Fprintf(m.conn, "%d:%s", len(b), b); err != nil {
		return err
	}
	answer, err := m.read()
	if err != nil {
		return fmt.Errorf("%s: %w", command, err)
	}
	var parts [4]json.RawMessage
	if err := json.Unmarshal(answer, &parts); err != nil {
		return fmt.Errorf("%s: %w", command, err)
	}
	var refusal *struct{ Error, Message string }
	if err := json.Unmarshal(parts[2], &refusal); err != nil {
		return fmt.Errorf("%s: %w", command, err)
	}
	if refusal != nil {
		return fmt.Errorf("%s: %s: %s", command, refusal.Error, refusal.Message)
	}
	if result == nil {
		return nil
	}
	return json.Unmarshal(parts[3], result)
}
