//go:build browser

package browsertest

import (
	"context"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// modifiers are the keys that are held while another is struck.
var modifiers = map[string]kb.Modifier{
	"Alt":     kb.ModifierAlt,
	"Control": kb.ModifierCtrl,
	"Meta":    kb.ModifierMeta,
	"Shift":   kb.ModifierShift,
}

// named turns the name of a key, as KeyboardEvent.key gives it, into the rune
// that stands for it in package kb.
var named = func() map[string]rune {
	m := make(map[string]rune)
	for r, k := range kb.Keys {
		if old, taken := m[k.Key]; utf8.RuneCountInString(k.Key) > 1 && (!taken || r < old) {
			m[k.Key] = r
		}
	}
	m["Space"] = ' '
	return m
}()

// Press strikes keys one after the other. Each is a character or the name that
// KeyboardEvent.key gives it, after the modifiers held with it: "a", "Enter",
// "Shift+ArrowLeft", "Control+Shift+z", "Control++".
func (p *Page) Press(chords ...string) {
	p.t.Helper()
	for _, chord := range chords {
		mods, key := splitChord(chord)
		p.Hold(mods, func() { p.strike(key) })
	}
}

// Type writes text into whatever has the focus, key by key.
func (p *Page) Type(text string) {
	p.t.Helper()
	for _, r := range text {
		p.sendKeys(r, 0)
	}
}

// Hold presses modifier keys ("Shift", "Control", "Alt", "Meta"), does
// something, and lets go of them.
func (p *Page) Hold(keys []string, something func()) {
	p.t.Helper()
	before := p.held
	for _, name := range keys {
		bit, ok := modifiers[name]
		if !ok {
			p.t.Fatalf("%q is no modifier key", name)
		}
		p.held |= int64(bit)
		p.modifier(input.DispatchKeyEventTypeRawKeyDown, name)
	}
	something()
	for i := len(keys) - 1; i >= 0; i-- {
		p.held &^= int64(modifiers[keys[i]])
		p.modifier(input.DispatchKeyEventTypeKeyUp, keys[i])
	}
	p.held = before
}

// Fill puts the text in place of what a field holds: a click into it, select
// all, type.
func (p *Page) Fill(selector, text string) {
	p.t.Helper()
	p.Click(selector)
	p.Press("Control+a", "Delete")
	p.Type(text)
}

// Pick chooses an option of a select element by its label, with the keys.
func (p *Page) Pick(selector, label string) {
	p.t.Helper()
	e := p.find(selector)
	p.reach(e)
	callOn[chromedp.Void](p, e, `function() { this.focus() }`)
	label = p.said(label)
	p.Type(label)
	// Typing selects the first option that begins with what was typed.
	got := callOn[string](p, e, `function() { return this.selectedOptions[0]?.label ?? "" }`)
	if got != label {
		p.t.Fatalf("%s: typing %q chose %q", e.what, label, got)
	}
}

func splitChord(chord string) (mods []string, key string) {
	for {
		name, rest, ok := strings.Cut(chord, "+")
		if !ok || rest == "" || modifiers[name] == 0 {
			return mods, chord
		}
		mods = append(mods, name)
		chord = rest
	}
}

func (p *Page) strike(key string) {
	p.t.Helper()
	r, size := utf8.DecodeRuneInString(key)
	if size != len(key) {
		var ok bool
		if r, ok = named[key]; !ok {
			p.t.Fatalf("there is no key %q", key)
		}
	} else if p.held&int64(kb.ModifierShift) != 0 {
		r = unicode.ToUpper(r)
	}
	p.sendKeys(r, p.held)
}

// sendKeys sends down, char and up of one key. With Control, Alt or Meta held
// no character comes of it.
func (p *Page) sendKeys(r rune, held int64) {
	p.t.Helper()
	for _, k := range kb.Encode(r) {
		k.Modifiers |= held
		if k.Type == kb.KeyChar && held&^int64(kb.ModifierShift) != 0 {
			continue
		}
		p.key(*k)
	}
}

func (p *Page) modifier(typ input.DispatchKeyEventType, name string) {
	p.t.Helper()
	k := kb.Keys[named[name]]
	p.key(input.DispatchKeyEventParams{
		Type: typ, Key: k.Key, Code: k.Code, Modifiers: p.held, Location: 1,
		WindowsVirtualKeyCode: k.Windows, NativeVirtualKeyCode: k.Native,
	})
}

func (p *Page) key(k input.DispatchKeyEventParams) {
	p.t.Helper()
	do(p, fmt.Sprintf("key %s %s", k.Key, k.Type), func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchKeyEvent, k)
		return err
	})
}
