package store

import (
	"crypto/sha256"
	"fmt"
	"time"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

// tooth is an invented specimen with something of everything.
func tooth(id string) *tray.Specimen {
	return &tray.Specimen{
		ID: id, Name: "invented " + id, Invented: true, Revision: 1,
		Created: time.Date(2026, 5, 1, 12, 33, 21, 123456000, time.UTC),
		Changed: time.Date(2026, 5, 1, 12, 34, 0, 0, time.UTC),
		Typed:   map[morph.ID]morph.Typed{"CH": {Value: 46.1, U: 0.05}},
		Photos: []tray.Photo{{
			View: morph.View{ID: "p" + id, Role: morph.LateralLabial, Crown: &morph.Crown{
				Apex: 1, Path: morph.Path{{X: 1.5, Y: 2}, {X: 3, Y: 4.25, Via: [][2]float64{{2, 3}}}}}},
			Hash: hashOf(id), File: "tooth.jpg", MIME: "image/jpeg", Width: 640, Height: 480,
		}},
	}
}

// hashOf is what a photograph of that specimen might have for a hash.
func hashOf(id string) string { return fmt.Sprintf("%x", sha256.Sum256([]byte(id))) }

func edited(s *tray.Specimen, remarks string) *tray.Specimen {
	c := s.Clone()
	c.Remarks, c.Revision = remarks, c.Revision+1
	return c
}
