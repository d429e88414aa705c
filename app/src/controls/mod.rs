//! The few controls from which the steps are put together.

mod choice;
mod number_field;
mod select;

pub use choice::Choice;
pub use number_field::{NumberField, trouble_with};
pub use select::Select;
