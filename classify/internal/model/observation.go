package model

import "math"

// A crown is a vector of ten coordinates: decimal logs of eight measurements,
// and for each carina 1 when it is recorded without denticles, 0 when with.
const (
	CBL = iota
	CBW
	CH
	AL
	MCL
	MCW
	MC
	DC
	MesialAbsent
	DistalAbsent
	Coordinates
)

// Two more things can be observed of a crown without any of its coordinates:
// the ratios, as differences of logs.
const (
	CBR      = Coordinates + iota // CBW - CBL
	CHR                           // CH - CBL
	Channels                      // how many things can be observed
)

// Observation is what is known of one crown: for each channel in Mask its
// value, and the variance of its error (0 when taken as exact).
type Observation struct {
	Mask  uint16
	Value [Channels]float64
	Var   [Channels]float64
}

// Set records a channel's value and error variance.
func (o *Observation) Set(channel int, value, variance float64) {
	o.Mask |= 1 << channel
	o.Value[channel] = value
	o.Var[channel] = variance
}

// Has reports whether a channel is known.
func (o *Observation) Has(channel int) bool { return o.Mask&(1<<channel) != 0 }

// Without returns the observation with a channel unknown.
func (o Observation) Without(channels ...int) Observation {
	for _, c := range channels {
		o.Mask &^= 1 << c
		o.Value[c], o.Var[c] = 0, 0
	}
	return o
}

// Log returns the decimal log of a positive value and the variance of that log
// for a standard uncertainty u of the value.
func Log(value, u float64) (log, variance float64) {
	sd := u / (value * math.Ln10)
	return math.Log10(value), sd * sd
}

// Pattern says which measurements are known, in the units in which validation
// was done: mid-crown length and width together, a carina as counted or as
// recorded without denticles, ratios only where their lengths are unknown.
type Pattern uint16

// The bits of a pattern.
const (
	HasCBL Pattern = 1 << iota
	HasCBW
	HasCH
	HasCBR
	HasCHR
	HasAL
	HasMid
	HasMC
	HasDC
)

// combinations is the number of combinations of the bits of a pattern.
const combinations = 1 << 9

// Everything is the pattern of a crown with all measurements.
const Everything = HasCBL | HasCBW | HasCH | HasAL | HasMid | HasMC | HasDC

// Pattern returns the pattern of an observation.
func (o *Observation) Pattern() Pattern {
	var p Pattern
	set := func(known bool, bit Pattern) {
		if known {
			p |= bit
		}
	}
	set(o.Has(CBL), HasCBL)
	set(o.Has(CBW), HasCBW)
	set(o.Has(CH), HasCH)
	set(o.Has(CBR), HasCBR)
	set(o.Has(CHR), HasCHR)
	set(o.Has(AL), HasAL)
	set(o.Has(MCL) && o.Has(MCW), HasMid)
	set(o.Has(MC) || o.Has(MesialAbsent) && o.Value[MesialAbsent] > 0.5, HasMC)
	set(o.Has(DC) || o.Has(DistalAbsent) && o.Value[DistalAbsent] > 0.5, HasDC)
	return p
}

// Width reports whether the pattern holds the ratio of width to length.
func (p Pattern) Width() bool {
	return p&HasCBR != 0 || p&(HasCBL|HasCBW) == HasCBL|HasCBW
}

// Contains reports whether p holds all of other.
func (p Pattern) Contains(other Pattern) bool { return p&other == other }

// Holds reports whether a crown observed as o has what pattern p asks, a ratio
// counting as held when both its lengths are.
func (p Pattern) Holds(o *Observation) bool {
	need := p
	if p&HasCBR != 0 {
		need = need&^HasCBR | HasCBL | HasCBW
	}
	if p&HasCHR != 0 {
		need = need&^HasCHR | HasCBL | HasCH
	}
	return o.Pattern().Contains(need)
}

// Cut returns o with everything unknown that p does not hold. A carina's state
// goes with its count.
func (p Pattern) Cut(o Observation) Observation {
	whole := o
	drop := func(bit Pattern, channels ...int) {
		if p&bit == 0 {
			o = o.Without(channels...)
		}
	}
	drop(HasCBL, CBL)
	drop(HasCBW, CBW)
	drop(HasCH, CH)
	drop(HasAL, AL)
	drop(HasMid, MCL, MCW)
	drop(HasMC, MC, MesialAbsent)
	drop(HasDC, DC, DistalAbsent)
	if p&HasCBR != 0 && whole.Has(CBW) && whole.Has(CBL) {
		o.Set(CBR, whole.Value[CBW]-whole.Value[CBL], 0)
	}
	if p&HasCHR != 0 && whole.Has(CH) && whole.Has(CBL) {
		o.Set(CHR, whole.Value[CH]-whole.Value[CBL], 0)
	}
	return o
}

// Patterns lists every pattern a query can have, the empty one aside. Where a
// ratio and one of its lengths are known the other follows, so ratios stand
// only beside lengths that do not complete them.
func Patterns() []Pattern {
	bases := []Pattern{
		0, HasCBL, HasCBW, HasCH, HasCBL | HasCBW, HasCBL | HasCH, HasCBW | HasCH, HasCBL | HasCBW | HasCH,
		HasCBR, HasCBR | HasCH, HasCHR, HasCHR | HasCBW, HasCBR | HasCHR,
	}
	var all []Pattern
	for _, base := range bases {
		for more := range Pattern(16) {
			p := base
			for i, bit := range []Pattern{HasAL, HasMid, HasMC, HasDC} {
				if more&(1<<i) != 0 {
					p |= bit
				}
			}
			if p != 0 {
				all = append(all, p)
			}
		}
	}
	return all
}

// State of a carina's denticles, numbered as package classify numbers it.
type State uint8

const (
	Unknown State = iota
	Present
	Absent
)

// Crown returns what is known of a crown: measured holds CBL, CBW, CH, AL,
// MCL, MCW in mm and MC, DC per 5 mm in the order of the coordinates, zero for
// not known; u holds their standard uncertainties, zero for exact.
func Crown(measured, u [MesialAbsent]float64, mesial, distal State) Observation {
	var o Observation
	for c, v := range measured {
		if v > 0 {
			log, variance := Log(v, u[c])
			o.Set(c, log, variance)
		}
	}
	for i, s := range [...]State{mesial, distal} {
		switch s {
		case Present:
			o.Set(MesialAbsent+i, 0, 0)
		case Absent:
			o.Set(MesialAbsent+i, 1, 0)
		}
	}
	return o
}

// With returns the pattern of a crown of which one more thing is known,
// completing lengths from ratios.
func (p Pattern) With(bit Pattern) Pattern {
	p |= bit
	for range 2 { // a length found from one ratio can serve the other
		if p&HasCBR != 0 && p&(HasCBL|HasCBW) != 0 {
			p = p&^HasCBR | HasCBL | HasCBW
		}
		if p&HasCHR != 0 && p&(HasCBL|HasCH) != 0 {
			p = p&^HasCHR | HasCBL | HasCH
		}
	}
	if p&(HasCBL|HasCBW) == HasCBL|HasCBW {
		p &^= HasCBR
	}
	if p&(HasCBL|HasCH) == HasCBL|HasCH {
		p &^= HasCHR
	}
	return p
}
