//! The results of a class beside one another: what has been brought, its edges over one another and side by side, and
//! by how much they differ.

mod bring;
mod differences;
mod drops;
mod kept;
mod letter;
mod list;
mod overlaid;
mod panel;
mod room;
mod sheet;
mod side_by_side;

pub use panel::ClassPanel;
pub use room::use_room;
pub use sheet::ClassSheet;
