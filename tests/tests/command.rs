//! The `reconcile` command, run as a person runs it: a file in, one JSON report out, or one sentence and exit 2.

use ribline_geometry::kurbo::{Affine, Point, Vec2};
use ribline_geometry::recipe::built_in;
use ribline_geometry::trace::Trace;
use ribline_tests::constructions;
use ribline_tests::simulate::{Departures, RngExt, SeedableRng, StdRng, moved, traced, true_edge};
use serde_json::Value;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;
use tempfile::TempDir;

/// The command, built once.
fn program() -> &'static Path {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        let built = Command::new(env!("CARGO"))
            .args(["build", "-p", "ribline-geometry", "--example", "reconcile", "--message-format", "json"])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .expect("cargo");
        assert!(built.status.success(), "{}", String::from_utf8_lossy(&built.stderr));
        let messages = String::from_utf8(built.stdout).expect("messages in UTF-8");
        let program = messages
            .lines()
            .filter_map(|line| serde_json::from_str::<Value>(line).ok())
            .filter(|message| message["target"]["name"] == "reconcile")
            .find_map(|message| message["executable"].as_str().map(PathBuf::from));
        program.expect("the path of the built example")
    })
}

fn run<S: AsRef<OsStr>>(arguments: impl IntoIterator<Item = S>) -> Output {
    Command::new(program()).args(arguments).output().expect("the built command")
}

/// A folder for the files of one test.
struct Folder(TempDir);

impl Folder {
    fn new() -> Self {
        Folder(TempDir::new().expect("a folder for temporary files"))
    }

    fn file(&self, name: &str, content: impl AsRef<[u8]>) -> String {
        let path = self.0.path().join(name);
        std::fs::write(&path, content).expect("a file written");
        path.to_str().expect("a path in UTF-8").to_owned()
    }
}

/// Runs the command on a trace; the report.
fn report(csv: impl AsRef<[u8]>, options: &[&str]) -> Value {
    let folder = Folder::new();
    let file = folder.file("trace.csv", csv);
    let output = run(std::iter::once(file.as_str()).chain(options.iter().copied()));
    let told = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(0), "{options:?}: {told}");
    assert!(told.is_empty(), "{options:?}: {told}");
    serde_json::from_slice(&output.stdout).expect("one JSON document")
}

/// A simulated trace of the violin with this seed.
fn simulated(seed: u64, departures: &Departures) -> Trace {
    let mut rng = StdRng::seed_from_u64(seed);
    let edge = true_edge(&built_in::violin(), departures, &mut rng);
    traced(&edge, departures, &mut rng).trace
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn point(value: &Value) -> Point {
    assert_eq!(value.as_array().map(Vec::len), Some(2), "{value} is no point");
    Point::new(number(&value[0]), number(&value[1]))
}

fn list(value: &Value) -> &Vec<Value> {
    value.as_array().unwrap_or_else(|| panic!("{value} is no list"))
}

/// An arc of the report.
struct Arc {
    centre: Point,
    radius: f64,
    start: f64,
    sweep: f64,
}

impl Arc {
    fn at(&self, t: f64) -> Point {
        let (sin, cos) = (self.start + t * self.sweep).sin_cos();
        self.centre + self.radius * Vec2::new(cos, sin)
    }

    /// How far away a place is, and how far inside the outline, which is on the left of its arcs; the latter only where the
    /// nearest place of the arc is none of its ends.
    fn seen_from(&self, at: Point) -> (f64, Option<f64>) {
        let seen = at - self.centre;
        let turned =
            ((seen.y.atan2(seen.x) - self.start) * self.sweep.signum()).rem_euclid(std::f64::consts::TAU);
        if turned <= self.sweep.abs() {
            let inside = (self.radius - seen.hypot()) * self.sweep.signum();
            (inside.abs(), Some(inside))
        } else {
            (at.distance(self.at(0.0)).min(at.distance(self.at(1.0))), None)
        }
    }
}

/// The edge of a report, laid back into the frame in which the points were given: given = R(angle) * result + origin.
struct Edge {
    arcs: Vec<Arc>,
    /// Ends of the four cuts.
    corners: Vec<Point>,
}

impl Edge {
    fn as_given(report: &Value) -> Self {
        let angle = number(&report["frame"]["angle_deg"]).to_radians();
        let origin = point(&report["frame"]["origin_mm"]);
        let (sin, cos) = angle.sin_cos();
        let back = |p: Point| origin + Vec2::new(cos * p.x - sin * p.y, sin * p.x + cos * p.y);
        let arcs = list(&report["arcs"]).iter().map(|arc| Arc {
            centre: back(point(&arc["centre_mm"])),
            radius: number(&arc["radius_mm"]),
            start: number(&arc["start_deg"]).to_radians() + angle,
            sweep: number(&arc["sweep_deg"]).to_radians(),
        });
        let corners = list(&report["corners"])
            .iter()
            .flat_map(|corner| [back(point(&corner["outer_mm"])), back(point(&corner["waist_mm"]))]);
        Edge { arcs: arcs.collect(), corners: corners.collect() }
    }

    /// The overhang at a given point; none at the ends of the corners, past which there is no edge.
    fn overhang(&self, at: Point) -> Option<f64> {
        let nearest = self.arcs.iter().map(|arc| arc.seen_from(at)).min_by(|a, b| a.0.total_cmp(&b.0));
        nearest.and_then(|(_, inside)| inside)
    }

    /// Every place where an arc hands over to the next, with a place on the way.
    fn places(&self) -> impl Iterator<Item = Point> {
        self.arcs.iter().flat_map(|arc| [arc.at(0.0), arc.at(0.37), arc.at(1.0)])
    }

    fn moved(&self, angle: f64, shift: Vec2) -> Edge {
        let motion = Affine::translate(shift) * Affine::rotate(angle);
        let arcs =
            self.arcs.iter().map(|arc| Arc { centre: motion * arc.centre, start: arc.start + angle, ..*arc });
        Edge { arcs: arcs.collect(), corners: self.corners.iter().map(|p| motion * *p).collect() }
    }

    /// How far this line is from another, either way, and its corner ends from the other's.
    fn apart_from(&self, other: &Edge) -> f64 {
        let off = |from: &Edge, onto: &Edge| {
            let away = |at| onto.arcs.iter().map(|arc| arc.seen_from(at).0).fold(f64::INFINITY, f64::min);
            from.places().map(away).fold(0.0, f64::max)
        };
        let corners = self.corners.iter().zip(&other.corners).map(|(a, b)| a.distance(*b));
        corners.fold(off(self, other).max(off(other, self)), f64::max)
    }
}

#[test]
fn the_report_has_the_agreed_fields() {
    let report = report(simulated(1, &Departures::default()).to_csv(), &[]);
    point(&report["frame"]["origin_mm"]);
    number(&report["frame"]["angle_deg"]);
    assert!((number(&report["body_length_mm"]) - 355.0).abs() < 15.0);
    const RUNS: [&str; 6] =
        ["lower-right", "waist-right", "upper-right", "upper-left", "waist-left", "lower-left"];
    let mut runs: Vec<&str> = Vec::new();
    for arc in list(&report["arcs"]) {
        let run = arc["run"].as_str().expect("a run");
        assert!(RUNS.contains(&run), "{run}");
        if runs.last() != Some(&run) {
            runs.push(run);
        }
        point(&arc["centre_mm"]);
        assert!(number(&arc["radius_mm"]) > 0.0);
        number(&arc["start_deg"]);
        number(&arc["sweep_deg"]);
        // Some "2/5 W": a ratio and the name of its measure.
        let (ratio, of) = arc["ratio"].as_str().and_then(|text| text.split_once(' ')).expect("a ratio");
        assert!(ratio.parse::<ribline_geometry::ratio::Ratio>().is_ok() && of.len() == 1, "{ratio} {of}");
    }
    assert_eq!(runs, RUNS, "counter-clockwise from the bottom");
    let corners: Vec<&str> = list(&report["corners"]).iter().filter_map(|c| c["at"].as_str()).collect();
    assert_eq!(corners, ["lower-right", "upper-right", "upper-left", "lower-left"]);
    for corner in list(&report["corners"]) {
        let (outer, waist) = (point(&corner["outer_mm"]), point(&corner["waist_mm"]));
        assert!((outer.distance(waist) - number(&corner["width_mm"])).abs() < 1e-9);
    }
    let overhang = &report["overhang"];
    let [wanted, min, mean, max, rms] = ["wanted_mm", "min_mm", "mean_mm", "max_mm", "rms_deviation_mm"]
        .map(|field| number(&overhang[field]));
    assert_eq!(wanted, 2.5);
    assert!(min < mean && mean < max && rms > 0.0 && rms < 1.0, "{overhang}");
    assert!(list(&report["left_out"]).iter().all(Value::is_u64));
    assert!(list(&report["warnings"]).iter().all(Value::is_string));
    assert!(number(&report["elapsed_ms"]) > 0.0);
}

/// Seen from each of the given points the edge passes outside, the overhang away: noise of 0.1 mm and ribs that keep to
/// their arcs leave no point off by more than some four times that.
#[test]
fn the_edge_laid_back_passes_the_given_points_at_the_overhang() {
    for (seed, angle) in [(1, 0.0), (2, 1.0), (3, -2.5)] {
        let departures = Departures { noise: 0.1, ..Departures::default() };
        let trace = moved(&simulated(seed, &departures), angle, Vec2::new(-120.0, 77.0));
        let report = report(trace.to_csv(), &["--finish", "fitted", "--overhang", "2.5"]);
        let edge = Edge::as_given(&report);
        let mut seen = 0;
        for traced in &trace.points {
            let Some(overhang) = edge.overhang(traced.at) else { continue };
            assert!((overhang - 2.5).abs() < 0.45, "seed {seed}: {overhang} at {}", traced.at);
            seen += 1;
        }
        assert!(seen > trace.points.len() - 8, "{seen} of {} points", trace.points.len());
    }
}

/// However the ribs lay on the board, in whatever order and with or without pins and names the points were taken: the edge
/// is the same on the ribs.
#[test]
fn turned_shifted_and_shuffled_points_give_the_same_edge() {
    let cello = constructions::plain_quarters(750.0);
    for (seed, recipe) in [(5, built_in::violin()), (6, built_in::viola()), (7, cello)] {
        let departures = Departures { points: 20, ..Departures::default() };
        let mut rng = StdRng::seed_from_u64(seed);
        let made = true_edge(&recipe, &departures, &mut rng);
        let original = traced(&made, &departures, &mut rng).trace;
        for (pins, names) in [(true, true), (true, false), (false, true), (false, false)] {
            let mut trace = original.clone();
            if !pins {
                trace.pins = Default::default();
            }
            if !names {
                trace.points.iter_mut().for_each(|p| p.run = None);
            }
            let as_taken = Edge::as_given(&report(trace.to_csv(), &[]));
            for (angle, shift, shuffled) in [
                (0.0, Vec2::ZERO, true),
                (0.6, Vec2::new(312.0, -45.0), false),
                (-2.2, Vec2::new(-901.0, 1303.0), true),
                (std::f64::consts::PI, Vec2::new(0.1, 0.0), true),
            ] {
                let mut other = moved(&trace, angle, shift);
                if shuffled {
                    for i in (1..other.points.len()).rev() {
                        other.points.swap(i, rng.random_range(0..=i));
                    }
                }
                let found = Edge::as_given(&report(other.to_csv(), &[]));
                let off = found.apart_from(&as_taken.moved(angle, shift));
                assert!(
                    off < 1e-6,
                    "{} (pins {pins}, names {names}) by {angle}, {shift}, shuffled {shuffled}: {off} mm",
                    recipe.title
                );
            }
        }
    }
}

#[test]
fn decimal_commas_give_the_same_report() {
    let csv = simulated(8, &Departures::default()).to_csv();
    let commas = csv.replace(',', ";").replace('.', ",");
    let [mut one, mut other] = [csv, commas].map(|text| report(text, &[]));
    for report in [&mut one, &mut other] {
        report["elapsed_ms"] = Value::Null;
    }
    assert_eq!(one, other);
}

/// Distances from the centreline on either side instead of x and y; rows with one side left empty.
#[test]
fn an_offsets_table_gives_the_edge_of_its_points() {
    let trace = simulated(9, &Departures { points: 25, ..Departures::default() });
    let mut table = String::from("# measured from the centreline\ny_mm,left_mm,right_mm\n");
    let mut points: Vec<Point> = trace.points.iter().map(|p| p.at).collect();
    points.retain(|at| at.x.abs() > 1.0);
    for at in &points {
        let (left, right) = if at.x < 0.0 { (-at.x, f64::NAN) } else { (f64::NAN, at.x) };
        let cell = |mm: f64| if mm.is_nan() { String::new() } else { format!("{mm:.2}") };
        table += &format!("{:.2},{},{}\n", at.y, cell(left), cell(right));
    }
    let report = report(table, &["--overhang", "2.5"]);
    assert!(number(&report["frame"]["angle_deg"]).abs() < 1e-9, "the centreline is x = 0");
    assert!(point(&report["frame"]["origin_mm"]).x.abs() < 1e-9);
    let edge = Edge::as_given(&report);
    for at in points {
        if let Some(overhang) = edge.overhang(at) {
            assert!((overhang - 2.5).abs() < 1.0, "{overhang} at {at}");
        }
    }
}

#[test]
fn a_point_taken_wrongly_is_named_by_its_line() {
    let mut trace = simulated(10, &Departures::default());
    let wrong = 47;
    trace.points[wrong].at += Vec2::new(7.0, -6.0);
    let text = format!("# the third set\n\n{}", trace.to_csv());
    let line = text.lines().position(|line| line.contains(&trace.points[wrong].at.x.to_string()));
    let line = line.expect("the point's own line") as u64 + 1;
    let left_out: Vec<u64> = list(&report(text, &[])["left_out"]).iter().filter_map(Value::as_u64).collect();
    assert_eq!(left_out, [line]);
}

#[test]
fn in_the_ratio_finish_every_radius_is_its_ratio_of_a_measure_found() {
    let report = report(simulated(11, &Departures::default()).to_csv(), &["--finish", "ratio"]);
    let mut held = 0;
    for arc in list(&report["arcs"]) {
        let Some((ratio, of)) = arc["ratio"].as_str().and_then(|text| text.split_once(' ')) else { continue };
        let measure =
            list(&report["measures"]).iter().find(|m| m["name"] == of).expect("a measure of the recipe");
        let (over, under) = ratio.split_once('/').unwrap_or((ratio, "1"));
        let wanted = number(&measure["found_mm"]) * over.parse::<f64>().expect("a whole number")
            / under.parse::<f64>().expect("a whole number");
        let off = number(&arc["radius_mm"]) - wanted;
        // A hook that the ribs hardly show may be left as fitted, and is then not at its ratio.
        held += usize::from(off.abs() < 1e-6 * wanted);
    }
    assert!(held * 10 >= list(&report["arcs"]).len() * 8, "{held}");
}

#[test]
fn the_recipes_own_finish_is_the_recipe_at_the_body_length_found() {
    let folder = Folder::new();
    let violin = built_in::violin();
    let recipe = folder.file("violin.json", violin.to_json());
    let report =
        report(simulated(12, &Departures::default()).to_csv(), &["--finish", "recipe", "--recipe", &recipe]);
    let length = number(&report["body_length_mm"]);
    let lengths: Vec<f64> =
        violin.lengths().expect("a built-in recipe").iter().map(|mm| mm * length / 355.0).collect();
    let drawn = violin.evaluate_at(&lengths).expect("a built-in recipe");
    let radii = |report: &Value| -> Vec<f64> {
        list(&report["arcs"]).iter().map(|a| number(&a["radius_mm"])).collect()
    };
    let wanted: Vec<f64> = drawn.outline.arcs().iter().map(|(_, arc)| arc.radius).collect();
    for (found, wanted) in radii(&report).iter().zip(&wanted) {
        assert!((found - wanted).abs() < 1e-6, "{found}, not {wanted}");
    }
    assert_eq!(radii(&report).len(), wanted.len());
}

#[test]
fn what_was_traced_decides_how_far_out_the_edge_lies() {
    let trace = simulated(13, &Departures { noise: 0.05, ..Departures::default() });
    let csv = trace.to_csv();
    let mean = |options: &[&str]| {
        let edge = Edge::as_given(&report(&csv, options));
        let all: Vec<f64> = trace.points.iter().filter_map(|p| edge.overhang(p.at)).collect();
        all.iter().sum::<f64>() / all.len() as f64
    };
    for (options, wanted) in [
        (&["--finish", "fitted"][..], 2.5),
        (&["--finish", "fitted", "--overhang", "3"], 3.0),
        (&["--finish", "fitted", "--overhang", "3,5"], 3.5),
        (&["--finish", "fitted", "--traced", "edge"], 0.0),
        // Published, from the edge: 3.5 mm, and half of the 1.2 mm that the purfling is wide (online handbook "Making the
        // Violin", page "Measurements").
        (&["--finish", "fitted", "--traced", "purfling"], 4.1),
        (&["--finish", "fitted", "--traced", "purfling", "--overhang", "4.5"], 4.5),
    ] {
        let found = mean(options);
        assert!((found - wanted).abs() < 0.05, "{options:?}: {found} mm");
    }
}

/// Exit 2, nothing on stdout, and one line on stderr that has all of `words` in it.
fn is_refused(output: &Output, words: &[&str]) {
    let told = String::from_utf8(output.stderr.clone()).expect("a sentence in UTF-8");
    assert_eq!(output.status.code(), Some(2), "{words:?}: {told}");
    assert!(output.stdout.is_empty(), "{words:?}: something on stdout");
    assert!(told.ends_with('\n') && told.lines().count() == 1, "{words:?}: not one line: {told:?}");
    for word in words {
        assert!(told.contains(word), "{word:?} is not in {told:?}");
    }
}

#[test]
fn bad_traces_are_refused_with_line_and_remedy() {
    let names_mirrored =
        simulated(1, &Departures::default()).to_csv().replace("left", "LEFT").replace("right", "left");
    let names_mirrored = names_mirrored.replace("LEFT", "right");
    let in_line: String = (0..20).map(|i| format!("{},{}\n", 10 * i, 20 * i)).collect();
    let centimetres: String = (0..20).map(|i| format!("{},{}\n", i % 5, i)).collect();
    let same: String = "10,20\n".repeat(40);
    let pins_together =
        simulated(1, &Departures::default()).to_csv().lines().fold(String::new(), |all, line| {
            let line =
                if line.starts_with("pin-") { format!("{},0,10", &line[..9]) } else { line.to_owned() };
            all + &line + "\n"
        });
    let folder = Folder::new();
    let circle =
        (0..63).map(|k| 0.1 * f64::from(k)).map(|a| format!("{},{}\n", 100.0 * a.cos(), 100.0 * a.sin()));
    let circle = circle.collect::<String>();
    for (csv, words) in [
        ("".into(), &["no points", "Give one point a line"][..]),
        ("\n\n# nothing but remarks\n;;;\n".into(), &["no points", "Give one point a line"]),
        ("x_mm,y_mm\n".into(), &["no points"]),
        ("Dear Sir,\nthe ribs are finished.\n".into(), &["Line 1", "column", "Dear Sir"]),
        ("The ribs measure 355 today\n".into(), &["Line 1", "header", "Begin with"]),
        ("x_mm,y_mm\n1,2\n1,2,3\n".into(), &["Line 3", "three fields", "two", "semicolons"]),
        ("run;x_mm;y_mm\nlower-left;1;2;3;4\n".into(), &["Line 2", "five fields", "Give every column"]),
        ("# a\nx_mm,y_mm\n1,2\nNaN,3\n".into(), &["Line 4", "NaN", "not a number", "Write the x"]),
        ("x_mm,y_mm\n1,inf\n".into(), &["Line 2", "inf", "not a number", "Write the y"]),
        ("x_mm,y_mm\n1,2\n1,1e400\n".into(), &["Line 3", "out of reach", "Check the decimal point"]),
        ("x_mm,y_mm\n1,2\n99999999999999999999,1\n".into(), &["Line 3", "out of reach"]),
        ("x_mm,y_mm\n1,2\n1.234,5,6\n".into(), &["Line 3", "fields"]),
        ("x_mm;y_mm\n1.234,5;6\n".into(), &["Line 2", "point and a comma", "1034.5"]),
        ("x_mm,y_mm\n1\n".into(), &["Line 2", "y is missing", "Fill it in"]),
        ("x_in,y_in\n1,2\n".into(), &["Line 1", "inches", "millimetres"]),
        ("run,x_mm,y_mm\nmiddle-left,1,2\n".into(), &["Line 2", "middle-left", "lower-left", "pin-lower"]),
        ("run,x_mm,y_mm\npin-lower,0,1\npin-lower,0,2\n".into(), &["Line 3", "line 2", "Keep the right one"]),
        ("y_mm,left_mm,right_mm\n1,-2,\n".into(), &["Line 2", "negative", "positive"]),
        ("x_mm,y_mm,x_mm\n1,2,3\n".into(), &["Line 1", "two columns", "Keep one"]),
        ("0,0\n100,0\n50,300\n".into(), &["different points is only 3", "Take more"]),
        (same, &["span only 0", "millimetres"]),
        (in_line, &["one line", "Check"]),
        (
            circle,
            &["No edge can be developed", "far from any line like the recipe's", "Check that the recipe"],
        ),
        (centimetres, &["span only", "multiply centimetres by 10"]),
        (names_mirrored, &["mirror image", "plate cut to it is lost", "change sign"]),
        (pins_together, &["pins are at the same place", "pin-lower at the bottom"]),
    ] {
        let file = folder.file("trace.csv", &csv);
        let output = run([&file]);
        is_refused(&output, words);
        assert!(String::from_utf8_lossy(&output.stderr).contains("trace.csv"), "which file, is not told");
    }
    for bytes in
        [&[0u8, 159, 146, 150, 255][..], &[0xff, 0xfe, 0x41], &[0x89, b'P', b'N', b'G', 13, 10, 26, 10]]
    {
        is_refused(&run([folder.file("trace.csv", bytes)]), &[]);
    }
    let long = vec![b'7'; 3 << 20];
    is_refused(&run([folder.file("trace.csv", long)]), &["longer than 2 MiB", "Check that the right file"]);
}

#[test]
fn files_that_cannot_be_opened_are_named() {
    let folder = Folder::new();
    is_refused(&run(["no-such-trace.csv"]), &["no-such-trace.csv", "check the name"]);
    is_refused(&run([folder.0.path()]), &["cannot open"]);
    let trace = folder.file("trace.csv", simulated(1, &Departures::default()).to_csv());
    is_refused(&run([&trace, "--recipe", "no-such-recipe.json"]), &["no-such-recipe.json", "check the name"]);
}

/// A reader that stops is no fault of the report's; a disk that is full is told of.
#[cfg(target_os = "linux")]
#[test]
fn a_report_that_nobody_reads_to_its_end_ends_quietly_and_one_that_cannot_be_written_is_told_of() {
    let folder = Folder::new();
    let trace = folder.file("trace.csv", simulated(1, &Departures::default()).to_csv());
    let (reader, writer) = std::io::pipe().expect("a pipe");
    drop(reader);
    let output = Command::new(program()).arg(&trace).stdout(writer).output().expect("the built command");
    assert_eq!((output.status.code(), String::from_utf8_lossy(&output.stderr).as_ref()), (Some(0), ""));
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").expect("a device that is full");
    is_refused(
        &Command::new(program()).arg(&trace).stdout(full).output().expect("the built command"),
        &["could not be written"],
    );
}

/// Names need not be text everywhere.
#[cfg(unix)]
#[test]
fn a_name_that_is_no_text_is_refused_like_any_other() {
    use std::os::unix::ffi::OsStrExt;
    is_refused(&run([OsStr::from_bytes(b"tr\xffce.csv")]), &["cannot open"]);
    is_refused(&run([OsStr::from_bytes(b"--fin\xffsh")]), &["there is no option"]);
}

#[test]
fn bad_recipes_are_refused_with_step_or_line_and_remedy() {
    let folder = Folder::new();
    let trace = folder.file("trace.csv", simulated(1, &Departures::default()).to_csv());
    let sound = built_in::violin().to_json();
    for (recipe, words) in [
        (String::new(), &["empty", "choose"][..]),
        ("{".into(), &["breaks off", "line 1"]),
        ("[1,]".into(), &["Line 1, column 4", "comma"]),
        ("{\"format\": \"ribline-project\", \"version\": 1}".into(), &["ribline-project", "not a recipe"]),
        (sound.replace("\"version\": 1", "\"version\": 7"), &["version 7"]),
        (
            sound.replace("\"lies\": \"in\"", "\"lies\": \"outwards\""),
            &["Line", "outwards", "Correct it there"],
        ),
        // Too small to reach from the one circle to the other.
        (sound.replace("\"4/9 W\", \"touches\"", "\"1/99 W\", \"touches\""), &["Step 6", "lower 2", "mm"]),
    ] {
        let file = folder.file("recipe.json", &recipe);
        is_refused(&run([&trace, "--recipe", &file]), words);
    }
}

#[test]
fn bad_options_are_refused_with_what_there_is() {
    let folder = Folder::new();
    let trace = folder.file("trace.csv", simulated(1, &Departures::default()).to_csv());
    for (options, words) in [
        (&["--smooth"][..], &["no option --smooth", "usage"][..]),
        (&["--overhang"], &["--overhang wants a value"]),
        (&["--overhang", "wide"], &["--overhang", "wide", "2.5"]),
        (&["--overhang", "nan"], &["--overhang", "\"nan\" is none", "2.5"]),
        (&["--overhang", "40"], &["from 0 to 15 mm", "40"]),
        (&["--overhang", "-2"], &["from 0 to 15 mm", "-2"]),
        (&["--finish", "smooth"], &["fitted, ratio or recipe", "smooth"]),
        (&["--traced", "mould"], &["ribs, purfling or edge", "mould"]),
        (&["another.csv"], &["one trace", "usage"]),
    ] {
        is_refused(&run(std::iter::once(trace.as_str()).chain(options.iter().copied())), words);
    }
    is_refused(&run(Vec::<&str>::new()), &["usage"]);
}
