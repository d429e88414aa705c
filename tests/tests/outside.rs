//! Checks against what the project did not make: published figures, theorems, open standards, and general-purpose
//! libraries that compute or read the same thing in another way. Each names its source.

#[path = "outside/area_and_offset.rs"]
mod area_and_offset;
#[path = "outside/bench_files.rs"]
mod bench_files;
#[path = "outside/chance.rs"]
mod chance;
#[path = "outside/circle_fit.rs"]
mod circle_fit;
#[path = "outside/drawing.rs"]
mod drawing;
#[path = "outside/edges.rs"]
mod edges;
#[path = "outside/enlarged.rs"]
mod enlarged;
#[path = "outside/homography.rs"]
mod homography;
#[path = "outside/link.rs"]
mod link;
#[path = "outside/mould.rs"]
mod mould;
#[path = "outside/prints.rs"]
mod prints;
#[path = "outside/prints_words.rs"]
mod prints_words;
#[path = "outside/tangency.rs"]
mod tangency;
#[path = "outside/vector.rs"]
mod vector;
#[path = "outside/widths.rs"]
mod widths;
