package photo_test

import (
	"bytes"
	"fmt"
	"image"
	"image/png"

	"crownbench/wasm/photo"
)

func Example() {
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 640, 480))); err != nil {
		panic(err)
	}

	i, err := photo.Inspect("tooth.jpg", b.Bytes())
	fmt.Println(i.Format, i.Width, "×", i.Height, err)

	_, err = photo.Inspect("tooth.jpg", b.Bytes()[:b.Len()-20])
	fmt.Println(err)
	// Output:
	// PNG 640 × 480 <nil>
	// tooth.jpg is cut off: the end of the PNG is missing. Copy it from the camera or the disk again.
}
