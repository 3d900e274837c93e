package vision_test

import (
	"fmt"
	"testing"

	"crownbench/morph/vision"
	"crownbench/testdata/toothtrial"
)

// BenchmarkSilhouette is the whole way from pixels to outline, smaller copies
// of the picture included; BenchmarkLandmarks goes on from there.
func BenchmarkSilhouette(b *testing.B) {
	for _, size := range []struct {
		name string
		wide int
	}{{"1MP", 1200}, {"6MP", 2900}, {"24MP", 5700}} {
		img, truth, err := toothtrial.Lateral(26, size.wide).Draw()
		if err != nil {
			b.Fatal(err)
		}
		at := toothtrial.Middle(truth)
		b.Run(size.name, func(b *testing.B) {
			for b.Loop() {
				p, err := vision.PictureOf(img)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := vision.Silhouette(p, at); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkLandmarks(b *testing.B) {
	for _, wide := range []int{1200, 5700} {
		img, truth, err := toothtrial.Lateral(26, wide).Draw()
		if err != nil {
			b.Fatal(err)
		}
		p, err := vision.PictureOf(img)
		if err != nil {
			b.Fatal(err)
		}
		o, err := vision.Silhouette(p, toothtrial.Middle(truth))
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("%dpx", wide), func(b *testing.B) {
			for b.Loop() {
				if _, err := vision.Landmarks(p, o); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
