//! What leaves for the bench.

pub mod allowance;
pub mod as_cut;
pub mod compass_sheet;
pub mod dxf;
pub mod file;
pub mod mould;
pub mod notes;
pub mod plate;
pub mod points;
pub mod print;
pub mod setting;
pub mod shapes;
pub mod svg;
pub mod wish;
