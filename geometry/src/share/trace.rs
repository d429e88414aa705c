//! A traced line in few bytes: what each point lies off where its forerunners point to, in hundredths of a mm.
//!
//! | what | how |
//! |---|---|
//! | pins | a byte: 1 with the lower pin, 2 with the upper; then x and y of each |
//! | points | how many |
//! | names | so many points in a row, and what they are said to lie on: run + 7 * side, each from 1 and 0 for none |
//! | lines | so many points in a row, and by how much each line's number exceeds the last by more than 1 |
//! | taken | so many points in a row, and how they were taken, by its place in a list; not in version 1 |
//! | sd | so many points in a row, and what they are good to in steps of 0.02 mm, 0 where it is not known; not in version 1 |
//! | places | a byte for what is expected of a point, then x and y of each point less what was expected |
//!
//! What is expected: the place of the point one or two before (0, 1), or that place and as far on as from the point as
//! far before it (2, 3). One before suits a line that is followed, two before an offsets table, which goes from side to
//! side.

use super::bytes::{Bytes, Reading};
use super::envelope::FIRST;
use super::error::{LinkError, ShareError};
use crate::outline::{Run, Side};
use crate::trace::{HowTaken, POINT_LIMIT, Pins, REACH_LIMIT, Trace, TracedPoint};
use kurbo::Point;

/// What places of points and pins are rounded to, in mm: a tenth of what a scribed line can be measured to.
pub const STEP_MM: f64 = 0.01;
const STEPS_A_MM: f64 = 100.0;
/// What standard deviations are rounded to, in mm, so that those of a line that was followed mostly come in a row.
const SD_STEP: f64 = 0.02;
/// The most that one can be, in mm.
const MOST_SD: f64 = 100.0;

/// A place in steps of [`STEP_MM`].
type Steps = [i64; 2];

/// As it is read back.
pub(super) fn round(trace: &mut Trace) {
    let rounded = |at: Point| steps(at).map_or(at, place);
    for point in &mut trace.points {
        point.at = rounded(point.at);
        point.sd = point.sd.map(|sd| sd_of(sd_steps(sd)));
    }
    trace.pins = Pins { lower: trace.pins.lower.map(rounded), upper: trace.pins.upper.map(rounded) };
}

/// `None` where a place is further away than anything can be.
fn steps(at: Point) -> Option<Steps> {
    let within = at.x.abs() <= REACH_LIMIT && at.y.abs() <= REACH_LIMIT;
    within.then(|| [(at.x * STEPS_A_MM).round() as i64, (at.y * STEPS_A_MM).round() as i64])
}

fn place([x, y]: Steps) -> Point {
    Point::new(x as f64 / STEPS_A_MM, y as f64 / STEPS_A_MM)
}

/// At least one step: none would say that it is not known.
fn sd_steps(sd: f64) -> i64 {
    ((sd.clamp(SD_STEP, MOST_SD) / SD_STEP).round() as i64).max(1)
}

fn sd_of(steps: i64) -> f64 {
    // By a whole number, so that it is the decimal fraction that it looks like.
    steps as f64 / (1.0 / SD_STEP)
}

fn read_sd(steps: i64) -> Result<Option<f64>, LinkError> {
    match steps {
        0 => Ok(None),
        steps if (1..=sd_steps(MOST_SD)).contains(&steps) => Ok(Some(sd_of(steps))),
        _ => Err(LinkError::Nonsense),
    }
}

/// Where a point is expected, from those before it: see the table above.
fn expected(how: u8, before: &[Steps]) -> Steps {
    let back = usize::from(how % 2) + 1;
    let at = |back: usize| before.len().checked_sub(back).map(|k| before[k]);
    let last = at(back).or(at(1)).unwrap_or([0, 0]);
    match at(2 * back) {
        Some(earlier) if how >= 2 => [2 * last[0] - earlier[0], 2 * last[1] - earlier[1]],
        _ => last,
    }
}

/// How a point can have been taken, each by its place here: only ever added to at the end.
const TAKEN: [HowTaken; 6] = [
    HowTaken::Given,
    HowTaken::Tapped,
    HowTaken::Followed,
    HowTaken::Drawn,
    HowTaken::Offset,
    HowTaken::Moved,
];

/// Whether a trace says more than the first version can carry.
pub(super) fn beyond_first(trace: &Trace) -> bool {
    trace.points.iter().any(|point| point.taken != HowTaken::Given || point.sd.is_some())
}

pub(super) fn write(out: &mut Bytes, trace: &Trace, version: u8) -> Result<(), ShareError> {
    if trace.points.len() > POINT_LIMIT {
        return Err(ShareError::TooManyPoints { given: trace.points.len(), most: POINT_LIMIT });
    }
    let pins = [trace.pins.lower, trace.pins.upper];
    out.byte(u8::from(pins[0].is_some()) + 2 * u8::from(pins[1].is_some()));
    for pin in pins.into_iter().flatten() {
        let [x, y] = steps(pin).ok_or(ShareError::FarPin)?;
        out.signed(x);
        out.signed(y);
    }
    out.count(trace.points.len());
    in_a_row(out, trace.points.iter().map(|point| i64::from(name_number(point))));
    let mut last = 0i64;
    let gaps = trace.points.iter().map(|point| {
        // A number that no file has lines for says nothing.
        let line = i64::from(u32::try_from(point.line).unwrap_or(u32::MAX));
        let gap = line - last - 1;
        last = line;
        gap
    });
    in_a_row(out, gaps);
    if version > FIRST {
        let place = |how: HowTaken| TAKEN.iter().position(|other| *other == how).unwrap_or_default();
        in_a_row(out, trace.points.iter().map(|point| place(point.taken) as i64));
        in_a_row(out, trace.points.iter().map(|point| point.sd.map_or(0, sd_steps)));
    }
    let mut places = Vec::with_capacity(trace.points.len());
    for (k, point) in trace.points.iter().enumerate() {
        places.push(steps(point.at).ok_or(ShareError::FarPoint { index: k + 1 })?);
    }
    let ways = (0..4u8).map(|how| {
        let mut bytes = Bytes::default();
        bytes.byte(how);
        for (k, at) in places.iter().enumerate() {
            let expected = expected(how, &places[..k]);
            bytes.signed(at[0] - expected[0]);
            bytes.signed(at[1] - expected[1]);
        }
        Vec::from(bytes)
    });
    if let Some(shortest) = ways.min_by_key(Vec::len) {
        out.put(&shortest);
    }
    Ok(())
}

/// How often each number comes in a row, and the number.
fn in_a_row(out: &mut Bytes, numbers: impl Iterator<Item = i64>) {
    let mut rows: Vec<(usize, i64)> = Vec::new();
    for number in numbers {
        match rows.last_mut() {
            Some((times, last)) if *last == number => *times += 1,
            _ => rows.push((1, number)),
        }
    }
    for (times, number) in rows {
        out.count(times);
        out.signed(number);
    }
}

pub(super) fn read(reading: &mut Reading, version: u8) -> Result<Trace, LinkError> {
    let which = reading.byte()?;
    if which > 3 {
        return Err(LinkError::Nonsense);
    }
    let mut pin = |there: bool| {
        let at = |reading: &mut Reading| within([reading.signed()?, reading.signed()?]).map(place);
        if there { at(reading).map(Some) } else { Ok(None) }
    };
    let pins = Pins { lower: pin(which & 1 != 0)?, upper: pin(which & 2 != 0)? };
    let count = reading.count()?;
    if count > POINT_LIMIT {
        return Err(LinkError::Nonsense);
    }
    let names = out_of_rows(reading, count)?;
    let gaps = out_of_rows(reading, count)?;
    let later = |reading: &mut Reading| {
        if version > FIRST { out_of_rows(reading, count) } else { Ok(vec![0; count]) }
    };
    let taken = later(reading)?;
    let sds = later(reading)?;
    let how = reading.byte()?;
    if how > 3 {
        return Err(LinkError::Nonsense);
    }
    let mut places: Vec<Steps> = Vec::with_capacity(count);
    let mut points = Vec::with_capacity(count);
    let mut line = 0i64;
    for (((name, gap), taken), sd) in names.into_iter().zip(gaps).zip(taken).zip(sds) {
        let expected = expected(how, &places);
        let off = [reading.signed()?, reading.signed()?];
        let sum = |k: usize| expected[k].checked_add(off[k]).ok_or(LinkError::Nonsense);
        let at = within([sum(0)?, sum(1)?])?;
        places.push(at);
        line = gap.checked_add(1).and_then(|on| line.checked_add(on)).ok_or(LinkError::Nonsense)?;
        let (run, side) = named(name).ok_or(LinkError::Nonsense)?;
        let line = u32::try_from(line).ok().and_then(|line| usize::try_from(line).ok());
        points.push(TracedPoint {
            at: place(at),
            run,
            side,
            line: line.ok_or(LinkError::Nonsense)?,
            taken: usize::try_from(taken)
                .ok()
                .and_then(|place| TAKEN.get(place).copied())
                .ok_or(LinkError::Nonsense)?,
            sd: read_sd(sd)?,
        });
    }
    Ok(Trace { points, pins })
}

fn within(at: Steps) -> Result<Steps, LinkError> {
    let most = (REACH_LIMIT * STEPS_A_MM) as u64;
    if at.iter().all(|steps| steps.unsigned_abs() <= most) { Ok(at) } else { Err(LinkError::Nonsense) }
}

fn out_of_rows(reading: &mut Reading, count: usize) -> Result<Vec<i64>, LinkError> {
    let mut numbers = Vec::with_capacity(count);
    while numbers.len() < count {
        let times = reading.place(count - numbers.len() + 1)?;
        let number = reading.signed()?;
        if times == 0 {
            return Err(LinkError::Nonsense);
        }
        numbers.resize(numbers.len() + times, number);
    }
    Ok(numbers)
}

/// What a point is said to lie on, as a number.
fn name_number(point: &TracedPoint) -> u8 {
    let run = point.run.map_or(0, |run| 1 + run.index() as u8);
    let side = point.side.map_or(0, |side| 1 + side as u8);
    run + 7 * side
}

fn named(number: i64) -> Option<(Option<Run>, Option<Side>)> {
    let number = usize::try_from(number).ok().filter(|number| *number < 21)?;
    let run = (number % 7).checked_sub(1).map(|k| Run::ALL[k]);
    let side = (number / 7).checked_sub(1).map(|k| Side::BOTH[k]);
    Some((run, side))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_point() -> impl Strategy<Value = TracedPoint> {
        let at = (-REACH_LIMIT..=REACH_LIMIT, -REACH_LIMIT..=REACH_LIMIT);
        let run = prop::option::of(prop::sample::select(&Run::ALL[..]));
        let side = prop::option::of(prop::sample::select(&Side::BOTH[..]));
        let line = prop_oneof![0usize..400, any::<u32>().prop_map(|line| line as usize)];
        let taken = prop::sample::select(&TAKEN[..]);
        let sd = prop::option::of(0.001..MOST_SD);
        (at, run, side, line, taken, sd).prop_map(|((x, y), run, side, line, taken, sd)| TracedPoint {
            at: Point::new(x, y),
            run,
            side,
            line,
            taken,
            sd,
        })
    }

    fn there_and_back(trace: &Trace) -> Trace {
        let mut out = Bytes::default();
        write(&mut out, trace, 2).unwrap();
        let bytes: Vec<u8> = out.into();
        let mut reading = Reading::new(&bytes);
        let back = read(&mut reading, 2).unwrap();
        reading.ended().unwrap();
        back
    }

    proptest! {
        #[test]
        fn a_trace_comes_back_within_half_a_hundredth_and_from_then_on_as_it_is(
            points in prop::collection::vec(any_point(), 0..40),
            pin in prop::option::of((-400.0..400.0, -400.0..400.0)),
        ) {
            let trace = Trace { points, pins: Pins { lower: None, upper: pin.map(Point::from) } };
            let back = there_and_back(&trace);
            prop_assert_eq!(back.points.len(), trace.points.len());
            for (given, back) in trace.points.iter().zip(&back.points) {
                let off = (given.at - back.at).to_point();
                prop_assert!(off.x.abs() <= 0.5 * STEP_MM + 1e-9 && off.y.abs() <= 0.5 * STEP_MM + 1e-9);
                prop_assert_eq!((given.run, given.side, given.line), (back.run, back.side, back.line));
                prop_assert_eq!(given.taken, back.taken);
                prop_assert_eq!(given.sd.is_some(), back.sd.is_some());
                let sds = given.sd.zip(back.sd);
                prop_assert!(sds.is_none_or(|(sd, back)| (sd - back).abs() <= SD_STEP));
            }
            let mut rounded = trace;
            round(&mut rounded);
            prop_assert_eq!(&rounded, &back);
            prop_assert_eq!(there_and_back(&back), back);
        }

        #[test]
        fn bytes_from_anywhere_are_a_trace_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            for version in 1..=2 {
                let _ = read(&mut Reading::new(&bytes), version);
            }
        }
    }

    #[test]
    fn a_point_beyond_all_reach_cannot_be_shared() {
        for x in [f64::NAN, f64::INFINITY, 2.0 * REACH_LIMIT] {
            let far = TracedPoint {
                at: Point::new(x, 0.0),
                run: None,
                side: None,
                line: 1,
                taken: HowTaken::Given,
                sd: None,
            };
            let trace = Trace { points: vec![far], pins: Pins::default() };
            assert_eq!(write(&mut Bytes::default(), &trace, 2), Err(ShareError::FarPoint { index: 1 }));
        }
    }
}
