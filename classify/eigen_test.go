package classify

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// Against gonum's decomposition (LAPACK's Dsyev) on random symmetric matrices,
// some of them of lower rank and of very unequal scale.
func TestEigenAgainstLibrary(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 5))
	for trial := range 300 {
		n := 1 + trial%13
		rank := n
		if trial%3 == 0 {
			rank = (n + 1) / 2
		}
		want := mat.NewSymDense(n, nil)
		for range rank {
			x := mat.NewVecDense(n, nil)
			for i := range n {
				x.SetVec(i, random.NormFloat64()*math.Pow(10, float64(i%4)))
			}
			want.SymRankOne(want, random.NormFloat64(), x)
		}
		a := make([][]float64, n)
		for i := range a {
			a[i] = mat.Row(nil, i, want)
		}
		axes, ok := eigen(a)
		if !ok {
			t.Fatalf("trial %d: refused", trial)
		}
		var library mat.EigenSym
		if !library.Factorize(want, false) {
			t.Fatalf("trial %d: the library refused", trial)
		}
		values := library.Values(nil)
		scale := mat.Norm(want, 2)
		for k, x := range axes {
			if d := math.Abs(x.value - values[n-1-k]); d > 1e-13*scale {
				t.Errorf("trial %d: eigenvalue %d of %d is %g, the library has %g", trial, k, n, x.value, values[n-1-k])
			}
			// A·v = λ·v, and the vectors are of length 1 and upright on each other.
			v := mat.NewVecDense(n, x.vector)
			var av mat.VecDense
			av.MulVec(want, v)
			av.AddScaledVec(&av, -x.value, v)
			if d := mat.Norm(&av, 2); d > 1e-13*scale {
				t.Errorf("trial %d: vector %d misses by %g of %g", trial, k, d, scale)
			}
			for l, y := range axes {
				expected := 0.0
				if k == l {
					expected = 1
				}
				if d := mat.Dot(v, mat.NewVecDense(n, y.vector)) - expected; math.Abs(d) > 1e-13 {
					t.Errorf("trial %d: vectors %d and %d miss by %g", trial, k, l, d)
				}
			}
		}
	}
}

func TestEigenRefusesWhatIsNoNumber(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if _, ok := eigen([][]float64{{1, v}, {v, 1}}); ok {
			t.Errorf("a matrix with %v was taken", v)
		}
	}
}

func TestEigenOfZeros(t *testing.T) {
	axes, ok := eigen([][]float64{{0, 0}, {0, 0}})
	if !ok || axes[0].value != 0 || axes[1].value != 0 {
		t.Errorf("the eigenvalues of zeros are %v", axes)
	}
}
