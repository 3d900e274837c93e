package ripple

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
)

// Rhythm is the spacing that a profile has on the whole.
type Rhythm struct {
	// Frequency is that of the spectrum's peak and Lag that of the first peak
	// of the autocorrelation, in periods per unit and units of length.
	Frequency, Lag float64
	// Sharpness is the height of that peak, −1 to 1: 1 where the profile
	// repeats itself exactly.
	Sharpness float64
	// Over is how many times the median of the spectrum its peak is.
	Over float64
}

// RhythmOf gives the rhythm of a profile that is sampled at even steps of the
// given length: its spectrum under a Hann window, and its autocorrelation. The
// profile's straight course is taken off first. It refuses, with a sentence, a
// profile that does not hold four periods or varies not at all.
func RhythmOf(profile []float64, step float64) (Rhythm, error) {
	n := len(profile)
	if n < 16 || !(step > 0) || math.IsInf(step, 0) {
		return Rhythm{}, errors.New("The stretch is too short to find a rhythm in it.")
	}
	p := make([]float64, n)
	course := smooth(profile, 1)
	for i := range p {
		p[i] = profile[i] - course[i]
		if math.IsNaN(p[i]) || math.IsInf(p[i], 0) {
			return Rhythm{}, errors.New("The profile holds a value that is not a number.")
		}
	}
	size := dot(p, p)
	if !(size > 0) || math.IsInf(size, 0) {
		return Rhythm{}, errFlat
	}
	var r Rhythm
	// Padded eightfold, the peak is read off to a small part of a bin.
	padded := make([]float64, 8*n)
	for i := range p {
		padded[i] = p[i] * (0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(n)))
	}
	power := powers(padded)
	least := 8 * fewest // bins of four periods over the profile
	at := least
	for k := least; k < len(power); k++ {
		if power[k] > power[at] {
			at = k
		}
	}
	if at == least {
		return Rhythm{}, errShort
	}
	r.Frequency = (float64(at) + vertexOf(power, at)) / (8 * float64(n) * step)
	r.Over = power[at] / max(median(power[least:]), math.SmallestNonzeroFloat64)
	r.Lag, r.Sharpness = repeats(p, 1/(r.Frequency*step))
	r.Lag *= step
	return r, nil
}

var (
	errFlat  = errors.New("The edge has no ripple here.")
	errShort = errors.New("Fewer than four denticles show along this stretch: too few to find their spacing. Mark them by hand.")
)

// fewest is the least number of periods from which a spacing is proposed.
const fewest = 4

// powers is the power spectrum of a real sequence, up to half its length.
func powers(p []float64) []float64 {
	_, c := spectrum(p, len(p))
	out := make([]float64, len(p)/2+1)
	for i := range out {
		out[i] = real(c[i])*real(c[i]) + imag(c[i])*imag(c[i])
	}
	return out
}

// spectrum transforms a real sequence, filled up with zeros to a length. The
// transform of complex numbers serves, which the bank of filters needs anyway.
func spectrum(p []float64, length int) (*fourier.CmplxFFT, []complex128) {
	c := make([]complex128, length)
	for i, v := range p {
		c[i] = complex(v, 0)
	}
	fft := fourier.NewCmplxFFT(length)
	return fft, fft.Coefficients(c, c)
}

// repeats gives the lag, in samples, at which the profile's autocorrelation
// peaks near the given period, and how high.
func repeats(p []float64, period float64) (lag, height float64) {
	fft, c := spectrum(p, 2*len(p))
	for i, v := range c {
		c[i] = complex(real(v)*real(v)+imag(v)*imag(v), 0)
	}
	c = fft.Sequence(c, c)
	auto := make([]float64, len(p))
	for i := range auto {
		auto[i] = real(c[i]) / float64(len(p)-i) // as many pairs as there are
	}
	from, to := max(1, int(0.7*period)), min(len(auto)-2, int(math.Ceil(1.3*period)))
	if from > to || !(auto[0] > 0) {
		return period, 0
	}
	at := from
	for k := from; k <= to; k++ {
		if auto[k] > auto[at] {
			at = k
		}
	}
	return float64(at) + vertexOf(auto, at), auto[at] / auto[0]
}

// vertexOf gives how far from its sample at k the top of a parabola through it
// and its neighbours lies, −½ to ½.
func vertexOf(v []float64, k int) float64 {
	if k < 1 || k > len(v)-2 {
		return 0
	}
	a, b, c := v[k-1], v[k], v[k+1]
	if bend := a - 2*b + c; bend < 0 {
		return max(-0.5, min(0.5, (a-c)/(2*bend)))
	}
	return 0
}
