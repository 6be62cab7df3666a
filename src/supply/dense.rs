//! Small dense matrices, held row by row in a slice.

use super::complex::Scalar;

/// Factors the `n` × `n` matrix `a` in place with row pivoting and solves for
/// each of the `columns` right-hand sides held row by row in `b`; false where
/// the matrix is singular.
pub(super) fn solve<S: Scalar>(a: &mut [S], n: usize, b: &mut [S], columns: usize) -> bool {
    for k in 0..n {
        let mut best = k;
        for row in k + 1..n {
            if a[row * n + k].size() > a[best * n + k].size() {
                best = row;
            }
        }
        let size = a[best * n + k].size();
        if size == 0.0 || !size.is_finite() {
            return false;
        }
        if best != k {
            for c in 0..n {
                a.swap(k * n + c, best * n + c);
            }
            for c in 0..columns {
                b.swap(k * columns + c, best * columns + c);
            }
        }
        let pivot = a[k * n + k].recip();
        for row in k + 1..n {
            let factor = a[row * n + k] * pivot;
            if factor.size() == 0.0 {
                continue;
            }
            for c in k + 1..n {
                a[row * n + c] = a[row * n + c] - factor * a[k * n + c];
            }
            for c in 0..columns {
                b[row * columns + c] = b[row * columns + c] - factor * b[k * columns + c];
            }
        }
    }
    for k in (0..n).rev() {
        let pivot = a[k * n + k].recip();
        for c in 0..columns {
            let mut sum = b[k * columns + c];
            for j in k + 1..n {
                sum = sum - a[k * n + j] * b[j * columns + c];
            }
            b[k * columns + c] = sum * pivot;
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solves_with_a_zero_pivot() {
        let mut a = [0.0, 2.0, 1.0, 1.0];
        let mut b = [4.0, 3.0];
        assert!(solve(&mut a, 2, &mut b, 1));
        assert_eq!(b, [1.0, 2.0]);
    }

    #[test]
    fn tells_a_singular_matrix() {
        assert!(!solve(&mut [1.0, 2.0, 2.0, 4.0], 2, &mut [1.0, 1.0], 1));
    }
}
