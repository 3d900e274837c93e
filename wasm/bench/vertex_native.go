//go:build !js

package bench

// Vertex is a corner of a triangle: Ebitengine's vertex, field by field, so
// that meshes can be made and tested without a graphics library.
type Vertex struct {
	DstX, DstY, SrcX, SrcY         float32
	ColorR, ColorG, ColorB, ColorA float32

	Custom0, Custom1, Custom2, Custom3 float32
}
