// Package model holds the learned half of a comparison: how a tooth with gaps
// becomes a point, how far two points lie apart, and how near teeth become
// shares and sets. It knows vectors and numbered classes; package classify
// knows teeth. The command classify/train writes a model, classify reads it.
package model
