package photo

import "encoding/binary"

// walkWebP follows the chunks of a WebP file (RFC 9649).
func walkWebP(name string, b []byte) (found, error) {
	var f found
	size := int64(binary.LittleEndian.Uint32(b[4:]))
	if size > int64(len(b)-8) {
		return f, truncated(name, WebP)
	}
	if size < 4 {
		return f, damaged(name, "its header claims an impossible length")
	}
	b = b[:8+size] // what follows the file's own end is ignored (section 2.4)

	var canvas found
	extended := false
	for at := 12; at < len(b); {
		if at+8 > len(b) {
			return f, damaged(name, "its last part is cut off")
		}
		kind := string(b[at : at+4])
		n := int64(binary.LittleEndian.Uint32(b[at+4:]))
		if n > int64(len(b)-at-8) {
			return f, damaged(name, "its part %q reaches beyond its end", kind)
		}
		body := b[at+8 : at+8+int(n)]
		at += 8 + int(n+n&1)

		var err error
		switch kind {
		case "VP8X":
			if n < 10 {
				return f, damaged(name, "its header is too short")
			}
			if body[0]&0x02 != 0 {
				return f, unread(name, "Save one frame of it as JPEG.", "is a moving picture")
			}
			extended = true
			canvas.width = 1 + int(uint24(body[4:]))
			canvas.height = 1 + int(uint24(body[7:]))
			err = checkSize(name, WebP, canvas.width, canvas.height)
		case "VP8 ", "VP8L":
			if f.width != 0 {
				return f, damaged(name, "it holds two pictures")
			}
			if kind == "VP8 " {
				f.width, f.height, err = lossy(name, body)
			} else {
				f.width, f.height, err = lossless(name, body)
			}
			if err == nil {
				err = checkSize(name, WebP, f.width, f.height)
			}
		case "EXIF":
			if f.exif == nil {
				f.exif = body
				// Some writers keep the six bytes that only a JPEG needs.
				if begins(body, "Exif\x00") && n > 6 {
					f.exif = body[6:]
				}
			}
		}
		if err != nil {
			return f, err
		}
	}
	switch {
	case f.width == 0:
		return f, damaged(name, "it holds no picture")
	case extended && (canvas.width != f.width || canvas.height != f.height):
		return f, damaged(name, "its header says %d × %d pixels, its picture %d × %d",
			canvas.width, canvas.height, f.width, f.height)
	}
	return f, nil
}

// lossy reads the size in px from a VP8 key frame (RFC 6386, section 9.1).
func lossy(name string, b []byte) (width, height int, err error) {
	if len(b) < 10 || b[0]&1 != 0 || string(b[3:6]) != "\x9d\x01\x2a" {
		return 0, 0, damaged(name, "its picture does not begin as it should")
	}
	if first := int(uint24(b) >> 5); first > len(b)-10 {
		return 0, 0, damaged(name, "its picture is cut off")
	}
	// The upper two bits of each are for scaling.
	return int(binary.LittleEndian.Uint16(b[6:])) & 0x3fff, int(binary.LittleEndian.Uint16(b[8:])) & 0x3fff, nil
}

// lossless reads the size in px from a VP8L picture (RFC 9649, section 3.4).
func lossless(name string, b []byte) (width, height int, err error) {
	if len(b) < 5 || b[0] != 0x2f || b[4]>>5 != 0 {
		return 0, 0, damaged(name, "its picture does not begin as it should")
	}
	v := binary.LittleEndian.Uint32(b[1:])
	return int(v&0x3fff) + 1, int(v>>14&0x3fff) + 1, nil
}

func uint24(b []byte) uint32 {
	return uint32(b[0]) | uint32(b[1])<<8 | uint32(b[2])<<16
}
