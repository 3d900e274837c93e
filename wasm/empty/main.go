//go:build js

// Command empty is a page with Ebitengine and nothing else: what Crownbench
// cannot be smaller than, nor quicker to start. ./build.sh bench measures it
// beside the program.
package main

import (
	"syscall/js"

	"github.com/hajimehoshi/ebiten/v2"
)

type game struct{}

func (game) Update() error { return nil }

func (game) Draw(*ebiten.Image) {}

func (game) Layout(width, height int) (int, int) { return width, height }

func main() {
	// As in the program, before the engine starts.
	js.Global().Get("document").Get("documentElement").Get("dataset").Set("state", "ready")
	ebiten.SetScreenClearedEveryFrame(true)
	ebiten.SetFPSMode(ebiten.FPSModeVsyncOffMinimum)
	if err := ebiten.RunGameWithOptions(game{}, &ebiten.RunGameOptions{InitUnfocused: true}); err != nil {
		panic(err)
	}
}
