//! The edges of a class over one another: brought together where one chooses, and with their differences drawn larger
//! than they are.

use super::{Member, PLACES};
use crate::arc::Chain;
use kurbo::{Point, Vec2};

/// Where the results are brought together; the centrelines always are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Alignment {
    /// Where the edge meets the centreline at the bottom.
    #[default]
    Bottom,
    /// Half-way up the edge.
    Middle,
    /// Where the edge meets the centreline at the top.
    Top,
    /// At the lower pin. A result without pins stands at its bottom, as high as the others' bottoms on average.
    Pin,
}

/// Most that differences are drawn larger.
pub const MOST_TIMES: f64 = 20.0;

/// What is drawn, in mm, the bottom of the mean near the origin.
#[derive(Debug, Clone, PartialEq)]
pub struct Overlay {
    /// The mean of all edges, closed.
    pub mean: Vec<Point>,
    /// Each edge, closed, its distance from the mean multiplied.
    pub lines: Vec<Vec<Point>>,
}

/// [`PLACES`] places evenly along a run.
pub(super) fn spaced(run: &Chain) -> Vec<Point> {
    let arcs = run.arcs();
    let whole = run.length();
    let mut places = Vec::with_capacity(PLACES);
    let (mut passed, mut k) = (0.0, 0);
    for place in 0..PLACES {
        let wanted = whole * place as f64 / (PLACES - 1) as f64;
        while k + 1 < arcs.len() && passed + arcs[k].length() < wanted {
            passed += arcs[k].length();
            k += 1;
        }
        let Some(arc) = arcs.get(k) else { return vec![run.start; PLACES] };
        let t = if arc.length() > 0.0 { (wanted - passed) / arc.length() } else { 0.0 };
        places.push(arc.at(t.clamp(0.0, 1.0)));
    }
    places
}

/// Lays the edges over one another, what sets each apart from the mean drawn `times` as large (1 is as it is).
pub fn laid_over(members: &[&Member], at: Alignment, times: f64) -> Overlay {
    let times = if times.is_finite() { times.clamp(1.0, MOST_TIMES) } else { 1.0 };
    let edges: Vec<Vec<Point>> = members
        .iter()
        .zip(shifts(members, at))
        .map(|(member, shift)| member.edge.iter().flatten().map(|point| *point + shift).collect())
        .collect();
    let mean = mean_of(&edges);
    let exaggerated = |edge: &Vec<Point>| -> Vec<Point> {
        edge.iter().zip(&mean).map(|(point, mean)| *mean + times * (*point - *mean)).collect()
    };
    let lines = edges.iter().map(exaggerated).collect();
    Overlay { mean, lines }
}

fn mean_of(edges: &[Vec<Point>]) -> Vec<Point> {
    let places = edges.iter().map(Vec::len).min().unwrap_or(0);
    let share = 1.0 / edges.len().max(1) as f64;
    (0..places)
        .map(|k| edges.iter().fold(Vec2::ZERO, |sum, edge| sum + share * edge[k].to_vec2()).to_point())
        .collect()
}

/// How each is shifted along the centreline, and onto it.
fn shifts(members: &[&Member], at: Alignment) -> Vec<Vec2> {
    let below_pin = |member: &Member| member.lower_pin.map(|pin| pin.y - member.bottom.y);
    let known: Vec<f64> = members.iter().filter_map(|member| below_pin(member)).collect();
    let usual = known.iter().sum::<f64>() / known.len().max(1) as f64;
    members
        .iter()
        .map(|member| {
            let height = match at {
                Alignment::Bottom => member.bottom.y,
                Alignment::Middle => 0.5 * (member.bottom.y + member.top.y),
                Alignment::Top => member.top.y,
                Alignment::Pin => member.bottom.y + below_pin(member).unwrap_or(usual),
            };
            Vec2::new(0.0, -height)
        })
        .collect()
}
