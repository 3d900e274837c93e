// Package firefoxtest takes the built page through its main job in Debian's
// Firefox, where browsertest does everything in Chromium. It needs the build tag
// firefox, a page in dist/ and the commands firefox-esr and Xvfb; ./build.sh
// firefox brings all of them.
//
//	go test -tags firefox ./web/firefoxtest -v
//
// Firefox is driven over Marionette, the protocol that is built into it and that
// WebDriver for Firefox runs on: lines of JSON over a local connection. Clicks
// and keys go through the browser's input machinery. Files cannot be dragged in
// from outside that way; Drop makes the event in the page.
//
// Without a screen Firefox has no WebGL, which is a state of its own: Hidden
// opens that one. Shown gives it a screen in memory (Xvfb), where Mesa draws
// WebGL in software.
package firefoxtest
