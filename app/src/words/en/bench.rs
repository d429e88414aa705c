//! English: what is taken to the bench.

use crate::words::bench::{
    AsCutWords, BenchWords, ButtonWords, CompassWords, FileWords, PrintWords, ProjectWords, PurflingWords,
    RecordWords,
};
use ribline_geometry::bench::compass_sheet::{Mark, OffBoard};
use ribline_geometry::bench::print::wish::Drawn;
use ribline_geometry::bench::setting::BenchSetting;
use ribline_geometry::outline::{FaceUp, Side, StringSide};

pub static BENCH: BenchWords = BenchWords {
    lead: "Print the plate full size, set the compass by its sheet, take files to a machine.",
    nothing: "There is something to take to the bench once there is an edge for the present points and settings. What keeps it is said above, or under Ribs.",
    setting: |setting| match setting {
        BenchSetting::CompassStep => "Rounded to",
        BenchSetting::WoodAround => "Wood of the board around the plate",
        BenchSetting::PurflingWidth => "Width of the channel",
        BenchSetting::PurflingLean(_) => "lean",
        BenchSetting::ButtonWidth => "Width",
        BenchSetting::ButtonHeight => "Height",
        BenchSetting::ButtonFlank => "Straight for",
        BenchSetting::NeckOff => "Neck\u{2019}s line off the centreline",
        BenchSetting::ButtonRoot => "Hollow at the root",
        BenchSetting::LeftForTheFile => "Left outside the edge for the file",
        BenchSetting::PointSpacing => "Points no further apart than",
        BenchSetting::Overlap => "Sheets overlap by",
        BenchSetting::Margin => "Margin the printer needs",
        BenchSetting::MeasuredAcross => "Bar across measures",
        BenchSetting::MeasuredUp => "Bar up measures",
    },
    print: PrintWords {
        heading: "Print at full size",
        lead: "A PDF at 1 : 1, made here on this device, with the face, the date and the scale on every page.",
        of: "Of",
        of_plate: "the plate",
        of_mould: "the mould",
        plate: "Plate",
        back: "Back",
        front: "Front",
        face: |face| {
            let up = match face.up {
                FaceUp::Inside => "Inside face up",
                FaceUp::Outside => "Outside face up",
            };
            let sides = match face.string_side(Side::Left) {
                StringSide::Bass => "bass side left, treble side right",
                StringSide::Treble => "treble side left, bass side right",
            };
            format!("{up}: {sides}. Which face is up is set under Ribs.")
        },
        pages: "On",
        papers: ["A4", "A3", "Letter", "Tabloid", "One large page"],
        part: "How much",
        parts: ["All of it", "Left half", "Right half"],
        drawn: "Drawn on it",
        drawn_name: |drawn, mould| match drawn {
            Drawn::Edge if mould => "mould, recesses, holes",
            Drawn::Edge => "edge",
            Drawn::LeftForTheFile => "what is left for the file",
            Drawn::Ribs => "rib line",
            Drawn::Purfling => "purfling channel",
            Drawn::Corners => "corners, with figures",
            Drawn::Centres => "centres, numbered",
            Drawn::Centreline => "centreline and pins",
            Drawn::Traced => "traced points",
            Drawn::CornersEnlarged => "corners enlarged, on a last page",
        },
        overlap_and_margin: "Overlap and margin",
        margin_note: "Office printers cannot print on some 4 to 6 mm along each side of the paper.",
        laying_out: "Being laid out over the sheets\u{2026}",
        sheets: |sheets, paper| match (sheets, paper) {
            (_, None) => "One page as large as the drawing, for a plotter or a print shop.".to_owned(),
            (1, Some(paper)) => format!("It fits on one sheet of {paper}, after a page to measure."),
            (n, Some(paper)) => {
                format!("{n} sheets of {paper}, after a page to measure; numbered as their pages.")
            }
        },
        map: "How the drawing is laid over the sheets",
        check_first: "Print the page to measure first, at 100 % or \u{201C}actual size\u{201D}, never \u{201C}fit to page\u{201D}. Measure its bars with a steel rule: 100.0 mm each.",
        check_page: "Page to measure (PDF)",
        measure_itself: "It carries bars of 100 mm both ways: measure them before the print is used.",
        type_bars: "A bar off, though printed at 100 %? Type what they measure.",
        no_correction: "Nothing is corrected: prints are made true to scale.",
        correction: |across, up| {
            format!(
                "The next print is corrected: made \u{D7} {across} across and \u{D7} {up} up. Measure the new page to measure again."
            )
        },
        as_printed: "Correct nothing",
        then_print: "Print the sheets the same way. Cut along the dashed lines, join line to line and letter to letter.",
        then_print_one: "Have it printed at 100 %.",
        make: "Make the PDF",
        making: "Being made\u{2026}",
        made: |name, pages, kilobytes| {
            let pages = if pages == 1 { "1 page".to_owned() } else { format!("{pages} pages") };
            format!("{name}: {pages}, {kilobytes} kB.")
        },
        open: "Open in a new tab",
        save: "Save",
        plate_file: "1 to 1",
        mould_file: "mould 1 to 1",
        check_file: "page to measure",
        caution: "Check which face is up before you lay the print on wood: the mirror image is a lost plate.",
    },
    compass: CompassWords {
        heading: "Compass sheet",
        lead: "Every arc in the order of the work. Point at a line to see its arc and centre in the drawing; the numbers there are these.",
        from_pin: "In mm: up from the lower pin, across from the centreline, right positive, minus to the left.",
        from_bottom: "In mm: up from where the traced line crosses the centreline at the bottom, across from the centreline, right positive, minus to the left.",
        step: "Rounded to",
        inches: "Settings in inches as well",
        effect: |step, most, run, rms| {
            format!(
                "Rounded to {step} mm, the arcs leave the edge by {most} mm at most ({}), by {rms} mm as a root mean square.",
                super::run_name(run)
            )
        },
        number: "No.",
        setting: "set to",
        setting_inches: "inches",
        ratio: "ratio",
        near: |ratio| format!("near {ratio}"),
        centre: "centre",
        up: "up",
        across: "across",
        check: "check",
        begins: "begins",
        ends: "ends",
        arc: "Arc",
        set_as: |number| format!("set as for {number}"),
        struck: |[up, across], [end_up, end_across]| {
            format!("From {up} up, {across} across, to {end_up} up, {end_across} across.")
        },
        checks: |checks| format!("Check: {}.", checks.join(", ")),
        check_from: |mark, mm| match mark {
            Mark::Origin => format!("{mm} from the lower pin"),
            Mark::UpperPin => format!("{mm} from the upper pin"),
            Mark::Top => format!("{mm} from the top of the edge"),
            Mark::Centre(number) => format!("{mm} from centre {number}"),
        },
        off_board: |off| format!("Off the board, {}: fix a scrap there.", beyond(off)),
        off_board_short: beyond,
        scrap: "A centre off the board stands on a scrap of the board\u{2019}s thickness, fixed beside it where the sheet says.",
        cuts: "Corners are cut straight, from the outer flank to the waist:",
        corner: "Corner",
        outer: "outer flank",
        waist: "waist flank",
        wide: "wide",
        print: "Print the compass sheet",
        print_note: "The whole table with a drawing of the numbered centres, by the browser\u{2019}s own print.",
        csv: "Compass sheet as CSV",
        csv_file: "compass sheet",
        recipe: |title| format!("Recipe: {title}"),
        order: "Struck in this order, right side before left.",
        day: |day| format!("{}-{:02}-{:02}", day.year, day.month, day.day),
        not_to_scale: "The drawing is not to scale.",
        caution: "Compass points are sharp: keep them capped, and the hand behind them. Strike lightly; try the first arcs on paper. Cut outside the line and finish with file and scraper; mind edge tools, saws and dust. Local rules, the tool\u{2019}s manual and qualified instruction come first.",
    },
    purfling: PurflingWords {
        heading: "Purfling",
        lead: "Drawn on the plate with both sides of its channel.",
        distance: "Edge to its middle",
        corners: "At the corners",
        corners_note: "In mm. Distance: from both flanks to the point of the mitre. Lean: the point moved towards the waist, or with minus towards the bout.",
        corner_distance: "distance",
        corner_lean: "lean",
        all_well: "The lines run clear all the way round and meet in a mitre at each corner.",
        caution: "Try the purfling tool on scrap first; hold the plate, and keep both hands behind the knife.",
    },
    button: ButtonWords {
        heading: "Button",
        front: "A front has no button. These figures are kept for the back.",
        kind: "Form",
        kinds: ["None", "Half round", "Straight flanks"],
        neck_note: "Off the centreline at the top of the plate, to the right; minus to the left. The button stands on that line.",
    },
    files: FileWords {
        heading: "Files for machines",
        lead: "True arcs in millimetres, closed and counter-clockwise, on named layers.",
        content: "Lines",
        contents: ["All of the plate", "Edge", "Purfling", "Button", "Mould"],
        forms: ["SVG", "DXF", "CSV"],
        save_as: |content, form| format!("{content} as {form}"),
        forms_note: "SVG and DXF keep the arcs; CSV is points along the lines. With 0 nothing is left for the file.",
        names: ["plate", "edge", "purfling", "button", "mould"],
        trace: "Traced points as CSV",
        trace_note: "The points and pins as they were given.",
        trace_file: "traced points",
        caution: "A cutter follows what it is given: run it first in air or on scrap, check which face is up, and keep to the machine\u{2019}s manual and guards.",
    },
    as_cut: AsCutWords {
        heading: "As cut",
        lead: "Once the plate is cut: measure the overhang over the ribs at these places, and see it against the plan. The numbers are those of the record\u{2019}s drawing. Leave out what you do not measure.",
        number: "No.",
        place: "Place",
        planned: "planned",
        measured: "measured",
        difference: "off by",
        measured_at: |place| format!("Measured, mm: {place}"),
        not_ribs: "Not the ribs were traced, so the plan is the overhang that was wanted.",
        caution: "Close the callipers gently on the ribs. A gouge or knife at the edge: hold the work, both hands behind the blade.",
    },
    record: RecordWords {
        heading: "Record",
        lead: "One PDF to keep with the instrument: the drawing, the recipe in sentences, the ratios chosen, the line and its error, overhang, corners, what was measured on the cut plate.",
        why: "Why these ratios",
        traced_on: "Traced on",
        cut_on: "Cut on",
        make: "Make the record (PDF)",
        file: "record",
    },
    project: ProjectWords {
        heading: "Project",
        title: "Title",
        notes: "Notes",
        save: "Save project",
        open: "Open project\u{2026}",
        kept: "The work is also kept in this browser as you go. Nothing you enter leaves this device.",
    },
    caution: "Before you cut",
    caution_text: "Check the print\u{2019}s bars against a steel rule, and which face is up: the mirror image is a lost plate. \
                   Hold the work, leave the line when sawing. Saws, gouges, knives and routers cut hands, and wood dust harms the lungs and can burn: \
                   local rules, the tool\u{2019}s own manual and your instruction come before anything shown here.",
};

/// "34 mm beyond its right edge".
fn beyond(off: OffBoard) -> String {
    let one = |mm: f64, more: &str, less: &str| {
        (mm != 0.0).then(|| {
            format!("{:.0} mm beyond its {} edge", mm.abs().ceil(), if mm > 0.0 { more } else { less })
        })
    };
    let parts = [one(off.right, "right", "left"), one(off.up, "upper", "lower")];
    parts.into_iter().flatten().collect::<Vec<_>>().join(" and ")
}
