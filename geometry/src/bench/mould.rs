//! The mould for the bench: as shapes on layers, for any kind of file, and as an SVG drawing in millimetres.

use super::shapes::{Layer, Path, Shapes};
use super::svg::{About, drawing};
use crate::mould::Mould;
use crate::project::Project;

/// Arms of a pin's cross, and how far the centreline goes on beyond the mould, mm.
const ARM: f64 = 3.0;
const BEYOND: f64 = 8.0;

/// The mould's line with its recesses (`mould`), the blocks (`recesses`), the holes, the outer face of the ribs (`ribs`),
/// the pins and the centreline.
pub fn mould_shapes(mould: &Mould) -> Shapes {
    let mut shapes = Shapes::default();
    let bounds = mould.outer.bounds().unwrap_or_default();
    let line = |from: (f64, f64), to: (f64, f64)| Path::line(from.into(), to.into());
    shapes.add(Layer::Centreline, line((0.0, bounds.y0 - BEYOND), (0.0, bounds.y1 + BEYOND)));
    shapes.add(Layer::Ribs, mould.outer.clone());
    for block in &mould.blocks {
        shapes.add(Layer::Recesses, block.clone());
    }
    shapes.add(Layer::Mould, mould.outline.clone());
    for hole in &mould.holes {
        shapes.add(Layer::Holes, Path::circle(*hole, 0.5 * mould.hole_diameter));
    }
    for pin in mould.pins {
        shapes.add(Layer::Pins, line((pin.x - ARM, pin.y), (pin.x + ARM, pin.y)));
        shapes.add(Layer::Pins, line((pin.x, pin.y - ARM), (pin.x, pin.y + ARM)));
    }
    shapes
}

/// The mould as an SVG file, one user unit to the millimetre. Layers, as groups with an `id`: `centreline`, `ribs`,
/// `recesses`, `mould`, `holes`, `pins`, `check` (bars of 100 mm) and `words`, which has the lengths of the ribs.
pub fn mould_svg(project: &Project, mould: &Mould) -> String {
    let title = if project.title.is_empty() { "Mould" } else { &project.title };
    let recipe = &project.recipe.title;
    drawing(
        &mould_shapes(mould),
        &About {
            title: format!("{title}: mould"),
            description: format!("Inside mould. Recipe: {recipe}. Millimetres; the neck end is up."),
            words: words(title, recipe, mould).to_vec(),
        },
    )
}

fn words(title: &str, recipe: &str, mould: &Mould) -> [String; 5] {
    // Both sides are alike: the right ones stand for both.
    let [lower, waist, upper, ..] = mould.ribs.map(|rib| format!("{:.0}", rib.cut_whole()));
    [
        format!("{title}. Inside mould, {recipe}."),
        format!(
            "Ribs to cut, mm, two of each with allowance: lower {lower}, waist {waist}, upper {upper}; total {:.0}.",
            mould.total_cut()
        ),
        "The bars are 100 mm: measure both before use. Leave the line when sawing.".to_owned(),
        "Mind saws, drills, dust and the heat of the bending iron;".to_owned(),
        "local rules, the tool's manual and qualified instruction come first.".to_owned(),
    ]
}
