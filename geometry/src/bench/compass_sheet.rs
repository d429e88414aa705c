//! The compass sheet: for every arc of the edge where the point of the compass stands, what it is set to, and from where to
//! where it is struck, in the order in which one would strike them; rounded to what a compass and a rule can be set to, with
//! what the rounding does to the edge.

use super::wish::CompassWish;
use crate::arc::Arc;
use crate::outline::{Corner, Run, Side};
use crate::recipe::Recipe;
use crate::reconcile::report::{EdgeArc, Reading, Reconciled};
use kurbo::{Point, Rect, Vec2};

/// All that is needed to draw the edge on the board. Lengths in mm, places in the frame of the result.
#[derive(Debug, Clone, PartialEq)]
pub struct CompassSheet {
    /// In the order of the work.
    pub strikes: Vec<Strike>,
    /// The straight cuts of the corners, in the order of [`Corner::ALL`].
    pub cuts: [CornerLine; 4],
    /// Whether places are counted from the lower pin; else from where the traced line meets the centreline at the bottom.
    pub from_pin: bool,
    /// The board: the plate with some wood around it, even about the centreline.
    pub board: Rect,
    /// What every figure is rounded to.
    pub step: f64,
    pub effect: Effect,
}

/// One arc to strike.
#[derive(Debug, Clone, PartialEq)]
pub struct Strike {
    /// Of the arc and of its centre, counted from 1 in the order of the work.
    pub number: usize,
    pub run: Run,
    /// Place in the run, counted from 0, counter-clockwise.
    pub piece: usize,
    /// Name of the recipe's circle.
    pub circle: String,
    /// Name of the arc, see [`EdgeArc::name`].
    pub name: String,
    /// What the compass is set to: the radius, rounded. Arcs of one radius have one setting.
    pub setting: f64,
    /// Before rounding.
    pub exact: f64,
    /// The simple ratio it is held at or comes near.
    pub reading: Option<Reading>,
    /// Where its point stands, rounded.
    pub centre: Point,
    /// Where the arc begins and ends, counter-clockwise along the edge, rounded.
    pub begins: Point,
    pub ends: Point,
    /// Two distances by which the centre can be checked.
    pub checks: Vec<Check>,
    /// Set where the centre lies off the board.
    pub off_board: Option<OffBoard>,
    /// An earlier arc with the same setting, which needs no new one.
    pub set_as: Option<usize>,
    /// Most by which the rounded arc leaves the exact one.
    pub leaves: f64,
}

/// A distance from another marked place to a centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Check {
    pub from: Mark,
    /// Rounded.
    pub distance: f64,
}

/// A place that is marked before any arc is struck, or the centre of an earlier one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// The lower pin, or where places are counted from without one.
    Origin,
    UpperPin,
    /// The top of the edge on the centreline.
    Top,
    /// The centre of an earlier arc.
    Centre(usize),
}

/// By how much a centre lies beyond the board: there a scrap of the same thickness has to be fixed beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OffBoard {
    /// Beyond its right edge; negative: beyond its left edge; 0: beside neither.
    pub right: f64,
    /// Beyond its upper edge; negative: beyond its lower edge.
    pub up: f64,
}

/// The straight end of a corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CornerLine {
    pub at: Corner,
    /// Rounded, on the outer and on the waist flank.
    pub outer: Point,
    pub waist: Point,
    pub width: f64,
}

/// What rounding does to the edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    /// Most by which a rounded arc leaves the edge.
    pub most: f64,
    /// The run where that is.
    pub run: Run,
    /// Root of the mean square along the whole edge.
    pub rms: f64,
}

/// Into how many parts an arc is divided for the mean of the squares by which its rounded self leaves it.
const COMPARED: usize = 32;

/// Radii that differ by no more than rounding are one, mm.
const SAME_RADIUS: f64 = 1e-6;

/// The compass sheet of a reconciled edge.
pub fn compass_sheet(recipe: &Recipe, result: &Reconciled, wish: &CompassWish) -> CompassSheet {
    let step = wish.step_or_custom();
    let round = |mm: f64| (mm / step).round() * step;
    let place = |at: Point| Point::new(round(at.x), round(at.y));
    let bounds = result.edge.outline.bounds();
    let half = bounds.x1.max(-bounds.x0) + wish.beyond_or_custom();
    let beyond = wish.beyond_or_custom();
    let board = Rect::new(-half, bounds.y0 - beyond, half, bounds.y1 + beyond);

    let mut marks = vec![(Mark::Origin, Point::ZERO)];
    match result.pins.upper {
        Some(pin) => marks.push((Mark::UpperPin, place(pin))),
        None => marks.push((Mark::Top, Point::new(0.0, round(bounds.y1)))),
    }
    let mut strikes: Vec<Strike> = Vec::new();
    let (mut worst, mut worst_run) = (0.0, Run::ALL[0]);
    let (mut squares, mut length) = (0.0, 0.0);
    for arc in in_order_of_work(recipe, &result.arcs) {
        let number = strikes.len() + 1;
        let centre = place(arc.arc.centre);
        // One radius, one setting, on both sides and wherever it comes again, however near half a step it lies.
        let same = |s: &&Strike| (s.exact - arc.arc.radius).abs() < SAME_RADIUS;
        let own = || round(arc.arc.radius).max(step);
        let setting = strikes.iter().find(same).map_or_else(own, |s| s.setting);
        let (leaves, mean_square) = departure(&arc.arc, centre, setting);
        squares += mean_square * arc.arc.length();
        length += arc.arc.length();
        if leaves > worst {
            (worst, worst_run) = (leaves, arc.run);
        }
        let off_board = off_board(&board, centre);
        let set_as = strikes.iter().find(|s| (s.setting - setting).abs() < 1e-9).map(|s| s.number);
        strikes.push(Strike {
            number,
            run: arc.run,
            piece: arc.piece,
            circle: arc.circle.clone(),
            name: arc.name(),
            setting,
            exact: arc.arc.radius,
            reading: arc.reading.clone(),
            centre,
            begins: place(arc.arc.at(0.0)),
            ends: place(arc.arc.at(1.0)),
            checks: checks(&marks, &board, centre, round),
            off_board,
            set_as,
            leaves,
        });
        marks.push((Mark::Centre(number), centre));
    }
    let cuts = Corner::ALL.map(|at| {
        let end = &result.edge.corners[at.index()];
        CornerLine { at, outer: place(end.outer), waist: place(end.waist), width: round(end.width) }
    });
    CompassSheet {
        strikes,
        cuts,
        from_pin: result.pins.lower.is_some(),
        board,
        step,
        effect: Effect { most: worst, run: worst_run, rms: (squares / f64::max(length, 1e-9)).sqrt() },
    }
}

/// As the recipe strikes its circles; of one circle the right side before the left, which has the same setting.
fn in_order_of_work<'a>(recipe: &Recipe, arcs: &'a [EdgeArc]) -> Vec<&'a EdgeArc> {
    let step = |arc: &EdgeArc| recipe.steps.iter().position(|s| s.name == arc.circle).unwrap_or(usize::MAX);
    let side = |arc: &EdgeArc| usize::from(arc.run.side == Side::Left);
    let mut order: Vec<&EdgeArc> = arcs.iter().collect();
    order.sort_unstable_by_key(|arc| (step(arc), side(arc), arc.run.index(), arc.piece));
    order
}

/// The most by which an arc struck about a rounded centre with a rounded setting leaves the exact one, and the mean of the squares.
fn departure(arc: &Arc, centre: Point, setting: f64) -> (f64, f64) {
    let away: Vec<f64> =
        (0..=COMPARED).map(|k| arc.at(k as f64 / COMPARED as f64).distance(centre) - setting).collect();
    // Nearest and furthest are the ends, or where the line through both centres crosses the arc: Euclid, Elements III.7.
    let shift = arc.centre - centre;
    let on_the_line = [arc.centre + shift, arc.centre - shift].map(|towards| arc.parameter_of(towards));
    let crossed = on_the_line.into_iter().filter(|t| (0.0..=1.0).contains(t));
    let crossed = crossed.map(|t| arc.at(t).distance(centre) - setting);
    let leaves = away.iter().copied().chain(crossed).fold(0.0, |most: f64, off| most.max(off.abs()));
    let mean_square = away.iter().map(|off| off.powi(2)).sum::<f64>() / away.len() as f64;
    (leaves, mean_square)
}

fn off_board(board: &Rect, centre: Point) -> Option<OffBoard> {
    let beyond = |at: f64, low: f64, high: f64| (at - high).max(0.0) - (low - at).max(0.0);
    let off =
        OffBoard { right: beyond(centre.x, board.x0, board.x1), up: beyond(centre.y, board.y0, board.y1) };
    (off.right != 0.0 || off.up != 0.0).then_some(off)
}

/// A mark nearer or further than this tells little about where a centre is, mm.
const NEAR: f64 = 12.0;
const FAR: f64 = 450.0;

/// The two marks whose distances fix the centre best: those seen from it most nearly square to one another.
fn checks(marks: &[(Mark, Point)], board: &Rect, centre: Point, round: impl Fn(f64) -> f64) -> Vec<Check> {
    let usable: Vec<(Mark, Vec2)> = marks
        .iter()
        .map(|(mark, at)| (*mark, *at - centre))
        .filter(|(_, away)| (NEAR..=FAR).contains(&away.hypot()))
        .collect();
    // A centre on a scrap beside the board is a poor thing to measure from.
    let poor = |mark: Mark| match mark {
        Mark::Centre(n) => marks.get(n + 1).is_some_and(|(_, at)| !board.contains(*at)),
        _ => false,
    };
    let mut best: Option<(f64, usize, usize)> = None;
    for (i, (one, a)) in usable.iter().enumerate() {
        for (j, (other, b)) in usable.iter().enumerate().skip(i + 1) {
            let square = a.cross(*b).abs() / (a.hypot() * b.hypot());
            let marked_first =
                f64::from(matches!(one, Mark::Centre(_))) + f64::from(matches!(other, Mark::Centre(_)));
            let on_scraps = f64::from(poor(*one)) + f64::from(poor(*other));
            let worth = square.min(0.8) - 0.05 * marked_first - 0.3 * on_scraps;
            if best.is_none_or(|(w, ..)| worth > w) {
                best = Some((worth, i, j));
            }
        }
    }
    let chosen: Vec<usize> = match best {
        Some((_, i, j)) => vec![i, j],
        None => (0..usable.len()).collect(),
    };
    chosen.into_iter().map(|i| Check { from: usable[i].0, distance: round(usable[i].1.hypot()) }).collect()
}

impl CompassSheet {
    /// Every place where the point of the compass stands, with the numbers of the arcs struck from there.
    pub fn numbered_centres(&self) -> Vec<(Point, Vec<usize>)> {
        let mut centres: Vec<(Point, Vec<usize>)> = Vec::new();
        for strike in &self.strikes {
            match centres.iter_mut().find(|(at, _)| at.distance(strike.centre) < 1e-6) {
                Some((_, numbers)) => numbers.push(strike.number),
                None => centres.push((strike.centre, vec![strike.number])),
            }
        }
        centres
    }

    /// Every strike and cut as comma separated values, one a line, as printed: places as `up` from the origin and
    /// `across` from the centreline (right positive), all in mm and with no more digits than the step asks for.
    /// A comment before them says which plate it is and which face is up.
    pub fn to_csv(&self, face: &str) -> String {
        let digits = self.digits();
        let mm = |value: f64| {
            let text = format!("{value:.digits$}");
            if text.trim_start_matches(['-', '0', '.']).is_empty() {
                format!("{:.digits$}", 0.0)
            } else {
                text
            }
        };
        let mut out = format!(
            "# {face}\nnumber,run,circle,ratio,setting_mm,setting_in,centre_up_mm,centre_across_mm,begins_up_mm,begins_across_mm,ends_up_mm,ends_across_mm,check_1,check_2,off_board\n",
        );
        for s in &self.strikes {
            let ratio = s.reading.as_ref().map(|r| r.to_string()).unwrap_or_default();
            let check = |k: usize| {
                s.checks.get(k).map(|c| format!("{} {}", c.from.key(), mm(c.distance))).unwrap_or_default()
            };
            let off = s.off_board.map(|off| off.in_words()).unwrap_or_default();
            let cells = [
                s.number.to_string(),
                s.run.to_string(),
                quoted(&s.circle),
                quoted(&ratio),
                mm(s.setting),
                format!("{:.3}", s.setting / 25.4),
                mm(s.centre.y),
                mm(s.centre.x),
                mm(s.begins.y),
                mm(s.begins.x),
                mm(s.ends.y),
                mm(s.ends.x),
                check(0),
                check(1),
                quoted(&off),
            ];
            out.push_str(&cells.join(","));
            out.push('\n');
        }
        for cut in &self.cuts {
            let corner = crate::reconcile::report::corner_in_words(cut.at);
            let cells = [
                String::new(),
                quoted(&corner),
                "cut".to_owned(),
                String::new(),
                mm(cut.width),
                format!("{:.3}", cut.width / 25.4),
                String::new(),
                String::new(),
                mm(cut.outer.y),
                mm(cut.outer.x),
                mm(cut.waist.y),
                mm(cut.waist.x),
                String::new(),
                String::new(),
                String::new(),
            ];
            out.push_str(&cells.join(","));
            out.push('\n');
        }
        out
    }

    /// Decimals that a figure on the sheet has.
    pub fn digits(&self) -> usize {
        let whole = |digits: i32| {
            let scaled = self.step * 10f64.powi(digits);
            (scaled - scaled.round()).abs() < 1e-6
        };
        (0..3).find(|digits| whole(*digits)).unwrap_or(3) as usize
    }
}

impl Mark {
    /// As it is named in a table.
    pub fn key(self) -> String {
        match self {
            Mark::Origin => "origin".to_owned(),
            Mark::UpperPin => "upper-pin".to_owned(),
            Mark::Top => "top".to_owned(),
            Mark::Centre(number) => format!("centre-{number}"),
        }
    }
}

impl OffBoard {
    /// "34 mm beyond the right edge".
    pub fn in_words(self) -> String {
        let one = |mm: f64, (more, less): (&str, &str)| {
            (mm != 0.0).then(|| {
                format!("{:.0} mm beyond the {} edge", mm.abs().ceil(), if mm > 0.0 { more } else { less })
            })
        };
        let parts = [one(self.right, ("right", "left")), one(self.up, ("upper", "lower"))];
        parts.into_iter().flatten().collect::<Vec<_>>().join(" and ")
    }
}

/// A cell of a CSV file (RFC 4180): quoted where it has to be. What a table reckons with as a formula when it begins so is
/// kept text by a leading apostrophe.
fn quoted(text: &str) -> String {
    let text = if text.starts_with(['=', '+', '-', '@']) { format!("'{text}") } else { text.to_owned() };
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::built_in::plates;
    use crate::reconcile::{Finish, Radii, Wish, reconcile};
    use crate::trace::simulated::{RibLines, Taking, take};

    /// Sheets of ribs that came out half a millimetre aside of every built-in recipe, in every finish.
    fn sheets(step: f64) -> Vec<(String, CompassSheet)> {
        let mut sheets = Vec::new();
        for (recipe, seed) in plates().into_iter().zip(40..) {
            let edge = recipe.evaluate().unwrap().outline;
            let ribs = RibLines::inside(&edge, recipe.customary.overhang);
            let ribs = ribs.warped(|p| Vec2::new(0.5 * (p.y / 40.0).sin(), 0.0));
            let taken = take(&ribs, &Taking { named: true, ..Taking::plain(20, seed) });
            let finishes = [Finish::Fitted, Finish::Ratio, Finish::Recipe];
            for (finish, extra_arcs) in finishes.into_iter().flat_map(|f| [(f, true), (f, false)]) {
                let wish = Wish { finish, extra_arcs, radii: Radii::Shared, ..Wish::customary(&recipe) };
                let result = reconcile(&taken.trace, &recipe, &wish).unwrap();
                let wish = CompassWish { step, ..CompassWish::default() };
                sheets.push((
                    format!("{}, {finish:?}, {step} mm", recipe.title),
                    compass_sheet(&recipe, &result, &wish),
                ));
            }
        }
        sheets
    }

    #[test]
    fn one_radius_has_one_setting_on_both_sides_and_it_is_the_radius_rounded() {
        for step in [0.1, 0.5] {
            for (name, sheet) in sheets(step) {
                for strike in &sheet.strikes {
                    assert!(
                        (strike.setting - strike.exact).abs() <= step / 2.0 + SAME_RADIUS,
                        "{name}: No. {} is set to {} for {}",
                        strike.number,
                        strike.setting,
                        strike.exact
                    );
                    let across: Vec<&Strike> = sheet
                        .strikes
                        .iter()
                        .filter(|other| other.circle == strike.circle && other.run.bout == strike.run.bout)
                        .collect();
                    assert!(across.len() >= 2, "{name}: {} is on one side only", strike.circle);
                    // A part that was struck for one side's bulge is that side's own.
                    if across.iter().any(|other| other.name != other.circle) {
                        continue;
                    }
                    for other in across {
                        assert!(
                            (other.exact - strike.exact).abs() < SAME_RADIUS,
                            "{name}: {}",
                            strike.circle
                        );
                        assert_eq!(
                            other.setting, strike.setting,
                            "{name}: No. {} and No. {}",
                            strike.number, other.number
                        );
                    }
                }
            }
        }
    }

    /// On the scale of the step: a centre may be off by half of it each way, and the setting by half of it besides.
    #[test]
    fn what_rounding_does_to_the_edge_stays_within_the_steps() {
        for step in [0.1, 0.5] {
            for (name, sheet) in sheets(step) {
                let most = sheet.strikes.iter().map(|s| s.leaves).fold(0.0, f64::max);
                assert_eq!(most, sheet.effect.most, "{name}");
                assert!(most <= step * (0.5 + 0.5_f64.sqrt()) + SAME_RADIUS, "{name}: {most} mm");
            }
        }
    }
}
