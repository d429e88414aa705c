//! Files for other programs and machines: which lines go into one, and in which form.

use super::dxf::dxf;
use super::mould::{mould_shapes, mould_svg};
use super::plate::{PlateDrawing, plate_drawing};
use super::points::points_csv;
use super::shapes::{Layer, Shapes};
use super::svg::{face_in_words, plate_svg};
use crate::edge::button::ButtonError;
use crate::json::{Name, Named};
use crate::mould::Mould;
use crate::outline::Plate;
use crate::project::Project;
use crate::reconcile::report::Reconciled;

/// What of a plate is in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Content {
    /// All of it.
    Plate,
    /// The closed edge, and what is left outside of it for the file.
    Edge,
    /// The middle of the purfling and the two sides of its channel.
    Purfling,
    Button,
}

impl Content {
    pub const ALL: [Content; 4] = [Content::Plate, Content::Edge, Content::Purfling, Content::Button];

    fn layers(self) -> &'static [Layer] {
        match self {
            Content::Plate => &Layer::ALL,
            Content::Edge => &[Layer::LeftForTheFile, Layer::Edge],
            Content::Purfling => &[Layer::PurflingChannel, Layer::Purfling],
            Content::Button => &[Layer::Button],
        }
    }
}

impl Named for Content {
    const NAMES: &'static [Name<Self>] = &[
        ("plate", Content::Plate),
        ("edge", Content::Edge),
        ("purfling", Content::Purfling),
        ("button", Content::Button),
    ];
}

/// How it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FileForm {
    /// Millimetres, with words and bars to check a print by.
    Svg,
    /// True arcs on layers.
    Dxf,
    /// Points along the lines, `layer,path,x_mm,y_mm`, after a comment that says what they are of.
    Points,
}

impl FileForm {
    pub const ALL: [FileForm; 3] = [FileForm::Svg, FileForm::Dxf, FileForm::Points];

    /// Of a file's name.
    pub fn ending(self) -> &'static str {
        match self {
            FileForm::Svg => "svg",
            FileForm::Dxf => "dxf",
            FileForm::Points => "csv",
        }
    }

    /// What it is called by RFC 2046 and the registry of media types.
    pub fn media_type(self) -> &'static str {
        match self {
            FileForm::Svg => "image/svg+xml",
            FileForm::Dxf => "image/vnd.dxf",
            FileForm::Points => "text/csv",
        }
    }
}

impl Named for FileForm {
    const NAMES: &'static [Name<Self>] =
        &[("svg", FileForm::Svg), ("dxf", FileForm::Dxf), ("points", FileForm::Points)];
}

/// Lines that a machine could follow; the rest of a drawing only tells where it lies.
const FOLLOWED: [Layer; 8] = [
    Layer::LeftForTheFile,
    Layer::Edge,
    Layer::Ribs,
    Layer::PurflingChannel,
    Layer::Purfling,
    Layer::Mould,
    Layer::Recesses,
    Layer::Holes,
];

/// Why there is no such file; worded for a person.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum FileError {
    #[error("A front has no button; choose the back, or another file")]
    FrontHasNoButton,
    #[error("No button is asked for; ask for one under Button, or choose another file")]
    NoButton,
    #[error("{0}")]
    Button(#[from] ButtonError),
}

/// A plate's lines as a file.
///
/// # Errors
/// [`FileError`] where the button alone is wanted and there is none.
pub fn plate_file(
    project: &Project,
    result: &Reconciled,
    content: Content,
    form: FileForm,
) -> Result<String, FileError> {
    let PlateDrawing { shapes, button_refused, .. } = plate_drawing(project, result);
    let wanted = Shapes(shapes.0.into_iter().filter(|l| content.layers().contains(&l.layer)).collect());
    if content == Content::Button && wanted.0.is_empty() {
        return Err(match button_refused {
            Some(refused) => refused.into(),
            None if project.face.plate == Plate::Front => FileError::FrontHasNoButton,
            None => FileError::NoButton,
        });
    }
    Ok(match form {
        FileForm::Svg => plate_svg(project, &wanted),
        FileForm::Dxf => dxf(&wanted, &face_in_words(project)),
        FileForm::Points => points(project, &wanted, &face_in_words(project), content == Content::Button),
    })
}

/// The line as it was traced, in the form in which it is read, and the plate it is of.
pub fn traced_csv(project: &Project) -> String {
    format!("# {}\n{}", face_in_words(project), project.trace.to_csv())
}

/// What a mould's file says that it is of.
const MOULD: &str = "Inside mould";

/// A mould's lines as a file.
pub fn mould_file(project: &Project, mould: &Mould, form: FileForm) -> String {
    match form {
        FileForm::Svg => mould_svg(project, mould),
        FileForm::Dxf => dxf(&mould_shapes(mould), MOULD),
        FileForm::Points => points(project, &mould_shapes(mould), MOULD, false),
    }
}

fn points(project: &Project, shapes: &Shapes, words: &str, button_alone: bool) -> String {
    let spacing = project.bench_wish().point_spacing;
    let layers: &[Layer] = if button_alone { &[Layer::Button] } else { &FOLLOWED };
    points_csv(shapes, layers, spacing, words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::setting::ButtonKind;
    use crate::capture::read_vector;
    use crate::edge::CornerEnd;
    use crate::outline::{Face, FaceUp, Run};
    use crate::recipe::Recipe;
    use crate::recipe::built_in::{plates, violin};
    use crate::reconcile::{Traced, Wish, reconcile};
    use crate::trace::{HowTaken, Trace, TracedPoint};
    use kurbo::{Line, ParamCurveNearest, Point, Vec2};

    fn plate() -> (Project, Reconciled) {
        plate_of(violin())
    }

    fn plate_of(recipe: Recipe) -> (Project, Reconciled) {
        let wish = Wish::customary(&recipe);
        let outline = recipe.evaluate().unwrap().outline;
        let mut trace = Trace::default();
        for run in Run::ALL {
            let ribs = outline.run(run).offset(recipe.customary.overhang).unwrap();
            trace.points.extend(ribs.sampled(ribs.length() / 20.0).into_iter().map(|(at, _)| TracedPoint {
                at,
                run: Some(run),
                side: None,
                line: 1,
                taken: HowTaken::Given,
                sd: None,
            }));
        }
        let result = reconcile(&trace, &recipe, &wish).unwrap();
        (Project::new(recipe, trace, wish), result)
    }

    #[test]
    fn every_file_of_a_plate_says_its_face_in_all_four_cases() {
        let (project, result) = plate();
        for plate in [Plate::Back, Plate::Front] {
            for up in [FaceUp::Inside, FaceUp::Outside] {
                let project = Project { face: Face { plate, up }, ..project.clone() };
                // A back seen on its inside has the bass side left, as has a front on its outside: design, "Words".
                let bass_left = (plate == Plate::Back) == (up == FaceUp::Inside);
                let plate = if plate == Plate::Back { "Back" } else { "Front" };
                let up = if up == FaceUp::Inside { "inside" } else { "outside" };
                let left = if bass_left { "bass" } else { "treble" };
                let face = format!("{plate}, {up} face up, {left} side left");
                for content in [Content::Plate, Content::Edge, Content::Purfling] {
                    for form in FileForm::ALL {
                        let text = plate_file(&project, &result, content, form).unwrap();
                        assert!(text.contains(&face), "{content:?} as {form:?}: {face}");
                    }
                }
                assert!(traced_csv(&project).starts_with(&format!("# {face}\n")));
            }
        }
    }

    #[test]
    fn the_line_that_was_traced_is_read_back_from_its_file() {
        let (project, _) = plate();
        let read = crate::trace::read(&traced_csv(&project)).unwrap();
        assert_eq!(read.points.len(), project.trace.points.len());
        assert!(read.points.iter().zip(&project.trace.points).all(|(a, b)| a.at.distance(b.at) < 1e-6));
    }

    #[test]
    fn a_file_has_the_layers_of_its_content_and_no_other() {
        let (project, result) = plate();
        for (content, layers) in [
            (Content::Edge, &["edge", "left-for-the-file"][..]),
            (Content::Purfling, &["purfling", "purfling-channel"]),
            (Content::Button, &["button"]),
        ] {
            let csv = plate_file(&project, &result, content, FileForm::Points).unwrap();
            let mut found: Vec<&str> =
                csv.lines().skip(2).filter_map(|line| line.split(',').next()).collect();
            found.sort_unstable();
            found.dedup();
            assert_eq!(found, layers, "{content:?}");
        }
    }

    /// An SVG drawing is laid on a sheet of its own, a DXF drawing is not: from a file to the result.
    fn laid(text: &str, form: FileForm, right_foot: Point) -> Vec2 {
        if form == FileForm::Dxf {
            return Vec2::ZERO;
        }
        let (_, feet) = text.split_once("data-button-feet=\"").unwrap();
        let mut numbers = feet.split(['"', ' ']).map(|number| number.parse::<f64>().unwrap());
        right_foot - Point::new(numbers.next().unwrap(), -numbers.next().unwrap())
    }

    #[test]
    fn an_edge_read_back_is_the_edge_without_its_button_and_nothing_else_is_taken() {
        const SPACING: f64 = 1.0;
        for recipe in plates() {
            let (mut project, result) = plate_of(recipe);
            // A viol has one only where it is asked for.
            let mut asked = project.bench_wish();
            asked.choose_button(ButtonKind::HalfRound, &project.recipe);
            project.bench = Some(asked);
            let outline = &result.edge.outline;
            let Some([one, other]) =
                plate_drawing(&project, &result).shapes.0.iter().find_map(|l| l.button_feet)
            else {
                panic!("{}: no button", project.recipe.title)
            };
            for content in [Content::Plate, Content::Edge] {
                for form in [FileForm::Svg, FileForm::Dxf] {
                    let what = format!("{}, {content:?}, {form:?}", project.recipe.title);
                    let text = plate_file(&project, &result, content, form).unwrap();
                    let read = read_vector(text.as_bytes(), SPACING).unwrap();
                    let likely = read.likely();
                    let taken: Vec<_> = read.lines.iter().zip(likely).filter(|(_, likely)| *likely).collect();
                    let [(line, _)] = taken[..] else { panic!("{what}: {} lines are taken", taken.len()) };
                    assert_eq!((line.name.as_str(), line.closed), ("edge", false), "{what}");
                    let shift = laid(&text, form, one);
                    let points: Vec<_> = line.points.iter().map(|at| *at + shift).collect();
                    for at in &points {
                        let from_cut = |end: &CornerEnd| {
                            Line::new(end.outer, end.waist).nearest(*at, 1e-9).distance_sq.sqrt()
                        };
                        let from_runs = outline.nearest(*at).unwrap().1.offset.abs();
                        let off = result.edge.corners.iter().map(from_cut).fold(from_runs, f64::min);
                        assert!(off < 0.01, "{what}: {off} mm at {at:?}");
                    }
                    // All of the edge is there but what the button stands on.
                    for (at, _) in outline.runs.iter().flat_map(|run| run.sampled(SPACING)) {
                        let near = points.iter().map(|p| p.distance(at)).fold(f64::MAX, f64::min);
                        let beneath =
                            at.distance(one).max(at.distance(other)) < one.distance(other) + SPACING;
                        assert!(near < SPACING || beneath, "{what}: {near} mm from {at:?}");
                    }
                }
            }
        }
    }

    #[test]
    fn an_edge_traced_from_its_own_file_is_found_again() {
        let (project, result) = plate();
        let text = plate_file(&project, &result, Content::Edge, FileForm::Dxf).unwrap();
        let read = read_vector(text.as_bytes(), 3.0).unwrap();
        let line = &read.lines[read.likely().iter().position(|likely| *likely).unwrap()];
        let mut trace = Trace::default();
        trace.points.extend(line.points.iter().zip(1..).map(|(at, line)| TracedPoint {
            at: *at,
            run: None,
            side: None,
            line,
            taken: HowTaken::Drawn,
            sd: None,
        }));
        let wish = Wish { traced: Traced::Edge, ..project.wish };
        let again = reconcile(&trace, &project.recipe, &wish).unwrap();
        let outline = &result.edge.outline;
        let mut most: f64 = 0.0;
        for (at, _) in again.edge.outline.runs.iter().flat_map(|run| run.sampled(2.0)) {
            let at = again.frame.to_given(at);
            most = most.max(outline.nearest(at).unwrap().1.offset.abs());
        }
        assert!(most < 0.1, "{most} mm");
    }

    #[test]
    fn a_front_has_no_button_and_says_so() {
        let (mut project, result) = plate();
        project.face = Face { plate: Plate::Front, up: FaceUp::Inside };
        let refused = plate_file(&project, &result, Content::Button, FileForm::Dxf).unwrap_err();
        assert_eq!(refused, FileError::FrontHasNoButton);
        assert!(plate_file(&project, &result, Content::Plate, FileForm::Dxf).is_ok());
    }
}
