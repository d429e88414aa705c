//! Shared by the checks in this folder: the built page served on this machine ([`site`]), a real Chromium that
//! opens it ([`chromium`]), and what a person does there with hand and eye ([`page`]).

pub mod chromium;
pub mod constructions;
pub mod page;
pub mod prints;
pub mod simulate;
pub mod site;
