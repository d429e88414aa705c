//! The overhang as it came out: measured at stated places once the plate is cut, and seen against the plan.

use super::wish::BenchWish;
use crate::arc::direction;
use crate::edge::button::ButtonWish;
use crate::json::{Fault, Form, Map, Value};
use crate::outline::{Bout, Corner, Outline, Run, Side};
use crate::project::Project;
use crate::reconcile::Traced;
use crate::reconcile::report::{Place, Reconciled, capital, corner_in_words, run_in_words};
use kurbo::{Point, Vec2};
use std::f64::consts::FRAC_PI_2;
use std::fmt;

/// A place at which the overhang is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Station {
    /// At the end of the centreline, bottom or top, as the bout says.
    End(Bout),
    /// Where a bout is widest or the waist narrowest.
    Middle(Run),
    /// Beside the ribs' corner, on the lower or upper run.
    Corner(Corner),
}

const fn run(side: Side, bout: Bout) -> Run {
    Run { bout, side }
}

impl Station {
    /// Counter-clockwise from the bottom of the centreline, as they are numbered.
    pub const ALL: [Station; 12] = [
        Station::End(Bout::Lower),
        Station::Middle(run(Side::Right, Bout::Lower)),
        Station::Corner(Corner::LowerRight),
        Station::Middle(run(Side::Right, Bout::Waist)),
        Station::Corner(Corner::UpperRight),
        Station::Middle(run(Side::Right, Bout::Upper)),
        Station::End(Bout::Upper),
        Station::Middle(run(Side::Left, Bout::Upper)),
        Station::Corner(Corner::UpperLeft),
        Station::Middle(run(Side::Left, Bout::Waist)),
        Station::Corner(Corner::LowerLeft),
        Station::Middle(run(Side::Left, Bout::Lower)),
    ];

    /// As a project's file names it.
    pub fn name(self) -> &'static str {
        const NAMES: [&str; 12] = [
            "bottom",
            "lower-right",
            "lower-right-corner",
            "waist-right",
            "upper-right-corner",
            "upper-right",
            "top",
            "upper-left",
            "upper-left-corner",
            "waist-left",
            "lower-left-corner",
            "lower-left",
        ];
        NAMES[self.index()]
    }

    /// Its number on the record's drawing.
    pub fn number(self) -> usize {
        self.index() + 1
    }

    /// Its place in [`Station::ALL`].
    pub fn index(self) -> usize {
        Station::ALL.iter().position(|station| *station == self).unwrap_or(0)
    }

    /// As the overhang's report names such a place.
    pub fn place(self) -> Place {
        match self {
            Station::End(bout) => Place::End(bout),
            Station::Middle(run) => Place::Middle(run),
            Station::Corner(corner) => Place::Corner(corner),
        }
    }

    fn bout(self) -> Bout {
        match self {
            Station::End(bout) => bout,
            Station::Middle(run) => run.bout,
            Station::Corner(corner) => corner.bout(),
        }
    }

    fn run(self) -> Run {
        match self {
            Station::End(bout) => run(Side::Right, bout),
            Station::Middle(run) => run,
            Station::Corner(corner) => corner.outer_run(),
        }
    }
}

/// Where it is, to stand in a table.
impl fmt::Display for Station {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Station::End(Bout::Upper) => write!(f, "Top of the centreline, or beside the button"),
            Station::End(_) => write!(f, "Bottom of the centreline"),
            Station::Middle(run) if run.bout == Bout::Waist => {
                write!(f, "Middle of the {}", run_in_words(*run))
            }
            Station::Middle(run) => write!(f, "Widest of the {}", run_in_words(*run)),
            Station::Corner(corner) => {
                write!(f, "{}", capital(&corner_in_words(*corner)))
            }
        }
    }
}

/// What was measured, in mm; nothing where nobody measured.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AsCut {
    /// In the order of [`Station::ALL`].
    pub measured: [Option<f64>; 12],
    /// Entries of a file that this version does not know; written back unchanged.
    pub unknown: Map,
}

/// Why a figure cannot be an overhang; worded for a person.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error(
    "The overhang measured {} must be from {} to {} mm; it is {given} mm",
    station.place(), AsCut::WITHIN.0, AsCut::WITHIN.1
)]
pub struct AsCutError {
    pub station: Station,
    pub given: f64,
}

impl AsCut {
    /// Least and most that anybody can have measured, mm. Below 0 the edge was cut into the ribs.
    pub const WITHIN: (f64, f64) = (-5.0, 20.0);

    pub fn is_empty(&self) -> bool {
        self.measured.iter().all(Option::is_none) && self.unknown.iter().next().is_none()
    }

    /// # Errors
    /// For a figure that nobody can have measured.
    pub fn check(&self) -> Result<(), AsCutError> {
        let (least, most) = AsCut::WITHIN;
        for (station, given) in Station::ALL.into_iter().zip(self.measured) {
            if let Some(given) = given.filter(|mm| !(least..=most).contains(mm)) {
                return Err(AsCutError { station, given });
            }
        }
        Ok(())
    }
}

impl Form for AsCut {
    fn read(value: &Value) -> Result<Self, Fault> {
        let Value::Object(entries) = value else {
            return Err(Fault::unlike(value, "the overhang measured at places, {\"bottom\": 2.3}"));
        };
        let mut as_cut = AsCut::default();
        for (key, value) in entries.iter() {
            match Station::ALL.into_iter().find(|station| station.name() == key) {
                Some(station) => as_cut.measured[station.index()] = Option::read(value)?,
                None => as_cut.unknown.push(key, value.clone()),
            }
        }
        Ok(as_cut)
    }

    fn written(&self) -> Value {
        let known = Station::ALL.into_iter().zip(self.measured);
        let entries = known.fold(Map::new(), |map, (station, mm)| map.with_if_there(station.name(), &mm));
        Value::Object(entries.with_all(&self.unknown))
    }
}

/// A station on the edge, with what was planned there and what was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AtStation {
    pub station: Station,
    /// On the edge, in the frame of the result.
    pub at: Point,
    /// Unit vector towards the ribs.
    pub inward: Vec2,
    /// Overhang of the drawn edge over these ribs, mm; what was wanted where another line than the ribs' was traced.
    pub planned: f64,
    pub measured: Option<f64>,
}

impl AtStation {
    /// Measured less planned, mm: positive where wood was left.
    pub fn difference(&self) -> Option<f64> {
        self.measured.map(|mm| mm - self.planned)
    }
}

/// What was measured against the plan, at all stations in the order of [`Station::ALL`].
pub fn as_cut(project: &Project, result: &Reconciled) -> [AtStation; 12] {
    let bench: BenchWish = project.bench_wish();
    let button = bench.button_on(project.face.plate);
    let measured = project.as_cut.measured;
    Station::ALL.map(|station| {
        let (at, inward) = place_on(&result.edge.outline, result, station, button);
        let planned = planned(project, result, station, at);
        AtStation { station, at, inward, planned, measured: measured[station.index()] }
    })
}

fn place_on(
    outline: &Outline,
    result: &Reconciled,
    station: Station,
    button: Option<ButtonWish>,
) -> (Point, Vec2) {
    /// Clear of the button's root, mm.
    const BESIDE_BUTTON: f64 = 3.0;
    let chain = outline.run(station.run());
    let samples = chain.sampled(0.5);
    let worth = |at: Point| match station {
        // The button hides the end of the ribs: there the overhang is measured beside it.
        Station::End(Bout::Upper) => {
            -(at.x - button.map_or(0.0, |b| b.neck_off + b.width / 2.0 + BESIDE_BUTTON)).abs()
        }
        Station::End(_) => -at.x.abs(),
        Station::Middle(run) if run.bout == Bout::Waist => -at.x.abs(),
        Station::Middle(_) => at.x.abs(),
        Station::Corner(corner) => -at.distance(result.edge.corners[corner.index()].rib_corner),
    };
    let best = samples.into_iter().max_by(|a, b| worth(a.0).total_cmp(&worth(b.0)));
    let (at, heading) = best.unwrap_or((chain.start, 0.0));
    (at, direction(heading + FRAC_PI_2))
}

fn planned(project: &Project, result: &Reconciled, station: Station, at: Point) -> f64 {
    /// Further from a traced point the ribs are not known, mm.
    const KNOWN_NEAR: f64 = 25.0;
    let wanted = project.wish.overhang.at(station.bout());
    if project.wish.traced != Traced::Ribs {
        return wanted;
    }
    if let Station::Corner(corner) = station {
        return result.edge.corners[corner.index()].overhang_outer;
    }
    let of_bout = result.overhang.samples.iter().filter(|s| s.run.bout == station.bout());
    let nearest = of_bout.min_by(|a, b| a.at.distance(at).total_cmp(&b.at.distance(at)));
    nearest.filter(|s| s.at.distance(at) < KNOWN_NEAR).map_or(wanted, |s| s.overhang)
}

/// All that was measured in a few sentences' worth of figures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// Places measured.
    pub count: usize,
    /// Mean of measured less planned, mm.
    pub mean: f64,
    /// Where most wood was left, and where least, each with measured less planned, mm.
    pub fullest: (Station, f64),
    pub thinnest: (Station, f64),
    /// Within this of the plan nothing needs doing, mm.
    pub tolerance: f64,
}

/// `None` where nothing was measured.
pub fn summary(stations: &[AtStation; 12], tolerance: f64) -> Option<Summary> {
    let differences: Vec<(Station, f64)> =
        stations.iter().filter_map(|s| s.difference().map(|by| (s.station, by))).collect();
    let by = |a: &&(Station, f64), b: &&(Station, f64)| a.1.total_cmp(&b.1);
    let (fullest, thinnest) = (*differences.iter().max_by(by)?, *differences.iter().min_by(by)?);
    let count = differences.len();
    let mean = differences.iter().map(|(_, by)| by).sum::<f64>() / count as f64;
    Some(Summary { count, mean, fullest, thinnest, tolerance })
}

impl Summary {
    pub fn all_within(&self) -> bool {
        self.fullest.1 <= self.tolerance && -self.thinnest.1 <= self.tolerance
    }
}

/// Rounded as it is said, so that what is said to be as planned looks so.
fn told(mm: f64) -> String {
    match (mm * 100.0).round() / 100.0 {
        by if by > 0.0 => format!("{by:.2} mm more than planned"),
        by if by < 0.0 => format!("{:.2} mm less than planned", -by),
        _ => "just as planned".to_owned(),
    }
}

impl fmt::Display for Summary {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Summary { count, mean, fullest, thinnest, tolerance } = *self;
        if count == 1 {
            write!(f, "Measured at 1 place, {}, the overhang is {}.", fullest.0.place(), told(mean))?;
        } else {
            write!(f, "Measured at {count} places, the overhang is on average {}.", told(mean))?;
        }
        if self.all_within() {
            return write!(
                f,
                " That is within {tolerance} mm of the plan{}.",
                if count == 1 { "" } else { " everywhere" }
            );
        }
        let at = |(station, by): (Station, f64)| {
            if count == 1 { String::new() } else { format!(" {} ({})", station.place(), told(by)) }
        };
        if fullest.1 > tolerance {
            write!(f, " More than {tolerance} mm was left{}: it can still be taken down.", at(fullest))?;
        }
        if -thinnest.1 > tolerance {
            write!(
                f,
                " More than {tolerance} mm too much was taken{}: ease the ribs, or take the other side down to match.",
                at(thinnest)
            )?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::json::parse;

    #[test]
    fn every_station_has_its_own_name_and_number() {
        for (index, station) in Station::ALL.into_iter().enumerate() {
            assert_eq!(station.index(), index);
            assert_eq!(Station::ALL.iter().filter(|s| s.name() == station.name()).count(), 1);
        }
    }

    #[test]
    fn what_was_measured_reads_back_with_what_is_not_known() {
        let text = "{\"top\": 2.25, \"lower-left\": 0, \"f-hole\": {\"mm\": 1}, \"bottom\": null}";
        let read = AsCut::read(&parse(text).unwrap()).unwrap();
        assert_eq!(read.measured[6], Some(2.25));
        assert_eq!(read.measured[11], Some(0.0));
        assert_eq!(read.measured[0], None);
        assert_eq!(AsCut::read(&read.written()).unwrap(), read);
        assert!(read.written() == AsCut::read(&read.written()).unwrap().written());
        assert!(!read.is_empty() && AsCut::default().is_empty());
    }

    #[test]
    fn a_figure_that_nobody_measured_is_refused_by_its_place() {
        let mut as_cut = AsCut::default();
        as_cut.measured[8] = Some(-6.0);
        assert!(as_cut.check().unwrap_err().to_string().contains("at the left upper corner"));
        as_cut.measured[8] = Some(f64::NAN);
        assert!(as_cut.check().is_err());
    }

    #[test]
    fn the_mean_and_the_worst_are_of_what_was_measured_alone() {
        let stations = Station::ALL.map(|station| AtStation {
            station,
            at: Point::ZERO,
            inward: Vec2::new(0.0, 1.0),
            planned: 2.5,
            measured: match station.index() {
                0 => Some(2.6),
                4 => Some(2.1),
                _ => None,
            },
        });
        let of = summary(&stations, 0.3).unwrap();
        assert_eq!((of.count, of.fullest.0, of.thinnest.0), (2, Station::ALL[0], Station::ALL[4]));
        assert!((of.mean + 0.15).abs() < 1e-12);
        assert!((of.fullest.1 - 0.1).abs() < 1e-12 && (of.thinnest.1 + 0.4).abs() < 1e-12);
        let said = of.to_string();
        assert!(said.contains("0.15 mm less") && said.contains("at the right upper corner"), "{said}");
        assert!(!of.all_within() && !said.contains("can still be taken down"), "{said}");
        assert_eq!(summary(&stations.map(|s| AtStation { measured: None, ..s }), 0.3), None);
    }

    #[test]
    fn wood_left_at_one_place_and_gone_at_another_are_both_told() {
        let stations = Station::ALL.map(|station| AtStation {
            station,
            at: Point::ZERO,
            inward: Vec2::new(0.0, 1.0),
            planned: 2.5,
            measured: Some(match station.index() {
                2 => 3.0,
                9 => 2.05,
                _ => 2.5,
            }),
        });
        let said = summary(&stations, 0.3).unwrap().to_string();
        assert!(said.contains("at the right lower corner (0.50 mm more than planned)"), "{said}");
        assert!(said.contains("at the middle of the left waist (0.45 mm less than planned)"), "{said}");
        let near = summary(&stations, 0.6).unwrap();
        assert!(near.all_within() && near.to_string().ends_with("of the plan everywhere."), "{near}");
    }
}
