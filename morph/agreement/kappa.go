package agreement

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"
)

// Kappa is agreement in naming beyond what chance gives: 1 when all agree, 0
// when they agree as often as chance has it.
type Kappa struct {
	N        int     // teeth named
	Observed float64 // share of agreement
	Chance   float64 // share expected by chance
	Kappa    float64
	SE       float64
	In       Interval
}

// CohenKappa compares two observers (Cohen 1960). table counts teeth: row the
// first one's name, column the second one's. The standard error is the one of
// large samples (Fleiss, Cohen & Everitt 1969), the interval by the normal
// distribution, cut at −1 and 1.
//
// It refuses a table that is empty or not square, counts below 0, and a table
// in which both always gave the same one name, for then chance alone makes
// them agree.
func CohenKappa(table [][]int) (Kappa, error) {
	k := len(table)
	rows, columns := make([]float64, k), make([]float64, k)
	var n, same float64
	for i, row := range table {
		if len(row) != k {
			return Kappa{}, errors.New("The table of two observers must have as many rows as columns.")
		}
		for j, c := range row {
			if c < 0 {
				return Kappa{}, errors.New("A count is below 0.")
			}
			n += float64(c)
			rows[i] += float64(c)
			columns[j] += float64(c)
			if i == j {
				same += float64(c)
			}
		}
	}
	if n == 0 {
		return Kappa{}, errors.New("No teeth were named by both observers.")
	}
	var chance float64
	for i := range k {
		rows[i] /= n
		columns[i] /= n
		chance += rows[i] * columns[i]
	}
	c := Kappa{N: int(n), Observed: same / n, Chance: chance}
	if chance >= 1-1e-12 {
		return Kappa{}, errOneName
	}
	c.Kappa = (c.Observed - chance) / (1 - chance)
	var a, b float64
	for i, row := range table {
		for j, count := range row {
			p := float64(count) / n
			if i == j {
				d := 1 - (rows[i]+columns[i])*(1-c.Kappa)
				a += p * d * d
			} else {
				d := columns[i] + rows[j]
				b += p * d * d
			}
		}
	}
	d := c.Kappa - chance*(1-c.Kappa)
	variance := (a + (1-c.Kappa)*(1-c.Kappa)*b - d*d) / (n * (1 - chance) * (1 - chance))
	c.SE = math.Sqrt(max(0, variance))
	c.In = cut(Interval{c.Kappa - ninetyFive*c.SE, c.Kappa + ninetyFive*c.SE})
	return c, nil
}

var errOneName = errors.New("Everybody gave the same one name, so agreement beyond chance cannot be told.")

// FleissKappa compares several observers (Fleiss 1971). Each row is a tooth and
// counts how many gave it each name; rows may differ in how many did, but need
// two (Fleiss, Levin & Paik 2003 for unequal numbers, from memory). The
// standard error leaves out each tooth in turn, the interval is by Student's t
// on teeth − 1 degrees of freedom, cut at −1 and 1.
//
// It refuses what CohenKappa refuses, and fewer than two teeth that two
// observers named.
func FleissKappa(counts [][]int) (Kappa, error) {
	var teeth [][]int
	for i, row := range counts {
		if len(row) != len(counts[0]) {
			return Kappa{}, fmt.Errorf("Tooth %d has counts of %d names and tooth 1 of %d.", i+1, len(row), len(counts[0]))
		}
		n := 0
		for _, c := range row {
			if c < 0 {
				return Kappa{}, errors.New("A count is below 0.")
			}
			n += c
		}
		if n >= 2 {
			teeth = append(teeth, row)
		}
	}
	if len(teeth) < 2 {
		return Kappa{}, errors.New("Agreement in naming needs at least two teeth that two observers named.")
	}
	c, ok := fleiss(teeth, -1)
	if !ok {
		return Kappa{}, errOneName
	}
	c.leaveOneOut(len(teeth), func(out int) (float64, bool) {
		k, ok := fleiss(teeth, out)
		return k.Kappa, ok
	})
	return c, nil
}

// KappaWithKey compares many observers with one key: a table for each observer
// as CohenKappa takes it, the key's names in the rows. Kappa is that of all
// tables together. Since one observer's answers belong together, the standard
// error leaves out each observer in turn; the interval is by Student's t on
// observers − 1 degrees of freedom, cut at −1 and 1.
//
// It refuses what CohenKappa refuses, and fewer than two observers.
func KappaWithKey(tables [][][]int) (Kappa, error) {
	if len(tables) < 2 {
		return Kappa{}, errors.New("The interval of the agreement with the key needs at least two observers.")
	}
	for _, t := range tables {
		if len(t) != len(tables[0]) {
			return Kappa{}, errors.New("The tables of two observers must have as many rows as columns.")
		}
		for _, row := range t {
			if len(row) != len(t) {
				return Kappa{}, errors.New("The tables of two observers must have as many rows as columns.")
			}
		}
	}
	c, err := CohenKappa(added(tables, -1))
	if err != nil {
		return Kappa{}, err
	}
	c.leaveOneOut(len(tables), func(out int) (float64, bool) {
		k, err := CohenKappa(added(tables, out))
		return k.Kappa, err == nil
	})
	return c, nil
}

// added adds up tables but for the one at out.
func added(tables [][][]int, out int) [][]int {
	sum := make([][]int, len(tables[0]))
	for i := range sum {
		sum[i] = make([]int, len(sum))
		for t, table := range tables {
			for j := range sum {
				if t != out {
					sum[i][j] += table[i][j]
				}
			}
		}
	}
	return sum
}

// fleiss gives kappa without the tooth out, −1 for all; false where all
// observers gave one name only.
func fleiss(teeth [][]int, out int) (Kappa, bool) {
	share := make([]float64, len(teeth[0]))
	var c Kappa
	var named float64
	for i, row := range teeth {
		if i == out {
			continue
		}
		var n, pairs float64
		for j, x := range row {
			n += float64(x)
			pairs += float64(x) * float64(x-1)
			share[j] += float64(x)
		}
		named += n
		c.Observed += pairs / (n * (n - 1))
		c.N++
	}
	c.Observed /= float64(c.N)
	for _, s := range share {
		c.Chance += s / named * s / named
	}
	if c.Chance >= 1-1e-12 {
		return c, false
	}
	c.Kappa = (c.Observed - c.Chance) / (1 - c.Chance)
	return c, true
}

// leaveOneOut sets the standard error and the interval from the n values of
// kappa without one tooth or observer. Where one of these is not defined,
// anything may be true and the interval says so.
func (c *Kappa) leaveOneOut(n int, without func(out int) (float64, bool)) {
	each := make([]float64, n)
	for i := range n {
		v, ok := without(i)
		if !ok {
			c.SE, c.In = 1, Interval{-1, 1}
			return
		}
		each[i] = v
	}
	// stat.Variance divides by n − 1, the jackknife multiplies by (n − 1)/n.
	f := float64(n - 1)
	c.SE = math.Sqrt(stat.Variance(each, nil) * f * f / float64(n))
	c.In = cut(around(c.Kappa, c.SE, f))
}

func cut(i Interval) Interval { return Interval{max(-1, i.Low), min(1, i.High)} }
