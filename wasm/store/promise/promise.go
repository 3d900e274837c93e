//go:build js

package promise

import (
	"context"
	"errors"
	"strings"
	"syscall/js"
)

// Error is a JavaScript exception or the reason of a rejected promise.
type Error struct {
	Name    string // of a DOMException or Error, such as "QuotaExceededError"
	Message string // as the browser words it, in English more often than not
}

func (e *Error) Error() string {
	if e.Name == "" {
		return e.Message
	}
	return e.Name + ": " + e.Message
}

// Is tells whether err is a JavaScript error of that name.
func Is(err error, name string) bool {
	var e *Error
	return errors.As(err, &e) && e.Name == name
}

// FromJS makes an error of what was thrown or rejected with.
func FromJS(reason js.Value) *Error {
	if reason.Type() != js.TypeObject {
		return &Error{Message: reason.String()}
	}
	text := func(key string) string {
		if v := reason.Get(key); v.Type() == js.TypeString {
			return v.String()
		}
		return ""
	}
	return &Error{Name: text("name"), Message: text("message")}
}

// Try calls f and gives what it throws as an *Error.
func Try(f func() js.Value) (v js.Value, err error) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case js.Error:
			err = FromJS(r.Value)
		case *js.ValueError:
			// A method was called on something that is not there.
			err = &Error{Name: "TypeError", Message: r.Error()}
		case string:
			// syscall/js says so when a property is no function.
			if !strings.HasPrefix(r, "syscall/js:") {
				panic(r)
			}
			err = &Error{Name: "TypeError", Message: r}
		default:
			panic(r)
		}
	}()
	return f(), nil
}

// Await waits until p is settled or ctx is done. A value that is no promise is
// given back at once, as JavaScript's own await does.
func Await(ctx context.Context, p js.Value) (js.Value, error) {
	if p.Type() != js.TypeObject || p.Get("then").Type() != js.TypeFunction {
		return p, nil
	}
	type outcome struct {
		v   js.Value
		err error
	}
	settled := make(chan outcome, 1)
	var resolve, reject js.Func
	release := func() { resolve.Release(); reject.Release() }
	resolve = js.FuncOf(func(_ js.Value, args []js.Value) any {
		settled <- outcome{v: first(args)}
		release()
		return nil
	})
	reject = js.FuncOf(func(_ js.Value, args []js.Value) any {
		settled <- outcome{err: FromJS(first(args))}
		release()
		return nil
	})
	p.Call("then", resolve, reject)
	select {
	case o := <-settled:
		return o.v, o.err
	case <-ctx.Done():
		// The functions stay until the promise is settled after all.
		return js.Undefined(), ctx.Err()
	}
}

// AwaitCall calls a method that gives a promise and waits for it; what the
// call itself throws is an error too.
func AwaitCall(ctx context.Context, object js.Value, method string, args ...any) (js.Value, error) {
	p, err := Try(func() js.Value { return object.Call(method, args...) })
	if err != nil {
		return js.Undefined(), err
	}
	return Await(ctx, p)
}

func first(args []js.Value) js.Value {
	if len(args) == 0 {
		return js.Undefined()
	}
	return args[0]
}
