//! Recipes that come with the workbench, all of our own devising.
//!
//! One construction for plate edges, thirteen arcs a side, another [by quarters](super::by_quarters), and a plainer one
//! for moulds, nine arcs a side. Violin,
//! viola and cello are the same steps worked from other measures; [viols](super::viol) go by steps of their own. The ratios were chosen so that each bout swells and
//! closes without a flat, the two flanks of a corner lean towards one another until they meet plumb over the widest
//! place, and a circle's setting can be off by a millimetre or two before any step loses its solution.

use super::{
    Action, Customary, Dimension, Instrument, Line, Measure, OutlinePlan, Placing, Purpose, Recipe, Size,
    Step, Touch, TouchFrom, Toward, by_quarters, viol,
};
use crate::json::Map;
use crate::ratio::Ratio;

/// Every built-in recipe: the plates of either construction and of viols, then the moulds.
pub fn built_in() -> Vec<Recipe> {
    let (models, viols) = ([&VIOLIN, &VIOLA, &CELLO], [&viol::BASS, &viol::TREBLE]);
    let plates =
        models.map(plate).into_iter().chain(models.map(by_quarters::plate)).chain(viols.map(viol::plate));
    plates.chain(models.map(mould)).chain(viols.map(viol::mould)).collect()
}

/// The built-in recipes for plate edges.
pub fn plates() -> Vec<Recipe> {
    built_in().into_iter().filter(|recipe| recipe.purpose == Purpose::PlateEdge).collect()
}

/// The plate edge of a violin with a body of 355 mm.
pub fn violin() -> Recipe {
    plate(&VIOLIN)
}

/// The plate edge of a viola with a body of 405 mm.
pub fn viola() -> Recipe {
    plate(&VIOLA)
}

/// The plate edge of a cello with a body of 755 mm.
pub fn cello() -> Recipe {
    plate(&CELLO)
}

/// The plate edge of a bass viol with a body of 690 mm.
pub fn bass_viol() -> Recipe {
    viol::plate(&viol::BASS)
}

/// The plate edge of a treble viol with a body of 370 mm.
pub fn treble_viol() -> Recipe {
    viol::plate(&viol::TREBLE)
}

/// The mould for the ribs of [`violin`].
pub fn violin_mould() -> Recipe {
    mould(&VIOLIN)
}

/// The mould for the ribs of [`viola`].
pub fn viola_mould() -> Recipe {
    mould(&VIOLA)
}

/// The mould for the ribs of [`cello`].
pub fn cello_mould() -> Recipe {
    mould(&CELLO)
}

/// The mould for the ribs of [`bass_viol`].
pub fn bass_viol_mould() -> Recipe {
    viol::mould(&viol::BASS)
}

/// The mould for the ribs of [`treble_viol`].
pub fn treble_viol_mould() -> Recipe {
    viol::mould(&viol::TREBLE)
}

/// The built-in plate recipe for an instrument; of the viols, the bass.
pub fn plate_for(instrument: Instrument) -> Recipe {
    Model::of(instrument).map_or_else(bass_viol, plate)
}

/// The built-in mould recipe for an instrument whose plate is so long, in mm; the length tells one viol from another.
pub fn mould_for(instrument: Instrument, body_length: f64) -> Recipe {
    Model::of(instrument).map_or_else(|| viol::mould(viol::nearest(body_length)), mould)
}

/// How thick ribs are by custom, in mm, and as a built-in mould allows for; the length is that of the plate.
pub fn rib_thickness(instrument: Instrument, body_length: f64) -> f64 {
    Model::of(instrument)
        .map_or_else(|| viol::nearest(body_length).rib_thickness, |model| model.rib_thickness)
}

/// A ratio as it is written: over, under.
pub(super) type Terms = (u16, u16);

/// What sets one size of instrument apart from another.
pub(super) struct Model {
    pub(super) instrument: Instrument,
    pub(super) name: &'static str,
    pub(super) body_length: f64,
    /// Of the body length; the first is used, the others are offered. Likewise below.
    lower_width: &'static [Terms],
    /// Of the lower width.
    upper_width: &'static [Terms],
    /// Of the upper width.
    waist_width: &'static [Terms],
    mould: MouldModel,
    rib_thickness: f64,
    pub(super) customary: Customary,
    /// Standard deviations in mm: of the body length and widths, of points, of compass settings.
    pub(super) looseness: [f64; 3],
}

/// The sizes of a mould.
pub(super) struct MouldModel {
    pub(super) body_length: f64,
    /// Of the body length.
    pub(super) lower_width: &'static [Terms],
    /// Of the body length.
    pub(super) upper_width: &'static [Terms],
    /// Of the upper width.
    pub(super) waist_width: &'static [Terms],
}

impl MouldModel {
    pub(super) fn measures(&self, looseness: f64) -> Vec<Measure> {
        vec![
            body_length(self.body_length, looseness),
            measure("W", "lower width", self.lower_width, "L", Dimension::LowerWidth, looseness),
            measure("U", "upper width", self.upper_width, "L", Dimension::UpperWidth, looseness),
            measure("C", "waist width", self.waist_width, "U", Dimension::WaistWidth, looseness),
        ]
    }
}

impl Model {
    /// `None` for viols, which go by steps of their own.
    fn of(instrument: Instrument) -> Option<&'static Model> {
        match instrument {
            Instrument::Violin => Some(&VIOLIN),
            Instrument::Viola => Some(&VIOLA),
            Instrument::Cello => Some(&CELLO),
            Instrument::Viol => None,
        }
    }
}

/// Widths: published averages of a full-size violin, body 355, upper 168, waist 112, lower 206 mm (online handbook
/// "Making the Violin", page "Measurements"); "one part less than double", 7 : 4, is common practice.
const VIOLIN: Model = Model {
    instrument: Instrument::Violin,
    name: "Violin",
    body_length: 355.0,
    lower_width: &[(4, 7), (7, 12), (11, 19), (5, 9)],
    upper_width: &[(5, 6), (9, 11), (4, 5), (14, 17)],
    waist_width: &[(2, 3), (13, 20), (9, 14), (5, 8)],
    mould: MouldModel {
        body_length: 347.8,
        lower_width: &[(9, 16), (4, 7), (5, 9)],
        upper_width: &[(7, 15), (6, 13), (8, 17)],
        waist_width: &[(13, 20), (2, 3), (9, 14)],
    },
    // From memory: violin ribs are finished at 1.0 to 1.2 mm.
    rib_thickness: 1.1,
    customary: Customary {
        // Published 2.2 mm (the same page), in practice up to 3 mm (from memory): between the two. It leaves the
        // published value just within the tolerance.
        overhang: 2.5,
        overhang_tolerance: 0.3,
        // Published 7 to 7.5 mm, the same page.
        corner_width: 7.25,
        // Published 3.5 to 3.8 mm from the edge and 1.2 mm wide, the same page: 3.5 and half of 1.2.
        purfling_distance: 4.1,
        purfling_width: 1.2,
    },
    looseness: [1.0, 2.0, 2.0],
};

/// Widths: published for a viola of medium size, body 405 to 410, upper 193, waist 131, lower 236 mm (web page
/// "The Viola", a table of viola measurements).
const VIOLA: Model = Model {
    instrument: Instrument::Viola,
    name: "Viola",
    body_length: 405.0,
    lower_width: &[(7, 12), (4, 7), (11, 19), (3, 5)],
    upper_width: &[(9, 11), (5, 6), (4, 5), (14, 17)],
    waist_width: &[(2, 3), (17, 25), (13, 20), (9, 14)],
    mould: MouldModel {
        body_length: 397.6,
        lower_width: &[(15, 26), (4, 7), (7, 12)],
        upper_width: &[(7, 15), (6, 13), (8, 17)],
        waist_width: &[(13, 20), (2, 3), (9, 14)],
    },
    // From memory: 1.1 to 1.4 mm.
    rib_thickness: 1.2,
    customary: Customary {
        // The middle of the published 2 to 3 mm, and the whole of it allowed; the same page.
        overhang: 2.5,
        overhang_tolerance: 0.5,
        // From memory: a little wider than a violin's.
        corner_width: 8.0,
        // Published 4 mm from the edge for the medium size, the same page, and half of the width.
        purfling_distance: 4.65,
        // From memory.
        purfling_width: 1.3,
    },
    looseness: [1.1, 2.1, 2.1],
};

/// Widths, all from memory: body 755, upper 340, waist 230, lower 436 mm.
const CELLO: Model = Model {
    instrument: Instrument::Cello,
    name: "Cello",
    body_length: 755.0,
    lower_width: &[(4, 7), (7, 12), (11, 19), (5, 9)],
    upper_width: &[(11, 14), (7, 9), (4, 5)],
    waist_width: &[(2, 3), (15, 22), (9, 13), (13, 20)],
    mould: MouldModel {
        body_length: 743.8,
        lower_width: &[(13, 23), (4, 7), (5, 9)],
        upper_width: &[(11, 25), (4, 9), (7, 16)],
        waist_width: &[(13, 20), (2, 3), (9, 14)],
    },
    // From memory: 1.4 to 1.8 mm.
    rib_thickness: 1.6,
    customary: Customary {
        // Common practice, from memory: 3.5 to 4.5 mm.
        overhang: 4.0,
        overhang_tolerance: 0.5,
        // These three from memory.
        corner_width: 11.5,
        purfling_distance: 5.5,
        purfling_width: 1.8,
    },
    looseness: [1.5, 2.5, 3.0],
};

fn plate(model: &Model) -> Recipe {
    let [width, place, setting] = model.looseness;
    let point = |name: &str, up, out| point(name, up, out, place);
    let circle = |name: &str, sizes: &[Terms], of: &str, placed| circle(name, sizes, of, placed, setting);
    let steps = vec![
        fixed_point("bottom", None),
        fixed_point("top", Some(part((1, 1), "L"))),
        point("widest lower", (5, 24), half_of("W")),
        circle("lower 1", &[(5, 6), (3, 4), (4, 5), (7, 8)], "W", on_centreline("bottom", Toward::Neck)),
        circle("lower 3", &[(3, 10), (3, 11), (1, 4)], "W", on_cross_line("widest lower", Toward::In)),
        circle(
            "lower 2",
            &[(4, 9), (3, 7), (2, 5), (5, 11)],
            "W",
            between(inside("lower 1"), inside("lower 3"), Toward::Bottom),
        ),
        circle("lower 4", &[(2, 7), (1, 4), (1, 3)], "W", on_cross_line("widest lower", Toward::In)),
        point("lower corner", (2, 5), half_of("W")),
        circle(
            "lower 5",
            &[(1, 6), (1, 7), (1, 5)],
            "W",
            through(outside("lower 4"), "lower corner", Toward::Bottom),
        ),
        point("widest upper", (13, 16), half_of("U")),
        circle("upper 1", &[(3, 4), (2, 3), (4, 5), (5, 6)], "U", on_centreline("top", Toward::Bottom)),
        circle("upper 3", &[(1, 3), (3, 10), (2, 7)], "U", on_cross_line("widest upper", Toward::In)),
        circle(
            "upper 2",
            &[(4, 9), (3, 7), (5, 11)],
            "U",
            between(inside("upper 1"), inside("upper 3"), Toward::Neck),
        ),
        circle("upper 4", &[(3, 8), (2, 7), (2, 5)], "U", on_cross_line("widest upper", Toward::In)),
        point("upper corner", (13, 20), half_of("U")),
        circle(
            "upper 5",
            &[(1, 6), (1, 7), (1, 5)],
            "U",
            through(outside("upper 4"), "upper corner", Toward::Neck),
        ),
        point("waist", (6, 11), half_of("C")),
        circle("waist 2", &[(4, 9), (3, 7), (1, 2), (2, 5)], "W", on_cross_line("waist", Toward::Out)),
        circle(
            "waist 1",
            &[(1, 7), (1, 8), (1, 6)],
            "W",
            through(inside("waist 2"), "lower corner", Toward::Neck),
        ),
        circle(
            "waist 3",
            &[(1, 11), (1, 10), (1, 12)],
            "W",
            through(inside("waist 2"), "upper corner", Toward::Bottom),
        ),
    ];
    Recipe {
        title: format!("{}, thirteen arcs a side", model.name),
        author: "Ribline".into(),
        note: "The corners are where the two edges would meet; their ends are cut back later. Each stands plumb over \
               the widest place of its bout."
            .into(),
        instrument: model.instrument,
        purpose: Purpose::PlateEdge,
        measures: vec![
            body_length(model.body_length, width),
            measure("W", "lower width", model.lower_width, "L", Dimension::LowerWidth, width),
            measure("U", "upper width", model.upper_width, "W", Dimension::UpperWidth, width),
            measure("C", "waist width", model.waist_width, "U", Dimension::WaistWidth, width),
        ],
        steps,
        plan: plan(5, 3, 5),
        customary: model.customary,
        unknown: Map::new(),
    }
}

/// The plate's edge less the overhang and the ribs, with one arc where the plate has two: it follows the plate's
/// parallel to about 1.5 mm on a violin, which is what ribs depart from their mould by anyway.
fn mould(model: &Model) -> Recipe {
    let [width, place, setting] = model.looseness;
    let point = |name: &str, up, out| point(name, up, out, place);
    let circle = |name: &str, sizes: &[Terms], of: &str, placed| circle(name, sizes, of, placed, setting);
    let steps = vec![
        fixed_point("bottom", None),
        fixed_point("top", Some(part((1, 1), "L"))),
        point("widest lower", (1, 5), half_of("W")),
        circle("lower 1", &[(5, 7), (2, 3), (3, 4)], "W", on_centreline("bottom", Toward::Neck)),
        circle(
            "lower 2",
            &[(3, 10), (5, 17)],
            "W",
            through(inside("lower 1"), "widest lower", Toward::Bottom),
        ),
        point("lower corner", (8, 21), part((7, 15), "W")),
        circle(
            "lower 3",
            &[(1, 5), (1, 6), (2, 9)],
            "W",
            through(outside("lower 2"), "lower corner", Toward::Bottom),
        ),
        point("widest upper", (9, 11), half_of("U")),
        circle("upper 1", &[(3, 4), (2, 3), (4, 5)], "U", on_centreline("top", Toward::Bottom)),
        circle("upper 2", &[(5, 13), (3, 8)], "U", through(inside("upper 1"), "widest upper", Toward::Neck)),
        point("upper corner", (2, 3), part((7, 15), "U")),
        circle(
            "upper 3",
            &[(1, 5), (1, 6), (2, 9)],
            "U",
            through(outside("upper 2"), "upper corner", Toward::Neck),
        ),
        point("waist", (6, 11), half_of("C")),
        circle("waist 2", &[(4, 9), (3, 7), (1, 2)], "W", on_cross_line("waist", Toward::Out)),
        circle(
            "waist 1",
            &[(1, 6), (1, 7), (2, 11)],
            "W",
            through(inside("waist 2"), "lower corner", Toward::Neck),
        ),
        circle(
            "waist 3",
            &[(1, 8), (1, 9), (1, 7)],
            "W",
            through(inside("waist 2"), "upper corner", Toward::Bottom),
        ),
    ];
    Recipe {
        title: format!("{} mould, nine arcs a side", model.name),
        author: "Ribline".into(),
        note: format!(
            "Inside the plate's edge by {} mm of overhang and {} mm of rib.",
            model.customary.overhang, model.rib_thickness
        ),
        instrument: model.instrument,
        purpose: Purpose::Mould,
        measures: model.mould.measures(width),
        steps,
        plan: plan(3, 3, 3),
        customary: model.customary,
        unknown: Map::new(),
    }
}

/// The outline of so many circles in each run, named and numbered from the end of the run that is drawn first.
pub(super) fn plan(lower: usize, waist: usize, upper: usize) -> OutlinePlan {
    let numbered = |run: &str, count: usize| (1..=count).map(|k| format!("{run} {k}")).collect();
    OutlinePlan {
        lower: numbered("lower", lower),
        waist: numbered("waist", waist),
        upper: numbered("upper", upper),
        lower_corner: "lower corner".into(),
        upper_corner: "upper corner".into(),
    }
}

/// Terms are written out in this file and within the bounds of a ratio; a test holds that.
fn ratio((over, under): Terms) -> Ratio {
    Ratio::new(over, under).unwrap_or(Ratio::ONE)
}

pub(super) fn part(terms: Terms, of: &str) -> Size {
    Size::Ratio { ratio: ratio(terms), of: of.to_owned() }
}

pub(super) fn half_of(width: &str) -> Size {
    part((1, 2), width)
}

/// The ratio that is used, and the others.
fn chosen(sizes: &[Terms]) -> (Terms, Vec<Ratio>) {
    match sizes {
        [used, others @ ..] => (*used, others.iter().map(|terms| ratio(*terms)).collect()),
        [] => ((1, 1), Vec::new()),
    }
}

pub(super) fn body_length(mm: f64, looseness: f64) -> Measure {
    Measure {
        name: "L".into(),
        title: "body length".into(),
        size: Size::Mm(mm),
        choices: Vec::new(),
        looseness,
        dimension: Some(Dimension::BodyLength),
        unknown: Map::new(),
    }
}

pub(super) fn measure(
    name: &str,
    title: &str,
    sizes: &[Terms],
    of: &str,
    dimension: Dimension,
    looseness: f64,
) -> Measure {
    let (used, choices) = chosen(sizes);
    let (name, title) = (name.to_owned(), title.to_owned());
    let (size, dimension) = (part(used, of), Some(dimension));
    Measure { name, title, size, choices, looseness, dimension, unknown: Map::new() }
}

/// An end of the centreline: what is loose about it is the body length.
pub(super) fn fixed_point(name: &str, up: Option<Size>) -> Step {
    let action = Action::Point { up, out: None };
    Step { name: name.into(), action, choices: Vec::new(), looseness: 0.0, unknown: Map::new() }
}

pub(super) fn point(name: &str, up: Terms, out: Size, looseness: f64) -> Step {
    let action = Action::Point { up: Some(part(up, "L")), out: Some(out) };
    Step { name: name.into(), action, choices: Vec::new(), looseness, unknown: Map::new() }
}

pub(super) fn circle(name: &str, sizes: &[Terms], of: &str, placed: Placing, looseness: f64) -> Step {
    let (used, choices) = chosen(sizes);
    let action = Action::Circle { radius: part(used, of), placed };
    Step { name: name.into(), action, choices, looseness, unknown: Map::new() }
}

pub(super) fn on_centreline(point: &str, lies: Toward) -> Placing {
    Placing::Through { point: point.into(), centre_on: Line::Centreline, lies }
}

pub(super) fn on_cross_line(point: &str, lies: Toward) -> Placing {
    Placing::Through { point: point.into(), centre_on: Line::CrossAt { point: point.into() }, lies }
}

pub(super) fn between(one: Touch, other: Touch, lies: Toward) -> Placing {
    Placing::TouchingTwo { one, other, lies }
}

pub(super) fn through(one: Touch, point: &str, lies: Toward) -> Placing {
    Placing::TouchingThrough { one, point: point.into(), lies }
}

pub(super) fn inside(circle: &str) -> Touch {
    Touch { circle: circle.into(), from: TouchFrom::Inside }
}

pub(super) fn outside(circle: &str) -> Touch {
    Touch { circle: circle.into(), from: TouchFrom::Outside }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::Run;

    #[test]
    fn no_built_in_recipe_has_a_fault() {
        for recipe in built_in() {
            assert_eq!(recipe.faults(), [], "{}", recipe.title);
        }
    }

    /// Published averages, within 3 %. Violin: online handbook "Making the Violin", page "Measurements". Viola: a
    /// published table of viola measurements, web page "The Viola", medium size. Cello: from memory.
    #[test]
    fn widths_are_within_three_hundredths_of_the_published_averages() {
        use Dimension::*;
        for (recipe, body, upper, waist, lower) in [
            (violin(), 355.0, 168.0, 112.0, 206.0),
            (viola(), 405.0, 193.0, 131.0, 236.0),
            (cello(), 755.0, 340.0, 230.0, 436.0),
            // From memory, as the recipes themselves.
            (bass_viol(), 690.0, 310.0, 225.0, 380.0),
            (treble_viol(), 370.0, 175.0, 130.0, 215.0),
        ] {
            let drawn = recipe.evaluate().unwrap();
            for (dimension, published) in
                [(BodyLength, body), (UpperWidth, upper), (WaistWidth, waist), (LowerWidth, lower)]
            {
                let off = drawn.dimension(dimension) / published - 1.0;
                assert!(off.abs() < 0.03, "{} {dimension:?} is off by {:.1} %", recipe.title, 100.0 * off);
            }
        }
    }

    /// "One part less than double", 7 : 4: common practice, a rule of thumb good to about 3 %.
    #[test]
    fn body_length_to_lower_width_is_about_seven_to_four() {
        for recipe in [violin(), viola(), cello()] {
            let drawn = recipe.evaluate().unwrap();
            let ratio = drawn.dimension(Dimension::BodyLength) / drawn.dimension(Dimension::LowerWidth);
            assert!((ratio / (7.0 / 4.0) - 1.0).abs() < 0.03, "{}: {ratio}", recipe.title);
        }
    }

    #[test]
    fn violin_viola_and_cello_are_worked_by_the_same_steps() {
        let worked = |recipe: Recipe| {
            let actions: Vec<_> = recipe.steps.into_iter().map(|step| (step.name, step.action)).collect();
            (actions, recipe.plan)
        };
        assert_eq!(worked(violin()), worked(viola()));
        assert_eq!(worked(violin()), worked(cello()));
        assert_eq!(worked(violin_mould()), worked(viola_mould()));
        assert_eq!(worked(violin_mould()), worked(cello_mould()));
    }

    #[test]
    fn the_viols_are_worked_by_the_same_steps_as_one_another_and_by_others_than_the_violin() {
        let worked = |recipe: Recipe| {
            let actions: Vec<_> = recipe.steps.into_iter().map(|step| (step.name, step.action)).collect();
            (actions, recipe.plan)
        };
        assert_eq!(worked(bass_viol()), worked(treble_viol()));
        assert_eq!(worked(bass_viol_mould()), worked(treble_viol_mould()));
        assert_ne!(worked(bass_viol()), worked(violin()));
    }

    #[test]
    fn a_mould_lies_inside_its_plate_by_overhang_and_rib() {
        for plate in [violin(), viola(), cello(), bass_viol(), treble_viol()] {
            let instrument = plate.instrument;
            let length = plate.lengths().unwrap()[0];
            let mould = mould_for(instrument, length);
            let wanted = plate.customary.overhang + rib_thickness(instrument, length);
            let (plate, mould) = (plate.evaluate().unwrap(), mould.evaluate().unwrap());
            let shorter = plate.lengths[0] - mould.lengths[0];
            assert!((shorter - 2.0 * wanted).abs() < 1e-9);
            let most = 1.8 * plate.lengths[0] / VIOLIN.body_length;
            for run in Run::ALL {
                for (point, _) in mould.outline.run(run).sampled(2.0) {
                    let raised = point + kurbo::Vec2::new(0.0, wanted);
                    let found = plate.outline.run(run).nearest(raised).unwrap().offset;
                    assert!((found - wanted).abs() < most, "{instrument:?} {run} at {point}: {found:.2}");
                }
            }
        }
    }

    #[test]
    fn every_ratio_that_is_offered_can_be_worked() {
        for recipe in built_in() {
            let measures = recipe.measures.iter().map(|m| (&m.name, &m.choices));
            let steps = recipe.steps.iter().map(|s| (&s.name, &s.choices));
            for (name, choices) in measures.chain(steps) {
                for choice in choices {
                    let other = recipe.chosen(name, *choice).unwrap();
                    assert_ne!(other, recipe);
                    assert_eq!(other.faults(), [], "{} with {name} at {choice}", recipe.title);
                    // What a ratio falls back to if its terms were written wrong here.
                    assert_ne!(*choice, Ratio::ONE);
                }
            }
        }
    }

    /// The headings in which the two flanks of the lower and the upper corner run out into it.
    fn flanks(recipe: &Recipe) -> [(f64, f64); 2] {
        let drawn = recipe.evaluate().unwrap();
        let [lower, waist, upper, ..] = &drawn.outline.runs;
        let half_turn = std::f64::consts::PI;
        [(lower.end_heading(), waist.heading + half_turn), (upper.heading + half_turn, waist.end_heading())]
    }

    /// What a recipe is for: its upper bout lighter than its lower, corners that point outwards and towards each other.
    /// Those of viols point less far out.
    #[test]
    fn corners_point_outwards_and_towards_each_other() {
        for recipe in built_in() {
            let drawn = recipe.evaluate().unwrap();
            assert!(drawn.dimension(Dimension::UpperWidth) < drawn.dimension(Dimension::LowerWidth));
            let least = if recipe.instrument == Instrument::Viol { 0.5 } else { 0.7 };
            let [lower, upper] = flanks(&recipe).map(|(outer, waist)| {
                (crate::arc::direction(outer) + crate::arc::direction(waist)).normalize()
            });
            for (x, y) in [(lower.x, lower.y), (upper.x, -upper.y)] {
                assert!(x > least && y > 0.2, "{}: {x:.2}, {y:.2}", recipe.title);
            }
        }
    }

    /// Common practice, from memory: a viol's flanks meet at a right angle or more, a violin's at a good deal less.
    #[test]
    fn corners_of_viols_are_blunt_and_those_of_violins_sharp() {
        for recipe in plates() {
            for (outer, waist) in flanks(&recipe) {
                let angle = crate::arc::wrap_angle(outer - waist).abs().to_degrees();
                let wanted = if recipe.instrument == Instrument::Viol { 88.0..125.0 } else { 15.0..70.0 };
                assert!(wanted.contains(&angle), "{}: {angle:.0} degrees", recipe.title);
            }
        }
    }

    /// From the neck's root down, a viol's shoulder slopes: at half of the way to the widest place it is still well within it,
    /// where a violin's is nearly as wide already.
    #[test]
    fn shoulders_of_viols_slope() {
        for recipe in plates() {
            let drawn = recipe.evaluate().unwrap();
            let upper = drawn
                .outline
                .run(Run { bout: crate::outline::Bout::Upper, side: crate::outline::Side::Right });
            let points = upper.sampled(0.5);
            let widest = drawn.point("widest upper").unwrap().at;
            let halfway = 0.5 * (widest.y + drawn.lengths[0]);
            let at = points
                .iter()
                .map(|(p, _)| *p)
                .min_by(|a, b| (a.y - halfway).abs().total_cmp(&(b.y - halfway).abs()));
            let part = at.unwrap().x / widest.x;
            let wanted = if recipe.instrument == Instrument::Viol { 0.6..0.8 } else { 0.84..0.95 };
            assert!(wanted.contains(&part), "{}: {part:.2}", recipe.title);
        }
    }
}
