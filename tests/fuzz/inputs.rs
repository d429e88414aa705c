//! What is done with a file that may hold anything, and what has to hold whatever it holds.
//!
//! The fuzzer calls these functions with inputs of its own making; `tests/tests/fuzzed.rs` calls them with those that
//! once brought something to light.

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use ribline_geometry::bench::svg::edge_svg;
use ribline_geometry::capture::{
    Along, FrameSheet, Mark, Photo, Piece, Squared, Taking, Tone, VectorDrawing, around, follow, how_good,
    picture_size, read_vector, rectangle,
};
use ribline_geometry::class;
use ribline_geometry::edge::{CornerCut, CornerWish};
use ribline_geometry::kurbo::Point;
use ribline_geometry::outline::{Corner, Run};
use ribline_geometry::project::Project;
use ribline_geometry::recipe::{Recipe, built_in};
use ribline_geometry::reconcile::report::{Reconciled, Warning};
use ribline_geometry::reconcile::{Finish, Overhang, Radii, ReconcileError, Traced, Wish, reconcile};
use ribline_geometry::share;
use ribline_geometry::trace::{self, HowTaken, Pins, Trace, TracedPoint};

/// A trace as text, read and reconciled with the violin's recipe.
pub fn trace(bytes: &[u8]) {
    let text = trace::text_of(bytes);
    let trace = match trace::read(&text) {
        Ok(trace) => trace,
        Err(error) => return is_a_sentence(&error.to_string()),
    };
    let again = trace::read(&trace.to_csv()).expect("a trace reads what it writes");
    assert_eq!(
        (places(&again), again.pins),
        (places(&trace), trace.pins),
        "a trace reads back otherwise than written"
    );
    let recipe = built_in::violin();
    let mut wish = Wish::customary(&recipe);
    // Which of the finishes is as good as drawn by lot.
    wish.finish = [Finish::Ratio, Finish::Fitted, Finish::Recipe][bytes.len() % 3];
    reconciled(Project::new(recipe, trace, wish));
}

fn places(trace: &Trace) -> Vec<(Point, Option<Run>, Option<ribline_geometry::outline::Side>)> {
    trace.points.iter().map(|p| (p.at, p.run, p.side)).collect()
}

/// A recipe as text, read, checked and worked, whole and in part, as planned and eased.
pub fn recipe(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let recipe = match Recipe::from_json(text) {
        Ok(recipe) => recipe,
        Err(error) => return is_a_sentence(&error.to_string()),
    };
    let again = Recipe::from_json(&recipe.to_json()).expect("a recipe reads what it writes");
    assert_eq!(again, recipe, "a recipe reads back otherwise than written");
    let faults = recipe.faults();
    for fault in &faults {
        is_a_sentence(&fault.to_string());
    }
    let part = recipe.evaluate_partial();
    for circle in &part.circles {
        assert!(circle.centre.is_finite() && circle.radius > 0.0, "{circle:?}");
    }
    match recipe.evaluate() {
        Ok(drawn) => {
            assert!(
                part.errors.is_empty() && part.whole.is_some(),
                "worked whole but not in part: {:?}",
                part.errors
            );
            for run in &drawn.outline.runs {
                assert!(run.start.is_finite() && run.end().is_finite() && run.length() > 0.0, "{run:?}");
            }
            assert!(drawn.outline.length().is_finite() && drawn.outline.area().is_finite());
        }
        Err(error) => {
            is_a_sentence(&error.to_string());
            assert!(!part.errors.is_empty(), "no fault in part, but {error}");
            assert!(!faults.is_empty(), "no fault on checking, but {error}");
        }
    }
    if let Ok(plan) = recipe.prepared() {
        let longer: Vec<f64> = plan.lengths().iter().map(|mm| 1.01 * mm).collect();
        let eased = vec![[0.3, -0.2]; plan.steps()];
        let _ = plan.evaluate_eased(&longer, &eased).map_err(|error| is_a_sentence(&error.to_string()));
        let _ = plan.evaluate_partial(&longer[..longer.len() / 2], &eased);
        let _ = plan.evaluate_partial(&[f64::NAN; 3], &[]);
    }
    for step in &recipe.steps {
        for choice in step.choices.iter().take(2) {
            let _ = recipe.chosen(&step.name, *choice).map(|other| other.faults());
        }
    }
}

/// A project as text, read and reconciled with its own recipe and wishes.
pub fn project(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let project = match Project::from_json(text) {
        Ok(project) => project,
        Err(error) => return is_a_sentence(&error.to_string()),
    };
    let again = Project::from_json(&project.to_json()).expect("a project reads what it writes");
    assert_eq!(again, project, "a project reads back otherwise than written");
    reconciled(project);
}

/// A link, as a text that may be anything and as a sound envelope around any body.
///
/// The first byte says how it is read: a text, or the body of a link of a version and kind, whose length and checksum are
/// put before it so that what is in it is read at all.
pub fn link(bytes: &[u8]) {
    let Some((&how, rest)) = bytes.split_first() else { return };
    if how < 64 {
        let text = String::from_utf8_lossy(rest);
        let _ = opened(&text);
        for brought in class::brought(&text) {
            if let Err(class::NotBrought { why, .. }) = brought {
                is_a_sentence(&why);
            }
        }
        return;
    }
    let (version, kind) = (1 + (how & 1), (how >> 1 & 3) | (how << 1 & 0x10));
    let mut whole = vec![version, kind];
    let mut length = rest.len();
    while length >= 0x80 {
        whole.push(length as u8 | 0x80);
        length >>= 7;
    }
    whole.push(length as u8);
    whole.extend(crc_32([version, kind].iter().chain(rest)).to_le_bytes());
    whole.extend(rest);
    let _ = opened(&URL_SAFE_NO_PAD.encode(whole));
}

/// What opens is shared again, and opens as the same.
fn opened(text: &str) -> Option<()> {
    let shared = match share::read(text) {
        Ok(shared) => shared,
        Err(error) => {
            is_a_sentence(&error.to_string());
            return None;
        }
    };
    match share::write(&shared) {
        Ok(again) => {
            let back = share::read(&again).expect("a link reads what it writes");
            assert_eq!(back, shared.clone().rounded(), "a link reads back otherwise than written");
        }
        Err(error) => is_a_sentence(&error.to_string()),
    }
    let written = shared.into_project().to_json();
    // A few thousand characters cannot stand for more than so much text.
    assert!(written.len() < 40 << 20, "{} bytes of a link of {}", written.len(), text.len());
    if let Err(error) = Project::from_json(&written) {
        is_a_sentence(&error.to_string());
    }
    Some(())
}

/// CRC-32 bit by bit (RFC 1952, section 8).
fn crc_32<'a>(bytes: impl Iterator<Item = &'a u8>) -> u32 {
    let step = |crc: u32, byte: &u8| {
        (0..8).fold(
            crc ^ u32::from(*byte),
            |crc, _| if crc & 1 == 1 { crc >> 1 ^ 0xedb8_8320 } else { crc >> 1 },
        )
    };
    !bytes.fold(!0, step)
}

/// Points anywhere, named or not, with any wish: what a file has to be mutated long for to hold.
///
/// The first eleven bytes are the wish, then come points of five bytes each: what it is, x and y in tenths of a mm.
pub fn points(bytes: &[u8]) {
    let Some((head, rest)) = bytes.split_first_chunk::<11>() else { return };
    let [kinds, which, lower, waist, upper, cut, lean, off, scale, tolerance, purfling] = head.map(f64::from);
    let pick = |n: u8| head[0] / n;
    let plates = built_in::built_in();
    let Some(recipe) = plates.get(usize::from(head[1]) % plates.len()).cloned() else { return };
    let mm = |byte: f64| byte / 17.0;
    let corner = |k: usize| CornerWish {
        cut: if head[5] % 2 == 0 {
            CornerCut::Width(0.5 + mm(cut))
        } else {
            CornerCut::Beyond(mm(cut) - 5.0)
        },
        lean: (lean - 128.0) / 80.0 * if k == 0 { 1.0 } else { 0.1 },
    };
    let wish = Wish {
        traced: [Traced::Ribs, Traced::Purfling, Traced::Edge][usize::from(pick(1) % 3)],
        overhang: Overhang { lower: mm(lower), waist: mm(waist), upper: mm(upper) },
        tolerance: mm(tolerance) / 3.0,
        purfling_distance: mm(purfling),
        finish: [Finish::Ratio, Finish::Fitted, Finish::Recipe][usize::from(pick(3) % 3)],
        radii: [Radii::Shared, Radii::EachSide][usize::from(pick(9) % 2)],
        extra_arcs: kinds >= 128.0,
        corners: [corner(0), corner(1), corner(2), corner(3)],
    };
    // A few points on the recipe's own outline, so that the others need not make a plate all by themselves.
    let mut points = Vec::new();
    let mut pins = Pins::default();
    let size = 0.5 + scale / 128.0;
    if head[1] < 200
        && let Ok(drawn) = recipe.evaluate()
    {
        for run in Run::ALL {
            let apart = 10.0 + f64::from(head[7] % 64);
            for (at, _) in drawn.outline.run(run).sampled(apart) {
                let at = Point::new(size * at.x + off, size * at.y - which);
                points.push(TracedPoint {
                    at,
                    run: None,
                    side: None,
                    line: points.len() + 1,
                    taken: HowTaken::Given,
                    sd: None,
                });
            }
        }
    }
    for five in rest.chunks_exact(5).take(300) {
        let tenths = |high: u8, low: u8| f64::from(i16::from_be_bytes([high, low])) / 10.0;
        let at = Point::new(tenths(five[1], five[2]), tenths(five[3], five[4]));
        match five[0] {
            0 => pins.lower = Some(at),
            1 => pins.upper = Some(at),
            2 if !points.is_empty() => {
                // Pulls a point away that is there already.
                let k = usize::from(five[2]) % points.len();
                points[k].at += 0.02 * at.to_vec2();
            }
            3 if !points.is_empty() => {
                let k = usize::from(five[2]) % points.len();
                points[k].run = Run::ALL.get(usize::from(five[3])).copied();
            }
            kind => {
                let run = Run::ALL.get(usize::from(kind) / 16).copied();
                points.push(TracedPoint {
                    at,
                    run,
                    side: None,
                    line: points.len() + 1,
                    taken: HowTaken::Given,
                    sd: None,
                });
            }
        }
    }
    let project = Project::new(recipe, Trace { points, pins }, wish);
    reconciled(Project { title: "\"<&>\u{ffff}'".into(), ..project });
}

/// A drawing file as it is, and the size that the head of a picture says.
pub fn drawing(bytes: &[u8]) {
    let _ = picture_size(bytes);
    let spacing = [0.2, 2.0, 50.0][bytes.len() % 3];
    let drawing = match read_vector(bytes, spacing) {
        Ok(drawing) => drawing,
        Err(error) => return is_a_sentence(&error.to_string()),
    };
    let VectorDrawing { lines, .. } = &drawing;
    assert!(!lines.is_empty(), "a drawing without lines is an error");
    for line in lines {
        assert!(line.length.is_finite() && line.length > 0.0 && line.points.len() > 1, "{line:?}");
        assert!(line.points.iter().all(|p| p.is_finite()), "{line:?}");
        let straight: f64 = line.points.windows(2).map(|two| two[0].distance(two[1])).sum();
        // What is sampled is cut short, never drawn out, but for what curves keep to their polylines.
        assert!(straight < 1.001 * line.length + 0.1, "{straight} mm of {} mm", line.length);
    }
    assert!(lines.is_sorted_by(|a, b| a.length >= b.length), "the longest first");
    assert_eq!(read_vector(bytes, spacing).as_ref(), Ok(&drawing), "twice the same");
}

/// A small picture of anything, with taps anywhere.
///
/// The first four bytes are its size and its scale, the next sixteen eight taps, the rest its brightness, over and over.
pub fn photo(bytes: &[u8]) {
    let Some(([width, height, scale, kind], rest)) = bytes.split_first_chunk::<4>() else { return };
    let Some((taps, grey)) = rest.split_first_chunk::<16>() else { return };
    if grey.is_empty() {
        return;
    }
    let (width, height) = (1 + usize::from(*width), 1 + usize::from(*height));
    let pixels = grey.iter().copied().cycle().take(width * height).collect();
    let photo = Photo::new(width, height, pixels).expect("as many as the size says");
    let px_per_mm = (1.0 + f64::from(*scale)) / 16.0;
    // Some of them beyond the picture.
    let place = |two: &[u8]| Point::new(1.25 * f64::from(two[0]) - 25.0, 1.25 * f64::from(two[1]) - 25.0);
    let taps: Vec<Point> = taps.chunks_exact(2).map(place).collect();
    let tone = [None, Some(Tone::Dark), Some(Tone::Light), Some(Tone::Edge)][usize::from(kind % 4)];
    let mut along = Along { taps: vec![taps[0]], pieces: Vec::new() };
    for two in taps.windows(2) {
        along.taps.push(two[1]);
        along.pieces.push(match follow(&photo, two[0], two[1], px_per_mm, tone) {
            Ok(stretch) => {
                assert!(stretch.points.iter().all(|p| p.at.is_finite() && p.sd.is_finite()), "{stretch:?}");
                assert!(stretch.way.iter().all(|p| p.is_finite()), "{stretch:?}");
                assert!(stretch.sd().is_finite());
                Piece::Followed(stretch)
            }
            Err(error) => {
                is_a_sentence(&error.to_string());
                Piece::Tapped
            }
        });
    }
    let four = [taps[0], taps[2], taps[4], taps[6]];
    let sides = (20.0 + 3.0 * taps[1].x.abs(), 20.0 + 3.0 * taps[1].y.abs());
    let ways = [
        FrameSheet::new(sides.0, sides.1).and_then(|sheet| Ok(Squared::by_frame(&photo, four, &sheet)?.0)),
        rectangle(sides.0, sides.1).and_then(|board| {
            let marks: Vec<Mark> =
                around(four).into_iter().zip(board).map(|(photo, board)| Mark { photo, board }).collect();
            Squared::by_marks(&marks, photo.size(), &[taps[3].x, f64::NAN])
        }),
        Squared::by_pins(taps[0], taps[1], sides.0),
        Squared::by_resolution(sides.1, photo.size()),
    ];
    let mut taking = Taking { corners: [0, 1, 2, 3].map(|k| Some(four[k])), ..Taking::default() };
    taking.runs[usize::from(kind % 6)] = along;
    for squared in ways {
        let squared = match squared {
            Ok(squared) => squared.roughly_tapped(&four, px_per_mm),
            Err(error) => {
                is_a_sentence(&error.to_string());
                continue;
            }
        };
        for remark in &squared.remarks {
            is_a_sentence(&remark.to_string());
        }
        assert!(squared.px_per_mm > 0.0 && squared.sd >= 0.0 && squared.tilt.is_finite(), "{squared:?}");
        let trace = taking.trace(&squared);
        assert!(
            trace.points.iter().all(|p| p.at.is_finite() && p.sd.is_some_and(|sd| sd >= 0.0)),
            "{trace:?}"
        );
        let good = how_good(&trace, HowTaken::Tapped);
        assert!(good.is_none_or(|(count, sd)| count > 0 && sd >= 0.0));
    }
    let _ = (taking.misplaced(), taking.doubtful());
}

/// Reconciles, and holds the result to what every result has to be.
fn reconciled(project: Project) {
    match reconcile(&project.trace, &project.recipe, &project.wish) {
        Err(error) => {
            // Told by the recipe's own sentences, with names of the maker's choosing in them.
            let named = matches!(error, ReconcileError::Recipe(_) | ReconcileError::CircleMissing(_));
            if !named {
                is_a_sentence(&error.to_string());
            }
        }
        Ok(result) => {
            is_drawable(&result);
            let svg = edge_svg(&project, &result);
            assert!(!svg.contains("NaN") && !svg.contains("inf"), "no numbers in the drawing");
            for warning in &result.warnings {
                is_a_sentence(&warning.to_string());
            }
        }
    }
}

/// A closed line of arcs that a compass can strike, and figures that are figures.
fn is_drawable(result: &Reconciled) {
    assert!(result.frame.origin.is_finite() && result.frame.angle.is_finite(), "{:?}", result.frame);
    let outline = &result.edge.outline;
    for (run, arc) in outline.arcs() {
        let sound =
            arc.centre.is_finite() && arc.radius.is_finite() && arc.radius > 0.0 && arc.sweep.is_finite();
        assert!(sound, "{run}: {arc:?}");
    }
    for corner in Corner::ALL {
        let end = &result.edge.corners[corner.index()];
        let (first, last) = outline.cut(corner);
        let fits = |a: Point, b: Point| {
            (a.distance(end.outer) < 1e-6 && b.distance(end.waist) < 1e-6)
                || (a.distance(end.waist) < 1e-6 && b.distance(end.outer) < 1e-6)
        };
        assert!(
            fits(first, last),
            "{corner}: the cut is not where the corner ends: {end:?}, {first}, {last}"
        );
        assert!(end.width.is_finite() && end.heading.is_finite() && end.beyond_ribs.is_finite(), "{end:?}");
    }
    for measure in &result.measures {
        assert!(measure.found.is_finite() && measure.sd.is_finite(), "{measure:?}");
    }
    for point in &result.points {
        assert!(point.overhang.is_finite() && point.foot.is_finite(), "{point:?}");
    }
    for arc in &result.arcs {
        assert!(arc.radius_sd.is_finite(), "{arc:?}");
        if let Some(reading) = &arc.reading {
            assert!((0.0..=1.0).contains(&reading.chance), "{reading:?}");
        }
    }
    let seams = [(2, 3), (5, 0)];
    for (end, start) in seams {
        let apart = outline.runs[end].end().distance(outline.runs[start].start);
        let told = result.warnings.iter().any(|w| matches!(w, Warning::NotSettled));
        assert!(apart < 1e-6 || told, "the edge is open by {apart} mm on the centreline");
    }
}

fn is_a_sentence(text: &str) {
    assert!(!text.is_empty() && !text.contains("NaN"), "{text:?}");
}
