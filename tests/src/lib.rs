//! Shared by the checks in this folder: the built page served on this machine ([`site`]), a real Chromium that
//! opens it ([`chromium`]), and what a person does there with hand and eye ([`page`]); what other programs make of a print
//! ([`printed`], [`scan`]).

pub mod at_the_photo;
pub mod chromium;
pub mod constructions;
pub mod page;
pub mod photographed;
pub mod printed;
pub mod prints;
pub mod scan;
pub mod simulate;
pub mod site;
