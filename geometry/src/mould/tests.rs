use super::*;
use crate::arc::Chain;
use crate::outline::Side;
use crate::recipe::built_in::{bass_viol, built_in, plates, treble_viol, violin};
use crate::recipe::{Purpose, Size};
use crate::reconcile::Wish;

fn made(recipe: &Recipe, wish: &MouldWish) -> Result<Mould, MouldError> {
    mould(recipe, &recipe.evaluate().unwrap(), Wish::customary(recipe).overhang, wish)
}

fn customary(recipe: &Recipe) -> Mould {
    made(recipe, &MouldWish::customary(recipe)).unwrap_or_else(|error| panic!("{}: {error}", recipe.title))
}

#[test]
fn every_built_in_recipe_has_a_mould_by_custom_in_either_way_and_at_every_size() {
    for recipe in plates() {
        for by in [0.8, 0.9, 1.0, 1.1] {
            let mut recipe = recipe.clone();
            recipe.measures[0].size = Size::Mm(recipe.lengths().unwrap()[0] * by);
            for way in [MouldWay::Parallel, MouldWay::OwnArcs] {
                let wish = MouldWish { way, ..MouldWish::customary(&recipe) };
                let made = made(&recipe, &wish).unwrap_or_else(|error| panic!("{}: {error}", recipe.title));
                assert_eq!(made.blocks.len(), 6, "{}", recipe.title);
                assert!(made.holes.len() >= 10, "{}: {:?}", recipe.title, made.remarks);
                assert!(made.outline.area() > 0.0 && made.outline.closed);
            }
        }
    }
    for recipe in built_in().iter().filter(|recipe| recipe.purpose == Purpose::Mould) {
        let made = customary(recipe);
        let drawn = recipe.evaluate().unwrap();
        assert!((made.inner.area() - drawn.outline.area()).abs() < 1e-6, "a mould's recipe is the mould");
    }
}

/// By overhang and rib everywhere, and by the overhang alone the ribs' outer face: nearest places of the edge.
#[test]
fn the_mould_lies_inside_the_edge_by_overhang_and_rib_everywhere() {
    for recipe in plates() {
        let (wish, drawn) = (MouldWish::customary(&recipe), recipe.evaluate().unwrap());
        let mould = customary(&recipe);
        let overhang = recipe.customary.overhang;
        for (path, wanted) in [(&mould.inner, overhang + wish.rib_thickness), (&mould.outer, overhang)] {
            for segment in &path.segments {
                let Segment::Arc(arc) = segment else { panic!("{}: a straight piece", recipe.title) };
                for t in [0.0, 0.25, 0.5, 0.75, 1.0] {
                    let (_, nearest) = drawn.outline.nearest(arc.at(t)).unwrap();
                    assert!((nearest.offset - wanted).abs() < 1e-9, "{}: {nearest:?}", recipe.title);
                }
            }
        }
        for segment in &mould.outline.segments {
            let (_, nearest) = drawn.outline.nearest(segment.start()).unwrap();
            assert!(nearest.offset > overhang + wish.rib_thickness - 1e-9, "{}", recipe.title);
        }
    }
}

#[test]
fn blocks_and_the_sawn_mould_together_fill_the_ribs_line() {
    for recipe in plates() {
        let mould = customary(&recipe);
        let blocks: f64 = mould.blocks.iter().map(Path::area).sum();
        assert!(mould.blocks.iter().all(|block| block.area() > 50.0), "{}", recipe.title);
        let off = mould.outline.area() + blocks - mould.inner.area();
        assert!(off.abs() < 1e-6, "{}: {off} mm²", recipe.title);
    }
}

#[test]
fn both_sides_are_alike() {
    let mould = customary(&violin());
    for run in Run::ALL.into_iter().filter(|run| run.side == Side::Right) {
        let left = Run { side: Side::Left, ..run };
        assert_eq!(mould.ribs[run.index()].cut, mould.ribs[left.index()].cut);
    }
    for hole in &mould.holes {
        assert!(mould.holes.iter().any(|other| other.distance(Point::new(-hole.x, hole.y)) < 1e-9));
    }
}

#[test]
fn a_rib_is_cut_longer_by_the_allowance_at_both_of_its_ends() {
    let recipe = violin();
    let mut wish = MouldWish::customary(&recipe);
    wish.allowance = Allowance { corner: 7.0, end: 2.0 };
    for rib in made(&recipe, &wish).unwrap().ribs {
        let longer = if rib.run.bout == Bout::Waist { 14.0 } else { 9.0 };
        assert!((rib.cut - rib.in_place - longer).abs() < 1e-12);
    }
}

/// So that a sum by hand over what stands in the table comes out as the table's.
#[test]
fn the_lengths_of_the_six_ribs_as_they_are_read_add_up_to_what_is_told_of_all() {
    for recipe in plates() {
        let mould = customary(&recipe);
        let read = |decimals: usize, of: fn(&RibLength) -> f64| {
            mould
                .ribs
                .iter()
                .map(|rib| format!("{:.decimals$}", of(rib)).parse::<f64>().unwrap())
                .sum::<f64>()
        };
        let (cut, in_place) = (read(0, |rib| rib.cut.ceil()), read(1, |rib| rib.in_place));
        assert_eq!(mould.total_cut(), cut, "{}", recipe.title);
        assert!((mould.total_in_place() - in_place).abs() < 1e-9, "{}", recipe.title);
    }
}

/// The neck's corner of a treble viol is 7.2 mm: with more than that of overhang and rib its parallel vanishes, and the mould has
/// a kink there, but is still whole, and no point of it nearer to the edge.
#[test]
fn an_arc_too_tight_for_its_parallel_vanishes_and_its_neighbours_meet() {
    let recipe = treble_viol();
    let drawn = recipe.evaluate().unwrap();
    let wish = MouldWish { rib_thickness: 4.0, ..MouldWish::customary(&recipe) };
    let mould = mould(&recipe, &drawn, Overhang::even(4.0), &wish).unwrap();
    let vanished =
        MouldRemark::Vanished { bout: Bout::Upper, radius: drawn.circle("upper 2").unwrap().radius };
    assert!(mould.remarks.contains(&vanished), "{:?}", mould.remarks);
    for pair in mould.inner.segments.windows(2) {
        assert!(pair[0].end().distance(pair[1].start()) < 1e-9);
    }
    for segment in &mould.inner.segments {
        let (_, nearest) = drawn.outline.nearest(segment.start()).unwrap();
        assert!(nearest.offset > 8.0 - 1e-9, "{nearest:?}");
    }
}

#[test]
fn blocks_that_do_not_fit_are_told_and_of_no_size_leave_the_mould_whole() {
    let recipe = violin();
    let mut wish = MouldWish::customary(&recipe);
    wish.lower_block.depth = 120.0;
    wish.lower_block.width = 200.0;
    assert!(matches!(made(&recipe, &wish), Err(MouldError::EndBlock { bout: Bout::Lower, .. })));
    wish = MouldWish::customary(&recipe);
    wish.upper_corners.across = 80.0;
    let told = made(&recipe, &wish).unwrap().remarks;
    assert!(told.iter().any(|r| matches!(r, MouldRemark::Narrowed { bout: Bout::Upper, .. })), "{told:?}");
    wish = MouldWish::customary(&recipe);
    for setting in [
        MouldSetting::LowerCornerAcross,
        MouldSetting::UpperCornerAcross,
        MouldSetting::LowerWidth,
        MouldSetting::UpperWidth,
    ] {
        wish.set(setting, 0.0);
    }
    let whole = made(&recipe, &wish).unwrap();
    assert_eq!(whole.outline, whole.inner);
    wish.set(MouldSetting::RibThickness, f64::NAN);
    assert!(matches!(made(&recipe, &wish), Err(MouldError::Setting { .. })));
}

#[test]
fn every_setting_is_read_back_and_what_was_left_to_custom_follows_another_instrument() {
    let (violin, bass) = (violin(), bass_viol());
    for (k, setting) in MouldSetting::ALL.into_iter().enumerate() {
        let mut wish = MouldWish::customary(&violin);
        let mm = 1.0 + k as f64;
        wish.set(setting, mm);
        assert_eq!(wish.get(setting), mm);
        let carried = wish.carried(&violin, &bass);
        for other in MouldSetting::ALL {
            let wanted = if other == setting { mm } else { MouldWish::customary(&bass).get(other) };
            // One that happens to be at the custom is carried like any other.
            if mm != MouldWish::customary(&violin).get(setting) {
                assert_eq!(carried.get(other), wanted, "{setting:?} set, {other:?} looked at");
            }
        }
    }
}

/// An outline parallel to a parallel outside is what it was.
#[test]
fn a_parallel_outside_and_back_inside_is_the_line_itself() {
    for recipe in plates() {
        let line = HalfLine::of(&recipe.evaluate().unwrap().outline);
        let back = line.parallel([-0.3, -0.35, -0.25]).unwrap().parallel([0.3, 0.35, 0.25]).unwrap();
        for (a, b) in line.runs.iter().flatten().zip(back.runs.iter().flatten()) {
            let off = a.at(0.0).distance(b.at(0.0)).max(a.at(1.0).distance(b.at(1.0)));
            assert!(off < 1e-9, "{}: {off}", recipe.title);
        }
        let chain = |run: &[Arc]| Chain::from_arcs(run).unwrap().length();
        assert!((chain(&line.runs[1]) - chain(&back.runs[1])).abs() < 1e-9);
    }
}

/// Thick ribs around a mould with sharp hooks: their outer faces bend away from one another, yet the line is whole.
#[test]
fn outer_faces_that_never_meet_are_closed_straight_across() {
    let recipe = violin();
    let line = HalfLine::of(&recipe.evaluate().unwrap().outline);
    let outside = line.parallel([-1.7; 3]).unwrap();
    let path = whole(&outside);
    assert!(path.segments.iter().any(|segment| matches!(segment, Segment::Line { .. })));
    for pair in path.segments.windows(2) {
        assert!(pair[0].end().distance(pair[1].start()) < 1e-9);
    }
}
