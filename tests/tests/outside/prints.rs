//! Prints at 1 : 1, drawn by a program that knows nothing of ours (poppler) and measured as a maker would: bars, the line itself,
//! and sheets laid together by their marks.
//!
//! Sources: ISO 32000-1, 8.3.2.3 (a unit of a page is 1/72 inch), by which a dot of the picture has a size in mm; 25.4 mm to the
//! inch (ISO 31-1). What is allowed is what a steel rule cannot show: 0.05 mm on a sheet, 0.1 mm over joined ones. Where on a
//! sheet a line is looked for is taken from the layout, to within some millimetres; where it is comes from the picture.

use kurbo::{Point, Vec2};
use ribline_geometry::bench::print::wish::{Drawn, DrawnSet, Pages, Paper, Part, PrintWish};
use ribline_geometry::bench::print::{
    Day, Laid, OffsetRow, OffsetTable, lay_frame, lay_mould, lay_plate, offset_table,
};
use ribline_geometry::bench::shapes::Segment;
use ribline_geometry::capture::FrameSheet;
use ribline_geometry::mould::mould;
use ribline_geometry::outline::{Corner, Outline, Run, Side};
use ribline_geometry::project::Project;
use ribline_geometry::reconcile::reconcile;
use ribline_geometry::reconcile::report::Reconciled;
use ribline_tests::printed::Printed;
use ribline_tests::prints::{cello, violin};
use ribline_tests::scan::Scan;

pub const DAY: Day = Day { year: 2026, month: 3, day: 9 };
const ON_A_SHEET: f64 = 0.05;
const OVER_JOINS: f64 = 0.1;

pub fn solved(project: &Project) -> Reconciled {
    reconcile(&project.trace, &project.recipe, &project.wish).expect("an invented trace")
}

/// The project with its print changed so.
pub fn with(project: &Project, change: impl FnOnce(&mut PrintWish)) -> Project {
    let mut bench = project.bench_wish();
    change(&mut bench.print);
    // Without a button the printed line is the outline alone.
    bench.button = None;
    Project { bench: Some(bench), ..project.clone() }
}

pub fn printed(laid: &Laid) -> Printed {
    Printed::new(&laid.pdf(DAY).expect("a file"))
}

const BARS: [(&str, [Vec2; 2]); 3] = [
    ("across", [Vec2::new(1.0, 0.0); 2]),
    ("up", [Vec2::new(0.0, 1.0); 2]),
    ("slanting", [Vec2::new(3.0, 4.0), Vec2::new(3.0, -4.0)]),
];

#[test]
fn every_bar_of_every_page_is_a_hundred_millimetres_long() {
    let project = violin();
    let result = solved(&project);
    for (pages, part) in [(Pages::Sheets(Paper::A4), Part::Whole), (Pages::One, Part::Half(Side::Right))] {
        let project = with(&project, |print| (print.pages, print.part) = (pages, part));
        let laid = lay_plate(&project, &result).expect("a print");
        let file = printed(&laid);
        for page in 1..=laid.pages() {
            let scan = file.scan(page, 600);
            for (name, directions) in BARS {
                let bar = directions.into_iter().find_map(|direction| scan.bar(direction));
                // A sheet full of lines may have no room for all three; the page that is measured first has them all.
                let Some(bar) = bar else {
                    assert!(page > 1 && name == "slanting", "{pages:?}, page {page}: no bar {name}");
                    continue;
                };
                assert!((bar - 100.0).abs() < ON_A_SHEET, "{pages:?}, page {page}: {bar} mm {name}");
            }
        }
    }
}

#[test]
fn a_correction_for_the_printer_stretches_each_way_by_its_own_part() {
    let measured = [97.0, 99.0];
    let project = with(&violin(), |print| {
        print.measured = measured;
        print.drawn = DrawnSet::of([Drawn::Edge]);
        print.pages = Pages::One;
    });
    let result = solved(&project);
    let laid = lay_plate(&project, &result).expect("a print");
    let file = printed(&laid);
    let scan = file.scan(1, 600);
    let [across, up] = measured.map(|mm| 100.0 / mm);
    for (name, bar, wanted) in [
        ("across", scan.bar(Vec2::new(1.0, 0.0)), 100.0 * across),
        ("up", scan.bar(Vec2::new(0.0, 1.0)), 100.0 * up),
    ] {
        let bar = bar.expect("a bar");
        assert!((bar - wanted).abs() < ON_A_SHEET, "{name}: {bar} mm, {wanted} wanted");
    }
    // What such a printer makes of it is the plate.
    let [width, length] = extent(&scan, &laid, &result.edge.outline, [across, up]);
    let bounds = result.edge.outline.bounds();
    assert!((width / across - bounds.width()).abs() < ON_A_SHEET, "{width} mm wide");
    assert!((length / up - bounds.height()).abs() < ON_A_SHEET, "{length} mm long");
    assert!(file.text(1).contains("1.0309") && file.text(1).contains("1.0101"));
}

#[test]
fn the_printed_edge_is_as_wide_and_as_long_as_the_plate_and_lies_on_it_all_round() {
    for (project, per_inch) in [(violin(), 600), (cello(), 300)] {
        let project = with(&project, |print| {
            print.pages = Pages::One;
            print.drawn = DrawnSet::of([Drawn::Edge]);
        });
        let result = solved(&project);
        let laid = lay_plate(&project, &result).expect("a print");
        let scan = printed(&laid).scan(1, per_inch);
        let (width, height) = laid.tiling.form.size;
        assert!((scan.size().0 - width).abs() < 0.2 && (scan.size().1 - height).abs() < 0.2);
        let outline = &result.edge.outline;
        let [across, up] = extent(&scan, &laid, outline, [1.0, 1.0]);
        let bounds = outline.bounds();
        assert!((across - bounds.width()).abs() < ON_A_SHEET, "{}: {across} mm wide", project.title);
        assert!((up - bounds.height()).abs() < ON_A_SHEET, "{}: {up} mm long", project.title);
        for (at, normal) in along(outline, 3.0) {
            let off = scan.middle_of_line(on_page(&laid, 0, at, [1.0, 1.0]), normal, 1.5).expect("the edge");
            assert!(off.abs() < ON_A_SHEET, "{}: {off} mm at {at}", project.title);
        }
    }
}

#[test]
fn sheets_laid_together_by_their_marks_give_the_one_large_page() {
    for (project, paper) in [(violin(), Paper::A4), (cello(), Paper::A3)] {
        let only_edge = |pages: Pages| {
            with(&project, |print| (print.pages, print.drawn) = (pages, DrawnSet::of([Drawn::Edge])))
        };
        let result = solved(&project);
        let laid = |pages: Pages| lay_plate(&only_edge(pages), &result).expect("a print");
        let (tiled, whole) = (laid(Pages::Sheets(paper)), laid(Pages::One));
        let sheets = printed(&tiled);
        let scans: Vec<Scan> =
            (0..tiled.tiling.tiles.len()).map(|tile| sheets.scan(tiled.first_tile() + tile, 400)).collect();
        assert!(scans.len() > 1);
        let placed = taped_together(&tiled, &scans);
        let one = printed(&whole).scan(1, 400);

        let mut pairs: Vec<(Point, Point)> = Vec::new();
        for (at, normal) in along(&result.edge.outline, 3.0) {
            let place = on_page(&whole, 0, at, [1.0, 1.0]);
            let there = place + one.middle_of_line(place, normal, 1.5).expect("the edge") * normal;
            for (tile, scan) in scans.iter().enumerate() {
                if tiled.tiling.kept(tile).inset(-2.0).contains(at) {
                    let place = on_page(&tiled, tile, at, [1.0, 1.0]);
                    // A join line or a mark beside the edge would draw its middle away.
                    let clear = tiled.tiling.joins.iter().all(|join| {
                        !join.between.contains(&tile)
                            || (at - join.line[0]).dot(join.inwards(tile)).abs() > 4.0
                    });
                    if clear {
                        let off = scan.middle_of_line(place, normal, 1.5).expect("the edge");
                        pairs.push((placed[tile].of(place + off * normal), there));
                    }
                }
            }
        }
        assert!(pairs.len() > 200);
        let laid_over = Motion::fitted(&pairs);
        for (here, there) in &pairs {
            let off = laid_over.of(*here).distance(*there);
            assert!(off < OVER_JOINS, "{}: {off} mm at {there}", project.title);
        }
    }
}

#[test]
fn each_half_of_a_mould_lies_where_the_mould_does() {
    let project = violin();
    let drawn = project.recipe.evaluate().expect("a sound recipe");
    let made = mould(&project.recipe, &drawn, project.wish.overhang, &project.mould_wish()).expect("a mould");
    for side in Side::BOTH {
        let project = with(&project, |print| {
            print.pages = Pages::One;
            print.part = Part::Half(side);
            print.drawn = DrawnSet::of([Drawn::Edge]);
        });
        let laid = lay_mould(&project, &made).expect("a print");
        let scan = printed(&laid).scan(1, 600);
        let arcs = made.outline.segments.iter().filter_map(|segment| match segment {
            Segment::Arc(arc) if arc.length() > 20.0 => Some(arc),
            _ => None,
        });
        let places: Vec<(Point, Vec2)> = arcs
            .flat_map(|arc| [0.3, 0.5, 0.7].map(|t| (arc.at(t), (arc.at(t) - arc.centre) / arc.radius)))
            .filter(|(at, _)| at.x * side.sign() > 5.0)
            .collect();
        assert!(places.len() > 12);
        for (at, across) in places {
            let off = scan.middle_of_line(on_page(&laid, 0, at, [1.0, 1.0]), across, 1.0).expect("the mould");
            assert!(off.abs() < ON_A_SHEET, "{side:?}: {off} mm at {at}");
        }
    }
}

/// Width and height of the printed line, by the middle of the line at its four outermost places.
fn extent(scan: &Scan, laid: &Laid, outline: &Outline, scale: [f64; 2]) -> [f64; 2] {
    let samples = along(outline, 0.2);
    let outermost = |way: Vec2| {
        let far = |at: &Point| at.to_vec2().dot(way);
        let (at, _) = samples.iter().max_by(|a, b| far(&a.0).total_cmp(&far(&b.0))).expect("an outline");
        let place = on_page(laid, 0, *at, scale);
        (place + scan.middle_of_line(place, way, 1.5).expect("the edge") * way).to_vec2().dot(way)
    };
    [Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)].map(|way| outermost(way) + outermost(-way))
}

/// Places along the runs, away from the corners by so much, with the direction across the line.
fn along(outline: &Outline, apart: f64) -> Vec<(Point, Vec2)> {
    /// Nearer to a corner its cut would be seen beside the line, mm.
    const CLEAR: f64 = 3.0;
    let corners = Corner::ALL.map(|corner| outline.cut(corner));
    let clear = |at: Point| corners.iter().all(|(a, b)| at.distance(*a).min(at.distance(*b)) > CLEAR);
    let samples = Run::ALL.into_iter().flat_map(|run| outline.run(run).sampled(apart));
    samples
        .filter(|(at, _)| clear(*at))
        .map(|(at, heading)| (at, Vec2::new(-heading.sin(), heading.cos())))
        .collect()
}

/// Where a place of the drawing is on a page, mm from the upper left corner.
fn on_page(laid: &Laid, tile: usize, at: Point, [x, y]: [f64; 2]) -> Point {
    let form = &laid.tiling.form;
    let place = at - laid.tiling.tiles[tile].window.origin() + form.window.origin().to_vec2();
    Point::new(place.x * x, (place.y - form.size.1) * y)
}

/// A turn and a shift of a sheet of paper on the bench.
#[derive(Clone, Copy, PartialEq)]
struct Motion {
    angle: f64,
    shift: Vec2,
}

impl Motion {
    const NONE: Motion = Motion { angle: 0.0, shift: Vec2::ZERO };

    fn of(self, at: Point) -> Point {
        let (s, c) = self.angle.sin_cos();
        Point::new(c * at.x - s * at.y, s * at.x + c * at.y) + self.shift
    }

    /// That which lays one of each pair on the other as well as can be. Source: Kabsch, "A solution for the best rotation to
    /// relate two sets of vectors", Acta Crystallographica A32 (1976), in the plane.
    fn fitted(pairs: &[(Point, Point)]) -> Motion {
        let mean = |of: fn(&(Point, Point)) -> Point| {
            (pairs.iter().map(|pair| of(pair).to_vec2()).fold(Vec2::ZERO, |a, b| a + b) / pairs.len() as f64)
                .to_point()
        };
        let (here, there) = (mean(|p| p.0), mean(|p| p.1));
        let (mut dot, mut cross) = (0.0, 0.0);
        for (a, b) in pairs {
            dot += (*a - here).dot(*b - there);
            cross += (*a - here).cross(*b - there);
        }
        let turned = Motion { angle: cross.atan2(dot), shift: Vec2::ZERO };
        Motion { shift: there - turned.of(here), ..turned }
    }

    fn after(self, first: Motion) -> Motion {
        let shift = self.of(first.shift.to_point()).to_vec2();
        Motion { angle: self.angle + first.angle, shift }
    }
}

/// Lays each sheet on one that lies already, mark on mark, and checks that the marks are equally far apart on both.
fn taped_together(laid: &Laid, scans: &[Scan]) -> Vec<Motion> {
    let tiling = &laid.tiling;
    let marks = |tile: usize, join: usize| {
        tiling.joins[join].marks.each_ref().map(|mark| {
            scans[tile].centre_of_mark(on_page(laid, tile, mark.at, [1.0, 1.0]), tiling.mark_size())
        })
    };
    let mut placed = vec![None; scans.len()];
    placed[0] = Some(Motion::NONE);
    while placed.contains(&None) {
        let next = tiling.joins.iter().enumerate().find_map(|(k, join)| {
            let [a, b] = join.between;
            match (placed[a], placed[b]) {
                (Some(motion), None) => Some((k, a, motion, b)),
                (None, Some(motion)) => Some((k, b, motion, a)),
                _ => None,
            }
        });
        let (join, lies, motion, other) = next.expect("sheets that hang together");
        let (own, new) = (marks(lies, join), marks(other, join));
        let apart = own[0].distance(own[1]) - new[0].distance(new[1]);
        assert!(
            apart.abs() < ON_A_SHEET,
            "the marks of join {join} are {apart} mm further apart on one sheet"
        );
        let on_its_fellow = Motion::fitted(&[(new[0], own[0]), (new[1], own[1])]);
        placed[other] = Some(motion.after(on_its_fellow));
    }
    placed.into_iter().flatten().collect()
}

/// What is photographed with the board is what everything taken from the photo is measured by.
#[test]
fn the_marks_of_the_printed_frame_lie_where_the_page_takes_them_to_lie() {
    let project = with(&violin(), |print| print.pages = Pages::One);
    let sheet = FrameSheet::around_body(355.0, 208.0).expect("a frame");
    let laid = lay_frame(&project, &sheet).expect("a print");
    let file = printed(&laid);
    let scan = file.scan(1, 600);
    let form = &laid.tiling.form;
    let shift = form.window.origin() - laid.tiling.tiles[0].window.origin();
    let found = sheet.marks().map(|mark| {
        let on_page = mark + shift;
        scan.centre_of_mark(Point::new(on_page.x, on_page.y - form.size.1), 11.0)
    });
    for (k, mark) in sheet.marks().into_iter().enumerate() {
        for (l, other) in sheet.marks().into_iter().enumerate() {
            let (wanted, is) = (mark - other, found[k] - found[l]);
            assert!((wanted - is).hypot() < ON_A_SHEET, "{k} to {l}: {is:?}, not {wanted:?}");
        }
    }
    let text = file.text(1);
    assert!(text.contains("270 mm across and 420 mm up") && text.contains("Cut on a mat"), "{text}");
}

#[test]
fn a_frame_on_sheets_has_every_mark_and_a_page_to_be_measured_first() {
    let project = with(&violin(), |print| print.pages = Pages::Sheets(Paper::A4));
    let sheet = FrameSheet::around_body(355.0, 208.0).expect("a frame");
    let laid = lay_frame(&project, &sheet).expect("a print");
    let file = printed(&laid);
    assert_eq!((file.pages(), laid.first_tile()), (laid.pages(), 2));
    for mark in sheet.marks() {
        assert!(laid.tiling.tiles.iter().any(|tile| tile.window.contains(mark)), "{mark}");
    }
}

#[test]
fn every_row_of_the_blank_table_of_offsets_is_printed() {
    let row = |k: usize| OffsetRow { what: String::new(), height: (10 * k).to_string() };
    let corner = OffsetRow { what: "lower corner".to_owned(), height: String::new() };
    let rows: Vec<OffsetRow> = (1..=100).map(row).chain([corner]).collect();
    let columns = ["Of", "Height", "Left", "Right"];
    let table =
        OffsetTable { title: "Offsets", note: "All in mm.", of_plate: "Back or front", columns, rows: &rows };
    for (pages, size) in
        [(Pages::Sheets(Paper::A4), (595.28, 841.89)), (Pages::Sheets(Paper::Tabloid), (612.0, 792.0))]
    {
        let pdf = offset_table(&table, &PrintWish { pages, ..PrintWish::default() }, DAY).expect("a table");
        let file = Printed::new(&pdf);
        let words: Vec<String> = (1..=file.pages())
            .flat_map(|page| {
                let (words, is) = file.words(page);
                assert!((is.0 - size.0).abs() < 0.1 && (is.1 - size.1).abs() < 0.1, "{is:?}");
                words.into_iter().map(|word| word.text)
            })
            .collect();
        for row in &rows {
            assert!(words.contains(&row.height) || row.height.is_empty(), "{}", row.height);
        }
        assert!(words.iter().any(|word| word == "corner") && words.iter().any(|word| word == "front"));
    }
}
