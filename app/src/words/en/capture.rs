use crate::words::capture::{AgainWords, BeforeWords, CaptureWords, DrawingWords, OffsetWords, PhotoWords};
use ribline_geometry::capture::{Doubt, Misplaced, UnitTaken};
use ribline_geometry::outline::{Bout, Corner, Run, Side};

fn side(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

fn bout(bout: Bout) -> &'static str {
    match bout {
        Bout::Lower => "lower bout",
        Bout::Waist => "waist",
        Bout::Upper => "upper bout",
    }
}

fn corner_name(corner: Corner) -> String {
    let end = if corner.bout() == Bout::Lower { "lower" } else { "upper" };
    format!("{} {end} corner", side(corner.side()))
}

fn run(run: Run) -> String {
    format!("{}, {}", bout(run.bout), side(run.side))
}

/// What is measured in a row of offsets.
const WHAT: [&str; 4] = ["place", "lower corner", "upper corner", "hook"];

pub static CAPTURE: CaptureWords = CaptureWords {
    close: "Close",
    back: "Back to the page",
    no_picture: "The picture is no longer there. Open it again.",
    photo: PhotoWords {
        title: "The line from a photo",
        lead: "Photograph or scan the board with the scribed line, neck end up if you can. The picture stays on this device.",
        better: "Best from far off with a longer lens, over the middle of the board, with the marks lying in the plane of the board.",
        open: "Open a picture",
        camera: "Take a photo",
        drop: "or drop or paste it here",
        go_on: |name| format!("Go on with {name}"),
        not_kept: "This browser has no room to keep the photo: take the line before you close or reload the page.",
        unpacking: "Unpacking the picture\u{2026}",
        handing: |percent| format!("Reading the picture, {percent} %"),
        too_many_pixels: |megapixels| {
            format!(
                "The picture has {megapixels} megapixels, more than this page has room for. Save it at half its size, up to 64 megapixels: 8 pixels to the millimetre are plenty."
            )
        },
        not_a_picture: "This file cannot be shown as a picture. Choose a JPEG, PNG or WebP picture.",
        cut_off: "The picture is damaged or breaks off part way. Copy it again from the camera, or save it again as a JPEG or PNG.",
        no_memory: "There is not enough memory for the picture. Close other pages, or save it at half its size.",
        turn: "Turn",
        mirror: "Mirror",
        another: "Another picture",
        larger: "Enlarge",
        smaller: "Reduce",
        all: "Show all",
        scale_from: "Scale from",
        frame: "the printed frame",
        rectangle: "a rectangle of my own",
        pins: "the two pins",
        scan: "a scan",
        frame_note: "Lay the frame flat around the ribs, at the height of the line. Check the 100 mm bar on the print with a rule, and measure the frame from mark to mark if it is off.",
        frame_sheet: "Save the frame to print",
        frame_file: "ribline-frame",
        width: "Width from mark to mark",
        height: "Height from mark to mark",
        diagonal: "One diagonal, if measured",
        other_diagonal: "The other diagonal",
        distance: "Distance of the pins",
        dots: "Resolution of the scan",
        tap_mark: |k| format!("Tap the four corner marks. {k} of 4 done."),
        no_distance: "Type the distance of the pins as you measured it.",
        no_dots: "Type the resolution that the scanner was set to.",
        tap_lower_pin: "Tap the lower pin.",
        tap_upper_pin: "Tap the upper pin.",
        tap_corner: |corner| format!("Tap the {} of the ribs, exactly.", corner_name(corner)),
        tap_bottom: "Tap the line at the bottom of the centreline.",
        tap_top: "Tap the line at the top of the centreline, the neck end.",
        tap_via: "Where the followed line leaves yours, tap your line there. Drag any tap to move it.",
        scan_ready: "A scan needs no marks.",
        scale_ready: "The photo is squared up.",
        squaring: "Looking for the marks\u{2026}",
        squared: |px_per_mm, tilt, residual, sd| {
            let residual = residual.map_or(String::new(), |mm| format!(" The marks agree to {mm} mm."));
            format!(
                "{px_per_mm} pixels to the millimetre, {tilt}° off square.{residual} A place is known to {sd} mm."
            )
        },
        to_line: "To the line",
        to_scale: "Back to the scale",
        no_pins: "There are no pins",
        take_back: "Take back",
        remove: "Remove",
        tone: "The line is",
        tone_found: "as found",
        tone_dark: "dark",
        tone_light: "light",
        tone_edge: "a border",
        tone_none: "not followed",
        following: |count| {
            if count == 1 {
                "Following the line\u{2026}".to_string()
            } else {
                format!("Following {count} stretches\u{2026}")
            }
        },
        not_followed: |at, why| format!("{}: {why}", run(at)),
        lost: |at, count| {
            let parts = if count == 1 { "one part".to_string() } else { format!("{count} parts") };
            format!(
                "{}: the line cannot be seen on {parts}, which stays empty; tap there if you see it.",
                run(at)
            )
        },
        doubtful: |at, why| {
            let at = at.iter().map(|at| run(*at)).collect::<Vec<_>>().join("; ");
            match why {
                Doubt::Faint => format!(
                    "{at}: one stretch is much fainter than the others. See whether it follows the grain; if so, move the tap beside it onto your line."
                ),
                Doubt::OtherKind => format!(
                    "{at}: beside what is followed lies a plainer line of the other kind. See whether your line is dark or light, and say so below."
                ),
            }
        },
        rough: "Corners and pins were tapped while the picture was small on this screen. Press on each and slide it to its place under the loupe.",
        state: |followed, tapped| match (followed, tapped) {
            (Some((points, mm)), Some((taps, rough))) => format!(
                "{points} points followed, each good to about {mm} mm, and {taps} tapped, to about {rough} mm."
            ),
            (Some((points, mm)), None) | (None, Some((points, mm))) => {
                format!("{points} points, each good to about {mm} mm.")
            }
            (None, None) => String::new(),
        },
        accept: "Take this line",
        taking: "Laying the photo under the drawing\u{2026}",
        stage: "The photo. Arrow keys move the tap at hand by a pixel, with Shift by ten; Delete removes it.",
        no_scale: "The scale is no longer there: go back to it, and give it again.",
        misplaced: |what| match what {
            Misplaced::Corners => {
                "The corners go round the wrong way: left and right, or lower and upper, were taken for one another. Left is left on the picture, with the neck end up: move each corner to its place, or take the taps back."
            }
            Misplaced::Ends => {
                "The bottom or the top of the line lies at the other end of the body: move each to its place, or take the taps back."
            }
            Misplaced::Pins => {
                "The lower or the upper pin lies at the other end of the body: move each to its place, or take the taps back."
            }
        },
        move_keys: "Two fingers move and enlarge; press and slide to place a tap finely under the loupe.",
    },
    offsets: OffsetWords {
        title: "Offsets from the centreline",
        lead: "Heights from the lower pin, and at each the distances from the centreline to the line, left and right. Enter goes down the column. Decimal comma or point; in inches also 3 1/4.",
        every: "A row every",
        up_to: "Up to",
        unit: "Measured in",
        millimetres: "mm",
        inches: "inches",
        height: "Height",
        left: "Left",
        right: "Right",
        kind: "Of",
        what: |k| WHAT[k.min(3)].to_string(),
        in_unit: |what, inches| format!("{what}, {}", if inches { "in" } else { "mm" }),
        told: |column, what| format!("{column}: {what}"),
        no_height: "Write in the height of this row.",
        twice: "This height stands above already. Where the line doubles back, choose a hook.",
        add_hook: "Add a row: a corner, a hook, any height",
        not_a_number: "This is no number: write 103.4 or 103,4, or in inches 3 1/4.",
        no_fraction: "A fraction beside whole inches is less than one, as in 3 1/4.",
        off_the_body: |length| {
            format!(
                "That lies off a body of {length} mm. Check the figure; under Set out another instrument can be chosen."
            )
        },
        too_far: "No plate is that large; check the unit and the decimal mark.",
        negative: "Distances go outwards from the centreline and are positive on either side.",
        jumps: "This leaves the line of its neighbours; measure again.",
        uneven: |mm| format!("The sides differ by {mm} mm here."),
        lay_out: "Lay out the rows",
        empty: "Empty the table",
        take_back: "Take back",
        do_again: "Do again",
        not_laid_out: "The rows are as they were: first mend what is refused above.",
        no_room: "This browser has no room to keep the table: take the points before you close it.",
        set_aside: "A table that was kept in this browser cannot be read and is set aside as it was. Save it as a text file, and copy its figures from there.",
        set_aside_file: "ribline-offsets-set-aside",
        save_set_aside: "Save that table",
        forget_set_aside: "Throw it away",
        place: |what, height, row, column| {
            let column = column.to_ascii_lowercase();
            let height = height.trim();
            match (what, height) {
                (0, "") => format!("row {row}, {column}"),
                (0, height) => format!("at {height}, {column}"),
                (what, "") => format!("{}, {column}", WHAT[what.min(3)]),
                (what, height) => format!("{} at {height}, {column}", WHAT[what.min(3)]),
            }
        },
        refused: |count, places| {
            let places = places.join("; ");
            match count {
                1 => format!(
                    "One figure is refused, and no point is made of it: {places}. Mend it or empty it."
                ),
                _ => format!(
                    "{count} figures are refused, and no points are made of them: {places}. Mend them or empty them."
                ),
            }
        },
        to_refused: "Go to the first of them",
        take: |points, refused| match refused {
            0 => format!("Take these {points} points"),
            _ => format!("Take these {points} points without the {refused} refused"),
        },
        too_few: "Fill in at least twelve distances.",
        sheet: "Save a blank sheet to print",
        sheet_file: "ribline-offsets",
        sheet_words: "Offsets from the centreline",
        sheet_note: |unit| {
            format!(
                "All in {unit}. Heights from the middle of the lower pin up the centreline; at each the distance from the centreline to the line, left and right, neck end up. For corners and hooks write in the height too."
            )
        },
        sheet_plate: "Instrument ..............................   Plate: back / front   Face up: inside / outside   Left: bass / treble side",
        drawing: "The points so far",
        keys: "Enter and the arrow keys go up and down.",
    },
    drawing: DrawingWords {
        title: "The line from a drawing file",
        lead: "An outline drawn elsewhere, as SVG or DXF (text form), at its true size. Its lines are sampled at the spacing you choose.",
        open: "Open SVG or DXF",
        spacing: "A point every",
        reading: "Reading the drawing\u{2026}",
        line: |name, length, points, closed| {
            let name = if name.is_empty() { String::new() } else { format!("{name}: ") };
            let closed = if closed { ", closed" } else { "" };
            format!("{name}{length} mm{closed}, {points} points")
        },
        size: |width, height| format!("{width} mm across and {height} mm high as it is drawn."),
        other_size: |length, body| {
            format!(
                "What is taken is {length} mm long, and the recipe is for a body of {body} mm. Save the drawing again at its true size, or choose the instrument under Set out."
            )
        },
        unit_taken: |unit| match unit {
            UnitTaken::Pixel => {
                "The file gives its size in pixels or not at all; 96 were taken for an inch. If that is not the outline\u{2019}s size, save the drawing again with its width in mm."
            }
            UnitTaken::Millimetre => {
                "The file does not say its unit; millimetres were taken. If that is not the outline\u{2019}s size, save the drawing again in mm."
            }
        },
        take: |points| format!("Take these {points} points"),
        picture: "The lines of the drawing; those that are taken are dark",
        unreadable: "The file could not be read. Choose it again.",
    },
    again: AgainWords {
        title: "Traced again",
        lead: "The ribs traced a second time, as for the front once the back is on. Open the project that was saved the first time: the line that was traced then, smoothed by its recipe, is laid under the one of now. Overhangs play no part. Left and right are as the earlier one was seen.",
        open: "Open the earlier project",
        seen: "The earlier one was seen",
        same_face: "from the same side",
        other_face: "from the other side",
        no_project: "This file is no project. Open one that was saved here.",
        summary: |rms| {
            format!("The two differ by {rms} mm as a root mean square. Positive is further out now.")
        },
        greatest: "The line, the greatest difference first",
        corners: "The corners",
        before: "the line of then",
        now: "the line of now",
        mark: "where they differ most",
        run: |at, mean, most| format!("{}: {most} mm at most, {mean} mm on the whole", run(at)),
        corner: |at: Corner, across, up| format!("{}: moved {across} mm across, {up} mm up", corner_name(at)),
        picture: "The two lines over one another; the one of now is dark",
    },
    before: BeforeWords {
        title: "Before scribing",
        lead: "The ribs stand on the board, held at the two end blocks, and still give a little. Measure over the outside of the ribs, from the centreline to either side.",
        length: "Length from end to end of the ribs",
        half: |at, of| {
            let what = if at == Bout::Waist { "narrowest" } else { "widest" };
            let name = bout(at);
            format!("{}{}, {what}, {}", name[..1].to_uppercase(), &name[1..], side(of))
        },
        neck_off: "Neck end off the centreline",
        neck_note: "positive to the right",
        gives: "The ribs give without strain, a side",
        no_room: "This browser has no room to keep the measures: note them down before you close or reload the page.",
        stands: "As the ribs stand",
        of_plate: |length| {
            format!(
                "The ratios are of the plate that these ribs get, with the overhang on every side of what was measured: it is {length} mm long."
            )
        },
        standing: |title, of, mm, quotient, nearest, planned| {
            let near = nearest.map_or(String::new(), |nearest| format!(", near {nearest}"));
            format!("The {title}, {mm} mm, is {quotient} of {of}{near}; the recipe has {planned}.")
        },
        turn: |degrees, mm, to_left| {
            let to = if to_left { "left" } else { "right" };
            format!(
                "Turn the ribs about the lower pin by {degrees}°: the neck end goes {mm} mm to the {to}, onto the centreline. The figures below are after that turn."
            )
        },
        no_turn: "The neck end is on the centreline.",
        choices: "What the recipe allows, least easing first",
        choice: |ratios, planned| {
            if planned { format!("{ratios} (the recipe's own)") } else { ratios.to_string() }
        },
        ratio: |title, ratio, of| format!("{title} {ratio} of {of}"),
        run: |at, of| format!("{}, {}", bout(at), side(of)),
        outward: |mm| format!("out {mm}"),
        inward: |mm| format!("in {mm}"),
        stays: "stays",
        total: |mm| format!("{mm} mm of easing in all"),
        strained: |count, gives| match count {
            0 => format!("Everything within {gives} mm: no strain."),
            1 => format!("One place asks for more than {gives} mm, which strains the ribs."),
            _ => format!("{count} places ask for more than {gives} mm, which strains the ribs."),
        },
        least: "least easing",
    },
};
