//! What the solver found, and how well it is known.

use super::model::Inside;
use nalgebra::DMatrix;
use ribline_linear::Factored;

/// The parameters that a problem comes to.
#[derive(Debug, Clone)]
pub(super) struct Solved {
    pub values: Vec<f64>,
    /// Distance inside less wanted, mm, observation by observation.
    pub residuals: Vec<f64>,
    pub inside: Vec<Inside>,
    pub weights: Vec<f64>,
    /// Second derivatives of the cost of the observations alone, and of all.
    pub data_curvature: DMatrix<f64>,
    pub curvature: DMatrix<f64>,
    /// Size of the last step taken (logarithms, radians, mm).
    pub last_step: f64,
}

/// A last step beyond this (logarithms, radians, mm) would still be seen on wood.
const STILL_MOVING: f64 = 1e-3;
/// For how many points the stated standard deviation counts beside what the points themselves show: with a dozen points it
/// matters, with two hundred they know better.
const STATED: f64 = 8.0;

impl Solved {
    pub fn settled(&self) -> bool {
        self.last_step < STILL_MOVING
    }

    /// The posterior covariance.
    pub fn covariance(&self) -> Option<DMatrix<f64>> {
        Some(Factored::of(self.curvature.clone())?.inverse())
    }

    /// The standard deviation of an observation as the residuals have it, mm: the weighted squares over the
    /// number of observations less that of the parameters which the data decide. What the way of taking them says of it, if
    /// anything, counts for [`STATED`] more.
    pub fn observed_sd(&self, covariance: &DMatrix<f64>, stated: Option<f64>) -> f64 {
        let squares: f64 = self.residuals.iter().zip(&self.weights).map(|(r, w)| w * r * r).sum();
        let count: f64 = self.weights.iter().sum();
        // The trace of the two multiplied; both are symmetric.
        let both = self.data_curvature.as_slice().iter().zip(covariance.as_slice());
        let decided = both.map(|(a, b)| a * b).sum::<f64>().clamp(0.0, 0.8 * count);
        let (more, by) = stated.map_or((0.0, 0.0), |sd| (STATED * sd * sd, STATED));
        ((squares + more) / (count - decided + by).max(1.0)).sqrt()
    }
}
