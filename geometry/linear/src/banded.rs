//! Symmetric positive definite systems with their entries near the diagonal.

/// Entries further than this from the diagonal are nought: a node's two coordinates and those of the next two nodes.
const BAND: usize = 5;

/// The lower half of a symmetric matrix: `rows[i][BAND - k]` is the entry k places left of the diagonal.
#[derive(Debug, Clone)]
pub struct Banded {
    rows: Vec<[f64; BAND + 1]>,
}

impl Banded {
    /// Of so many unknowns.
    pub fn zeros(size: usize) -> Self {
        Banded { rows: vec![[0.0; BAND + 1]; size] }
    }

    /// Adds `weight` times the square of a row with few entries, each a place and a value, in ascending order
    /// and within the band of each other.
    pub fn add(&mut self, entries: &[(usize, f64)], weight: f64) {
        for (n, &(i, a)) in entries.iter().enumerate() {
            for &(j, b) in &entries[..=n] {
                self.rows[i][BAND + j - i] += weight * a * b;
            }
        }
    }

    /// The solution for a right-hand side, by Cholesky's factors; `None` if the matrix is not positive definite.
    /// Source: Golub, Van Loan, "Matrix Computations", band Cholesky.
    pub fn solve(mut self, mut right: Vec<f64>) -> Option<Vec<f64>> {
        let size = self.rows.len();
        for i in 0..size {
            let mut row = self.rows[i];
            let from = i.saturating_sub(BAND);
            for j in from..i {
                let above = &self.rows[j];
                let mut rest = row[BAND + j - i];
                for k in from..j {
                    rest -= row[BAND + k - i] * above[BAND + k - j];
                }
                row[BAND + j - i] = rest / above[BAND];
                right[i] -= row[BAND + j - i] * right[j];
            }
            let pivot = row[BAND] - row[..BAND].iter().map(|v| v * v).sum::<f64>();
            if !(pivot.is_finite() && pivot > 0.0) {
                return None;
            }
            row[BAND] = pivot.sqrt();
            right[i] /= row[BAND];
            self.rows[i] = row;
        }
        for i in (0..size).rev() {
            let row = &self.rows[i];
            right[i] /= row[BAND];
            let solved = right[i];
            for j in i.saturating_sub(BAND)..i {
                right[j] -= row[BAND + j - i] * solved;
            }
        }
        right.iter().all(|v| v.is_finite()).then_some(right)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{DMatrix, DVector};
    use proptest::prelude::*;

    proptest! {
        /// Against nalgebra's dense Cholesky factorisation.
        #[test]
        fn agrees_with_a_dense_solver(
            rows in prop::collection::vec((0..20usize, prop::collection::vec(-1.0..1.0f64, BAND + 1)), 0..60),
            right in prop::collection::vec(-5.0..5.0f64, 20 + BAND),
        ) {
            let size = right.len();
            let mut banded = Banded::zeros(size);
            let mut dense = DMatrix::<f64>::identity(size, size);
            for i in 0..size {
                banded.add(&[(i, 1.0)], 1.0);
            }
            for (from, values) in rows {
                let entries: Vec<(usize, f64)> = values.iter().enumerate().map(|(k, v)| (from + k, *v)).collect();
                banded.add(&entries, 2.0);
                for &(i, a) in &entries {
                    for &(j, b) in &entries {
                        dense[(i, j)] += 2.0 * a * b;
                    }
                }
            }
            let expected = dense.cholesky().unwrap().solve(&DVector::from_column_slice(&right));
            let solved = banded.solve(right).unwrap();
            for (a, b) in solved.iter().zip(expected.iter()) {
                prop_assert!((a - b).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn a_matrix_that_is_not_positive_definite_has_no_solution() {
        let mut banded = Banded::zeros(2);
        banded.add(&[(0, 1.0), (1, 1.0)], 1.0);
        assert_eq!(banded.solve(vec![1.0, 2.0]), None);
    }
}
