// Package traytest draws specimens for the property tests of packages that
// keep, write or show them. It is for tests alone.
package traytest
