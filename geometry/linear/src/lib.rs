//! Symmetric systems, dense or banded: what reconciling reckons with most of its time. They stand by themselves so that they can be
//! compiled for speed where the rest of the page is compiled to be small.

mod banded;

pub use banded::Banded;

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// A symmetric positive definite matrix, factored.
#[derive(Debug, Clone)]
pub struct Factored(Cholesky<f64, Dyn>);

impl Factored {
    /// `None` where the matrix is not positive definite, or not of numbers. Only its lower triangle is read.
    pub fn of(matrix: DMatrix<f64>) -> Option<Self> {
        matrix.cholesky().map(Factored)
    }

    pub fn solve(&self, right: &DVector<f64>) -> DVector<f64> {
        self.0.solve(right)
    }

    pub fn inverse(&self) -> DMatrix<f64> {
        self.0.inverse()
    }

    /// The logarithm of the determinant of what was factored.
    pub fn log_determinant(&self) -> f64 {
        2.0 * self.0.l_dirty().diagonal().iter().map(|d| d.ln()).sum::<f64>()
    }
}

/// Sums of weighted squares in a few unknowns: their gradient and second derivatives.
#[derive(Debug, Clone)]
pub struct Sums {
    pub gradient: Vec<f64>,
    /// Lower triangle, row by row.
    curvature: Vec<f64>,
}

impl Sums {
    /// Nothing summed yet, in so many unknowns.
    pub fn new(count: usize) -> Self {
        Sums { gradient: vec![0.0; count], curvature: vec![0.0; count * (count + 1) / 2] }
    }

    /// Half the square of a residual so heavy, of which these are the derivatives.
    pub fn add(&mut self, row: &[f64], residual: f64, weight: f64) {
        let mut rest = &mut self.curvature[..];
        for (i, a) in row.iter().enumerate() {
            let scaled = weight * a;
            self.gradient[i] += scaled * residual;
            let (these, following) = rest.split_at_mut(i + 1);
            for (sum, b) in these.iter_mut().zip(row) {
                *sum += scaled * b;
            }
            rest = following;
        }
    }

    /// Adds to the second derivative by two of the unknowns.
    pub fn put(&mut self, one: usize, other: usize, by: f64) {
        let (row, column) = (one.max(other), one.min(other));
        self.curvature[row * (row + 1) / 2 + column] += by;
    }

    /// Adds all to a gradient and second derivatives among more unknowns, of which these are the places.
    pub fn spread(&self, places: &[usize], gradient: &mut DVector<f64>, curvature: &mut DMatrix<f64>) {
        let mut sums = self.curvature.iter();
        for (i, &row) in places.iter().enumerate() {
            gradient[row] += self.gradient[i];
            for (&column, sum) in places[..=i].iter().zip(&mut sums) {
                curvature[(row, column)] += sum;
                if row != column {
                    curvature[(column, row)] += sum;
                }
            }
        }
    }
}

/// The product of a symmetric matrix with a vector of which few entries, by their places, are not nought.
pub fn times(matrix: &DMatrix<f64>, sparse: &[(usize, f64)]) -> Vec<f64> {
    let mut product = vec![0.0; matrix.nrows()];
    for (place, by) in sparse {
        for (sum, entry) in product.iter_mut().zip(matrix.column(*place).iter()) {
            *sum += entry * by;
        }
    }
    product
}

/// The covariance left once something is known whose covariances with the unknowns are `reach` and whose variance is `variance`.
pub fn narrow(covariance: &mut DMatrix<f64>, reach: &[f64], variance: f64) {
    for (mut column, by) in covariance.column_iter_mut().zip(reach) {
        for (entry, other) in column.iter_mut().zip(reach) {
            *entry -= by * other / variance;
        }
    }
}
