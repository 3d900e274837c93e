package archive_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"crownbench/morph"
	"crownbench/wasm/archive"
	"crownbench/wasm/tray"
)

// A tray with one invented tooth leaves with its photograph and comes back.
func Example() {
	photograph := []byte("\xff\xd8 an invented photograph")
	sum := sha256.Sum256(photograph)
	hash := hex.EncodeToString(sum[:])
	tooth := &tray.Specimen{ID: "1", Name: "invented tooth", Invented: true, Photos: []tray.Photo{{
		View: morph.View{ID: "p", Role: morph.LateralLabial}, Hash: hash, File: "tooth.jpg", MIME: "image/jpeg", Bytes: len(photograph),
	}}}

	var file bytes.Buffer
	notes, err := archive.Write(&file, archive.Source{
		Specimens: []*tray.Specimen{tooth},
		Photo:     func(hash string) ([]byte, error) { return photograph, nil },
	})
	fmt.Println(notes, err)

	specimens, notes, err := archive.Read(bytes.NewReader(file.Bytes()), int64(file.Len()), func(hash string, b []byte) error {
		fmt.Println("a photograph of", len(b), "bytes")
		return nil
	})
	fmt.Println(specimens[0].Name, notes, err)
	// Output:
	// [] <nil>
	// a photograph of 25 bytes
	// invented tooth [] <nil>
}
