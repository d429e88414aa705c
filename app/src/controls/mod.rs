//! The few controls from which the steps are put together.

mod choice;
mod figure_table;
mod file_picker;
mod long_text;
mod number_field;
mod press;
mod rows;
mod select;
mod text_field;
mod typing;
mod when;

pub use choice::{Choice, place_of};
pub use figure_table::{Column, FigureTable, Over, Row};
pub use file_picker::{FilePicker, listed};
pub use long_text::LongText;
pub use number_field::{NumberField, trouble_with};
pub use press::press;
pub use rows::{MakeRow, Rows};
pub use select::Select;
pub use text_field::TextField;
pub use typing::Typing;
pub use when::When;
