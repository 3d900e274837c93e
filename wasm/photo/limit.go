package photo

// Limits on one photograph; a file beyond them is refused with a sentence that
// names the limit.
const (
	// MaxPixels is the largest width × height read. A picture takes four
	// bytes a pixel once decoded, several times over while it is drawn.
	MaxPixels = 100_000_000
	// MaxSide is the longest side read, in px: close to the longest that
	// browsers can draw on a canvas.
	MaxSide = 30_000
	// MaxFileBytes is the largest file read, in bytes.
	MaxFileBytes = 200 << 20
	// MaxTIFFPixels is the largest TIFF read: browsers do not decode TIFF, so
	// the program does, with up to twelve bytes a pixel in memory at a time.
	MaxTIFFPixels = 50_000_000
)

// CheckBytes refuses a file by its size alone, so that it need not be read
// first. The size is in bytes.
func CheckBytes(name string, size int64) error {
	switch {
	case size == 0:
		return &Refusal{File: name, Fault: Empty,
			Wrong:  "is empty",
			Remedy: "Copy it from the camera or the disk again."}
	case size > MaxFileBytes:
		return refuse(name, FileTooLarge, "Save it as a JPEG, or cut away what is not the tooth.",
			"takes up %s; files up to %s are read", megabytes(size), megabytes(MaxFileBytes))
	}
	return nil
}

// checkSize refuses a picture by what its header claims, in px.
func checkSize(name string, f Format, width, height int) error {
	w, h := int64(width), int64(height)
	limit := int64(MaxPixels)
	if f == TIFF {
		limit = MaxTIFFPixels
	}
	const remedy = "Make it smaller, or cut away what is not the tooth, and open it again."
	switch {
	case w <= 0 || h <= 0:
		return damaged(name, "its header gives a width or height of zero")
	case w > MaxSide || h > MaxSide:
		return refuse(name, TooManyPixels, remedy,
			"says that it is %d × %d pixels; sides up to %s pixels are read", w, h, grouped(MaxSide))
	case w*h > limit:
		return refuse(name, TooManyPixels, remedy,
			"says that it is %d × %d pixels, %.0f million in all; a %s of up to %d million pixels is read",
			w, h, float64(w*h)/1e6, f, limit/1e6)
	}
	return nil
}
