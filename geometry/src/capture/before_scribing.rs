//! Before scribing: the ribs stand on the board, pinned at the end blocks, and still give a little. From a few measurements the
//! proportions as they stand, beside those the recipe allows; how far each bout would be eased for each; and the turn that brings
//! the neck end to the centreline.

use crate::arc::{Chain, direction};
use crate::order::sort_by_value;
use crate::outline::{Bout, Run, Side};
use crate::ratio::Ratio;
use crate::recipe::{Dimension, Recipe, RecipeError, Size};
use crate::reconcile::Overhang;
use crate::reconcile::report::side_word;
use std::f64::consts::{PI, TAU};

/// A half-width of a bout on either side of the centreline, to the outside of the ribs, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Halves {
    pub left: f64,
    pub right: f64,
}

impl Halves {
    pub fn on(&self, side: Side) -> f64 {
        match side {
            Side::Left => self.left,
            Side::Right => self.right,
        }
    }

    pub fn whole(&self) -> f64 {
        self.left + self.right
    }
}

/// What was measured on the board, over the outside of the ribs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// From the ribs' outside at the bottom block to that at the top block, mm.
    pub length: f64,
    /// Widest of the lower bout, narrowest of the waist, widest of the upper bout.
    pub lower: Halves,
    pub waist: Halves,
    pub upper: Halves,
    /// How far the neck end's middle is off the centreline, mm; positive to the right as drawn.
    pub neck_off: f64,
}

impl Measured {
    pub fn bout(&self, bout: Bout) -> Halves {
        match bout {
            Bout::Lower => self.lower,
            Bout::Waist => self.waist,
            Bout::Upper => self.upper,
        }
    }
}

/// A ratio chosen for one of the recipe's widths.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    pub bout: Bout,
    /// The measure's title in the recipe, such as "upper width".
    pub title: String,
    pub ratio: Ratio,
    /// What it is a ratio of: a measure's short name.
    pub of: String,
    /// Whether it is the one the recipe has, rather than one of those it allows.
    pub planned: bool,
    /// The plate's width by it, mm.
    pub width: f64,
}

/// One combination of the ratios that the recipe allows, and what it asks of the ribs.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// In the order of [`Bout::ALL`].
    pub chosen: [Chosen; 3],
    /// By how much each bout is to be eased outwards, left and right, mm; negative inwards. In the order of [`Bout::ALL`].
    pub ease: [[f64; 2]; 3],
    /// The easing of all six together, mm.
    pub total: f64,
    /// The greatest of the six, mm.
    pub most: f64,
}

impl Proposal {
    /// The easing of all six together as they are shown, each to the tenth: what a reader who adds them up finds.
    pub fn total_to_the_tenth(&self) -> f64 {
        self.ease.iter().flatten().map(|mm| tenth(mm.abs())).sum()
    }

    /// Where more is asked than the ribs give without strain, mm a side: to the tenth, which is what is shown and can be measured.
    pub fn strained(&self, gives: f64) -> Vec<Run> {
        let runs = Bout::ALL.into_iter().flat_map(|bout| Side::BOTH.map(|side| Run { bout, side }));
        runs.filter(|run| tenth(self.ease[run.bout as usize][run.side as usize].abs()) > gives).collect()
    }
}

fn tenth(mm: f64) -> f64 {
    (mm * 10.0).round() / 10.0
}

/// A width as it stands beside what it is a ratio of.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    pub bout: Bout,
    pub title: String,
    pub of: String,
    /// Width of the plate that these ribs would get, mm, and that over the length of `of` as it stands.
    pub width: f64,
    pub quotient: f64,
    /// What the recipe has there.
    pub planned: Ratio,
}

/// What follows from the measurements.
#[derive(Debug, Clone, PartialEq)]
pub struct BeforeScribing {
    /// Length of the plate on these ribs, mm.
    pub body_length: f64,
    /// How far the ribs are to be turned about the lower pin, radians; positive counter-clockwise as drawn, neck end to the left.
    pub turn: f64,
    /// The half-widths as they will be once turned, in the order of [`Bout::ALL`].
    pub turned: [Halves; 3],
    pub standing: Vec<Standing>,
    /// Least easing first.
    pub proposals: Vec<Proposal>,
}

/// Why nothing follows from the measurements; worded for a person.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BeforeScribingError {
    #[error("The {0} must be from {1} to {2} mm; it is {3} mm. Check the measurement.")]
    Size(&'static str, f64, f64, f64),
    #[error(
        "The {what} is {left} mm on the left and {right} mm on the right of the centreline. Ribs are not that uneven: check both."
    )]
    Uneven { what: &'static str, left: f64, right: f64 },
    #[error("On the {} the waist, {waist} mm, is wider than the {what}, {mm} mm. Check both.", side_word(*side))]
    NotNarrowest { side: Side, waist: f64, what: &'static str, mm: f64 },
    #[error("The recipe has no measure for the {0}. Choose a recipe whose three widths are ratios.")]
    NoMeasure(&'static str),
    #[error(transparent)]
    Recipe(#[from] RecipeError),
}

/// What a violin's ribs give without strain on either side, mm; in proportion for other sizes. Common practice.
pub const GIVES: f64 = 1.0;
/// The body length for which that holds, mm.
const VIOLIN: f64 = 355.0;
/// Lengths and half-widths that are taken for meant, mm.
const LENGTH: (f64, f64) = (100.0, 1500.0);
const HALF: (f64, f64) = (15.0, 500.0);
/// Halves that differ by more of the whole width are no halves of one bout.
const UNEVEN: f64 = 0.15;
/// Most of the combinations that are kept.
const MOST_PROPOSALS: usize = 60;

/// What ribs for a body of this length give without strain on either side, mm.
pub fn gives(body_length: f64) -> f64 {
    (GIVES * body_length / VIOLIN * 10.0).round() / 10.0
}

/// Reads the proportions off a few measurements, and finds what would bring them to each that the recipe allows.
///
/// # Errors
/// Measurements that no body has, or a recipe whose widths are no measures.
pub fn before_scribing(
    measured: &Measured,
    recipe: &Recipe,
    overhang: Overhang,
) -> Result<BeforeScribing, BeforeScribingError> {
    check(measured)?;
    let drawn = recipe.evaluate()?;
    // Heights of the three widths as shares of the length, as the recipe has them.
    let bounds = drawn.outline.bounds();
    let share = Bout::ALL.map(|bout| {
        let height = height_of_width(drawn.outline.run(Run { bout, side: Side::Right }), bout);
        height.map_or(0.5, |y| (y - bounds.y0) / bounds.height())
    });
    let turn = (measured.neck_off / measured.length).atan();
    let turned = Bout::ALL.map(|bout| {
        let shift = measured.neck_off * share[bout as usize];
        let halves = measured.bout(bout);
        Halves { left: halves.left + shift, right: halves.right - shift }
    });

    let body_length = measured.length + overhang.lower + overhang.upper;
    let plate_width = |bout: Bout| turned[bout as usize].whole() + 2.0 * overhang.at(bout);
    let places = widths(recipe)?;
    let mut found = vec![None; recipe.measures.len()];
    if let Some(first) = found.first_mut() {
        *first = Some(body_length);
    }
    for (bout, place) in Bout::ALL.into_iter().zip(places) {
        found[place] = Some(plate_width(bout));
    }
    // What is no dimension of the body stands where the recipe puts it.
    let found = lengths(recipe, body_length, &[], &found);
    let standing = Bout::ALL
        .into_iter()
        .zip(places)
        .filter_map(|(bout, place)| {
            let (planned, of) = ratio_of(recipe, place)?;
            let whole = found.get(index(recipe, of)?).copied()?;
            let width = plate_width(bout);
            let title = recipe.measures[place].title.clone();
            Some(Standing { bout, title, of: of.to_owned(), width, quotient: width / whole, planned })
        })
        .collect();
    let proposals = proposals(recipe, body_length, places, &turned, overhang);
    Ok(BeforeScribing { body_length, turn, turned, standing, proposals })
}

/// Where a run goes straight up: at a bout's widest, or the waist's narrowest. Its ends may stand out further.
fn height_of_width(run: &Chain, bout: Bout) -> Option<f64> {
    let (seen, sign) = if bout == Bout::Waist { (PI, -1.0) } else { (0.0, 1.0) };
    run.arcs()
        .into_iter()
        .filter(|arc| {
            let past = if arc.sweep < 0.0 { arc.start - seen } else { seen - arc.start };
            past.rem_euclid(TAU) <= arc.sweep.abs()
        })
        .map(|arc| arc.centre + arc.radius * direction(seen))
        .max_by(|a, b| (sign * a.x).total_cmp(&(sign * b.x)))
        .map(|p| p.y)
}

fn check(measured: &Measured) -> Result<(), BeforeScribingError> {
    let within = |what, (low, high): (f64, f64), mm: f64| {
        if (low..=high).contains(&mm) { Ok(()) } else { Err(BeforeScribingError::Size(what, low, high, mm)) }
    };
    within("length between the end blocks", LENGTH, measured.length)?;
    for (what, halves) in [
        ("half-width of the lower bout", measured.lower),
        ("half-width of the waist", measured.waist),
        ("half-width of the upper bout", measured.upper),
    ] {
        let Halves { left, right } = halves;
        within(what, HALF, left)?;
        within(what, HALF, right)?;
        if (left - right).abs() > UNEVEN * halves.whole() {
            return Err(BeforeScribingError::Uneven { what, left, right });
        }
    }
    for side in Side::BOTH {
        let waist = measured.waist.on(side);
        for (what, halves) in [("lower bout", measured.lower), ("upper bout", measured.upper)] {
            let mm = halves.on(side);
            if waist >= mm {
                return Err(BeforeScribingError::NotNarrowest { side, waist, what, mm });
            }
        }
    }
    within("neck end's distance off the centreline", (-60.0, 60.0), measured.neck_off)
}

/// Where the three widths stand among the recipe's measures, in the order of [`Bout::ALL`].
fn widths(recipe: &Recipe) -> Result<[usize; 3], BeforeScribingError> {
    let place = |dimension, what| {
        let measures = &recipe.measures;
        measures
            .iter()
            .position(|m| m.dimension == Some(dimension))
            .filter(|k| *k > 0 && ratio_of(recipe, *k).is_some())
            .ok_or(BeforeScribingError::NoMeasure(what))
    };
    Ok([
        place(Dimension::LowerWidth, "lower width")?,
        place(Dimension::WaistWidth, "waist width")?,
        place(Dimension::UpperWidth, "upper width")?,
    ])
}

fn ratio_of(recipe: &Recipe, measure: usize) -> Option<(Ratio, &str)> {
    match &recipe.measures.get(measure)?.size {
        Size::Ratio { ratio, of } => Some((*ratio, of)),
        Size::Mm(_) => None,
    }
}

fn index(recipe: &Recipe, name: &str) -> Option<usize> {
    recipe.measures.iter().position(|m| m.name == name)
}

/// The measures' lengths for a body of this length, some with other ratios, some as they were found.
fn lengths(recipe: &Recipe, body: f64, other: &[(usize, Ratio)], found: &[Option<f64>]) -> Vec<f64> {
    let mut lengths: Vec<Option<f64>> = Vec::with_capacity(recipe.measures.len());
    for (k, measure) in recipe.measures.iter().enumerate() {
        let chosen = other.iter().find(|(place, _)| *place == k).map(|(_, ratio)| *ratio);
        let size = match (&measure.size, chosen) {
            (Size::Ratio { of, .. }, Some(ratio)) => Size::Ratio { ratio, of: of.clone() },
            (size, _) => size.clone(),
        };
        let length = match (k, found.get(k).copied().flatten()) {
            (0, _) => Some(body),
            (_, Some(found)) => Some(found),
            _ => size.mm(recipe, &lengths),
        };
        lengths.push(length);
    }
    lengths.into_iter().map(|l| l.unwrap_or(0.0)).collect()
}

fn proposals(
    recipe: &Recipe,
    body: f64,
    places: [usize; 3],
    turned: &[Halves; 3],
    overhang: Overhang,
) -> Vec<Proposal> {
    let allowed = places.map(|place| {
        let mut ratios: Vec<Ratio> = ratio_of(recipe, place).map(|(ratio, _)| ratio).into_iter().collect();
        for choice in recipe.measures[place].choices.iter().take(12) {
            if !ratios.contains(choice) {
                ratios.push(*choice);
            }
        }
        ratios
    });
    let mut proposals = Vec::new();
    for a in &allowed[0] {
        for b in &allowed[1] {
            for c in &allowed[2] {
                let ratios = [*a, *b, *c];
                let other: Vec<(usize, Ratio)> = places.into_iter().zip(ratios).collect();
                let lengths = lengths(recipe, body, &other, &[]);
                let mut ease = [[0.0; 2]; 3];
                for bout in Bout::ALL {
                    let half = lengths[places[bout as usize]] / 2.0 - overhang.at(bout);
                    let now = turned[bout as usize];
                    ease[bout as usize] = Side::BOTH.map(|side| half - now.on(side));
                }
                let all = || ease.iter().flatten().map(|mm| mm.abs());
                let chosen = Bout::ALL.map(|bout| {
                    let place = places[bout as usize];
                    let (planned, of) = ratio_of(recipe, place).unwrap_or((Ratio::ONE, ""));
                    Chosen {
                        bout,
                        title: recipe.measures[place].title.clone(),
                        ratio: ratios[bout as usize],
                        of: of.to_owned(),
                        planned: ratios[bout as usize] == planned,
                        width: lengths[place],
                    }
                });
                let (total, most) = (all().sum(), all().fold(0.0, f64::max));
                proposals.push(Proposal { chosen, ease, total, most });
            }
        }
    }
    sort_by_value(&mut proposals, |p| p.total);
    // The recipe's own is always among them.
    let own = proposals.iter().position(|p| p.chosen.iter().all(|c| c.planned));
    if let Some(own) = own.filter(|own| *own >= MOST_PROPOSALS) {
        proposals.swap(MOST_PROPOSALS - 1, own);
    }
    proposals.truncate(MOST_PROPOSALS);
    proposals
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::violin;
    use proptest::prelude::*;

    const OVERHANG: f64 = 2.5;

    /// Ribs exactly as the recipe wants them, by these ratios.
    fn ribs(body: f64, ratios: &[(usize, Ratio)]) -> Measured {
        let recipe = violin();
        let lengths = lengths(&recipe, body, ratios, &[]);
        let [lower, waist, upper] = widths(&recipe).unwrap().map(|place| {
            let half = lengths[place] / 2.0 - OVERHANG;
            Halves { left: half, right: half }
        });
        Measured { length: body - 2.0 * OVERHANG, lower, waist, upper, neck_off: 0.0 }
    }

    fn seen(measured: &Measured) -> BeforeScribing {
        before_scribing(measured, &violin(), Overhang::even(OVERHANG)).unwrap()
    }

    #[test]
    fn ribs_that_are_as_the_recipe_says_need_no_easing() {
        let found = seen(&ribs(356.0, &[]));
        assert!((found.body_length - 356.0).abs() < 1e-9);
        let best = &found.proposals[0];
        assert!(best.total < 1e-9 && best.chosen.iter().all(|c| c.planned) && best.strained(1.0).is_empty());
        for standing in &found.standing {
            assert!((standing.quotient - standing.planned.value()).abs() < 1e-9, "{standing:?}");
        }
    }

    #[test]
    fn of_the_ratios_the_recipe_allows_the_one_that_the_ribs_have_needs_least() {
        let recipe = violin();
        let places = widths(&recipe).unwrap();
        for (bout, place) in Bout::ALL.into_iter().zip(places) {
            for other in recipe.measures[place].choices.clone() {
                let found = seen(&ribs(352.0, &[(place, other)]));
                let best = &found.proposals[0];
                assert!(best.total < 1e-9, "{bout:?} {other}");
                assert_eq!(best.chosen[bout as usize].ratio, other);
            }
        }
    }

    #[test]
    fn a_bout_that_stands_out_is_to_be_eased_in_and_told_where_that_strains() {
        let mut measured = ribs(355.0, &[]);
        measured.upper.left += 1.6;
        measured.waist.right -= 0.4;
        let found = seen(&measured);
        let own = found.proposals.iter().find(|p| p.chosen.iter().all(|c| c.planned)).unwrap();
        assert!((own.ease[Bout::Upper as usize][Side::Left as usize] + 1.6).abs() < 1e-9);
        assert!((own.ease[Bout::Waist as usize][Side::Right as usize] - 0.4).abs() < 1e-9);
        assert!((own.total - 2.0).abs() < 1e-9 && (own.most - 1.6).abs() < 1e-9);
        let upper = [Run { bout: Bout::Upper, side: Side::Left }];
        let ease = [[0.04, -0.04], [0.04, 0.0], [1.24, -0.36]];
        let added = Proposal { ease, ..own.clone() }.total_to_the_tenth();
        assert!((added - 1.6).abs() < 1e-9, "{added}");
        assert_eq!(own.strained(1.0), upper);
        // What is shown as just so much is not more.
        assert_eq!(own.strained(1.6), []);
        assert_eq!(own.strained(1.59), upper);
        assert_eq!(gives(710.0), 2.0);
    }

    /// Ribs turned about the lower pin by a known angle: the turn back is found, and the halves even out.
    #[test]
    fn a_neck_off_the_centreline_is_turned_back_about_the_lower_pin() {
        let mut measured = ribs(355.0, &[]);
        measured.neck_off = 3.0;
        for (halves, share) in
            [(&mut measured.lower, 0.2), (&mut measured.waist, 0.533), (&mut measured.upper, 0.8)]
        {
            halves.left -= 3.0 * share;
            halves.right += 3.0 * share;
        }
        let found = seen(&measured);
        assert!((found.turn - (3.0f64 / 350.0).atan()).abs() < 1e-9);
        for halves in found.turned {
            assert!((halves.left - halves.right).abs() < 0.15, "{halves:?}");
        }
        assert!(found.proposals[0].total < 0.4);
    }

    #[test]
    fn halves_that_no_ribs_have_are_refused_by_name() {
        let halves = |left, right| Halves { left, right };
        let right = Measured {
            length: 350.0,
            lower: halves(100.0, 101.0),
            waist: halves(53.0, 52.5),
            upper: halves(81.0, 81.5),
            neck_off: 0.0,
        };
        let refused = |measured| {
            before_scribing(&measured, &violin(), Overhang::even(OVERHANG)).map(|_| ()).unwrap_err()
        };
        let uneven = refused(Measured { upper: halves(200.0, 82.0), ..right });
        assert!(uneven.to_string().contains("upper bout is 200 mm on the left and 82 mm"), "{uneven}");
        let wide = refused(Measured { waist: halves(99.0, 103.0), ..right });
        assert!(
            wide.to_string().contains("On the left the waist, 99 mm, is wider than the upper bout"),
            "{wide}"
        );
        assert!(before_scribing(&right, &violin(), Overhang::even(OVERHANG)).is_ok());
    }

    proptest! {
        #[test]
        fn no_measurements_upset_it(values in prop::array::uniform8(prop_oneof![any::<f64>(), 10.0..600.0f64])) {
            let [length, a, b, c, d, e, f, neck_off] = values;
            let halves = |left, right| Halves { left, right };
            let measured = Measured { length, lower: halves(a, b), waist: halves(c, d), upper: halves(e, f), neck_off };
            match before_scribing(&measured, &violin(), Overhang::even(OVERHANG)) {
                Ok(found) => prop_assert!(found.proposals.iter().all(|p| p.total.is_finite())),
                Err(error) => prop_assert!(error.to_string().ends_with('.')),
            }
        }
    }
}
