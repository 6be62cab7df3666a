//! Eigenvalues and eigenvectors of small matrices: by rotations where the
//! matrix is symmetric (a tree of resistors and capacitors in energy
//! coordinates), by shifted QR on complex numbers where chokes ring.
//! Golub and Van Loan, Matrix Computations, chapters 7 and 8 (from memory).

use super::complex::{Complex, Scalar};

/// Diagonalises the symmetric `n` × `n` matrix `a` by cyclic Jacobi rotations.
/// Returns the eigenvalues and the orthonormal eigenvectors as columns.
pub(super) fn symmetric(mut a: Vec<f64>, n: usize) -> (Vec<f64>, Vec<f64>) {
    let mut vectors = identity(n);
    // Sweeps converge quadratically; thirty is far beyond what any matrix needs.
    for _ in 0..30 {
        let mut rotated = false;
        for p in 0..n {
            for q in p + 1..n {
                let off = a[p * n + q];
                let scale = (a[p * n + p] * a[q * n + q]).abs().sqrt();
                if off.abs() > 1e-17 * scale && off.abs() > 1e-290 {
                    rotate(&mut a, &mut vectors, n, p, q);
                    rotated = true;
                }
            }
        }
        if !rotated {
            break;
        }
    }
    ((0..n).map(|k| a[k * n + k]).collect(), vectors)
}

/// Diagonalises a general real matrix. Returns the eigenvalues and the
/// eigenvectors as columns; `None` where QR does not settle.
pub(super) fn general(a: &[f64], n: usize) -> Option<(Vec<Complex>, Vec<Complex>)> {
    let mut t: Vec<Complex> = a.iter().map(|&x| Complex::real(x)).collect();
    let mut q: Vec<Complex> = identity(n).into_iter().map(Complex::real).collect();
    hessenberg(&mut t, &mut q, n);
    triangular(&mut t, &mut q, n)?;
    let vectors = back_substituted(&t, &q, n);
    Some(((0..n).map(|k| t[k * n + k]).collect(), vectors))
}

fn identity(n: usize) -> Vec<f64> {
    let mut one = vec![0.0; n * n];
    for k in 0..n {
        one[k * n + k] = 1.0;
    }
    one
}

fn rotate(a: &mut [f64], vectors: &mut [f64], n: usize, p: usize, q: usize) {
    let theta = (a[q * n + q] - a[p * n + p]) / (2.0 * a[p * n + q]);
    let t = theta.signum() / (theta.abs() + theta.hypot(1.0));
    let c = t.hypot(1.0).recip();
    let s = t * c;
    for k in 0..n {
        let (x, y) = (a[k * n + p], a[k * n + q]);
        (a[k * n + p], a[k * n + q]) = (c * x - s * y, s * x + c * y);
    }
    for k in 0..n {
        let (x, y) = (a[p * n + k], a[q * n + k]);
        (a[p * n + k], a[q * n + k]) = (c * x - s * y, s * x + c * y);
        let (x, y) = (vectors[k * n + p], vectors[k * n + q]);
        (vectors[k * n + p], vectors[k * n + q]) = (c * x - s * y, s * x + c * y);
    }
    (a[p * n + q], a[q * n + p]) = (0.0, 0.0);
}

/// A plane rotation that carries `(x, y)` to `(r, 0)`: `c` is real.
fn plane(x: Complex, y: Complex) -> (f64, Complex) {
    let (sx, sy) = (x.size(), y.size());
    let r = sx.hypot(sy);
    if sy == 0.0 {
        return (1.0, Complex::ZERO);
    }
    if sx == 0.0 {
        return (0.0, y.conj() * sy.recip());
    }
    (sx / r, x * y.conj() * (sx * r).recip())
}

fn turn_rows(m: &mut [Complex], n: usize, (p, q): (usize, usize), (c, s): (f64, Complex)) {
    for k in 0..n {
        let (x, y) = (m[p * n + k], m[q * n + k]);
        m[p * n + k] = x * c + s * y;
        m[q * n + k] = y * c - s.conj() * x;
    }
}

fn turn_columns(m: &mut [Complex], n: usize, (p, q): (usize, usize), (c, s): (f64, Complex)) {
    for k in 0..n {
        let (x, y) = (m[k * n + p], m[k * n + q]);
        m[k * n + p] = x * c + s.conj() * y;
        m[k * n + q] = y * c - s * x;
    }
}

fn hessenberg(t: &mut [Complex], q: &mut [Complex], n: usize) {
    for column in 0..n.saturating_sub(2) {
        for row in (column + 2..n).rev() {
            let turn = plane(t[(row - 1) * n + column], t[row * n + column]);
            turn_rows(t, n, (row - 1, row), turn);
            turn_columns(t, n, (row - 1, row), turn);
            turn_columns(q, n, (row - 1, row), turn);
            t[row * n + column] = Complex::ZERO;
        }
    }
}

fn triangular(t: &mut [Complex], q: &mut [Complex], n: usize) -> Option<()> {
    let mut high = n;
    let mut tries = 0;
    while high > 1 {
        let mut low = high - 1;
        while low > 0 {
            let beside = t[low * n + low].size() + t[(low - 1) * n + low - 1].size();
            if t[low * n + low - 1].size() <= 1e-16 * beside {
                t[low * n + low - 1] = Complex::ZERO;
                break;
            }
            low -= 1;
        }
        if low == high - 1 {
            high -= 1;
            tries = 0;
            continue;
        }
        tries += 1;
        if tries > 100 {
            return None;
        }
        let mut shift = wilkinson(t, n, high);
        if tries % 11 == 0 {
            shift += Complex::real(t[(high - 1) * n + high - 2].size());
        }
        sweep(t, q, n, (low, high), shift);
    }
    Some(())
}

/// The eigenvalue of the last 2 × 2 block nearer to its last entry.
fn wilkinson(t: &[Complex], n: usize, high: usize) -> Complex {
    let at = |r: usize, c: usize| t[(high - 2 + r) * n + high - 2 + c];
    let half = (at(0, 0) - at(1, 1)) * 0.5;
    let product = at(0, 1) * at(1, 0);
    let root = (half * half + product).sqrt();
    let sum = if (half + root).size() > (half - root).size() { half + root } else { half - root };
    if sum.size() == 0.0 { at(1, 1) } else { at(1, 1) - product * sum.recip() }
}

fn sweep(
    t: &mut [Complex],
    q: &mut [Complex],
    n: usize,
    (low, high): (usize, usize),
    shift: Complex,
) {
    let mut x = t[low * n + low] - shift;
    let mut y = t[(low + 1) * n + low];
    for k in low..high - 1 {
        let turn = plane(x, y);
        turn_rows(t, n, (k, k + 1), turn);
        turn_columns(t, n, (k, k + 1), turn);
        turn_columns(q, n, (k, k + 1), turn);
        if k + 2 < high {
            x = t[(k + 1) * n + k];
            y = t[(k + 2) * n + k];
        }
    }
    // What rounding leaves below the first subdiagonal is not part of the matrix.
    for row in low + 2..high {
        for column in low..row - 1 {
            t[row * n + column] = Complex::ZERO;
        }
    }
}

fn back_substituted(t: &[Complex], q: &[Complex], n: usize) -> Vec<Complex> {
    let largest = t.iter().map(|x| x.size()).fold(0.0, f64::max);
    let mut vectors = vec![Complex::ZERO; n * n];
    for k in 0..n {
        let mut local = vec![Complex::ZERO; n];
        local[k] = Complex::real(1.0);
        for row in (0..k).rev() {
            let mut sum = Complex::ZERO;
            for c in row + 1..=k {
                sum += t[row * n + c] * local[c];
            }
            let mut gap = t[k * n + k] - t[row * n + row];
            if gap.size() < 1e-16 * largest {
                gap = Complex::real(1e-16 * largest);
            }
            local[row] = sum * gap.recip();
        }
        let size = local.iter().map(|x| x.size()).fold(0.0, f64::hypot).recip();
        for row in 0..n {
            let mut sum = Complex::ZERO;
            for c in 0..=k {
                sum += q[row * n + c] * local[c];
            }
            vectors[row * n + k] = sum * size;
        }
    }
    vectors
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(a: &[f64], n: usize) {
        let (values, vectors) = general(a, n).expect("settles");
        for k in 0..n {
            for row in 0..n {
                let mut sum = Complex::ZERO;
                for c in 0..n {
                    sum += vectors[c * n + k] * a[row * n + c];
                }
                let gap = (sum - values[k] * vectors[row * n + k]).size();
                assert!(gap < 1e-12, "{k} {row}: {gap}");
            }
        }
    }

    #[test]
    fn diagonalises_a_ringing_matrix() {
        check(&[0.0, 1.0, -1.0, -0.1], 2);
        check(&[-1.0, 2.0, 0.5, -2.0, -0.3, 1.0, 0.1, -1.5, -0.2], 3);
        check(
            &[
                -0.1, 1.0, 0.0, 0.3, -1.0, -0.2, 1.0, 0.0, 0.0, -1.0, -0.7, 2.0, -0.3, 0.0, -2.0,
                -0.4,
            ],
            4,
        );
    }

    #[test]
    fn diagonalises_a_symmetric_matrix() {
        let a = [-3.0, 1.0, 0.5, 1.0, -2.0, 0.25, 0.5, 0.25, -1.0];
        let (values, v) = symmetric(a.to_vec(), 3);
        for k in 0..3 {
            for row in 0..3 {
                let sum: f64 = (0..3).map(|c| a[row * 3 + c] * v[c * 3 + k]).sum();
                assert!((sum - values[k] * v[row * 3 + k]).abs() < 1e-14);
            }
        }
    }
}
