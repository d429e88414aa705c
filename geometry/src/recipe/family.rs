//! The instruments beside one another, and the body lengths each of them commonly has.

use super::built_in::{bass_viol, cello, treble_viol, viola, violin};
use super::{Dimension, Instrument, Recipe, Size, viol};
use crate::ratio::Ratio;

/// One plate of each built-in instrument, by size of body.
pub fn family() -> [Recipe; 5] {
    [violin(), treble_viol(), viola(), bass_viol(), cello()]
}

/// Which of [`family`] a recipe belongs to. Viols are told apart by the body length.
pub fn kin(recipe: &Recipe) -> usize {
    match recipe.instrument {
        Instrument::Violin => 0,
        Instrument::Viola => 2,
        Instrument::Cello => 4,
        Instrument::Viol if viol::is_treble(length(recipe)) => 1,
        Instrument::Viol => 3,
    }
}

fn length(recipe: &Recipe) -> f64 {
    match recipe.measures.first().map(|measure| &measure.size) {
        Some(Size::Mm(mm)) => *mm,
        _ => f64::NAN,
    }
}

/// What a size is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SizeName {
    Full,
    SevenEighths,
    ThreeQuarters,
    Half,
    Quarter,
    Small,
    Medium,
    Large,
}

/// A body length that an instrument commonly has, and what else goes with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodySize {
    pub name: SizeName,
    /// mm.
    pub body_length: f64,
    /// The upper width as a part of the lower where the sizes differ in it.
    upper_width: Option<(u16, u16)>,
    /// Edge to the middle of the purfling where the sizes differ in it, mm: it does not scale with the body.
    purfling_distance: Option<f64>,
}

const fn size(name: SizeName, body_length: f64) -> BodySize {
    BodySize { name, body_length, upper_width: None, purfling_distance: None }
}

/// Online handbook "Making the Violin", page "Measurements": body 355 / 335 / 320 / 285, purfling 3.5 / 3.2 / 3.1 / 3 mm from
/// the edge and 1.2 mm wide. The published half size is slimmer above than the sizes on either side of it.
const VIOLINS: [BodySize; 4] = [
    violin_size(SizeName::Full, 355.0, (5, 6), 4.1),
    violin_size(SizeName::ThreeQuarters, 335.0, (5, 6), 3.8),
    violin_size(SizeName::Half, 320.0, (4, 5), 3.7),
    violin_size(SizeName::Quarter, 285.0, (5, 6), 3.6),
];

const fn violin_size(name: SizeName, body_length: f64, upper: (u16, u16), purfling: f64) -> BodySize {
    BodySize { name, body_length, upper_width: Some(upper), purfling_distance: Some(purfling) }
}

/// A published table of viola measurements (web page "The Viola"): small, medium, large; body 390 / 405 / 430, purfling
/// 3.5 / 4 / 4.2 mm from the edge; its width from memory.
const VIOLAS: [BodySize; 3] = [
    BodySize { purfling_distance: Some(4.15), ..size(SizeName::Small, 390.0) },
    BodySize { purfling_distance: Some(4.65), ..size(SizeName::Medium, 405.0) },
    BodySize { purfling_distance: Some(4.85), ..size(SizeName::Large, 430.0) },
];

/// These and the following from memory.
const CELLOS: [BodySize; 4] = [
    size(SizeName::Full, 755.0),
    size(SizeName::SevenEighths, 720.0),
    size(SizeName::ThreeQuarters, 690.0),
    size(SizeName::Half, 650.0),
];

const BASS_VIOLS: [BodySize; 3] =
    [size(SizeName::Small, 650.0), size(SizeName::Medium, 690.0), size(SizeName::Large, 720.0)];

const TREBLE_VIOLS: [BodySize; 3] =
    [size(SizeName::Small, 350.0), size(SizeName::Medium, 370.0), size(SizeName::Large, 390.0)];

/// The sizes in which a recipe's instrument is commonly made.
pub fn sizes(recipe: &Recipe) -> &'static [BodySize] {
    match kin(recipe) {
        0 => &VIOLINS,
        1 => &TREBLE_VIOLS,
        2 => &VIOLAS,
        3 => &BASS_VIOLS,
        _ => &CELLOS,
    }
}

impl BodySize {
    /// The recipe at this size. Its upper width is another part of the lower where published sizes differ in it and the
    /// recipe offers that part; of a ratio that belongs to none of the sizes nothing is changed.
    pub fn of(&self, recipe: &Recipe) -> Recipe {
        let mut sized = recipe.clone();
        if let Some(measure) = sized.measures.first_mut() {
            measure.size = Size::Mm(self.body_length);
        }
        if let Some(mm) = self.purfling_distance {
            sized.customary.purfling_distance = mm;
        }
        let upper = recipe.measures.iter().find(|m| m.dimension == Some(Dimension::UpperWidth));
        let ratio = |terms: (u16, u16)| Ratio::new(terms.0, terms.1).ok();
        let of_a_size = |now: Ratio| sizes(recipe).iter().any(|s| s.upper_width.and_then(ratio) == Some(now));
        if let (Some(measure), Some(wanted)) = (upper, self.upper_width.and_then(ratio))
            && let Size::Ratio { ratio: now, .. } = measure.size
            && of_a_size(now)
            && let Ok(other) = sized.chosen(&measure.name, wanted)
        {
            return other;
        }
        sized
    }

    /// Whether a recipe is of this length.
    pub fn is_of(&self, recipe: &Recipe) -> bool {
        (length(recipe) - self.body_length).abs() < 0.05
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::built_in::plates;

    #[test]
    fn every_size_of_every_plate_can_be_worked_and_its_overhang_and_corners_stay_as_they_were() {
        for recipe in plates() {
            for size in sizes(&recipe) {
                let sized = size.of(&recipe);
                assert_eq!(sized.faults(), [], "{} at {}", recipe.title, size.body_length);
                assert!(size.is_of(&sized));
                assert_eq!(sized.customary.overhang, recipe.customary.overhang);
                assert_eq!(sized.customary.corner_width, recipe.customary.corner_width);
                assert_eq!(sized.customary.purfling_width, recipe.customary.purfling_width);
                // There and back again.
                let back = sizes(&recipe).iter().find(|s| s.is_of(&recipe)).unwrap().of(&sized);
                assert_eq!(back.lengths(), recipe.lengths());
                assert_eq!(back.customary, recipe.customary);
            }
        }
    }

    #[test]
    fn every_built_in_plate_has_its_place_in_the_family() {
        let family = family();
        for (place, member) in family.iter().enumerate() {
            assert_eq!(kin(member), place);
        }
        for recipe in plates() {
            assert_eq!(family[kin(&recipe)].instrument, recipe.instrument);
        }
        assert!(family.windows(2).all(|pair| length(&pair[0]) < length(&pair[1])));
    }

    #[test]
    fn a_width_that_the_maker_chose_stays() {
        let chosen = violin().chosen("U", "9/11".parse().unwrap()).unwrap();
        let half = VIOLINS[2].of(&chosen);
        assert_eq!(half.measures[2], chosen.measures[2]);
    }
}
