//go:build js

package page

import (
	"errors"
	"fmt"
	"runtime"
	"syscall/js"
	"time"

	"crownbench/morph/vision"
	"crownbench/wasm/bench"
	"crownbench/wasm/page/picture"
)

const (
	// wideOpen is how many px are read at full size; of a larger picture every
	// second one is, or fewer still, as far as memory goes.
	wideOpen = 40_000_000
	// unsaid is how long reading may take before it is said how far it is.
	unsaid = time.Second
)

var errLeft = errors.New("the photograph was put away")

// ReadPixels reads the pixels of the picture under the bench.
func (a *App) ReadPixels(then func(bench.Sight, error)) {
	pic := a.open
	go func() {
		s, err := a.readPixels(pic)
		if err == errLeft {
			return
		}
		a.AfterFrame(func() { then(s, err) })
	}()
}

func (a *App) readPixels(pic *picture.Picture) (bench.Sight, error) {
	if pic == nil {
		return bench.Sight{}, errors.New("the picture cannot be shown here, so nothing can be found in it")
	}
	level := 0
	for size := pic.LevelSize(level); size.X*size.Y > wideOpen; size = pic.LevelSize(level) {
		level++
	}
	size := pic.LevelSize(level)
	// The pixels of the photograph before are let go of by now. Taking their place
	// keeps the program's memory, which a page never gives back, from growing.
	runtime.GC()
	pix := make([]byte, 4*size.X*size.Y)
	b := newBreath()
	defer b.close()
	began, said := time.Now(), false
	err := pic.Read(level, pix, func(done float64) error {
		b.take()
		if a.open != pic {
			return errLeft
		}
		if time.Since(began) > unsaid {
			said = true
			a.desk.SetBusy(fmt.Sprintf("Reading the picture… %.0f %%", 100*done))
		}
		return nil
	})
	if said {
		a.desk.SetBusy("")
	}
	if err != nil {
		return bench.Sight{}, err
	}
	p, err := vision.NewPicture(pix, size.X, size.Y)
	if err != nil {
		return bench.Sight{}, err
	}
	for n := range p.Levels() { // the smaller copies, which would take a while at once
		p.Level(n)
		b.take()
	}
	if a.open != pic {
		return bench.Sight{}, errLeft
	}
	return bench.Sight{Picture: p, Factor: float64(int(1) << level)}, nil
}

// AfterFrame calls f once what changed is on the screen.
func (a *App) AfterFrame(f func()) {
	var frame, after js.Func
	after = js.FuncOf(func(js.Value, []js.Value) any {
		frame.Release()
		after.Release()
		f()
		return nil
	})
	frame = js.FuncOf(func(js.Value, []js.Value) any {
		js.Global().Call("setTimeout", after, 0)
		return nil
	})
	js.Global().Call("requestAnimationFrame", frame)
}
