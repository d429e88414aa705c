//! By how much the results of a class differ, the most different first.

use super::Member;
use super::figures::{Figure, Key};
use crate::order::sort_by_value;

/// One figure of all results beside one another.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    pub key: Key,
    /// In the order of the results; `None` for one that has no such figure.
    pub of: Vec<Option<Figure>>,
    /// Between the smallest and the largest, in the unit of the key; `None` where fewer than two have it.
    pub spread: Option<f64>,
    /// The spread as so many times what is noticeable in a figure of this kind: what the lines are in order by.
    pub weight: f64,
}

/// Sets the figures of the results beside one another, the most different first. Ratios of the recipe that all have alike
/// are left out: that is what makes them one recipe.
pub fn table(members: &[&Member]) -> Vec<Line> {
    let mut keys: Vec<&Key> = Vec::new();
    for figure in members.iter().flat_map(|member| &member.figures) {
        if !keys.contains(&&figure.key) {
            keys.push(&figure.key);
        }
    }
    let mut lines: Vec<Line> = keys.into_iter().map(|key| line(key, members)).collect();
    lines.retain(|line| match line.key {
        Key::Chosen { .. } => line.of.iter().any(|figure| ratio_of(figure) != ratio_of(&line.of[0])),
        _ => true,
    });
    sort_by_value(&mut lines, |line| -line.weight);
    lines
}

fn ratio_of(figure: &Option<Figure>) -> Option<&str> {
    figure.as_ref()?.ratio.as_deref()
}

fn line(key: &Key, members: &[&Member]) -> Line {
    let of: Vec<Option<Figure>> =
        members.iter().map(|member| member.figures.iter().find(|f| f.key == *key).cloned()).collect();
    let values: Vec<f64> = of.iter().flatten().map(|figure| figure.value).collect();
    let spread = (values.len() > 1).then(|| {
        let least = values.iter().copied().fold(f64::INFINITY, f64::min);
        values.iter().copied().fold(f64::NEG_INFINITY, f64::max) - least
    });
    let mean = values.iter().sum::<f64>() / values.len().max(1) as f64;
    let weight = spread.map_or(-1.0, |spread| spread / key.grain(mean));
    Line { key: key.clone(), of, spread, weight }
}
