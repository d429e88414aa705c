//! The date of what is printed.

use ribline_geometry::bench::print::Day;
use web_sys::js_sys::Date;

/// The day by this device's clock.
pub fn today() -> Day {
    let now = Date::new_0();
    Day { year: now.get_full_year() as u16, month: now.get_month() as u8 + 1, day: now.get_date() as u8 }
}
