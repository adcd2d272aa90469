//! Places for labels so that they cover neither one another nor what they name.

use egui::{Pos2, Rect, Vec2, vec2};

/// A label that wants a place.
#[derive(Clone, Copy, Debug)]
pub struct Wanted {
    /// What it names.
    pub anchor: Pos2,
    /// How far from the anchor its nearest edge stays.
    pub gap: f32,
    /// Its size.
    pub size: Vec2,
    /// Whether it is shown even where there is no room, as the selected one is.
    pub always: bool,
}

/// The eight sides of an anchor, the best first: right, left, above, below, then the corners.
const SIDES: [Vec2; 8] = [
    vec2(1.0, 0.0),
    vec2(-1.0, 0.0),
    vec2(0.0, -1.0),
    vec2(0.0, 1.0),
    vec2(1.0, -1.0),
    vec2(-1.0, -1.0),
    vec2(1.0, 1.0),
    vec2(-1.0, 1.0),
];

/// Gives each label the first side of its anchor that is free, in the order given; `None` where all are taken.
///
/// `taken` are areas that no label may cover; nothing is placed outside `area`.
pub fn place(wanted: &[Wanted], taken: &[Rect], area: Rect) -> Vec<Option<Rect>> {
    let mut taken = taken.to_vec();
    // What must be shown is placed first, so that it gets the room.
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by_key(|i| wanted.get(*i).is_none_or(|w| !w.always));
    let mut places = vec![None; wanted.len()];
    for index in order {
        let (Some(label), Some(place)) = (wanted.get(index), places.get_mut(index)) else {
            continue;
        };
        *place = place_one(label, &taken, area);
        taken.extend(*place);
    }
    places
}

fn place_one(label: &Wanted, taken: &[Rect], area: Rect) -> Option<Rect> {
    if !area.contains(label.anchor) {
        return None;
    }
    // A label at a corner or farther off is soon taken for a neighbour's, so only what must be shown goes there.
    let (sides, gaps): (usize, &[f32]) = if label.always {
        (8, &[1.0, 3.0])
    } else {
        (4, &[1.0])
    };
    let place_at = |gap: f32, side: &Vec2| {
        let reach = Vec2::splat(label.gap * gap) + label.size / 2.0;
        Rect::from_center_size(label.anchor + *side * reach, label.size)
    };
    let candidates = gaps
        .iter()
        .flat_map(|gap| SIDES.iter().take(sides).map(|side| place_at(*gap, side)));
    let inside: Vec<Rect> = candidates.filter(|c| area.contains_rect(*c)).collect();
    let covered = |place: &Rect| covered_area(place.expand(1.0), taken);
    let free = inside.iter().find(|c| covered(c) <= 0.0);
    let least = || {
        let by_cover = |a: &&Rect, b: &&Rect| covered(a).total_cmp(&covered(b));
        inside.iter().min_by(by_cover)
    };
    free.or_else(|| label.always.then(least).flatten()).copied()
}

/// How much of what is taken a place would cover.
fn covered_area(place: Rect, taken: &[Rect]) -> f32 {
    let common = taken.iter().map(|t| t.intersect(place));
    common.filter(Rect::is_positive).map(|c| c.area()).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::pos2;

    const AREA: Rect = Rect {
        min: Pos2::ZERO,
        max: pos2(400.0, 300.0),
    };

    fn at(x: f32, y: f32, always: bool) -> Wanted {
        Wanted {
            anchor: pos2(x, y),
            gap: 8.0,
            size: vec2(60.0, 14.0),
            always,
        }
    }

    #[test]
    fn labels_never_overlap_one_another_or_what_is_taken() {
        let wanted: Vec<Wanted> = (0..40_u8)
            .map(|i| {
                at(
                    100.0 + f32::from(i) * 5.0,
                    150.0 + f32::from(i % 3) * 4.0,
                    false,
                )
            })
            .collect();
        let taken: Vec<Rect> = wanted
            .iter()
            .map(|w| Rect::from_center_size(w.anchor, vec2(10.0, 10.0)))
            .collect();
        let placed: Vec<Rect> = place(&wanted, &taken, AREA).into_iter().flatten().collect();
        assert!(placed.len() >= 4);
        for (i, a) in placed.iter().enumerate() {
            assert!(AREA.contains_rect(*a));
            assert!(!taken.iter().any(|t| t.intersects(*a)));
            assert!(placed.iter().skip(i + 1).all(|b| !a.intersects(*b)));
        }
    }

    #[test]
    fn a_lone_label_stands_to_the_right_unless_the_edge_is_near() {
        let right = place(&[at(100.0, 100.0, false)], &[], AREA);
        assert!(
            right
                .first()
                .is_some_and(|r| r.is_some_and(|r| r.left() > 100.0))
        );
        let left = place(&[at(390.0, 100.0, false)], &[], AREA);
        assert!(
            left.first()
                .is_some_and(|r| r.is_some_and(|r| r.right() < 390.0))
        );
    }

    #[test]
    fn the_selected_label_is_placed_first_and_always() {
        let wall = [Rect::EVERYTHING];
        let placed = place(
            &[at(100.0, 100.0, false), at(104.0, 100.0, true)],
            &wall,
            AREA,
        );
        assert_eq!(
            placed.iter().map(Option::is_some).collect::<Vec<_>>(),
            [false, true]
        );
    }

    #[test]
    fn a_label_that_must_be_shown_covers_as_little_as_can_be() {
        let around = Rect::from_center_size(pos2(200.0, 150.0), vec2(130.0, 50.0));
        let placed = place(&[at(200.0, 150.0, true)], &[around], AREA);
        let chosen = placed.first().copied().flatten();
        let covers = |place: Rect| covered_area(place.expand(1.0), &[around]);
        let right = Rect::from_center_size(pos2(238.0, 150.0), vec2(60.0, 14.0));
        assert!(
            chosen.is_some_and(|c| covers(c) < covers(right)),
            "{chosen:?}"
        );
    }

    #[test]
    fn what_is_out_of_sight_gets_no_label() {
        assert_eq!(place(&[at(500.0, 100.0, true)], &[], AREA), [None]);
    }
}
