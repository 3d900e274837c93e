// Package browsertest drives the built page in a real Chromium, as a person
// would: with the mouse, the keyboard, fingers, dropped files and downloads.
// It needs the build tag browser, a page in dist/ (./build.sh quick) and a
// chromium on the path; ./build.sh test brings all three.
//
//	go test -tags browser ./web/browsertest -run TestFirstPage -v
//
// # Writing a test
//
// Open gives a test a tab of its own with its own storage, at the size of a
// screen (Laptop, Desk, Tablet). What the test does goes through the browser's
// input machinery, so an element that is covered, disabled or off the screen
// cannot be used by accident:
//
//	p := Open(t, Laptop)
//	p.ClickRole("button", "Quick check")
//	p.Fill("#ch", "46.1")
//	p.Until(`document.querySelector("#answer").textContent !== ""`)
//	p.Shot("quick-check")
//
// Every page is watched: an error in the console, an exception that nothing
// caught, a breach of the Content-Security-Policy, a request to any host but
// the page's own and a crash each fail the test, whatever else it checks. A
// test whose point is such a fault takes it with TakeFaults.
//
// Methods fail the test themselves; when it has failed, the page as it was
// then is in dist/shots/FAILED-<test>.png.
package browsertest
