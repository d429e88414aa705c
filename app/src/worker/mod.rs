//! Heavy work is done beside the page, in a web worker: a second program of this crate, `src/bin/worker.rs`, that the
//! browser fetches when it is first asked for something. What only the worker needs is no part of the page's own
//! download, and the page stays in hand while the work goes on.
//!
//! The page says [`ask`] and waits for the answer; the worker says [`serve`]. To have another kind of work done there: a
//! request and its answer beside those in [`requests`], and how it is answered in `answers.rs`.

mod answers;
mod ask;
mod parcel;
mod photo;
mod photo_answers;
pub mod requests;

pub use answers::serve;
pub use ask::{Trouble, ask, let_go};
