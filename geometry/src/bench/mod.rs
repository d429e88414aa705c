//! What leaves for the bench.

pub mod svg;
