//! Polygons on the screen: filling, hatching and finding what lies under a pointer.
//!
//! Outlines have hollows (wheel arches, a pickup's bed) and an author may cross their edges while drawing, so nothing
//! here assumes a convex or even a simple polygon: inside is where the even-odd rule says so.

use egui::{Pos2, Rect, Vec2, pos2};

/// The edges, the last corner joined to the first.
pub fn edges(corners: &[Pos2]) -> impl Iterator<Item = (Pos2, Pos2)> {
    corners
        .iter()
        .copied()
        .zip(corners.iter().copied().cycle().skip(1))
}

/// Whether a place is inside, by the even-odd rule.
pub fn contains(corners: &[Pos2], at: Pos2) -> bool {
    crossings(corners, at.y)
        .iter()
        .filter(|x| **x > at.x)
        .count()
        % 2
        == 1
}

/// The smallest box around the corners.
pub fn bounds(corners: &[Pos2]) -> Rect {
    Rect::from_points(corners)
}

/// How far a place is from the nearest edge.
pub fn distance_to_edge(corners: &[Pos2], at: Pos2) -> f32 {
    edges(corners)
        .map(|(a, b)| distance_to_segment(a, b, at))
        .fold(f32::INFINITY, f32::min)
}

/// The number of the edge nearest to a place (edge 0 runs from corner 0 to corner 1), with its distance.
pub fn nearest_edge(corners: &[Pos2], at: Pos2) -> Option<(usize, f32)> {
    edges(corners)
        .map(|(a, b)| distance_to_segment(a, b, at))
        .enumerate()
        .min_by(|(_, a), (_, b)| a.total_cmp(b))
}

/// How far a place is from the segment between two others.
pub fn distance_to_segment(a: Pos2, b: Pos2, at: Pos2) -> f32 {
    let along = b - a;
    let length_sq = along.length_sq();
    if length_sq <= f32::EPSILON {
        return at.distance(a);
    }
    let part = ((at - a).dot(along) / length_sq).clamp(0.0, 1.0);
    at.distance(a + along * part)
}

/// Where a horizontal line crosses the edges, from left to right. A corner on the line counts once.
fn crossings(corners: &[Pos2], y: f32) -> Vec<f32> {
    let mut xs: Vec<f32> = edges(corners)
        .filter(|(a, b)| (a.y <= y) != (b.y <= y))
        .map(|(a, b)| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x))
        .collect();
    xs.sort_by(f32::total_cmp);
    xs
}

/// Cuts a polygon into trapezoids with level tops and bottoms, corners in order round each.
pub fn trapezoids(corners: &[Pos2]) -> Vec<[Pos2; 4]> {
    let mut levels: Vec<f32> = corners.iter().map(|c| c.y).collect();
    levels.sort_by(f32::total_cmp);
    levels.dedup();
    let bands = levels.iter().zip(levels.iter().skip(1));
    bands
        .flat_map(|(&top, &bottom)| band(corners, top, bottom))
        .collect()
}

fn band(corners: &[Pos2], top: f32, bottom: f32) -> Vec<[Pos2; 4]> {
    let middle = top.midpoint(bottom);
    let mut sides: Vec<(f32, f32, f32)> = edges(corners)
        .filter(|(a, b)| (a.y <= middle) != (b.y <= middle))
        .map(|(a, b)| {
            let x_at = |y: f32| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x);
            (x_at(middle), x_at(top), x_at(bottom))
        })
        .collect();
    sides.sort_by(|a, b| a.0.total_cmp(&b.0));
    let pairs = sides.iter().zip(sides.iter().skip(1)).step_by(2);
    pairs
        .map(|(left, right)| {
            [
                pos2(left.1, top),
                pos2(right.1, top),
                pos2(right.2, bottom),
                pos2(left.2, bottom),
            ]
        })
        .collect()
}

/// The parts of a family of parallel lines that lie inside, as hatching.
///
/// `along` is the lines' direction; they are `spacing` points apart and keep their place when the polygon moves by
/// whole steps, so neighbouring zones are hatched in line. At most a few thousand lines, whatever the size.
pub fn hatching(corners: &[Pos2], along: Vec2, spacing: f32) -> Vec<[Pos2; 2]> {
    let along = along.normalized();
    // Turned so that the lines are level.
    let turn = |p: Pos2| pos2(p.x * along.x + p.y * along.y, p.y * along.x - p.x * along.y);
    let turn_back = |p: Pos2| pos2(p.x * along.x - p.y * along.y, p.x * along.y + p.y * along.x);
    let turned: Vec<Pos2> = corners.iter().copied().map(turn).collect();
    let range = bounds(&turned).y_range();
    let first = (range.min / spacing).ceil();
    let mut lines = Vec::new();
    for step in 0..4000_u16 {
        // A hair beside the corner, where the even-odd rule has no doubt.
        let y = (first + f32::from(step)) * spacing + 0.001;
        if y > range.max || !y.is_finite() {
            break;
        }
        let xs = crossings(&turned, y);
        for (left, right) in xs.iter().zip(xs.iter().skip(1)).step_by(2) {
            lines.push([turn_back(pos2(*left, y)), turn_back(pos2(*right, y))]);
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::vec2;

    /// A shape like a table: a hollow between two legs, 100 wide, 60 high, the hollow 40 by 30.
    fn table() -> Vec<Pos2> {
        [
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 60.0),
            (70.0, 60.0),
            (70.0, 30.0),
            (30.0, 30.0),
            (30.0, 60.0),
            (0.0, 60.0),
        ]
        .map(|(x, y)| pos2(x, y))
        .to_vec()
    }

    fn area(corners: &[Pos2]) -> f32 {
        edges(corners)
            .map(|(a, b)| a.x * b.y - b.x * a.y)
            .sum::<f32>()
            .abs()
            / 2.0
    }

    #[test]
    fn a_hollow_is_outside() {
        assert!(contains(&table(), pos2(10.0, 50.0)));
        assert!(contains(&table(), pos2(50.0, 10.0)));
        assert!(!contains(&table(), pos2(50.0, 50.0)));
        assert!(!contains(&table(), pos2(-5.0, 10.0)));
    }

    #[test]
    fn trapezoids_cover_exactly_the_area() {
        let whole: f32 = trapezoids(&table()).iter().map(|t| area(t)).sum();
        assert!((whole - 4800.0).abs() < 0.01, "{whole}");
        let triangle = [pos2(0.0, 0.0), pos2(10.0, 3.0), pos2(4.0, 9.0)];
        let whole: f32 = trapezoids(&triangle).iter().map(|t| area(t)).sum();
        assert!((whole - area(&triangle)).abs() < 0.01, "{whole}");
    }

    #[test]
    fn hatching_stays_inside_and_follows_its_direction() {
        for along in [
            vec2(1.0, 1.0),
            vec2(1.0, -1.0),
            vec2(1.0, 0.0),
            vec2(0.0, 1.0),
        ] {
            let lines = hatching(&table(), along, 7.0);
            assert!(lines.len() > 5, "{along:?}");
            for [a, b] in lines {
                let middle = a + (b - a) * 0.5;
                assert!(
                    contains(&table(), middle) || a.distance(b) < 0.5,
                    "{a:?} {b:?}"
                );
                let skew = (b - a).normalized().dot(along.normalized().rot90()).abs();
                assert!(skew < 1e-3 || a.distance(b) < 0.5, "{a:?} {b:?}");
            }
        }
    }

    #[test]
    fn the_nearest_edge_is_found_with_its_distance() {
        let (edge, distance) = nearest_edge(&table(), pos2(102.0, 20.0)).unwrap_or_default();
        assert_eq!(edge, 1);
        assert!((distance - 2.0).abs() < 1e-4);
        assert!((distance_to_edge(&table(), pos2(50.0, 32.0)) - 2.0).abs() < 1e-4);
    }

    #[test]
    fn empty_and_flat_polygons_do_no_harm() {
        assert!(!contains(&[], pos2(0.0, 0.0)));
        assert!(trapezoids(&[pos2(0.0, 0.0), pos2(5.0, 0.0)]).is_empty());
        assert!(hatching(&[pos2(1.0, 1.0); 3], vec2(1.0, 1.0), 5.0).is_empty());
        assert_eq!(nearest_edge(&[], pos2(0.0, 0.0)), None);
    }
}
