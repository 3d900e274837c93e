package bench

import "github.com/hajimehoshi/ebiten/v2"

// Vertex is a corner of a triangle, as the graphics library takes it.
type Vertex = ebiten.Vertex
