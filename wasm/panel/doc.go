// Package panel draws the desk as page elements: the tray, the photographs, the
// steps, the answer, the readings, the sheet. Each panel is a function from a
// desk.Desk to markup; what a person does with it becomes a call on the desk.
package panel
