//go:build js

package promise_test

import (
	"context"
	"errors"
	"syscall/js"
	"testing"
	"time"

	"crownbench/wasm/store/promise"
)

func Example() {
	v, err := promise.Await(context.Background(), js.Global().Get("Promise").Call("resolve", 22.6))
	if err != nil {
		panic(err)
	}
	println(v.Float())
}

func TestAwait(t *testing.T) {
	ctx := context.Background()
	promises := js.Global().Get("Promise")
	if v, err := promise.Await(ctx, promises.Call("resolve", 7)); err != nil || v.Int() != 7 {
		t.Errorf("resolved: got %v, %v", v, err)
	}
	if v, err := promise.Await(ctx, js.ValueOf("plain")); err != nil || v.String() != "plain" {
		t.Errorf("no promise: got %v, %v", v, err)
	}
	reason := js.Global().Get("DOMException").New("the disk is full", "QuotaExceededError")
	_, err := promise.Await(ctx, promises.Call("reject", reason))
	if !promise.Is(err, "QuotaExceededError") || err.Error() != "QuotaExceededError: the disk is full" {
		t.Errorf("rejected: got %v", err)
	}
	if _, err := promise.Await(ctx, promises.Call("reject", "a word")); err == nil || err.Error() != "a word" {
		t.Errorf("rejected with a string: got %v", err)
	}

	never := promises.New(js.Global().Get("Function").New("return undefined"))
	short, cancel := context.WithTimeout(ctx, time.Millisecond)
	defer cancel()
	if _, err := promise.Await(short, never); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("never settled: got %v", err)
	}
}

func TestTry(t *testing.T) {
	_, err := promise.Try(func() js.Value { return js.Global().Get("JSON").Call("parse", "{") })
	if !promise.Is(err, "SyntaxError") {
		t.Errorf("thrown: got %v", err)
	}
	_, err = promise.Try(func() js.Value { return js.Undefined().Call("open") })
	if !promise.Is(err, "TypeError") {
		t.Errorf("call on nothing: got %v", err)
	}
	_, err = promise.Try(func() js.Value { return js.Global().Get("Math").Call("nothing") })
	if !promise.Is(err, "TypeError") {
		t.Errorf("call of what is no function: got %v", err)
	}
	v, err := promise.Try(func() js.Value { return js.Global().Get("Math").Call("max", 2, 3) })
	if err != nil || v.Int() != 3 {
		t.Errorf("nothing thrown: got %v, %v", v, err)
	}
}
