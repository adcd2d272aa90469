//! Plane polygons as plain pairs of metres.

/// A corner or a place in one view.
pub(crate) type Spot = [f64; 2];

fn cross(o: Spot, a: Spot, b: Spot) -> f64 {
    (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
}

/// The sides of a polygon, the last corner joined to the first.
fn sides(polygon: &[Spot]) -> impl Iterator<Item = (Spot, Spot)> + '_ {
    polygon
        .iter()
        .copied()
        .zip(polygon.iter().copied().cycle().skip(1))
}

/// Whether a spot lies inside a polygon (even-odd rule).
pub(crate) fn contains(polygon: &[Spot], [x, y]: Spot) -> bool {
    let crossings = sides(polygon).filter(|(a, b)| {
        (a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
    });
    crossings.count() % 2 == 1
}

/// The distance from a spot to a polygon's nearest side, in metres.
pub(crate) fn to_boundary(polygon: &[Spot], spot: Spot) -> f64 {
    sides(polygon)
        .map(|(a, b)| to_segment(a, b, spot))
        .fold(f64::INFINITY, f64::min)
}

/// How far a spot lies outside a polygon; zero inside.
pub(crate) fn outside_by(polygon: &[Spot], spot: Spot) -> f64 {
    if contains(polygon, spot) {
        0.0
    } else {
        to_boundary(polygon, spot)
    }
}

fn to_segment(a: Spot, b: Spot, p: Spot) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let square = dx * dx + dy * dy;
    let along = if square > 0.0 {
        ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square
    } else {
        0.0
    };
    let t = along.clamp(0.0, 1.0);
    (p[0] - a[0] - t * dx).hypot(p[1] - a[1] - t * dy)
}

/// The smallest and largest value of each coordinate.
pub(crate) fn extent(polygon: &[Spot]) -> Option<[(f64, f64); 2]> {
    let span = |i: fn(&Spot) -> f64| {
        let values = polygon.iter().map(i);
        values.fold(None, |span: Option<(f64, f64)>, v| {
            Some(span.map_or((v, v), |(l, h)| (l.min(v), h.max(v))))
        })
    };
    Some([span(|[x, _]| *x)?, span(|[_, y]| *y)?])
}

/// The convex hull, counter-clockwise (Andrew's monotone chain); fewer than three corners when all lie on one line.
pub(crate) fn hull(spots: &[Spot]) -> Vec<Spot> {
    let mut sorted = spots.to_vec();
    sorted.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    sorted.dedup();
    let mut hull = half(sorted.iter().copied());
    let upper = half(sorted.iter().rev().copied());
    hull.pop();
    hull.extend(upper);
    hull.pop();
    hull
}

fn half(spots: impl Iterator<Item = Spot>) -> Vec<Spot> {
    let mut chain: Vec<Spot> = Vec::new();
    for spot in spots {
        while let [.., a, b] = chain.as_slice() {
            if cross(*a, *b, spot) > 0.0 {
                break;
            }
            chain.pop();
        }
        chain.push(spot);
    }
    chain
}

/// Two sides of a polygon that cross or touch where they should not, by their positions.
pub(crate) fn self_crossing(polygon: &[Spot]) -> Option<(usize, usize)> {
    let count = polygon.len();
    let mut list: Vec<(usize, Spot, Spot)> = sides(polygon)
        .enumerate()
        .map(|(i, (a, b))| (i, a, b))
        .collect();
    // By the left end, so that the search along each side stops early.
    list.sort_by(|(_, a, b), (_, c, d)| a[0].min(b[0]).total_cmp(&c[0].min(d[0])));
    let mut found: Option<(usize, usize)> = None;
    for (n, (i, a, b)) in list.iter().enumerate() {
        let right = a[0].max(b[0]);
        for (j, c, d) in list
            .iter()
            .skip(n + 1)
            .take_while(|(_, c, d)| c[0].min(d[0]) <= right)
        {
            let (low, high) = (*i.min(j), *i.max(j));
            let adjacent = high == low + 1 || (low == 0 && high + 1 == count);
            if !adjacent && meet(*a, *b, *c, *d) && found.is_none_or(|f| (low, high) < f) {
                found = Some((low, high));
            }
        }
    }
    found
}

fn meet(a: Spot, b: Spot, c: Spot, d: Spot) -> bool {
    let apart = |p: f64, q: f64| (p > 0.0 && q < 0.0) || (p < 0.0 && q > 0.0);
    let (c_side, d_side) = (cross(a, b, c), cross(a, b, d));
    let (a_side, b_side) = (cross(c, d, a), cross(c, d, b));
    if apart(c_side, d_side) && apart(a_side, b_side) {
        return true;
    }
    let on = |p: Spot, q: Spot, r: Spot, side: f64| {
        side == 0.0
            && r[0] >= p[0].min(q[0])
            && r[0] <= p[0].max(q[0])
            && r[1] >= p[1].min(q[1])
            && r[1] <= p[1].max(q[1])
    };
    on(a, b, c, c_side) || on(a, b, d, d_side) || on(c, d, a, a_side) || on(c, d, b, b_side)
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [Spot; 4] = [[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]];

    #[test]
    fn a_spot_is_inside_or_a_distance_away() {
        assert!(contains(&SQUARE, [1.0, 1.5]));
        assert!(!contains(&SQUARE, [3.0, 1.0]));
        assert!(
            (outside_by(&SQUARE, [5.0, 6.0]) - 5.0).abs() < 1e-12,
            "3-4-5 triangle from the corner"
        );
        assert!((to_boundary(&SQUARE, [1.0, 0.25]) - 0.25).abs() < 1e-12);
    }

    #[test]
    fn a_bow_tie_crosses_itself_and_a_square_does_not() {
        assert_eq!(self_crossing(&SQUARE), None);
        assert_eq!(
            self_crossing(&[[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0]]),
            Some((0, 2))
        );
        assert_eq!(
            self_crossing(&[[0.0, 0.0], [4.0, 0.0], [4.0, 2.0], [2.0, 0.0], [0.0, 2.0]]),
            Some((0, 2))
        );
    }

    #[test]
    fn a_hull_drops_what_lies_inside() {
        let mut spots = SQUARE.to_vec();
        spots.extend([[1.0, 1.0], [1.0, 0.0]]);
        assert_eq!(hull(&spots), SQUARE.to_vec());
        assert!(hull(&[[0.0, 0.0], [1.0, 1.0], [2.0, 2.0]]).len() < 3);
    }

    #[test]
    fn the_extent_is_that_of_the_corners() {
        assert_eq!(extent(&SQUARE), Some([(0.0, 2.0), (0.0, 2.0)]));
        assert_eq!(extent(&[]), None);
    }
}
