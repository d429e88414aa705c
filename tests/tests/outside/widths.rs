//! Sizes of instruments, measured on the drawn outline.

use ribline_geometry::outline::{Bout, Outline, Run, Side};
use ribline_geometry::recipe::{Recipe, Size, built_in, family};

/// Body length, upper width, waist width, lower width: on the outline, by points a twentieth of a mm apart.
fn measured(outline: &Outline) -> [f64; 4] {
    let out = |bout: Bout| {
        let run = Run { bout, side: Side::Right };
        outline.run(run).sampled(0.05).into_iter().map(|(p, _)| 2.0 * p.x).collect::<Vec<_>>()
    };
    let widest = |bout| out(bout).into_iter().fold(0.0, f64::max);
    let heights: Vec<f64> =
        Run::ALL.iter().flat_map(|run| outline.run(*run).sampled(0.05)).map(|(p, _)| p.y).collect();
    let length = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max)
        - heights.iter().copied().fold(f64::INFINITY, f64::min);
    [
        length,
        widest(Bout::Upper),
        out(Bout::Waist).into_iter().fold(f64::INFINITY, f64::min),
        widest(Bout::Lower),
    ]
}

fn at_body_length(recipe: &Recipe, mm: f64) -> Recipe {
    let mut recipe = recipe.clone();
    recipe.measures[0].size = Size::Mm(mm);
    recipe
}

fn holds(recipe: &Recipe, published: [f64; 4], within: f64) {
    let drawn = recipe.evaluate().expect("a built-in recipe at another body length");
    for ((found, wanted), what) in
        measured(&drawn.outline).into_iter().zip(published).zip(["body length", "upper", "waist", "lower"])
    {
        let off = found / wanted - 1.0;
        assert!(
            off.abs() <= within,
            "{} at {} mm: {what} {found:.1} mm, published {wanted} mm, {:.1} % off",
            recipe.title,
            published[0],
            100.0 * off
        );
    }
}

/// Online handbook "Making the Violin", page "Measurements": averages of the full size, and of three smaller ones.
#[test]
fn violin_widths_are_the_published_ones_at_every_size() {
    let violin = built_in::violin();
    holds(&violin, [355.0, 168.0, 112.0, 206.0], 0.03);
    holds(&at_body_length(&violin, 335.0), [335.0, 156.0, 105.0, 195.0], 0.03);
    holds(&at_body_length(&violin, 285.0), [285.0, 133.0, 91.0, 163.0], 0.03);
    // The published half size is slimmer above and in the waist than the sizes on either side of it: 5.1 and 4.7 % less
    // than the full size's proportions. One of the ratios that the recipe offers for the upper width meets it.
    let half = at_body_length(&violin, 320.0);
    holds(&half, [320.0, 145.0, 97.0, 182.0], 0.055);
    let slimmer = half.chosen("U", "4/5".parse().expect("a ratio")).expect("an offered ratio");
    holds(&slimmer, [320.0, 145.0, 97.0, 182.0], 0.01);
}

/// The same sizes as they are offered for one touch: each within 3 %.
#[test]
fn the_violins_sizes_that_are_offered_have_the_published_widths() {
    let violin = built_in::violin();
    let published = [
        [355.0, 168.0, 112.0, 206.0],
        [335.0, 156.0, 105.0, 195.0],
        [320.0, 145.0, 97.0, 182.0],
        [285.0, 133.0, 91.0, 163.0],
    ];
    let offered = family::sizes(&violin);
    assert_eq!(offered.len(), published.len());
    for (size, published) in offered.iter().zip(published) {
        holds(&size.of(&violin), published, 0.03);
    }
}

/// A published table of viola measurements (web page "The Viola"): small, medium, large.
#[test]
fn viola_widths_are_the_published_ones_at_every_size() {
    let viola = built_in::viola();
    holds(&at_body_length(&viola, 390.0), [390.0, 188.0, 127.0, 228.0], 0.03);
    holds(&at_body_length(&viola, 405.0), [405.0, 193.0, 131.0, 236.0], 0.03);
    holds(&at_body_length(&viola, 410.0), [410.0, 193.0, 131.0, 236.0], 0.03);
    holds(&at_body_length(&viola, 430.0), [430.0, 200.0, 140.0, 250.0], 0.03);
}

/// Every built-in plate recipe against the published averages for its instrument: the violin of the handbook, the medium
/// viola of the table. The cello has no published source here and is left to the recipes' own tests.
#[test]
fn every_plate_recipe_keeps_to_the_published_widths() {
    use ribline_geometry::recipe::{Instrument, Purpose};
    let mut held = 0;
    for recipe in built_in::built_in().iter().filter(|r| r.purpose == Purpose::PlateEdge) {
        let published = match recipe.instrument {
            Instrument::Violin => [355.0, 168.0, 112.0, 206.0],
            Instrument::Viola => [405.0, 193.0, 131.0, 236.0],
            Instrument::Cello | Instrument::Viol => continue,
        };
        holds(&at_body_length(recipe, published[0]), published, 0.03);
        held += 1;
    }
    assert!(held >= 2);
}

/// "One part less than double", 7 : 4: common practice. The published widths above are 0.57 to 0.59 of their body lengths,
/// so it is a rule of thumb good to about 3 %.
#[test]
fn body_length_is_one_part_less_than_double_the_lower_width() {
    for recipe in [built_in::violin(), built_in::viola(), built_in::cello()] {
        let [length, _, _, lower] = measured(&recipe.evaluate().expect("a built-in recipe").outline);
        assert!((length / lower / (7.0 / 4.0) - 1.0).abs() < 0.03, "{}: {}", recipe.title, length / lower);
    }
}
