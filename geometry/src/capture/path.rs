//! The way of least cost through a corridor.

use super::corridor::Corridor;
use kurbo::Point;

/// What a cell costs where the line is as strong as at the taps, and what where there is none.
const ON_LINE: f32 = 4.0;
const OFF_LINE: f32 = 60.0;
/// Weights of a straight and of a slanting step: 5 to 7 is the root of 2 to one part in a hundred.
const STRAIGHT: u32 = 5;
const SLANTING: u32 = 7;
const NEVER: u32 = u32::MAX;

/// The cells from one tap to the other along which the line is strongest for the way, as places on the photo; empty where
/// there is no way. `full` is the strength of a plain line.
///
/// Source: Dijkstra, "A note on two problems in connexion with graphs", Numerische Mathematik 1 (1959); with buckets, since
/// the costs are small whole numbers: Dial, "Algorithm 360", CACM 12 (1969).
pub(super) fn least_cost(corridor: &Corridor, from: Point, to: Point, full: f32) -> Vec<Point> {
    let (width, count) = (corridor.width, corridor.strength.len());
    let cost: Vec<u8> = corridor
        .strength
        .iter()
        .map(|strength| {
            if *strength < 0.0 {
                return 0;
            }
            let lacking = 1.0 - (strength / full).min(1.0);
            (ON_LINE + (OFF_LINE - ON_LINE) * lacking * lacking) as u8
        })
        .collect();
    let (start, end) = (corridor.at(from), corridor.at(to));
    let buckets_count = (SLANTING as usize) * (OFF_LINE as usize) + 2;
    let mut buckets: Vec<Vec<u32>> = vec![Vec::new(); buckets_count];
    let mut reached = vec![NEVER; count];
    let mut came_from = vec![u8::MAX; count];
    let steps: [(isize, isize, u32); 8] = [
        (1, 0, STRAIGHT),
        (-1, 0, STRAIGHT),
        (0, 1, STRAIGHT),
        (0, -1, STRAIGHT),
        (1, 1, SLANTING),
        (-1, -1, SLANTING),
        (1, -1, SLANTING),
        (-1, 1, SLANTING),
    ];
    reached[start] = 0;
    buckets[0].push(start as u32);
    let (mut now, mut waiting) = (0u32, 1usize);
    'search: while waiting > 0 {
        let Some(k) = buckets[now as usize % buckets_count].pop() else {
            now += 1;
            continue;
        };
        waiting -= 1;
        let k = k as usize;
        if reached[k] != now {
            continue;
        }
        if k == end {
            break 'search;
        }
        let (x, y) = ((k % width) as isize, (k / width) as isize);
        for (turn, (dx, dy, weight)) in steps.iter().enumerate() {
            let (i, j) = (x + dx, y + dy);
            if i < 0 || j < 0 || i >= width as isize || j >= corridor.height as isize {
                continue;
            }
            let next = j as usize * width + i as usize;
            if cost[next] == 0 {
                continue;
            }
            let total = now + weight * (u32::from(cost[k].max(1)) + u32::from(cost[next])) / 2;
            if total < reached[next] {
                reached[next] = total;
                came_from[next] = turn as u8;
                buckets[total as usize % buckets_count].push(next as u32);
                waiting += 1;
            }
        }
    }
    if reached[end] == NEVER {
        return Vec::new();
    }
    let mut cells = vec![end];
    let mut k = end;
    while k != start && cells.len() <= count {
        let Some((dx, dy, _)) = steps.get(came_from[k] as usize) else { return Vec::new() };
        k = (k as isize - dx - dy * width as isize) as usize;
        cells.push(k);
    }
    let mut places: Vec<Point> = cells.into_iter().rev().map(|k| corridor.place(k)).collect();
    if let Some(first) = places.first_mut() {
        *first = from;
    }
    if let Some(last) = places.last_mut() {
        *last = to;
    }
    places
}
