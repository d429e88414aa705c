//! What the store promises: one way to change the project, and a way back from every change.

use kurbo::Point;
use leptos::prelude::*;
use ribline_app::example::{afresh, example};
use ribline_app::store::{Change, ChangeKind, PinName, Store};
use ribline_geometry::edge::CornerCut;
use ribline_geometry::mould::{MouldSetting, MouldWish};
use ribline_geometry::outline::{Bout, Corner, FaceUp};
use ribline_geometry::recipe::Purpose;
use ribline_geometry::recipe::built_in::{bass_viol, built_in, violin};
use ribline_geometry::reconcile::Wish;

#[cfg(target_arch = "wasm32")]
use wasm_bindgen_test::{wasm_bindgen_test as test, wasm_bindgen_test_configure};

#[cfg(target_arch = "wasm32")]
wasm_bindgen_test_configure!(run_in_browser);

fn with_store(of: impl FnOnce(Store)) {
    let owner = Owner::new();
    owner.with(|| of(Store::new(example())));
}

fn title(store: Store) -> String {
    store.project().with_untracked(|project| project.title.clone())
}

fn lower_overhang(store: Store) -> f64 {
    store.project().with_untracked(|project| project.wish.overhang.lower)
}

#[test]
fn a_change_can_be_taken_back_and_done_again() {
    with_store(|store| {
        let before = title(store);
        assert_eq!(store.can_undo(), None);
        store.change(Change::Title("Another".into()));
        assert_eq!(store.can_undo(), Some(ChangeKind::Title));
        store.undo();
        assert_eq!(title(store), before);
        assert_eq!(store.can_redo(), Some(ChangeKind::Title));
        store.redo();
        assert_eq!(title(store), "Another");
        assert_eq!(store.can_redo(), None);
    });
}

#[test]
fn a_line_of_ones_own_is_not_called_the_example() {
    with_store(|store| {
        let project = store.project();
        let line = || project.with_untracked(|project| project.trace.points[5..].to_vec());
        let trace = || ribline_geometry::trace::Trace { points: line(), ..Default::default() };
        let notes = || project.with_untracked(|project| project.notes.clone());
        let called = (title(store), notes());
        store.change(Change::Trace(trace()));
        assert_eq!((title(store), notes()), (String::new(), String::new()));
        store.undo();
        assert_eq!((title(store), notes()), called);
        // What the maker has called it stays.
        store.change(Change::Title("Number 4".into()));
        store.change(Change::Captured(trace(), None));
        assert_eq!((title(store), notes()), ("Number 4".into(), String::new()));
    });
}

#[test]
fn a_number_being_typed_is_one_step_back() {
    with_store(|store| {
        let before = lower_overhang(store);
        for mm in [3.0, 3.2, 3.25] {
            store.change(Change::Overhang(Bout::Lower, mm));
        }
        store.settle();
        store.undo();
        assert_eq!(lower_overhang(store), before);
        assert_eq!(store.can_undo(), None);
    });
}

#[test]
fn two_drags_of_one_point_are_two_steps_back() {
    with_store(|store| {
        let at = |store: Store| store.project().with_untracked(|project| project.trace.points[7].at);
        let before = at(store);
        for x in [1.0, 2.0, 3.0] {
            store.change(Change::MovePoint { index: 7, to: before + (x, 0.0) });
        }
        store.settle();
        store.change(Change::MovePoint { index: 7, to: before + (9.0, 0.0) });
        store.undo();
        assert_eq!(at(store), before + (3.0, 0.0));
        store.undo();
        assert_eq!(at(store), before);
    });
}

#[test]
fn changes_of_different_things_are_steps_of_their_own() {
    with_store(|store| {
        store.change(Change::Overhang(Bout::Lower, 3.0));
        store.change(Change::Overhang(Bout::Upper, 3.0));
        store.undo();
        assert_eq!(lower_overhang(store), 3.0);
        assert_eq!(store.can_undo(), Some(ChangeKind::Overhang));
    });
}

#[test]
fn giving_up_a_drag_leaves_no_trace_of_it() {
    with_store(|store| {
        let before = store.project().get_untracked();
        store.change(Change::FaceUp(FaceUp::Outside));
        let outside = store.project().get_untracked();
        store.change(Change::MovePin { pin: PinName::Upper, to: Some(Point::new(5.0, 300.0)) });
        store.give_up();
        assert_eq!(store.project().get_untracked(), outside);
        // Nothing is being dragged any more: the change before it stays.
        store.give_up();
        assert_eq!(store.project().get_untracked(), outside);
        store.undo();
        assert_eq!(store.project().get_untracked(), before);
    });
}

#[test]
fn a_change_to_what_it_is_already_is_no_step() {
    with_store(|store| {
        store.change(Change::Title(title(store)));
        assert_eq!(store.can_undo(), None);
    });
}

#[test]
fn something_new_ends_the_way_forward() {
    with_store(|store| {
        store.change(Change::Title("One".into()));
        store.undo();
        store.change(Change::Notes("Two".into()));
        assert_eq!(store.can_redo(), None);
    });
}

#[test]
fn starting_afresh_can_be_taken_back() {
    with_store(|store| {
        let before = store.project().get_untracked();
        store.change(Change::StartAfresh(Box::new(afresh(violin()))));
        assert!(store.project().with_untracked(|project| project.trace.points.is_empty()));
        store.undo();
        assert_eq!(store.project().get_untracked(), before);
    });
}

#[test]
fn points_added_take_the_next_line_numbers() {
    with_store(|store| {
        let last = |store: Store| {
            store.project().with_untracked(|project| project.trace.points.iter().map(|p| p.line).max())
        };
        let before = last(store);
        let points = store.project().with_untracked(|project| project.trace.points[..2].to_vec());
        store.change(Change::AddPoints(points));
        assert_eq!(last(store), before.map(|line| line + 2));
    });
}

#[test]
fn another_recipe_brings_its_customs_but_keeps_what_the_maker_chose() {
    with_store(|store| {
        let mut other = built_in()
            .into_iter()
            .rfind(|recipe| recipe.purpose == Purpose::PlateEdge)
            .expect("there is a plate recipe");
        other.customary.overhang = 4.0;
        other.customary.corner_width = 12.0;
        store.change(Change::Overhang(Bout::Waist, 2.2));
        store.change(Change::Cut(Corner::UpperLeft, CornerCut::Beyond(3.0)));
        store.change(Change::Recipe(Box::new(other.clone())));
        let wish = store.project().with_untracked(|project| project.wish);
        assert_eq!((wish.overhang.lower, wish.overhang.waist, wish.overhang.upper), (4.0, 2.2, 4.0));
        assert_eq!(wish.corners[Corner::UpperLeft.index()].cut, CornerCut::Beyond(3.0));
        assert_eq!(
            wish.corners[Corner::LowerLeft.index()].cut,
            Wish::customary(&other).corners[Corner::LowerLeft.index()].cut
        );
    });
}

#[test]
fn another_body_length_leaves_overhang_corners_and_purfling_alone() {
    with_store(|store| {
        let wish = |store: Store| store.project().with_untracked(|project| project.wish);
        let before = wish(store);
        store.change(Change::BodyLength(285.0));
        assert_eq!(wish(store), before);
        let length =
            store.project().with_untracked(|project| project.recipe.evaluate().expect("a violin").lengths[0]);
        assert_eq!(length, 285.0);
    });
}

#[test]
fn what_is_asked_of_the_mould_follows_another_instrument_unless_the_maker_chose_it() {
    with_store(|store| {
        let mould = |store: Store| store.project().with_untracked(|project| project.mould_wish());
        let before = mould(store);
        store.change(Change::Mould(MouldSetting::CornerAllowance, 17.0));
        assert_eq!(store.can_undo(), Some(ChangeKind::Mould));
        store.change(Change::Recipe(Box::new(bass_viol())));
        let after = mould(store);
        assert_eq!(after.allowance.corner, 17.0);
        assert_eq!(after.rib_thickness, MouldWish::customary(&bass_viol()).rib_thickness);
        store.undo();
        store.undo();
        assert_eq!(mould(store), before);
    });
}
