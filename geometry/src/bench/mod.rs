//! What leaves for the bench.

pub mod shapes;
pub mod svg;
