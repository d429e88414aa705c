//! Where the work is kept: in this browser, and in files. Nothing leaves the device.

pub mod class;
pub mod files;
pub mod kept;
pub mod shelf;
