// Package promise turns what JavaScript promises and throws into Go's values
// and errors.
//
//	size, err := promise.Await(ctx, navigator.Call("estimate"))
//
// Await blocks its goroutine while the browser goes on. It must not be called
// from inside a js.Func, whose return the browser waits for: start a goroutine
// there.
package promise
