//! The replay of a recipe: a drawing that grows stroke by stroke, the sentence of the present step, and a bar to go
//! forwards and back; on the page, over the whole screen for a projector, and on paper.

mod address;
mod bar;
mod compass;
mod fullscreen;
mod keys;
mod labels;
mod lengths;
mod pen;
mod picture;
mod player;
mod scene;
mod sequence;
mod sheet;
pub mod steps;
mod timing;

pub use pen::escaped;
pub use sheet::ReplaySheet;
