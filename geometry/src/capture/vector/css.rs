//! What the style of an element in an SVG drawing says of where it stands. Source: W3C, CSS Transforms Module Level 1, chapters 6
//! (the property), 12 (its functions) and 14 (their matrices); CSS Values and Units 4, 6 and 7 (lengths and angles).

use crate::decimal;
use kurbo::{Affine, Size};
use std::f64::consts::TAU;

/// What a style declares for a property; the last time counts.
pub(super) fn declared<'a>(style: &'a str, name: &str) -> Option<&'a str> {
    let own = |part: &'a str| {
        let (property, value) = part.split_once(':')?;
        let value = value.trim();
        let value = value.strip_suffix("!important").map_or(value, str::trim_end);
        property.trim().eq_ignore_ascii_case(name).then_some(value)
    };
    style.split(';').filter_map(own).next_back()
}

/// Functions one after the other, or `none`. `None` of a value that is none or turns out of the plane, which is passed over.
pub(super) fn transform(text: &str, within: Size) -> Option<Affine> {
    let mut rest = text.trim();
    if rest.eq_ignore_ascii_case("none") {
        return Some(Affine::IDENTITY);
    }
    let mut all = Affine::IDENTITY;
    let mut any = false;
    while !rest.is_empty() {
        let (name, after) = rest.split_once('(')?;
        let (inner, after) = after.split_once(')')?;
        all *= function(&name.trim_start().to_ascii_lowercase(), inner, within)?;
        rest = after.trim_start();
        any = true;
    }
    any.then_some(all)
}

fn function(name: &str, inner: &str, within: Size) -> Option<Affine> {
    let given: Vec<&str> = inner.split(',').map(str::trim).collect();
    let across = |text: &str| length(text, within.width);
    let along = |text: &str| length(text, within.height);
    let skewed = |x: f64, y: f64| Affine::new([1.0, y.tan(), x.tan(), 1.0, 0.0, 0.0]);
    Some(match (name, &given[..]) {
        ("translate", [x]) | ("translatex", [x]) => Affine::translate((across(x)?, 0.0)),
        ("translate", [x, y]) => Affine::translate((across(x)?, along(y)?)),
        ("translatey", [y]) => Affine::translate((0.0, along(y)?)),
        ("scale", [by]) => Affine::scale(decimal::read(by)?),
        ("scale", [x, y]) => Affine::scale_non_uniform(decimal::read(x)?, decimal::read(y)?),
        ("scalex", [x]) => Affine::scale_non_uniform(decimal::read(x)?, 1.0),
        ("scaley", [y]) => Affine::scale_non_uniform(1.0, decimal::read(y)?),
        // y runs down: clockwise as seen.
        ("rotate", [by]) => Affine::rotate(angle(by)?),
        ("skew", [x]) | ("skewx", [x]) => skewed(angle(x)?, 0.0),
        ("skew", [x, y]) => skewed(angle(x)?, angle(y)?),
        ("skewy", [y]) => skewed(0.0, angle(y)?),
        ("matrix", [a, b, c, d, e, f]) => {
            let [a, b, c, d, e, f] = [a, b, c, d, e, f].map(|text| decimal::read(text));
            Affine::new([a?, b?, c?, d?, e?, f?])
        }
        _ => return None,
    })
}

/// A number and its unit, in lower case.
fn measured(text: &str) -> Option<(f64, String)> {
    let unit = text.trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == '%').len();
    let (number, unit) = text.split_at(unit);
    Some((decimal::read(number)?, unit.to_ascii_lowercase()))
}

/// px, which are user units. Only of nothing the unit may be left out.
fn length(text: &str, whole: f64) -> Option<f64> {
    const INCH: f64 = 96.0;
    let (number, unit) = measured(text)?;
    let by = match unit.as_str() {
        "px" => 1.0,
        "mm" => INCH / 25.4,
        "cm" => INCH / 2.54,
        "q" => INCH / 101.6,
        "in" => INCH,
        "pt" => INCH / 72.0,
        "pc" => INCH / 6.0,
        "%" => whole / 100.0,
        "" if number == 0.0 => 0.0,
        _ => return None,
    };
    Some(number * by)
}

/// Radians.
fn angle(text: &str) -> Option<f64> {
    let (number, unit) = measured(text)?;
    let by = match unit.as_str() {
        "deg" => TAU / 360.0,
        "grad" => TAU / 400.0,
        "rad" => 1.0,
        "turn" => TAU,
        "" if number == 0.0 => 0.0,
        _ => return None,
    };
    Some(number * by)
}
