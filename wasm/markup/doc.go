// Package markup describes pieces of a page as plain values: elements with
// attributes, text and what to do on an event. Panels are functions from state
// to such values, so that they can be tested without a browser; package page
// makes the browser's document match them, and Render writes them as HTML for
// a sheet that leaves the program.
//
// Text and attribute values are always escaped; there is no way to put raw
// HTML into a page.
package markup
