package model

import (
	"gonum.org/v1/gonum/mat"
)

// Gauss is a normal distribution of crowns. It fills gaps: a coordinate that
// is not observed is expected from those that are.
type Gauss struct {
	Mean []float64   // Coordinates long
	Cov  [][]float64 // Coordinates square, symmetric, positive definite
}

// channelTerms returns the weight of each coordinate in a channel as up to two terms.
func channelTerms(channel int) (plus, minus int) {
	switch channel {
	case CBR:
		return CBW, CBL
	case CHR:
		return CH, CBL
	}
	return channel, -1
}

// against returns the covariance of coordinate i with a channel.
func (g *Gauss) against(i, channel int) float64 {
	plus, minus := channelTerms(channel)
	c := g.Cov[i][plus]
	if minus >= 0 {
		c -= g.Cov[i][minus]
	}
	return c
}

// between returns the covariance of two channels.
func (g *Gauss) between(a, b int) float64 {
	plus, minus := channelTerms(a)
	c := g.against(plus, b)
	if minus >= 0 {
		c -= g.against(minus, b)
	}
	return c
}

// expected returns the mean of a channel.
func (g *Gauss) expected(channel int) float64 {
	plus, minus := channelTerms(channel)
	m := g.Mean[plus]
	if minus >= 0 {
		m -= g.Mean[minus]
	}
	return m
}

// jitter keeps the covariance of the observed channels invertible when a query
// states a ratio beside the lengths it follows from.
const jitter = 1e-9

// Gain returns the matrix K, Coordinates × observed channels in ascending
// order, with which the expected crown is Mean + K (observed - expected): the
// regression of every coordinate on the observed ones. The variances of o's
// errors weaken the channels that carry them.
func (g *Gauss) Gain(o *Observation) [][]float64 {
	channels := o.channels()
	n := len(channels)
	k := make([][]float64, Coordinates)
	for i := range k {
		k[i] = make([]float64, n)
	}
	if n == 0 {
		return k
	}
	s := mat.NewSymDense(n, nil)
	for a := range n {
		for b := a; b < n; b++ {
			v := g.between(channels[a], channels[b])
			if a == b {
				v += o.Var[channels[a]] + jitter
			}
			s.SetSym(a, b, v)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(s) {
		return k // not positive definite: expect the mean
	}
	right := mat.NewVecDense(n, nil)
	var left mat.VecDense
	for i := range k {
		for a, c := range channels {
			right.SetVec(a, g.against(i, c))
		}
		if err := chol.SolveVecTo(&left, right); err != nil {
			continue // badly conditioned beyond use: expect the mean
		}
		copy(k[i], left.RawVector().Data)
	}
	return k
}

// Fill returns the expected crown given an observation, as the difference from
// the mean.
func (g *Gauss) Fill(o *Observation, gain [][]float64) [Coordinates]float64 {
	var x [Coordinates]float64
	at := 0
	for c := range Channels {
		if !o.Has(c) {
			continue
		}
		d := o.Value[c] - g.expected(c)
		for i := range x {
			x[i] += gain[i][at] * d
		}
		at++
	}
	return x
}

// channels lists the observed channels in ascending order.
func (o *Observation) channels() []int {
	var list []int
	for c := range Channels {
		if o.Has(c) {
			list = append(list, c)
		}
	}
	return list
}
