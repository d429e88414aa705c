//! The ways of placing a circle as one chooses among them, and what each of them names.

use super::{Line, Placing, Recipe, Touch, TouchFrom, Toward};

/// A way of placing a circle, without what it is placed by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PlacingKind {
    CentredOn,
    /// Through a point, the centre on the centreline.
    OnCentreline,
    /// Through a point, the centre on a line square to the centreline.
    OnCrossLine,
    TouchingTwo,
    TouchingThrough,
}

/// What a way of placing names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Slot {
    /// The point that is passed through or stood on.
    Point,
    /// The point at whose height the cross line lies.
    CrossLine,
    /// The circle that is touched, and the other one.
    One,
    Other,
}

impl PlacingKind {
    pub const ALL: [PlacingKind; 5] = [
        PlacingKind::CentredOn,
        PlacingKind::OnCentreline,
        PlacingKind::OnCrossLine,
        PlacingKind::TouchingTwo,
        PlacingKind::TouchingThrough,
    ];

    /// What this way of placing names, in the order in which one says it.
    pub fn slots(self) -> &'static [Slot] {
        match self {
            PlacingKind::CentredOn | PlacingKind::OnCentreline => &[Slot::Point],
            PlacingKind::OnCrossLine => &[Slot::Point, Slot::CrossLine],
            PlacingKind::TouchingTwo => &[Slot::One, Slot::Other],
            PlacingKind::TouchingThrough => &[Slot::One, Slot::Point],
        }
    }
}

impl Slot {
    /// Whether it takes a point; else it takes a circle.
    pub fn takes_a_point(self) -> bool {
        matches!(self, Slot::Point | Slot::CrossLine)
    }
}

impl Placing {
    pub fn kind(&self) -> PlacingKind {
        match self {
            Placing::CentredOn { .. } => PlacingKind::CentredOn,
            Placing::Through { centre_on: Line::Centreline, .. } => PlacingKind::OnCentreline,
            Placing::Through { centre_on: Line::CrossAt { .. }, .. } => PlacingKind::OnCrossLine,
            Placing::TouchingTwo { .. } => PlacingKind::TouchingTwo,
            Placing::TouchingThrough { .. } => PlacingKind::TouchingThrough,
        }
    }

    /// The name in a slot.
    pub fn named(&self, slot: Slot) -> Option<&str> {
        match (self, slot) {
            (
                Placing::CentredOn { point }
                | Placing::Through { point, .. }
                | Placing::TouchingThrough { point, .. },
                Slot::Point,
            )
            | (Placing::Through { centre_on: Line::CrossAt { point }, .. }, Slot::CrossLine) => Some(point),
            (Placing::TouchingTwo { one, .. } | Placing::TouchingThrough { one, .. }, Slot::One) => {
                Some(&one.circle)
            }
            (Placing::TouchingTwo { other, .. }, Slot::Other) => Some(&other.circle),
            _ => None,
        }
    }

    /// From which side the circle in a slot is touched.
    pub fn touched_from(&self, slot: Slot) -> Option<TouchFrom> {
        match (self, slot) {
            (Placing::TouchingTwo { one, .. } | Placing::TouchingThrough { one, .. }, Slot::One) => {
                Some(one.from)
            }
            (Placing::TouchingTwo { other, .. }, Slot::Other) => Some(other.from),
            _ => None,
        }
    }

    /// With another name in a slot. A cross line that was at the point passed through stays with it.
    pub fn naming(&self, slot: Slot, name: &str) -> Placing {
        let mut placing = self.clone();
        let name = name.to_owned();
        match (&mut placing, slot) {
            (Placing::Through { point, centre_on: Line::CrossAt { point: at }, .. }, Slot::Point) => {
                if at == point {
                    at.clone_from(&name);
                }
                *point = name;
            }
            (
                Placing::CentredOn { point }
                | Placing::Through { point, .. }
                | Placing::TouchingThrough { point, .. },
                Slot::Point,
            )
            | (Placing::Through { centre_on: Line::CrossAt { point }, .. }, Slot::CrossLine) => *point = name,
            (Placing::TouchingTwo { one, .. } | Placing::TouchingThrough { one, .. }, Slot::One) => {
                one.circle = name;
            }
            (Placing::TouchingTwo { other, .. }, Slot::Other) => other.circle = name,
            _ => {}
        }
        placing
    }

    /// With the circle in a slot touched from this side.
    pub fn touching(&self, slot: Slot, side: TouchFrom) -> Placing {
        let mut placing = self.clone();
        match (&mut placing, slot) {
            (Placing::TouchingTwo { one, .. } | Placing::TouchingThrough { one, .. }, Slot::One) => {
                one.from = side
            }
            (Placing::TouchingTwo { other, .. }, Slot::Other) => other.from = side,
            _ => {}
        }
        placing
    }

    /// With this one of the two centres meant.
    pub fn lying(&self, side: Toward) -> Placing {
        let mut placing = self.clone();
        if let Some(lies) = placing.lies_mut() {
            *lies = side;
        }
        placing
    }
}

impl Recipe {
    /// Step `k`'s placing in another way: what it names already is kept, what it lacks is the last that was made before.
    pub fn placed_by(&self, k: usize, before: &Placing, kind: PlacingKind) -> Placing {
        let last = |points: bool, besides: Option<&str>| {
            let mut earlier = self.earlier(k, points).into_iter().rev().filter_map(|k| self.steps.get(k));
            let found = earlier.find(|step| besides != Some(&step.name));
            found.map(|step| step.name.clone()).unwrap_or_default()
        };
        let point = before.named(Slot::Point).map_or_else(|| last(true, None), str::to_owned);
        let touch = |slot, besides: Option<&str>| Touch {
            circle: before.named(slot).map_or_else(|| last(false, besides), str::to_owned),
            from: before.touched_from(slot).unwrap_or(TouchFrom::Inside),
        };
        let lies = before.lies().unwrap_or(Toward::Neck);
        let placing = match kind {
            PlacingKind::CentredOn => Placing::CentredOn { point },
            PlacingKind::OnCentreline => Placing::Through { point, centre_on: Line::Centreline, lies },
            PlacingKind::OnCrossLine => {
                let at = before.named(Slot::CrossLine).map_or_else(|| point.clone(), str::to_owned);
                Placing::Through { point, centre_on: Line::CrossAt { point: at }, lies }
            }
            PlacingKind::TouchingTwo => {
                let one = touch(Slot::One, None);
                let other = touch(Slot::Other, Some(&one.circle));
                Placing::TouchingTwo { one, other, lies }
            }
            PlacingKind::TouchingThrough => {
                Placing::TouchingThrough { one: touch(Slot::One, None), point, lies }
            }
        };
        self.with_a_side(k, placing)
    }

    /// The placing with a side that tells its two centres apart, where the one it has does not.
    pub fn with_a_side(&self, k: usize, placing: Placing) -> Placing {
        let Some(lies) = placing.lies() else { return placing };
        let on_line = match placing.kind() {
            PlacingKind::OnCentreline => Some([Toward::Neck, Toward::Bottom]),
            PlacingKind::OnCrossLine => Some([Toward::In, Toward::Out]),
            _ => None,
        };
        if let Some(sides) = on_line {
            return if sides.contains(&lies) { placing } else { placing.lying(sides[0]) };
        }
        let Ok(placed) = self.edited(&super::Edit::Placing(k, placing.clone())) else { return placing };
        let Some([one, other]) = placed.centres(k) else { return placing };
        if [one.0, other.0].contains(&lies) {
            return placing;
        }
        let drawn = placed.evaluate_partial();
        let now = drawn.circles.iter().find(|circle| circle.step == k).map(|circle| circle.centre);
        let is_other = now.is_some_and(|now| now.distance(other.1) < now.distance(one.1));
        placing.lying(if is_other { other.0 } else { one.0 })
    }
}

#[cfg(test)]
mod tests {
    use super::super::built_in::built_in;
    use super::super::{Action, Edit};
    use super::*;

    #[test]
    fn placing_a_circle_the_way_it_is_placed_changes_nothing() {
        for recipe in built_in() {
            for (k, step) in recipe.steps.iter().enumerate() {
                let Action::Circle { placed, .. } = &step.action else { continue };
                assert_eq!(recipe.placed_by(k, placed, placed.kind()), *placed, "{}", step.name);
                for slot in placed.kind().slots() {
                    let name = placed.named(*slot).expect("every slot of a kind is filled").to_owned();
                    assert_eq!(placed.naming(*slot, &name), *placed);
                    assert_eq!(placed.touched_from(*slot).is_some(), !slot.takes_a_point());
                }
            }
        }
    }

    #[test]
    fn a_circle_can_be_placed_in_any_way_that_its_earlier_steps_allow() {
        for recipe in built_in() {
            for (k, step) in recipe.steps.iter().enumerate() {
                let Action::Circle { placed, .. } = &step.action else { continue };
                for kind in PlacingKind::ALL {
                    let placing = recipe.placed_by(k, placed, kind);
                    assert_eq!(placing.kind(), kind);
                    let other = recipe.edited(&Edit::Placing(k, placing)).unwrap();
                    // Both centres in one place, but for rounding, is a touch that leaves no choice.
                    let undecided = other
                        .evaluate_partial()
                        .errors
                        .iter()
                        .any(|e| e.to_string().contains("both possible"));
                    assert!(!undecided || other.centres(k).is_none(), "{} {kind:?}", step.name);
                }
            }
        }
    }

    #[test]
    fn a_cross_line_at_the_point_passed_through_goes_with_it() {
        let centre_on = Line::CrossAt { point: "a".into() };
        let placing = Placing::Through { point: "a".into(), centre_on, lies: Toward::In };
        let moved = placing.naming(Slot::Point, "b");
        assert_eq!(moved.named(Slot::CrossLine), Some("b"));
        let apart = placing.naming(Slot::CrossLine, "c").naming(Slot::Point, "b");
        assert_eq!(apart.named(Slot::CrossLine), Some("c"));
    }
}
