//! Reconciles a traced rib line with a recipe and prints one JSON report.
//!
//! `reconcile TRACE.csv [--recipe R.json] [--overhang MM] [--traced ribs|purfling|edge] [--finish fitted|ratio|recipe]`
//!
//! Bad input: exit 2 and one line on stderr.

use ribline_geometry::outline::Bout;
use ribline_geometry::recipe::json::LARGEST_FILE;
use ribline_geometry::recipe::{Recipe, built_in};
use ribline_geometry::reconcile::report::{Judged, Reconciled};
use ribline_geometry::reconcile::{Finish, Overhang, Traced, Wish, reconcile, suiting};
use ribline_geometry::trace::{self, Trace};
use serde_json::{Value, json};
use std::fs::File;
use std::io::{ErrorKind, Read, Write};
use std::process::ExitCode;
use std::time::Instant;

const USAGE: &str = "usage: reconcile TRACE.csv [--recipe R.json] [--overhang MM] [--traced ribs|purfling|edge] [--finish fitted|ratio|recipe]";

struct Request {
    trace: String,
    recipe: Option<String>,
    overhang: Option<f64>,
    traced: Traced,
    finish: Finish,
}

impl Request {
    fn asked_of(&self, wish: &mut Wish) {
        wish.traced = self.traced;
        wish.finish = self.finish;
        if let Some(mm) = self.overhang {
            // From whatever was traced out to the edge; a traced edge is its own.
            match self.traced {
                Traced::Purfling => wish.purfling_distance = mm,
                Traced::Ribs | Traced::Edge => wish.overhang = Overhang::even(mm),
            }
        }
    }
}

fn request(arguments: impl Iterator<Item = String>) -> Result<Request, String> {
    let mut request = Request {
        trace: String::new(),
        recipe: None,
        overhang: None,
        traced: Traced::Ribs,
        finish: Finish::Ratio,
    };
    let mut arguments = arguments.peekable();
    while let Some(argument) = arguments.next() {
        let mut value = || arguments.next().ok_or(format!("{argument} wants a value; {USAGE}"));
        match argument.as_str() {
            "--recipe" => request.recipe = Some(value()?),
            "--overhang" => {
                let text = value()?;
                let read = text.replace(',', ".").parse().ok();
                // What no ruler has is not told back in three hundred digits.
                let mm = read.filter(|mm: &f64| mm.abs() < 1e4).ok_or_else(|| {
                    format!("--overhang wants a length in mm such as 2.5; \"{text}\" is none")
                })?;
                request.overhang = Some(mm);
            }
            "--traced" => {
                request.traced = match value()?.as_str() {
                    "ribs" => Traced::Ribs,
                    "purfling" => Traced::Purfling,
                    "edge" => Traced::Edge,
                    other => {
                        return Err(format!(
                            "--traced is ribs, purfling or edge; \"{other}\" is none of them"
                        ));
                    }
                }
            }
            "--finish" => {
                request.finish = match value()?.as_str() {
                    "fitted" => Finish::Fitted,
                    "ratio" => Finish::Ratio,
                    "recipe" => Finish::Recipe,
                    other => {
                        return Err(format!(
                            "--finish is fitted, ratio or recipe; \"{other}\" is none of them"
                        ));
                    }
                }
            }
            option if option.starts_with("--") => {
                return Err(format!("there is no option {option}; {USAGE}"));
            }
            _ if request.trace.is_empty() => request.trace = argument,
            _ => return Err(format!("only one trace at a time; {USAGE}")),
        }
    }
    if request.trace.is_empty() { Err(USAGE.to_owned()) } else { Ok(request) }
}

/// The built-in plate recipe that suits the trace best.
fn suiting_plate(trace: &Trace, request: &Request) -> Recipe {
    let plates = built_in::plates();
    let mut wish = Wish::customary(&built_in::violin());
    request.asked_of(&mut wish);
    suiting(trace, &plates, &wish)
        .first()
        .and_then(|best| plates.get(best.recipe).cloned())
        .unwrap_or_else(built_in::violin)
}

/// A file's bytes, at most one more than `most`: enough for the reader to see that there are too many.
fn read_up_to(path: &str, most: usize) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(most as u64 + 1).read_to_end(&mut bytes))
        .map_err(|e| format!("cannot open {path}: {e}; check the name of the file"))?;
    Ok(bytes)
}

fn run(arguments: impl Iterator<Item = String>) -> Result<Value, String> {
    let request = request(arguments)?;
    let started = Instant::now();
    // A text in UTF-16 has at least half as many bytes when it is read.
    let bytes = read_up_to(&request.trace, 2 * trace::TEXT_LIMIT + 2)?;
    let trace = trace::read(&trace::text_of(&bytes)).map_err(|e| format!("{}: {e}", request.trace))?;
    let recipe = match &request.recipe {
        Some(path) => {
            let bytes = read_up_to(path, LARGEST_FILE)?;
            Recipe::from_json(&String::from_utf8_lossy(&bytes)).map_err(|e| format!("{path}: {e}"))?
        }
        None => suiting_plate(&trace, &request),
    };
    let mut wish = Wish::customary(&recipe);
    request.asked_of(&mut wish);
    let result = reconcile(&trace, &recipe, &wish).map_err(|e| format!("{}: {e}", request.trace))?;
    Ok(report(&trace, &recipe, &wish, &result, started.elapsed().as_secs_f64() * 1e3))
}

fn point(p: ribline_geometry::kurbo::Point) -> Value {
    json!([p.x, p.y])
}

fn report(trace: &Trace, recipe: &Recipe, wish: &Wish, result: &Reconciled, elapsed_ms: f64) -> Value {
    let arcs: Vec<Value> = result
        .arcs
        .iter()
        .map(|a| {
            json!({
                "run": a.run.to_string(),
                "centre_mm": point(a.arc.centre),
                "radius_mm": a.arc.radius,
                "start_deg": a.arc.start.to_degrees(),
                "sweep_deg": a.arc.sweep.to_degrees(),
                "ratio": a.reading.as_ref().map(ToString::to_string),
                "ratio_chance": a.reading.as_ref().map(|r| r.chance),
                "radius_sd_mm": a.radius_sd,
                "circle": a.circle,
            })
        })
        .collect();
    let corners: Vec<Value> = result
        .edge
        .corners
        .iter()
        .map(|c| {
            json!({
                "at": c.at.to_string(),
                "outer_mm": point(c.outer),
                "waist_mm": point(c.waist),
                "width_mm": c.width,
                "heading_deg": c.heading.to_degrees(),
                "rib_corner_mm": point(c.rib_corner),
                "beyond_ribs_mm": c.beyond_ribs,
                "overhang_outer_mm": c.overhang_outer,
                "overhang_waist_mm": c.overhang_waist,
            })
        })
        .collect();
    let measures: Vec<Value> = result
        .measures
        .iter()
        .map(|m| {
            json!({
                "name": m.name,
                "title": m.title,
                "planned_mm": m.planned,
                "found_mm": m.found,
                "sd_mm": m.sd,
                "ratio": m.reading.as_ref().map(ToString::to_string),
                "ratio_chance": m.reading.as_ref().map(|r| r.chance),
            })
        })
        .collect();
    let mut left_out: Vec<usize> = result
        .points
        .iter()
        .filter(|p| p.judged == Judged::LeftOut)
        .filter_map(|p| trace.points.get(p.index).map(|t| t.line))
        .collect();
    left_out.sort_unstable();
    let body_length = result.measures.first().map(|m| m.found);
    json!({
        "recipe": recipe.title,
        "frame": {
            "origin_mm": point(result.frame.origin),
            "angle_deg": result.frame.angle.to_degrees(),
        },
        "body_length_mm": body_length,
        "measures": measures,
        "arcs": arcs,
        "corners": corners,
        "overhang": {
            "wanted_mm": wish.distance(Bout::Lower),
            "min_mm": result.overhang.min,
            "mean_mm": result.overhang.mean,
            "max_mm": result.overhang.max,
            "rms_deviation_mm": result.overhang.rms_deviation,
        },
        "trace_sd_mm": result.trace_sd,
        "left_out": left_out,
        "warnings": result.warnings.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "elapsed_ms": elapsed_ms,
    })
}

fn main() -> ExitCode {
    // A name that is no text is as good as one that is misspelt.
    let arguments = std::env::args_os().skip(1).map(|a| a.to_string_lossy().into_owned());
    match run(arguments) {
        Ok(report) => {
            // Whoever reads it may stop before its end.
            match writeln!(std::io::stdout(), "{report:#}") {
                Err(error) if error.kind() != ErrorKind::BrokenPipe => {
                    complain(&format!("The report could not be written: {error}"))
                }
                _ => ExitCode::SUCCESS,
            }
        }
        Err(sentence) => complain(&sentence),
    }
}

fn complain(sentence: &str) -> ExitCode {
    // Where nobody listens, the exit tells.
    let _ = writeln!(std::io::stderr(), "{}", sentence.replace('\n', " "));
    ExitCode::from(2)
}
