//go:build js

// Command wasm is the program that runs in the browser. It only wires the
// parts together.
package main

import (
	"crownbench/classify"
	"crownbench/wasm/page"
	"crownbench/wasm/sheet"

	"github.com/hajimehoshi/ebiten/v2"
)

// version is set by the build.
var version = "development"

func main() {
	app := page.Start(sheet.Versions{Program: version, Sorting: classify.Published().Version()})
	ebiten.SetScreenClearedEveryFrame(true)
	ebiten.SetFPSMode(ebiten.FPSModeVsyncOffMinimum)
	if err := ebiten.RunGameWithOptions(app.Game(), &ebiten.RunGameOptions{InitUnfocused: true}); err != nil {
		app.LosePhotoView(err)
	}
	// Without the photo view the panels go on.
	select {}
}
