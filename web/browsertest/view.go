//go:build browser

package browsertest

import (
	"context"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// View is the screen and the surroundings that a page is opened in.
type View struct {
	// Width and Height of the window in CSS pixels.
	Width, Height int64
	// Touch makes it a tablet: fingers instead of a mouse.
	Touch bool
	// Dark asks for the dark scheme, as the system of the person would.
	Dark bool
	// Density is how many pixels of the screen a CSS pixel has; 0 stands for 1.
	Density float64
	// StillMotion and FewColours are what a person may ask their system for:
	// less that moves, and a few colours of their own choice for everything.
	StillMotion, FewColours bool
	// Print shows the page as it is printed.
	Print bool
	// NoWebGL takes WebGL away, as on machines without a usable GPU.
	NoWebGL bool
	// Prelude is script that runs before any script of the page.
	Prelude string
}

// The screens that the page is made for.
var (
	Laptop = View{Width: 1280, Height: 720}
	Desk   = View{Width: 1920, Height: 1080}
	Tablet = View{Width: 768, Height: 1024, Touch: true}
)

// InDark returns the view with the dark scheme.
func (v View) InDark() View {
	v.Dark = true
	return v
}

const withoutWebGL = `
HTMLCanvasElement.prototype.getContext = new Proxy(HTMLCanvasElement.prototype.getContext, {
  apply: (get, canvas, [kind, ...more]) => /webgl/.test(kind) ? null : Reflect.apply(get, canvas, [kind, ...more]),
});`

// apply sets the view on a tab that has not loaded the page yet.
func (v View) apply(ctx context.Context, t *chromedp.Target) error {
	if err := v.applySize(ctx, t); err != nil {
		return err
	}
	touch := emulation.SetTouchEmulationEnabledParams{Enabled: v.Touch}
	if v.Touch {
		touch.MaxTouchPoints = 5
	}
	if _, err := cdp.Call(ctx, t, emulation.SetTouchEmulationEnabled, touch); err != nil {
		return err
	}
	// Tabs share one machine without a desktop; each must believe that it has
	// the focus, or the clipboard and :focus styles are denied to it.
	if _, err := cdp.Call(ctx, t, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true}); err != nil {
		return err
	}
	if err := v.applyMedia(ctx, t); err != nil {
		return err
	}
	prelude := v.Prelude
	if v.NoWebGL {
		prelude += withoutWebGL
	}
	if prelude == "" {
		return nil
	}
	_, err := cdp.Call(ctx, t, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: prelude})
	return err
}

func (v View) applySize(ctx context.Context, t *chromedp.Target) error {
	orientation := &emulation.ScreenOrientation{Type: emulation.ScreenOrientationTypeLandscapePrimary, Angle: 90}
	if v.Height > v.Width {
		orientation = &emulation.ScreenOrientation{Type: emulation.ScreenOrientationTypePortraitPrimary}
	}
	density := v.Density
	if density == 0 {
		density = 1
	}
	_, err := cdp.Call(ctx, t, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
		Width: v.Width, Height: v.Height, DeviceScaleFactor: density, Mobile: v.Touch, ScreenOrientation: orientation,
	})
	return err
}

func (v View) applyMedia(ctx context.Context, t *chromedp.Target) error {
	scheme := "light"
	if v.Dark {
		scheme = "dark"
	}
	media := emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
	}
	if v.StillMotion {
		media.Features = append(media.Features, &emulation.MediaFeature{Name: "prefers-reduced-motion", Value: "reduce"})
	}
	if v.FewColours {
		media.Features = append(media.Features, &emulation.MediaFeature{Name: "forced-colors", Value: "active"})
	}
	if v.Print {
		media.Media = "print"
	}
	_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, media)
	return err
}
