package lu

import (
	"math"
	"math/rand/v2"
	"testing"
)

// dense multiplies: the columns of B by x, B x = b.
type basis struct {
	m   int
	idx [][]int32
	val [][]float64
}

func (b *basis) column(j int) ([]int32, []float64, int32) {
	if len(b.idx[j]) == 1 && b.val[j][0] == 1 {
		return nil, nil, b.idx[j][0]
	}
	return b.idx[j], b.val[j], -1
}

func randomBasis(rng *rand.Rand, m int, density float64) *basis {
	b := &basis{m: m, idx: make([][]int32, m), val: make([][]float64, m)}
	for j := range m {
		b.fillColumn(rng, j, density)
	}
	return b
}

func (b *basis) fillColumn(rng *rand.Rand, j int, density float64) {
	b.idx[j], b.val[j] = nil, nil
	if rng.Float64() < 0.3 {
		b.idx[j], b.val[j] = []int32{int32(j)}, []float64{1}
		return
	}
	for i := range b.m {
		if i == j || rng.Float64() < density {
			b.idx[j] = append(b.idx[j], int32(i))
			b.val[j] = append(b.val[j], rng.Float64()*4-2)
		}
	}
}

// residual returns the largest errors of B x = b and of Bᵀ y = c for random right-hand sides; prow pairs columns with
// rows.
func (b *basis) residual(f *Factor, prow []int32, rng *rand.Rand) (fwd, bwd float64) {
	rhs, x := make([]float64, b.m), make([]float64, b.m)
	for i := range rhs {
		if rng.Float64() < 0.3 {
			rhs[i] = rng.Float64()
		}
		x[i] = rhs[i]
	}
	f.Forward(x, nil)
	left := make([]float64, b.m)
	for j := range b.m {
		for t, i := range b.idx[j] {
			left[i] += b.val[j][t] * x[prow[j]]
		}
	}
	for i := range left {
		fwd = max(fwd, math.Abs(left[i]-rhs[i]))
	}
	y := make([]float64, b.m)
	copy(y, rhs)
	f.Backward(y, -1, nil)
	for j := range b.m {
		s := 0.0
		for t, i := range b.idx[j] {
			s += b.val[j][t] * y[i]
		}
		bwd = max(bwd, math.Abs(s-rhs[prow[j]]))
	}
	return fwd, bwd
}

// Laws: after Build and after any number of updates, B (B⁻¹ b) = b and Bᵀ (B⁻ᵀ c) = c.
func TestFactorSolvesAndUpdates(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	f := New()
	for trial := range 60 {
		m := 1 + rng.IntN(60)
		b := randomBasis(rng, m, 0.02+0.2*rng.Float64())
		prow, spare := f.Build(m, b.column)
		if len(spare) > 0 {
			continue
		}
		prow = append([]int32(nil), prow...)
		for step := range 30 {
			fwd, bwd := b.residual(f, prow, rng)
			if fwd > 1e-6 || bwd > 1e-6 {
				t.Fatalf("trial %d step %d: residuals %g, %g", trial, step, fwd, bwd)
			}
			j := rng.IntN(m)
			p := prow[j]
			saveI, saveV := b.idx[j], b.val[j]
			b.fillColumn(rng, j, 0.1)
			col, spike, half := make([]float64, m), make([]float64, m), make([]float64, m)
			for t, i := range b.idx[j] {
				col[i] = b.val[j][t]
			}
			f.Forward(col, spike)
			if math.Abs(col[p]) < 1e-2 { // would make the basis close to singular
				b.idx[j], b.val[j] = saveI, saveV
				continue
			}
			unit := make([]float64, m)
			unit[p] = 1
			f.Backward(unit, p, half)
			f.Update(p, spike, half, col[p])
		}
	}
}

// A singular basis names the rows that are left, and the factors hold for the basis repaired with their unit columns.
func TestFactorRepairsSingular(t *testing.T) {
	b := &basis{m: 3,
		idx: [][]int32{{0, 1}, {0, 1}, {0, 1, 2}},
		val: [][]float64{{1, 2}, {2, 4}, {1, 1, 3}}}
	f := New()
	prow, spare := f.Build(3, b.column)
	if len(spare) != 1 {
		t.Fatalf("spare rows %v, want one", spare)
	}
	fixed := append([]int32(nil), prow...)
	for j := range fixed {
		if fixed[j] < 0 {
			fixed[j] = spare[0]
			b.idx[j], b.val[j] = []int32{spare[0]}, []float64{1}
		}
	}
	fwd, bwd := b.residual(f, fixed, rand.New(rand.NewPCG(3, 4)))
	if fwd > 1e-9 || bwd > 1e-9 {
		t.Fatalf("residuals %g, %g after the repair", fwd, bwd)
	}
}
