//! What is told in the record, section by section.

use super::StepInWords;
use super::drawing::{self, CORNER_SIDE, Window};
use super::flow::{BODY, Flow, SMALL};
use super::words::RecordWords;
use crate::bench::as_cut::{as_cut, summary};
use crate::bench::plate::plate_drawing;
use crate::bench::print::Day;
use crate::bench::print::canvas::Type;
use crate::bench::print::words::Words;
use crate::edge::sides;
use crate::json::Named;
use crate::outline::{Bout, Corner, Side};
use crate::project::Project;
use crate::reconcile::report::{Judged, Reading, Reconciled, capital, corner_in_words, run_in_words};
use crate::trace::HowTaken;
use kurbo::{Point, Rect};

const TITLE: Type = Type::bold(7.5);
const SUBTITLE: Type = Type::plain(4.4);
const STRONG: Type = Type::bold(3.4);

pub struct Sections<'a> {
    pub project: &'a Project,
    pub result: &'a Reconciled,
    pub steps: &'a [StepInWords],
    pub day: Day,
    pub words: &'a RecordWords,
    pub of_print: &'a Words,
    pub title: &'a str,
}

impl Sections<'_> {
    pub fn write(&self, flow: &mut Flow) {
        self.first_page(flow);
        self.measures(flow);
        self.ratios(flow);
        self.overhang(flow);
        self.as_cut(flow);
        self.asymmetry(flow);
        self.corners(flow);
        self.trace(flow);
        self.recipe(flow);
        self.notes(flow);
    }

    fn mm(&self, value: f64) -> String {
        self.of_print.figure(value, 1)
    }

    fn fine(&self, value: f64) -> String {
        self.of_print.figure(value, 2)
    }

    fn first_page(&self, flow: &mut Flow) {
        let (words, project) = (self.words, self.project);
        flow.paragraph(TITLE, self.title);
        flow.gap(1.0);
        flow.paragraph(SUBTITLE, words.title);
        flow.gap(5.0);

        let room = flow.room();
        // The drawing on the left, the facts beside it.
        let area = Rect { x1: room.x0 + 0.62 * room.width(), y0: room.y0 + 8.0, ..room };
        let shapes = plate_drawing(project, self.result).shapes;
        let stations = as_cut(project, self.result);
        let facts = self.facts();
        if let Some(canvas) = flow.canvas() {
            drawing::plate(canvas, area, &shapes, &stations, |mm| self.mm(mm));
            let left = area.x1 + 4.0;
            let mut down = room.y1;
            let mut write = |kind: Type, text: &str| {
                down -= canvas.paragraph(Point::new(left, down), room.x1 - left, kind, text, 8);
            };
            for (name, value) in facts.iter().filter(|(_, value)| !value.is_empty()) {
                write(SMALL, name);
                write(STRONG, value);
                write(Type::plain(1.6), " ");
            }
            write(SMALL, words.facts.stations);
            if self.result.overhang.is_of_ribs() {
                write(SMALL, words.facts.ribs);
            }
            let below = Point::new(room.x0, room.y0 + 4.0);
            canvas.paragraph(below, room.width(), SMALL, words.caution_text, 3);
        }
        flow.gap(room.height());
    }

    fn facts(&self) -> Vec<(&'static str, String)> {
        let (names, project) = (&self.words.facts, self.project);
        let bounds = self.result.edge.outline.bounds();
        let [lower, waist, upper] = Bout::ALL.map(|bout| {
            let [left, right] = self.half_widths(bout);
            self.mm(left + right)
        });
        let wanted = project.wish.overhang;
        vec![
            (names.face, (self.of_print.face)(project.face).to_owned()),
            (names.sides, (self.of_print.sides)(project.face).to_owned()),
            (names.body_length, format!("{} mm", self.mm(bounds.height()))),
            (names.bouts, format!("{lower}, {waist}, {upper} mm")),
            (
                names.overhang,
                format!("{}, {}, {} mm", self.mm(wanted.lower), self.mm(wanted.waist), self.mm(wanted.upper)),
            ),
            (names.recipe, project.recipe.title.clone()),
            (names.traced_on, project.record.traced_on.trim().to_owned()),
            (names.cut_on, project.record.cut_on.trim().to_owned()),
            (names.record_of, (self.of_print.day)(self.day)),
        ]
    }

    /// Left and right.
    fn half_widths(&self, bout: Bout) -> [f64; 2] {
        [Side::Left, Side::Right].map(|side| sides::half_width(&self.result.edge.outline, bout, side))
    }

    fn measures(&self, flow: &mut Flow) {
        flow.heading(self.words.measures);
        let rows: Vec<Vec<String>> = self
            .result
            .measures
            .iter()
            .map(|measure| {
                let name = if measure.title.is_empty() { &measure.name } else { &measure.title };
                vec![
                    name.clone(),
                    self.mm(measure.found),
                    self.fine(measure.sd),
                    self.mm(measure.planned),
                    self.mm(measure.found - measure.planned),
                    self.read_as(measure.reading.as_ref()),
                ]
            })
            .collect();
        flow.table(&self.words.measure_columns, &rows);
    }

    fn read_as(&self, reading: Option<&Reading>) -> String {
        reading.map_or_else(String::new, |reading| {
            let ratio = reading.to_string();
            if reading.held { (self.words.held)(&ratio, reading.standing) } else { (self.words.near)(&ratio) }
        })
    }

    fn ratios(&self, flow: &mut Flow) {
        let words = self.words;
        flow.heading(words.ratios);
        flow.paragraph(BODY, (words.finish)(self.result.finish));
        flow.gap(2.0);
        let rows: Vec<Vec<String>> = self
            .result
            .arcs
            .iter()
            .map(|arc| {
                let chance = arc.reading.as_ref().map(|r| format!("{:.0} %", 100.0 * r.chance));
                vec![
                    run_in_words(arc.run),
                    arc.name(),
                    self.mm(arc.arc.radius),
                    self.fine(arc.radius_sd),
                    self.read_as(arc.reading.as_ref()),
                    chance.unwrap_or_default(),
                ]
            })
            .collect();
        flow.table(&words.ratio_columns, &rows);
        flow.paragraph(SMALL, words.chance_note);
        flow.gap(3.0);
        flow.need(4.0 * BODY.leading());
        flow.paragraph(STRONG, words.why);
        flow.paragraph(BODY, or(&self.project.record.why, words.no_why));
    }

    fn overhang(&self, flow: &mut Flow) {
        let (words, report) = (self.words, &self.result.overhang);
        flow.heading(if report.is_of_ribs() { words.overhang } else { words.distance });
        let line = (words.overhang_line)(
            report.traced,
            &self.mm(report.min),
            &self.mm(report.max),
            &self.fine(report.mean),
            &self.fine(report.rms_deviation),
        );
        flow.paragraph(BODY, &line);
        flow.gap(1.5);
        if report.stretches.is_empty() {
            flow.paragraph(BODY, &(words.within)(&self.of_print.figure(report.all_within(), 2)));
        }
        for stretch in &report.stretches {
            flow.item("\u{2022}", &capital(&format!("{stretch}.")));
        }
    }

    fn as_cut(&self, flow: &mut Flow) {
        let words = self.words;
        let stations = as_cut(self.project, self.result);
        flow.heading(words.as_cut);
        let text = summary(&stations, self.result.overhang.tolerance)
            .map_or_else(|| words.not_cut.to_owned(), |summary| summary.to_string());
        flow.paragraph(BODY, &text);
        if !self.result.overhang.is_of_ribs() {
            flow.paragraph(BODY, words.not_ribs);
        }
        flow.gap(2.0);
        let rows: Vec<Vec<String>> = stations
            .iter()
            .map(|station| {
                vec![
                    station.station.number().to_string(),
                    station.station.to_string(),
                    self.fine(station.planned),
                    station.measured.map(|mm| self.fine(mm)).unwrap_or_default(),
                    station.difference().map(|mm| self.fine(mm)).unwrap_or_default(),
                ]
            })
            .collect();
        flow.table(&words.as_cut_columns, &rows);
    }

    fn asymmetry(&self, flow: &mut Flow) {
        let words = self.words;
        flow.heading(words.asymmetry);
        let edge = &self.result.edge.outline;
        let mut rows: Vec<Vec<String>> = Vec::new();
        for (bout, apart) in Bout::ALL.into_iter().zip(sides::of_bouts(edge)) {
            let [left, right] = self.half_widths(bout);
            let name = (words.bout)(bout).to_owned();
            rows.push(vec![name, self.mm(left), self.mm(right), self.mm(left - right), self.mm(apart.most)]);
        }
        for bout in [Bout::Lower, Bout::Upper] {
            let height = |side: Side| {
                Corner::of(bout, side).map_or(0.0, |corner| {
                    let end = &self.result.edge.corners[corner.index()];
                    end.outer.midpoint(end.waist).y - edge.bounds().y0
                })
            };
            let (left, right) = (height(Side::Left), height(Side::Right));
            let cells = [left, right, left - right].map(|mm| self.mm(mm));
            rows.push([vec![(words.corner_height)(bout)], cells.to_vec(), vec![String::new()]].concat());
        }
        flow.table(&words.asymmetry_columns, &rows);
        flow.paragraph(SMALL, words.asymmetry_note);
    }

    fn corners(&self, flow: &mut Flow) {
        let words = self.words;
        let corners = &self.result.edge.corners;
        let of_ribs = self.result.overhang.is_of_ribs();
        let of_the_ribs = |mm: f64| if of_ribs { self.mm(mm) } else { "\u{2013}".to_owned() };
        flow.heading(words.corners);
        let rows: Vec<Vec<String>> = corners
            .iter()
            .map(|end| {
                vec![
                    capital(&corner_in_words(end.at)),
                    self.mm(end.width),
                    of_the_ribs(end.beyond_ribs),
                    of_the_ribs(end.overhang_outer),
                    of_the_ribs(end.overhang_waist),
                    self.of_print.figure(end.heading.to_degrees(), 0),
                ]
            })
            .collect();
        flow.table(&words.corner_columns, &rows);
        let shapes = plate_drawing(self.project, self.result).shapes;
        let window = Window::of(corners);
        let side = CORNER_SIDE + 2.0 * BODY.leading();
        flow.need(2.0 * side + 2.0 * SMALL.leading());
        // As they lie on the plate: the upper ones above, the left ones on the left.
        for bout in [Bout::Upper, Bout::Lower] {
            flow.need(side);
            let room = flow.room();
            for (at, left) in [(Side::Left, room.x0), (Side::Right, room.x1 - CORNER_SIDE)] {
                let Some(corner) = Corner::of(bout, at) else { continue };
                let end = &corners[corner.index()];
                if let Some(canvas) = flow.canvas() {
                    let top = Point::new(left, room.y1);
                    let name = capital(&corner_in_words(corner));
                    canvas.paragraph(top, CORNER_SIDE, STRONG, &name, 1);
                    let under = Point::new(left, room.y1 - 1.4 * BODY.leading());
                    drawing::corner(canvas, under, &shapes, (end, of_ribs), window, |mm| self.mm(mm));
                }
            }
            flow.gap(side);
        }
        let details = (words.corner_details)(window.times);
        let cross = if of_ribs { words.ribs_corner } else { "" };
        flow.paragraph(SMALL, format!("{details} {cross}").trim_end());
    }

    fn trace(&self, flow: &mut Flow) {
        let (words, result) = (self.words, self.result);
        flow.heading(words.trace);
        let left_out = result.points.iter().filter(|p| p.judged == Judged::LeftOut).count();
        let sd = self.fine(result.trace_sd);
        flow.paragraph(BODY, &(words.traced)(self.project.wish.traced, result.points.len(), left_out, &sd));
        flow.gap(1.5);
        let taken: Vec<String> = HowTaken::NAMES
            .iter()
            .map(|&(_, how)| (how, self.project.trace.points.iter().filter(|p| p.taken == how).count()))
            .filter(|(_, count)| *count > 0)
            .map(|(how, count)| (words.taken)(how, count))
            .collect();
        flow.paragraph(BODY, &capital(&format!("{}.", taken.join(", "))));
        flow.gap(1.5);
        for warning in &result.warnings {
            let text = warning.to_string();
            let text = if text.ends_with('.') { text } else { format!("{text}.") };
            flow.item("\u{2022}", &text);
        }
    }

    fn recipe(&self, flow: &mut Flow) {
        let (words, recipe) = (self.words, &self.project.recipe);
        flow.heading(&(words.recipe)(&recipe.title));
        if !recipe.author.trim().is_empty() {
            flow.paragraph(SMALL, &(words.recipe_by)(recipe.author.trim()));
        }
        if !recipe.note.trim().is_empty() {
            flow.paragraph(BODY, recipe.note.trim());
        }
        flow.gap(2.0);
        for (k, step) in self.steps.iter().enumerate() {
            flow.item(&(k + 1).to_string(), &step_told(step));
        }
    }

    fn notes(&self, flow: &mut Flow) {
        let words = self.words;
        flow.heading(words.notes);
        flow.paragraph(BODY, or(&self.project.notes, words.no_notes));
        flow.heading(words.cautions);
        flow.paragraph(BODY, words.caution_text);
    }
}

fn step_told(step: &StepInWords) -> String {
    if step.name.trim().is_empty() {
        step.sentence.clone()
    } else {
        format!("{}. {}", step.name, step.sentence)
    }
}

fn or<'a>(text: &'a str, otherwise: &'a str) -> &'a str {
    if text.trim().is_empty() { otherwise } else { text.trim() }
}
