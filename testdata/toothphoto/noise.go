package toothphoto

import "math"

// mix scrambles a lattice point and a seed into 32 well-spread bits.
func mix(x, y int32, seed uint32) uint32 {
	h := uint32(x)*0x9e3779b1 ^ uint32(y)*0x85ebca77 ^ seed*0xc2b2ae3d
	h ^= h >> 15
	h *= 0x2c1b3c6d
	h ^= h >> 12
	h *= 0x297a2d39
	h ^= h >> 15
	return h
}

// unit turns 32 bits into a number from 0 up to 1.
func unit(h uint32) float64 { return float64(h) / (1 << 32) }

// stream is a small deterministic generator of numbers for one purpose.
type stream struct{ state uint64 }

func newStream(seed, purpose uint64) *stream {
	return &stream{state: seed*0x9e3779b97f4a7c15 + purpose*0xd1342543de82ef95 + 1}
}

// float returns a number from 0 up to 1.
func (s *stream) float() float64 {
	s.state += 0x9e3779b97f4a7c15
	z := s.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	z ^= z >> 31
	return float64(z>>11) / (1 << 53)
}

// between returns a number from lo up to hi.
func (s *stream) between(lo, hi float64) float64 { return lo + (hi-lo)*s.float() }

// floor is math.Floor as an integer; it is the hot spot of the noise.
func floor(x float64) int32 {
	i := int32(x)
	if float64(i) > x {
		i--
	}
	return i
}

// smooth is the quintic fade, flat at both ends.
func smooth(t float64) float64 { return t * t * t * (t*(t*6-15) + 10) }

// step rises smoothly from 0 at lo to 1 at hi.
func step(lo, hi, x float64) float64 {
	t := (x - lo) / (hi - lo)
	if t <= 0 {
		return 0
	}
	if t >= 1 {
		return 1
	}
	return t * t * (3 - 2*t)
}

// grain is value noise from -1 to 1 with features one unit wide.
func grain(x, y float64, seed uint32) float64 {
	xi, yi := floor(x), floor(y)
	fx, fy := smooth(x-float64(xi)), smooth(y-float64(yi))
	a := unit(mix(xi, yi, seed))
	b := unit(mix(xi+1, yi, seed))
	c := unit(mix(xi, yi+1, seed))
	d := unit(mix(xi+1, yi+1, seed))
	top := a + (b-a)*fx
	low := c + (d-c)*fx
	return 2*(top+(low-top)*fy) - 1
}

// cloud sums octaves of grain, each turned and half as wide as the last.
func cloud(x, y float64, seed uint32, octaves int) float64 {
	sum, amp, norm := 0.0, 1.0, 0.0
	for o := 0; o < octaves; o++ {
		sum += amp * grain(x, y, seed+uint32(o)*7919)
		norm += amp
		amp *= 0.5
		// A turn by an angle with no short period hides the lattice.
		x, y = 2*(0.8*x-0.6*y)+11.3, 2*(0.6*x+0.8*y)-7.7
	}
	return sum / norm * 1.4
}

// cell finds the two nearest of points scattered one per unit square: their
// distances, the offset to the nearest and its random bits.
func cell(x, y float64, seed uint32) (near, next, dx, dy float64, id uint32) {
	xi, yi := floor(x), floor(y)
	near, next = math.MaxFloat64, math.MaxFloat64
	for j := yi - 1; j <= yi+1; j++ {
		for i := xi - 1; i <= xi+1; i++ {
			h := mix(i, j, seed)
			px := float64(i) + 0.1 + 0.8*float64(h&0xffff)/65536 - x
			py := float64(j) + 0.1 + 0.8*float64(h>>16)/65536 - y
			d := px*px + py*py
			if d < near {
				next = near
				near, dx, dy, id = d, px, py, h
			} else if d < next {
				next = d
			}
		}
	}
	return math.Sqrt(near), math.Sqrt(next), dx, dy, id * 0x9e3779b1
}

// sensor returns the noise of a pixel's three channels, each of deviation 1:
// a part that they share and one of their own, spread nearly like a normal law.
func sensor(x, y int, seed uint64) (r, g, b float32) {
	z := seed + uint64(uint32(x)) | uint64(uint32(y))<<32
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	z ^= z >> 31
	v := z*0x9e3779b97f4a7c15 + seed
	v ^= v >> 29
	v *= 0xbf58476d1ce4e5b9
	v ^= v >> 32
	// Each sum of four bytes has mean 510 and deviation 147.80.
	four := func(k uint64) float32 {
		return (float32(k&255+k>>8&255+k>>16&255+k>>24&255) - 510) / 147.8
	}
	shared := 0.8 * four(z)
	return shared + 0.6*four(z>>32), shared + 0.6*four(v), shared + 0.6*four(v>>32)
}
