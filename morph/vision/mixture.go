package vision

import "math"

type colour = [3]float64

// blob is one normal distribution of colours.
type blob struct {
	mean    colour
	inverse [6]float64 // of the covariance: xx, yy, zz, xy, xz, yz
	cost    float64    // what every colour costs: ½ log det − log share
	share   float64
}

// mixture is a few blobs that describe the colours of one kind of ground.
type mixture []blob

// grain is the least deviation of a blob's colours along any axis, in grey
// levels: rounding, compression and sensor noise are never less.
const grain = 2.5

// mix describes sampled colours by up to k blobs. The start is spread out from
// the commonest colours, so the same samples give the same mixture.
func mix(samples []colour, k int) mixture {
	if len(samples) == 0 {
		return nil
	}
	centres := spreadOut(samples, k)
	member := make([]int, len(samples))
	for range 8 {
		moved := false
		sums, counts := make([]colour, len(centres)), make([]float64, len(centres))
		for i, c := range samples {
			best, near := 0, math.Inf(1)
			for j, m := range centres {
				if d := apart(c, m); d < near {
					best, near = j, d
				}
			}
			moved = moved || member[i] != best
			member[i] = best
			counts[best]++
			for a := range c {
				sums[best][a] += c[a]
			}
		}
		for j := range centres {
			if counts[j] > 0 {
				for a := range sums[j] {
					centres[j][a] = sums[j][a] / counts[j]
				}
			}
		}
		if !moved {
			break
		}
	}
	var out mixture
	for j := range centres {
		var own []colour
		for i, c := range samples {
			if member[i] == j {
				own = append(own, c)
			}
		}
		if len(own) > 0 {
			out = append(out, describe(own, float64(len(own))/float64(len(samples))))
		}
	}
	return out
}

// spreadOut picks up to k samples, each as far as may be from those before it
// but weighed by how many lie about it, so that no stray colour is picked.
func spreadOut(samples []colour, k int) []colour {
	var mean colour
	for _, c := range samples {
		for a := range c {
			mean[a] += c[a] / float64(len(samples))
		}
	}
	centres := []colour{mean}
	far := make([]float64, len(samples))
	for i, c := range samples {
		far[i] = apart(c, mean)
	}
	for len(centres) < k {
		// The sample at the ninetieth percentile of distance is far and common.
		at := rank(far, 0.9)
		if far[at] < grain*grain {
			break
		}
		centres = append(centres, samples[at])
		for i, c := range samples {
			far[i] = math.Min(far[i], apart(c, samples[at]))
		}
	}
	return centres
}

// common leaves out the blobs with less than a share of the samples, unless
// none would be left.
func (m mixture) common(share float64) mixture {
	var out mixture
	for _, b := range m {
		if b.share >= share {
			out = append(out, b)
		}
	}
	if out == nil {
		return m
	}
	return out
}

func apart(a, b colour) float64 {
	x, y, z := a[0]-b[0], a[1]-b[1], a[2]-b[2]
	return x*x + y*y + z*z
}

// describe is the blob of some samples.
func describe(samples []colour, share float64) blob {
	var t tally
	for _, c := range samples {
		t.add(c, 1)
	}
	return t.blob(share)
}

// settle gives a blob its covariance: xx, yy, zz, xy, xz, yz.
func (b *blob) settle(v [6]float64) {
	for i := range 3 {
		v[i] += grain * grain
	}
	det := v[0]*(v[1]*v[2]-v[5]*v[5]) - v[3]*(v[3]*v[2]-v[5]*v[4]) + v[4]*(v[3]*v[5]-v[1]*v[4])
	b.inverse = [6]float64{
		(v[1]*v[2] - v[5]*v[5]) / det,
		(v[0]*v[2] - v[4]*v[4]) / det,
		(v[0]*v[1] - v[3]*v[3]) / det,
		(v[4]*v[5] - v[3]*v[2]) / det,
		(v[3]*v[5] - v[4]*v[1]) / det,
		(v[3]*v[4] - v[0]*v[5]) / det,
	}
	b.cost = 0.5*math.Log(det) - math.Log(b.share)
}

// between is the product of two colours under a blob's inverse covariance.
func (b *blob) between(p, q colour) float64 {
	v := &b.inverse
	return p[0]*(v[0]*q[0]+v[3]*q[1]+v[4]*q[2]) + p[1]*(v[3]*q[0]+v[1]*q[1]+v[5]*q[2]) + p[2]*(v[4]*q[0]+v[5]*q[1]+v[2]*q[2])
}

// away is the squared distance of a colour from a blob in its deviations.
func (b *blob) away(c colour) float64 {
	d := colour{c[0] - b.mean[0], c[1] - b.mean[1], c[2] - b.mean[2]}
	return b.between(d, d)
}

// unlikely is the negative logarithm of how likely a colour is, up to a
// constant.
func (b *blob) unlikely(c colour) float64 { return 0.5*b.away(c) + b.cost }

func (m mixture) unlikely(c colour) float64 {
	least := math.Inf(1)
	for i := range m {
		least = math.Min(least, m[i].unlikely(c))
	}
	return least
}

// shaded is the squared distance, in deviations, of a colour from the nearest
// blob in any light from deep shade to a little more than its own.
func (m mixture) shaded(c colour, deepest float64) float64 {
	least := math.Inf(1)
	for i := range m {
		b := &m[i]
		light := b.between(c, b.mean) / b.between(b.mean, b.mean)
		light = math.Max(deepest, math.Min(light, 1.12))
		d := colour{c[0] - light*b.mean[0], c[1] - light*b.mean[1], c[2] - light*b.mean[2]}
		least = math.Min(least, b.between(d, d))
	}
	return least
}
