//! English.

pub(super) mod bench;
pub mod capture;
pub(super) mod class;
pub(super) mod mould;
pub(super) mod recipe;
pub(super) mod replay;
pub(super) mod split;
pub(super) mod teach;

use super::capital;
use super::{
    DrawingWords, EdgeWords, ExampleWords, FileWords, NumberWords, ReadoutWords, RibsWords, SetOutWords,
    StorageWords, StripWords, Words, WorkerWords,
};
use crate::drawing::Grade;
use crate::number::figure;
use crate::showing::{Layer, Step};
use crate::store::{ChangeKind, PinName};
use ribline_geometry::outline::{Bout, Corner, FaceUp, Plate, Run, Side, StringSide};
use ribline_geometry::project::FILE_LIMIT;
use ribline_geometry::recipe::Instrument;
use ribline_geometry::reconcile::Traced;

pub static ENGLISH: Words = Words {
    decimal_point: ".",
    stopped: "The page has stopped at a fault of its own. Your work is kept in this browser as it was before: reload the page to go on from there.",
    part_missing: "A part of the page that is wanted here could not be fetched. Your work is unharmed. Check the connection and try again; if you are connected and it still is not to be had, the page has been renewed meanwhile: reload it.",
    fetch_again: "Try again",
    corner: |corner| format!("{} {} corner", side(corner.side()), end(corner)),
    corner_short: |corner| {
        let text = format!("{} {}", side(corner.side()), end(corner));
        capital(&text)
    },
    refused: whole_sentence,
    refused_kept: |why| format!("{} The drawing is still the last good one.", whole_sentence(why)),
    number: NumberWords {
        empty: "Enter a number.",
        not_a_number: "This is not a number; write it like 2.6 or 2,6.",
        outside: |least, most, unit| {
            let space = if unit.is_empty() { "" } else { " " };
            format!("This can be from {least} to {most}{space}{unit}.")
        },
    },
    strip: StripWords {
        steps: "Steps of the job",
        step: |step| match step {
            Step::SetOut => "Set out",
            Step::Ribs => "Ribs",
            Step::Edge => "Edge",
            Step::Bench => "Bench",
            Step::Teach => "Teach",
        },
        way_back: "Back and forward",
        nothing_to_undo: "Nothing to take back",
        nothing_to_redo: "Nothing to do again",
        undo_of: |kind| format!("Take back: {}", change(kind)),
        redo_of: |kind| format!("Do again: {}", change(kind)),
    },
    drawing: DrawingWords {
        title: "Drawing of the plate, to scale",
        keys: "Plus and minus enlarge and reduce, nought shows all, the arrow keys move the board. Tab goes to the arcs, \
               the points, the pins and the corners: arrow keys go from arc to arc; Page Up and Page Down from point to point; \
               on a point, pin or corner the arrow keys move it by 0.1 mm, with Shift by 1 mm.",
        untitled: "Untitled plate",
        recipe_itself: "The recipe itself, at its own length",
        face: |face| match (face.plate, face.up) {
            (Plate::Back, FaceUp::Inside) => "Back, inside face up",
            (Plate::Back, FaceUp::Outside) => "Back, outside face up",
            (Plate::Front, FaceUp::Inside) => "Front, inside face up",
            (Plate::Front, FaceUp::Outside) => "Front, outside face up",
        },
        side: |side| match side {
            StringSide::Bass => "bass side",
            StringSide::Treble => "treble side",
        },
        body_length: "Body length",
        arcs: "Arcs of the edge",
        points: "Traced points",
        arc_label: |name, side, radius| format!("{}, radius {} mm", arc_name(name, side), figure(radius, 1)),
        point_label: |line, overhang| format!("Point of line {line}, overhang {} mm", figure(overhang, 2)),
        pin: |pin| match pin {
            PinName::Lower => "Lower pin",
            PinName::Upper => "Upper pin",
        },
        corner_label: |corner, width, beyond| {
            format!(
                "{}, {} mm wide, {} mm beyond the ribs' corner",
                capital(&(ENGLISH.corner)(corner)),
                figure(width, 1),
                figure(beyond, 1)
            )
        },
        zoom: "Size of the drawing",
        larger: "Enlarge",
        smaller: "Reduce",
        all: "Show all",
        layers: "Drawn",
        layer: |layer| match layer {
            Layer::Grid => "millimetre grid",
            Layer::Inks => "arcs in two inks",
            Layer::Centres => "centres",
            Layer::Ribbon => "overhang",
            Layer::Points => "traced points",
            Layer::Photo => "the photo",
        },
        exaggerated: |of_ribs, times| {
            let what = if of_ribs { "Overhang" } else { "Distance" };
            if times > 1.0 {
                format!("{what}, drawn {times:.0} times as wide")
            } else {
                format!("{what}, drawn to scale")
            }
        },
        grade: |grade| match grade {
            Grade::Thin => "thin",
            Grade::RatherThin => "rather thin",
            Grade::Even => "as wanted",
            Grade::RatherFull => "rather full",
            Grade::Full => "full",
        },
        overhang_figure: |mm, grade| match grade {
            Grade::Thin => format!("{mm} thin"),
            Grade::Full => format!("{mm} full"),
            _ => mm.to_string(),
        },
    },
    readout: ReadoutWords {
        hint: "Point at an arc, a point, a pin or a corner to read its figures here. Points, pins and corners can be dragged.",
        mould_hint: "The inside mould, its holes and the recesses for the blocks; around it the ribs and the edge. Crosses mark where pins meet the end blocks.",
        recipe_hint: "The circles of the recipe, struck on the right half and mirrored on the left. Point at a line, a cross or a sentence: they light up together.",
        arc_name,
        radius: "radius",
        mm: |mm| format!("{mm} mm"),
        mm_sd: |mm, sd| format!("{mm} \u{00B1} {sd} mm"),
        held_at: "held at",
        near: "near to",
        chance: "by chance",
        chance_of: |chance| {
            let percent = 100.0 * chance;
            if percent < 1.0 { "under 1 %".to_string() } else { format!("{percent:.0} %") }
        },
        centre: "centre",
        up_across: |up, across| {
            let side = if across < 0.0 { "left" } else { "right" };
            format!("{} up, {} {side}", figure(up, 1), figure(across.abs(), 1))
        },
        point_name: |line, run| match run {
            Some(run) => format!("Point of line {line}, {}", run_name(run)),
            None => format!("Point of line {line}"),
        },
        overhang: "overhang",
        place: "place",
        judged: "judged",
        left_out: "mis-taken, left out",
        width: "width",
        beyond: "beyond ribs' corner",
        outer_flank: "outer flank",
        waist_flank: "waist flank",
    },
    storage: StorageWords {
        not_kept: "This browser does not let the page keep your work. Save the project as a file under Bench before you leave.",
        photo_not_kept: "The photo is too large for what this browser keeps, and will not be under the drawing when you come back. The line is kept. To keep both, save the project as a file under Bench.",
        other_tab: "This page is open a second time in this browser, and the work was changed there. Only one of the two can be kept: \
                    save this one as a file under Bench, or close it and go on with the other.",
        not_taken: |name, why| format!("\u{201C}{name}\u{201D} was not taken: {why}"),
        let_fall: "Let the file fall anywhere: a traced line as CSV, or a project.",
        understood: "Understood",
        damaged: "The work kept in this browser could not be read. It has been set aside, untouched, for you to save as a file.",
        save_damaged: "Save it as a file",
        forget_damaged: "Throw it away",
    },
    worker: WorkerWords {
        not_loaded: "The part of the page that does this could not be fetched. Check the connection, or whether this browser keeps pages from running workers, and try again. Your work is unharmed.",
        stopped: "The part of the page that does this has stopped at a fault of its own. Your work is unharmed: try again, and if that doesn\u{2019}t help, save it as a file under Bench.",
        not_understood: "Two parts of this page are of different editions. Your work is unharmed: reload the page.",
    },
};

pub static EDGE: EdgeWords = EdgeWords {
    nothing: "Nothing is traced yet. Bring in a line under Ribs, and its edge is drawn here.",
    overhang_range: |traced, min, max| {
        let what = match traced {
            Traced::Ribs => "Overhang",
            Traced::Purfling => "Purfling to edge",
            Traced::Edge => "Outside the traced edge by",
        };
        if min == max { format!("{what} {min} mm") } else { format!("{what} {min} to {max} mm") }
    },
    and_worst: |worst, others| match others {
        0 => format!("; {worst}."),
        1 => format!("; {worst}, and out of tolerance at one more place."),
        _ => format!("; {worst}, and out of tolerance at {others} more places."),
    },
    all_within: |tolerance| format!(", everywhere within {tolerance} mm of what is wanted."),
    closer: |min, max, mean, rms, trace_sd| {
        format!(
            "That is evened out over neighbouring points. Single points have {min} to {max} mm, {mean} mm in the mean, \
             {rms} mm rms off what is wanted; they scatter by {trace_sd} mm about the edge\u{2019}s parallel."
        )
    },
    look_at: "Look at these",
    left_out: |line, overhang| {
        format!(
            "The point of line {line} lies {overhang} mm from the edge, off the line its neighbours make, and was left out; check it, or remove it."
        )
    },
    of_line: |line| format!("Line {line}: "),
    show_point: "Show it",
    remove_point: "Remove it",
    overhang_wanted: "Overhang wanted, in mm",
    bout_name: |bout| match bout {
        Bout::Upper => "Upper bout",
        Bout::Waist => "Waist",
        Bout::Lower => "Lower bout",
    },
    tolerance: "Tolerance",
    overhang_not_used: "Used once ribs are traced: under Ribs another line was chosen.",
    finish: "Finish",
    by_ratio: "By ratio",
    fitted: "As fitted",
    as_recipe: "As the recipe says",
    by_ratio_meaning: "Every radius a simple ratio of the length and widths found on these ribs.",
    fitted_meaning: "Every radius where these ribs put it.",
    as_recipe_meaning: "The recipe\u{2019}s own ratios throughout and both sides alike, to compare with.",
    shared_radii: "One compass setting for both sides",
    extra_arcs: "An extra arc where it earns its place",
    corners: "Corners",
    corners_note: "In mm; across to the right, minus to the left. The ribs' corner is where their two lines would meet; minus is short of it. Drag a corner in the drawing to cut it shorter or longer.",
    corner: "Corner",
    up: "up",
    across: "across",
    width: "wide",
    beyond: "beyond ribs' corner",
    overhang: "overhang",
    outer_flank: "bout",
    waist_flank: "waist",
    direction: "points °",
    cuts: "How each is cut",
    cut_where: "Cut",
    cut_width: "where it is so wide",
    cut_beyond: "so far beyond the ribs' corner",
    cut_width_field: "Width",
    cut_beyond_field: "Beyond",
    lean: "Lean",
    arcs: "Arcs",
    from_pin: "Radii and centres in mm, centres from the lower pin.",
    from_bottom: "Radii and centres in mm, centres from where the traced line crosses the centreline at the bottom.",
    chance_note: "Chance: how often a random length this uncertain would meet a ratio of terms that small.",
    arc: "Arc",
    radius: "radius",
    sd: "\u{00B1}",
    ratio: "ratio",
    near: |ratio| format!("\u{2248}\u{00A0}{ratio}"),
    chance: "chance %",
    chance_figure: |chance| {
        let percent = 100.0 * chance;
        if percent < 1.0 { "< 1".to_string() } else { figure(percent, 0) }
    },
    centre: "centre",
    sweep: "sweep °",
    measures: "Measures",
    measure: "Measure",
    found: "found",
    planned: "planned",
    difference: "difference",
};

pub static FILES: FileWords = FileWords {
    photo_damaged: "The photo kept in this browser is damaged and left out. The line is kept. Open the photo again under Ribs.",
    too_large: |name| {
        format!(
            "\u{201C}{name}\u{201D} is larger than {} MiB; a traced line is far smaller, and so is a project, its photo and all. Choose the right file.",
            FILE_LIMIT >> 20
        )
    },
    unreadable: |name| {
        format!(
            "\u{201C}{name}\u{201D} could not be read. Check that it is a file you may open, and try again."
        )
    },
    no_text: |name| {
        format!(
            "\u{201C}{name}\u{201D} is not a text file, such as a picture would be. Bring a traced line as CSV, or a project saved here."
        )
    },
    drawing: "it is a drawing. Bring it in under Ribs, with \u{201C}From a drawing file\u{201D}.",
};

pub static SET_OUT: SetOutWords = SetOutWords {
    lead: "The recipe lays the edge out with straightedge and compass, every size a simple ratio of another. \
           Your ribs are reconciled with it; their own length and widths decide the sizes.",
    instrument: "Instrument",
    instrument_name,
    recipe: "Recipe",
    changed: |title| format!("{title}, changed"),
    body_length: "Body length in the recipe",
    body_length_note: "For the drawing here. On the plate the length is that of your ribs and their overhang.",
    measures: "Measures",
    measure: "Measure",
    ratio: "Ratio",
    ratio_of: |measure| format!("Ratio for the {measure}"),
};

pub static RIBS: RibsWords = RibsWords {
    lead: "Bring in the line you scribed around the finished ribs, as points in millimetres. Some 20 to 30 points to each of the six runs serve well.",
    plate: "Plate",
    back: "Back",
    front: "Front",
    face_up: "Face up",
    inside: "Inside",
    outside: "Outside",
    sides: |left, right| format!("So the {left} is on the left, and the {right} on the right, neck end up."),
    traced: "What was traced",
    traced_ribs: "Ribs",
    traced_purfling: "Purfling",
    traced_edge: "Edge",
    ribs_meaning: "The outside of the ribs: the edge is laid out with the overhang around it.",
    purfling_meaning: "The middle of a purfling line: the edge is laid out at its distance.",
    edge_meaning: "An edge as it is: the arcs are laid along it.",
    purfling_distance: "Edge to middle of purfling",
    at_the_bench: "Take the line at the bench",
    ways: ["From a photo", "Offsets table", "From a drawing file", "Before scribing", "Traced again"],
    bring_in: "Bring in a line",
    drop_note: "Drop a file anywhere on the page, open one, or paste below. What was here before can be taken back, and the last plate that another took the place of is kept here.",
    open: "Open a file\u{2026}",
    start_afresh: "Start afresh",
    show_example: "Show the example",
    bring_back: "Bring back the work before",
    paste: "Paste points or offsets",
    paste_example: "run,x_mm,y_mm\nlower-right,12.4,0.3\n\u{2026}",
    paste_take: "Take these points",
    taken: |points| format!("{} taken.", count(points, "point")),
    forms: "Forms that are read",
    forms_list: [
        "run,x_mm,y_mm: the run is one of lower-left, waist-left, upper-left, upper-right, waist-right, lower-right, or pin-lower, pin-upper",
        "x_mm,y_mm: the runs are found from the shape",
        "y_mm,left_mm,right_mm: offsets from the centreline; either side may be empty",
        "Cells from a spreadsheet, decimal commas with semicolons, and comment lines that start with # are read too",
    ],
    points: |points| count(points, "point"),
    count_of_run: |run, n| format!("{} {n}", run_name(run)),
    count_unnamed: |n| format!("no run named {n}"),
    table_note: "Enter goes down to the next line. Several lines can be pasted into the last row.",
    line: "Line",
    run: "Run",
    run_name,
    unnamed: "by shape",
    x: "x mm",
    y: "y mm",
    left_out: "left out as mis-taken",
    remove: "Remove",
    remove_line: |line| format!("Remove the point of line {line}"),
    new: "new",
    add: "Add this point",
};

pub static EXAMPLE: ExampleWords = ExampleWords {
    title: "Example (invented): Weir Lane evening class, violin no. 3",
    notes: "An invented example: workshop, class and ribs were made up to show the job. The left waist rib came out a little proud at its middle, and the point of one line was mis-taken.",
};

fn side(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

fn instrument_name(instrument: Instrument) -> &'static str {
    match instrument {
        Instrument::Violin => "Violin",
        Instrument::Viola => "Viola",
        Instrument::Cello => "Cello",
        Instrument::Viol => "Viol",
    }
}

fn end(corner: Corner) -> &'static str {
    if corner.bout() == Bout::Upper { "upper" } else { "lower" }
}

/// What is wrong, as it comes from geometry: some of it begins small and has no stop, to stand within other words.
fn whole_sentence(why: &str) -> String {
    let stop = if why.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{}{stop}", capital(why))
}

fn run_name(run: Run) -> &'static str {
    match (run.side, run.bout) {
        (Side::Left, Bout::Lower) => "lower left",
        (Side::Left, Bout::Waist) => "waist left",
        (Side::Left, Bout::Upper) => "upper left",
        (Side::Right, Bout::Lower) => "lower right",
        (Side::Right, Bout::Waist) => "waist right",
        (Side::Right, Bout::Upper) => "upper right",
    }
}

fn arc_name(name: &str, on: Side) -> String {
    format!("{}, {}", capital(name), side(on))
}

fn count(n: usize, of: &str) -> String {
    match n {
        0 => format!("No {of}s"),
        1 => format!("1 {of}"),
        _ => format!("{n} {of}s"),
    }
}

fn change(kind: ChangeKind) -> &'static str {
    match kind {
        ChangeKind::Title => "title",
        ChangeKind::Notes => "notes",
        ChangeKind::Face => "face",
        ChangeKind::Recipe => "recipe",
        ChangeKind::BodyLength => "body length",
        ChangeKind::Size => "size in the recipe",
        ChangeKind::RecipeText => "about the recipe",
        ChangeKind::Customary => "customary value",
        ChangeKind::Added => "added to the recipe",
        ChangeKind::Removed => "removed from the recipe",
        ChangeKind::Moved => "order of the recipe",
        ChangeKind::Named => "name in the recipe",
        ChangeKind::Placing => "placing of a circle",
        ChangeKind::Outline => "outline of the recipe",
        ChangeKind::Trace => "traced line",
        ChangeKind::Point => "point moved",
        ChangeKind::Split => "points put on another run",
        ChangeKind::PointsAdded => "points added",
        ChangeKind::PointRemoved => "point removed",
        ChangeKind::Pin => "pin moved",
        ChangeKind::Traced => "what was traced",
        ChangeKind::Overhang => "overhang",
        ChangeKind::Tolerance => "tolerance",
        ChangeKind::PurflingDistance => "purfling distance",
        ChangeKind::Finish => "finish",
        ChangeKind::Radii => "compass settings",
        ChangeKind::ExtraArcs => "extra arc",
        ChangeKind::Corner => "corner cut",
        ChangeKind::Mould => "mould",
        ChangeKind::Print => "what is printed",
        ChangeKind::PrinterCorrection => "printer correction",
        ChangeKind::CompassSheet => "compass sheet",
        ChangeKind::Purfling => "purfling",
        ChangeKind::Button => "button",
        ChangeKind::Files => "setting for files",
        ChangeKind::AsCut => "measured on the cut plate",
        ChangeKind::Record => "words of the record",
        ChangeKind::Open => "project opened",
        ChangeKind::StartAfresh => "fresh start",
        ChangeKind::ShowExample => "example shown",
    }
}
