//! What leaves for the bench.

pub mod mould;
pub mod shapes;
pub mod svg;
