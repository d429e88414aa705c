//! Everything that Ribline computes, without a browser: tangent chains, recipes of arcs, traced rib
//! lines, reconciling one with the other, the edge with its corners, and what leaves for the bench.
//!
//! Millimetres and radians throughout. x to the right, y up the centreline towards the neck,
//! outlines counter-clockwise.

/// The library whose points, vectors and paths this crate speaks in.
pub use kurbo;

pub mod arc;
pub mod bench;
pub mod capture;
pub mod class;
pub mod decimal;
pub mod edge;
pub mod json;
pub mod mould;
pub mod order;
pub mod outline;
pub mod project;
pub mod ratio;
pub mod recipe;
pub mod reconcile;
pub mod share;
pub mod trace;
