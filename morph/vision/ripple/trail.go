package ripple

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/dsp/fourier"
)

// trail is the rhythm of a profile followed along it, by sample.
type trail struct {
	step   float64
	period []float64    // px
	share  []float64    // of the ripple's variance near by that the period explains, 0 to 1
	wave   []complex128 // height (modulus, px) and phase of the ripple; 0 on a tip
	height []float64    // of the ripple, px, as locally as it can be told
}

// How a rhythm is followed: over this many periods to either side (deviation of
// a Gaussian window), at periods that are this far apart, among variations of
// the edge of about half to twice the period.
const (
	windowPeriods = 2.0
	localPeriods  = 0.8
	periodRatio   = 1.05
	bandShare     = 0.35
	// turnCost is what a step to the next period costs against the share of
	// variance that it may gain at one place: density changes slowly along a
	// carina.
	turnCost = 1.0
)

// bank filters one profile by Gaussians in frequency.
type bank struct {
	n     int // samples of the profile
	size  int // with padding
	step  float64
	whole []complex128 // spectrum of the profile
	part  []complex128
	fft   *fourier.CmplxFFT
}

func newBank(profile []float64, step, longest float64) *bank {
	b := &bank{n: len(profile), step: step}
	// Padded so that one end does not reach round to the other.
	for b.size = 64; float64(b.size) < float64(b.n)+4*windowPeriods*longest/step; b.size *= 2 {
	}
	b.fft = fourier.NewCmplxFFT(b.size)
	padded := make([]complex128, b.size)
	for i, v := range profile {
		padded[i] = complex(v, 0)
	}
	b.whole = b.fft.Coefficients(nil, padded)
	b.part = make([]complex128, b.size)
	return b
}

// pass gives the part of the profile around a period, as height and phase;
// share is the filter's deviation relative to its frequency.
func (b *bank) pass(period, share float64, out []complex128) []complex128 {
	f := float64(b.size) * b.step / period // in bins
	clear(b.part)
	lo, hi := max(1, int(f*(1-4*share))), min(b.size/2-1, int(f*(1+4*share))+1)
	for k := lo; k <= hi; k++ {
		d := (float64(k) - f) / (share * f)
		b.part[k] = b.whole[k] * complex(2*math.Exp(-d*d/2)/float64(b.size), 0)
	}
	return b.fft.Sequence(out, b.part)
}

// around averages squared heights over a Gaussian window of the given deviation
// in samples.
func (b *bank) around(wave []complex128, sigma float64) []float64 {
	clear(b.part)
	for i := range b.n {
		h := cmplx.Abs(wave[i])
		b.part[i] = complex(h*h, 0)
	}
	c := b.fft.Coefficients(b.part, b.part)
	for k := range c {
		bin := float64(min(k, b.size-k)) / float64(b.size)
		c[k] *= complex(math.Exp(-2*math.Pi*math.Pi*sigma*sigma*bin*bin)/float64(b.size), 0)
	}
	c = b.fft.Sequence(c, c)
	out := make([]float64, b.n)
	for i := range out {
		out[i] = max(0, real(c[i]))
	}
	return out
}

// inside is the share of a Gaussian window about a sample that lies within the
// profile.
func (b *bank) inside(i int, sigma float64) float64 {
	before, after := float64(i)+0.5, float64(b.n-i)-0.5
	return (math.Erf(before/(math.Sqrt2*sigma)) + math.Erf(after/(math.Sqrt2*sigma))) / 2
}

// bandwidth is the deviation, relative to its frequency, of the filter that
// weighs by a Gaussian of so many periods.
func bandwidth(periods float64) float64 { return 1 / (2 * math.Pi * periods) }

// follow follows the rhythm of a profile whose periods lie between two lengths
// in px. rest is called at every period.
func follow(rest func(), profile []float64, step, shortest, longest float64) trail {
	n := len(profile)
	b := newBank(profile, step, longest)
	var periods []float64
	for p := shortest; p <= longest; p *= periodRatio {
		periods = append(periods, p)
	}
	hop := max(1, int(shortest/step))
	places := (n + hop - 1) / hop
	waves := make([][]complex128, len(periods))
	gain := make([][]float64, places) // share explained, by place and period
	for j := range gain {
		gain[j] = make([]float64, len(periods))
	}
	var wide []complex128
	for k, p := range periods {
		rest()
		sigma := windowPeriods * p / step
		waves[k] = b.pass(p, bandwidth(windowPeriods), nil)[:n]
		wide = b.pass(p, bandShare, wide)
		all := b.around(wide, sigma)
		for j := range gain {
			i := min(n-1, j*hop)
			if all[i] > 0 {
				h := cmplx.Abs(waves[k][i])
				gain[j][k] = min(1, h*h/all[i]/b.inside(i, sigma))
			}
		}
	}
	rest()
	path := course(gain)
	rest()
	t := trail{step: step, period: make([]float64, n), share: make([]float64, n), wave: make([]complex128, n), height: make([]float64, n)}
	local := map[int][]complex128{}
	for i := range n {
		j := min(i/hop, places-1)
		k := path[j]
		t.period[i] = periods[k]
		t.share[i] = gain[j][k]
		if next := min(j+1, places-1); next > j {
			w := float64(i-j*hop) / float64(hop)
			t.share[i] = (1-w)*gain[j][k] + w*gain[next][path[next]]
		}
		sigma := windowPeriods * periods[k] / step
		t.wave[i] = waves[k][i] / complex(b.inside(i, sigma), 0)
		if local[k] == nil {
			local[k] = b.pass(periods[k], bandwidth(localPeriods), nil)
		}
		t.height[i] = cmplx.Abs(local[k][i]) / b.inside(i, localPeriods*periods[k]/step)
	}
	t.period = gauss(t.period, 2*float64(hop))
	return t
}

// course finds the way through the periods along the profile that explains
// most, steps between neighbouring periods at their cost (Viterbi).
func course(gain [][]float64) []int {
	states := len(gain[0])
	best := append([]float64(nil), gain[0]...)
	from := make([][]int, len(gain))
	for j := 1; j < len(gain); j++ {
		next := make([]float64, states)
		from[j] = make([]int, states)
		for k := range states {
			at, most := k, best[k]
			for _, o := range [2]int{k - 1, k + 1} {
				if o >= 0 && o < states && best[o]-turnCost > most {
					at, most = o, best[o]-turnCost
				}
			}
			next[k], from[j][k] = most+gain[j][k], at
		}
		best = next
	}
	end := 0
	for k, v := range best {
		if v > best[end] {
			end = k
		}
	}
	path := make([]int, len(gain))
	for j := len(gain) - 1; j >= 0; j-- {
		path[j] = end
		if j > 0 {
			end = from[j][end]
		}
	}
	return path
}
