//! The bench's wishes that are a number, each by its name.

use super::print::wish::PrintWish;
use super::wish::{BenchWish, CompassWish};
use crate::edge::button::{ButtonForm, ButtonWish};
use crate::edge::purfling::PurflingWish;
use crate::outline::Corner;
use crate::recipe::Recipe;

/// How a button ends, or that there is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ButtonKind {
    None,
    HalfRound,
    StraightFlanks,
}

impl ButtonKind {
    pub const ALL: [ButtonKind; 3] = [ButtonKind::None, ButtonKind::HalfRound, ButtonKind::StraightFlanks];
}

/// One number among the bench's wishes, mm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BenchSetting {
    /// What every figure of the compass sheet is rounded to.
    CompassStep,
    /// Wood of the board around the plate.
    WoodAround,
    PurflingWidth,
    /// By how much the point of the purfling leans towards the waist.
    PurflingLean(Corner),
    ButtonWidth,
    ButtonHeight,
    /// Of a button with straight flanks.
    ButtonFlank,
    NeckOff,
    ButtonRoot,
    LeftForTheFile,
    PointSpacing,
    Overlap,
    Margin,
    MeasuredAcross,
    MeasuredUp,
}

impl BenchSetting {
    /// Those that are not of one corner.
    pub const ALL: [BenchSetting; 14] = [
        BenchSetting::CompassStep,
        BenchSetting::WoodAround,
        BenchSetting::PurflingWidth,
        BenchSetting::ButtonWidth,
        BenchSetting::ButtonHeight,
        BenchSetting::ButtonFlank,
        BenchSetting::NeckOff,
        BenchSetting::ButtonRoot,
        BenchSetting::LeftForTheFile,
        BenchSetting::PointSpacing,
        BenchSetting::Overlap,
        BenchSetting::Margin,
        BenchSetting::MeasuredAcross,
        BenchSetting::MeasuredUp,
    ];

    /// Least and most that anybody can mean, mm. What has room on an edge is told where it is drawn.
    pub fn within(self) -> (f64, f64) {
        let [_, purfling_width, lean] = PurflingWish::LIMITS;
        match self {
            BenchSetting::CompassStep => CompassWish::STEP,
            BenchSetting::WoodAround => CompassWish::BEYOND,
            BenchSetting::PurflingWidth => purfling_width,
            BenchSetting::PurflingLean(_) => lean,
            BenchSetting::ButtonWidth => ButtonWish::WIDTH,
            BenchSetting::ButtonHeight => ButtonWish::HEIGHT,
            BenchSetting::ButtonFlank => ButtonWish::FLANK,
            BenchSetting::NeckOff => ButtonWish::NECK_OFF,
            BenchSetting::ButtonRoot => ButtonWish::ROOT,
            BenchSetting::LeftForTheFile => BenchWish::LEFT_FOR_THE_FILE,
            BenchSetting::PointSpacing => BenchWish::POINT_SPACING,
            BenchSetting::Overlap => PrintWish::OVERLAP,
            BenchSetting::Margin => PrintWish::MARGIN,
            BenchSetting::MeasuredAcross | BenchSetting::MeasuredUp => PrintWish::MEASURED,
        }
    }
}

impl BenchWish {
    /// 0 for what is not there, as the width of no button.
    pub fn get(&self, setting: BenchSetting) -> f64 {
        let button = |of: fn(&ButtonWish) -> f64| self.button.as_ref().map_or(0.0, of);
        match setting {
            BenchSetting::CompassStep => self.compass.step,
            BenchSetting::WoodAround => self.compass.beyond,
            BenchSetting::PurflingWidth => self.purfling_width,
            BenchSetting::PurflingLean(corner) => self.purfling_corners[corner.index()].lean,
            BenchSetting::ButtonWidth => button(|button| button.width),
            BenchSetting::ButtonHeight => button(|button| button.height),
            BenchSetting::ButtonFlank => button(|button| match button.form {
                ButtonForm::HalfRound => 0.0,
                ButtonForm::StraightFlanks(mm) => mm,
            }),
            BenchSetting::NeckOff => button(|button| button.neck_off),
            BenchSetting::ButtonRoot => button(|button| button.root),
            BenchSetting::LeftForTheFile => self.left_for_the_file,
            BenchSetting::PointSpacing => self.point_spacing,
            BenchSetting::Overlap => self.print.overlap,
            BenchSetting::Margin => self.print.margin,
            BenchSetting::MeasuredAcross => self.print.measured[0],
            BenchSetting::MeasuredUp => self.print.measured[1],
        }
    }

    /// Leaves what is not there as it is.
    pub fn set(&mut self, setting: BenchSetting, mm: f64) {
        match (setting, &mut self.button) {
            (BenchSetting::CompassStep, _) => self.compass.step = mm,
            (BenchSetting::WoodAround, _) => self.compass.beyond = mm,
            (BenchSetting::PurflingWidth, _) => self.purfling_width = mm,
            (BenchSetting::PurflingLean(corner), _) => self.purfling_corners[corner.index()].lean = mm,
            (BenchSetting::ButtonWidth, Some(button)) => button.width = mm,
            (BenchSetting::ButtonHeight, Some(button)) => button.height = mm,
            (BenchSetting::ButtonFlank, Some(button)) => button.form = ButtonForm::StraightFlanks(mm),
            (BenchSetting::NeckOff, Some(button)) => button.neck_off = mm,
            (BenchSetting::ButtonRoot, Some(button)) => button.root = mm,
            (BenchSetting::LeftForTheFile, _) => self.left_for_the_file = mm,
            (BenchSetting::PointSpacing, _) => self.point_spacing = mm,
            (BenchSetting::Overlap, _) => self.print.overlap = mm,
            (BenchSetting::Margin, _) => self.print.margin = mm,
            (BenchSetting::MeasuredAcross, _) => self.print.measured[0] = mm,
            (BenchSetting::MeasuredUp, _) => self.print.measured[1] = mm,
            (
                BenchSetting::ButtonWidth
                | BenchSetting::ButtonHeight
                | BenchSetting::ButtonFlank
                | BenchSetting::NeckOff
                | BenchSetting::ButtonRoot,
                None,
            ) => {}
        }
    }

    pub fn button_kind(&self) -> ButtonKind {
        match self.button.map(|button| button.form) {
            None => ButtonKind::None,
            Some(ButtonForm::HalfRound) => ButtonKind::HalfRound,
            Some(ButtonForm::StraightFlanks(_)) => ButtonKind::StraightFlanks,
        }
    }

    /// A button where there was none is the recipe's customary one; flanks are straight for half its height.
    pub fn choose_button(&mut self, kind: ButtonKind, recipe: &Recipe) {
        let now = self.button.unwrap_or_else(|| ButtonWish::customary(recipe.instrument));
        self.button = match kind {
            ButtonKind::None => None,
            ButtonKind::HalfRound => Some(ButtonWish { form: ButtonForm::HalfRound, ..now }),
            ButtonKind::StraightFlanks => {
                let form = ButtonForm::StraightFlanks((0.5 * now.height).round());
                Some(ButtonWish { form, ..now })
            }
        };
    }

    /// What was left at the custom of one recipe's instrument follows the custom of another's.
    #[must_use]
    pub fn carried(mut self, from: &Recipe, to: &Recipe) -> Self {
        let (old, new) = (BenchWish::customary(from), BenchWish::customary(to));
        let of_instrument =
            [BenchSetting::PurflingWidth, BenchSetting::ButtonWidth, BenchSetting::ButtonHeight];
        if self.button == old.button {
            self.button = new.button;
        }
        for setting in of_instrument {
            if self.get(setting) == old.get(setting) {
                self.set(setting, new.get(setting));
            }
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::built_in::{cello, violin};

    #[test]
    fn a_viol_has_a_button_only_where_one_is_asked_for() {
        let (viol, violin) = (crate::recipe::built_in::bass_viol(), violin());
        let of_viol = BenchWish::customary(&violin).carried(&violin, &viol);
        assert_eq!(of_viol.button, None);
        assert_eq!(of_viol.carried(&viol, &violin), BenchWish::customary(&violin));
        let mut asked = of_viol;
        asked.choose_button(ButtonKind::HalfRound, &viol);
        assert!(asked.carried(&viol, &violin).button.is_some());
    }

    #[test]
    fn every_number_is_set_by_its_own_name_and_leaves_the_others() {
        let custom = BenchWish::customary(&violin());
        let corners = Corner::ALL.map(BenchSetting::PurflingLean);
        let all: Vec<BenchSetting> = BenchSetting::ALL.into_iter().chain(corners).collect();
        for setting in &all {
            let (least, most) = setting.within();
            let mm = least + 0.4 * (most - least);
            let mut wish = custom;
            wish.set(*setting, mm);
            assert_eq!(wish.get(*setting), mm, "{setting:?}");
            for other in all.iter().filter(|other| *other != setting) {
                assert_eq!(wish.get(*other), custom.get(*other), "{setting:?} and {other:?}");
            }
        }
    }

    #[test]
    fn a_number_within_its_bounds_is_never_refused() {
        for setting in BenchSetting::ALL {
            let (least, most) = setting.within();
            for mm in [least, most] {
                let mut wish = BenchWish::customary(&violin());
                wish.set(setting, mm);
                assert_eq!(wish.check(), Ok(()), "{setting:?} {mm}");
            }
        }
    }

    #[test]
    fn what_was_left_to_custom_follows_the_instrument_and_the_rest_stays() {
        let mut wish = BenchWish::customary(&violin());
        wish.set(BenchSetting::ButtonHeight, 12.0);
        let carried = wish.carried(&violin(), &cello());
        assert_eq!(carried.get(BenchSetting::ButtonHeight), 12.0);
        let custom = BenchWish::customary(&cello());
        assert_eq!(carried.get(BenchSetting::ButtonWidth), custom.get(BenchSetting::ButtonWidth));
    }
}
