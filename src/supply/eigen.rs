//! Eigenvalues and eigenvectors of a network's matrix: symmetric for a tree of
//! resistors and capacitors in energy coordinates, general where chokes ring.
//!
//! `nalgebra` gives eigenvectors of symmetric matrices alone. Those of the
//! triangular Schur form are found here by back substitution.

use nalgebra::{DMatrix, SymmetricEigen, linalg::Schur};

use super::complex::{Complex, Scalar};

/// Rounds of the iterations, far beyond what any matrix needs.
const MOST: usize = 10_000;

/// What rounding leaves of a zero, as a fraction of a matrix's largest entry.
const ROUNDING: f64 = 1e-13;

/// Diagonalises a symmetric matrix. Returns the eigenvalues and the orthonormal
/// eigenvectors as columns; `None` where the iteration does not settle.
pub(super) fn symmetric(a: DMatrix<f64>) -> Option<(Vec<f64>, DMatrix<f64>)> {
    if a.is_empty() {
        return Some((vec![], a));
    }
    let found = SymmetricEigen::try_new(a, f64::EPSILON, MOST)?;
    Some((found.eigenvalues.as_slice().to_vec(), found.eigenvectors))
}

/// Diagonalises a general real matrix. Returns the eigenvalues and the
/// eigenvectors as columns; `None` where the iteration does not settle.
pub(super) fn general(a: &DMatrix<f64>) -> Option<(Vec<Complex>, DMatrix<Complex>)> {
    let (q, t) = Schur::try_new(a.map(Complex::real), f64::EPSILON, MOST)?.unpack();
    let vectors = back_substituted(&t, &q);
    Some((t.diagonal().as_slice().to_vec(), vectors))
}

/// The eigenvectors of a matrix from its triangular Schur form.
fn back_substituted(t: &DMatrix<Complex>, q: &DMatrix<Complex>) -> DMatrix<Complex> {
    let n = t.nrows();
    let largest = t.iter().map(|x| x.size()).fold(0.0, f64::max);
    let mut local = DMatrix::identity(n, n);
    for k in 0..n {
        for row in (0..k).rev() {
            let sum: Complex = (row + 1..=k).map(|c| t[(row, c)] * local[(c, k)]).sum();
            let mut gap = t[(k, k)] - t[(row, row)];
            if gap.size().max(sum.size()) < ROUNDING * largest {
                // Modes that coincide, such as two charges that nothing draws
                // on, are apart already: a quotient of roundings would tilt
                // one onto the other.
                local[(row, k)] = Complex::ZERO;
                continue;
            }
            if gap.size() < 1e-16 * largest {
                gap = Complex::real(1e-16 * largest);
            }
            local[(row, k)] = sum * gap.recip();
        }
        let size = local.column(k).iter().map(|x: &Complex| x.size()).fold(0.0, f64::hypot);
        local.column_mut(k).iter_mut().for_each(|x| *x *= size.recip());
    }
    q * local
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(a: &[f64], n: usize) {
        let a = DMatrix::from_row_slice(n, n, a);
        let (values, vectors) = general(&a).expect("settles");
        let moved = a.map(Complex::real) * &vectors;
        for k in 0..n {
            let gap = (moved.column(k) - vectors.column(k) * values[k]).norm();
            assert!(gap < 1e-12, "{k}: {gap}");
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
        let a = DMatrix::from_row_slice(3, 3, &a);
        let (values, v) = symmetric(a.clone()).expect("settles");
        for k in 0..3 {
            assert!((&a * v.column(k) - v.column(k) * values[k]).norm() < 1e-14);
        }
    }
}
