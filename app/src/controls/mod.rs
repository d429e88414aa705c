//! The few controls from which the steps are put together.

mod choice;
mod number_field;
mod select;
mod when;

pub use choice::{Choice, place_of};
pub use number_field::{NumberField, trouble_with};
pub use select::Select;
pub use when::When;
