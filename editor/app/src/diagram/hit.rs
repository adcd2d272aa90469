//! What lies under the pointer.

use egui::Pos2;

use super::{
    polygon,
    projection::Projection,
    scene::{Region, Scene},
    state::Layers,
};

/// How far from a point's middle a click still means it, in screen points.
pub const REACH: f32 = 11.0;
/// How far from a line a click still means it.
const LINE_REACH: f32 = 5.0;

/// Something under the pointer.
#[derive(Clone, Debug, PartialEq)]
pub struct Hit {
    /// Its pointer in the file.
    pub pointer: String,
    /// Its name, as a menu shows it.
    pub name: String,
}

/// Everything under a place on the screen, the likeliest first: points by distance, then cables, wheels, zones and
/// packs, then outlines by their edges.
pub fn under(scene: &Scene, projection: &Projection, layers: Layers, at: Pos2) -> Vec<Hit> {
    let mut hits = Vec::new();
    if layers.points {
        hits.extend(points(scene, projection, at));
    }
    if layers.energy {
        hits.extend(cables(scene, projection, at));
    }
    if layers.axles {
        hits.extend(axles(scene, projection, at));
    }
    if layers.zones {
        hits.extend(regions("Zone", &scene.zones, projection, at));
    }
    if layers.energy {
        hits.extend(regions("Pack", &scene.packs, projection, at));
    }
    if layers.outline {
        hits.extend(outlines(scene, projection, at));
    }
    hits
}

/// The one to select: the next after what is selected already, so that repeated clicks reach all that overlap.
pub fn choose<'h>(hits: &'h [Hit], selected: Option<&str>) -> Option<&'h Hit> {
    let current = hits
        .iter()
        .position(|h| Some(h.pointer.as_str()) == selected);
    match current {
        Some(index) => hits.get(index + 1).or(hits.first()),
        None => hits.first(),
    }
}

fn points(scene: &Scene, projection: &Projection, at: Pos2) -> Vec<Hit> {
    let mut near: Vec<(f32, Hit)> = scene
        .points
        .iter()
        .filter_map(|point| {
            let places = [Some(point.place), point.twin()];
            let distances = places
                .into_iter()
                .flatten()
                .map(|p| projection.screen_from_vehicle(p).distance(at));
            let distance = distances.fold(f32::INFINITY, f32::min);
            let hit = Hit {
                pointer: point.pointer.clone(),
                name: point.name.clone(),
            };
            (distance <= REACH).then_some((distance, hit))
        })
        .collect();
    near.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    near.into_iter().map(|(_, hit)| hit).collect()
}

fn cables(scene: &Scene, projection: &Projection, at: Pos2) -> Vec<Hit> {
    let near = |path: &[[f64; 3]]| {
        let on_screen: Vec<Pos2> = path
            .iter()
            .map(|p| projection.screen_from_vehicle(*p))
            .collect();
        let pairs = on_screen.iter().zip(on_screen.iter().skip(1));
        pairs
            .into_iter()
            .any(|(a, b)| polygon::distance_to_segment(*a, *b, at) <= LINE_REACH)
    };
    let found = scene.cables.iter().filter(|c| near(&c.path));
    found
        .map(|c| Hit {
            pointer: c.pointer.clone(),
            name: format!("Cable {}", c.name),
        })
        .collect()
}

fn axles(scene: &Scene, projection: &Projection, at: Pos2) -> Vec<Hit> {
    let hit = |axle: &super::scene::SceneAxle| {
        let wheels = super::wheels::on_screen(axle, projection);
        wheels.iter().any(|w| w.area.contains(at))
    };
    let found = scene.axles.iter().filter(|a| hit(a));
    found
        .map(|a| Hit {
            pointer: a.pointer.clone(),
            name: a.name.clone(),
        })
        .collect()
}

fn regions(noun: &str, regions: &[Region], projection: &Projection, at: Pos2) -> Vec<Hit> {
    let inside = |region: &Region| {
        let shown = region.polygons.iter().filter(|p| p.view == projection.view);
        shown
            .map(|p| on_screen(&p.corners, projection))
            .any(|corners| polygon::contains(&corners, at))
    };
    let found = regions.iter().filter(|r| inside(r));
    found
        .map(|r| Hit {
            pointer: r.pointer.clone(),
            name: format!("{noun} {}", r.name),
        })
        .collect()
}

fn outlines(scene: &Scene, projection: &Projection, at: Pos2) -> Vec<Hit> {
    let shown = scene.outlines.iter().filter(|o| o.view == projection.view);
    let near = shown.filter(|o| {
        polygon::distance_to_edge(&on_screen(&o.corners, projection), at) <= LINE_REACH
    });
    near.filter_map(|o| {
        Some(Hit {
            pointer: o.pointer.clone()?,
            name: "Outline".to_owned(),
        })
    })
    .collect()
}

/// Corners in metres as they are on the screen.
pub fn on_screen(corners: &[[f64; 2]], projection: &Projection) -> Vec<Pos2> {
    corners
        .iter()
        .map(|c| projection.screen_from_flat(*c))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagram::{
        fixture,
        projection::{Camera, View},
    };
    use egui::{Rect, vec2};

    fn projection(view: View) -> Projection {
        Projection {
            view,
            area: Rect::from_min_size(Pos2::ZERO, vec2(900.0, 400.0)),
            camera: Camera {
                centre: [2.0, 0.0, 0.8],
                scale: 120.0,
            },
        }
    }

    fn names(view: View, place: [f64; 3]) -> Vec<String> {
        let scene = Scene::new(&fixture::pickup(), None, None);
        let projection = projection(view);
        let at = projection.screen_from_vehicle(place);
        under(&scene, &projection, Layers::default(), at)
            .into_iter()
            .map(|h| h.name)
            .collect()
    }

    #[test]
    fn points_come_before_what_lies_beneath_them() {
        assert_eq!(names(View::Plan, [0.64, 0.76, 0.0]), ["Front lift point"]);
        let in_sill = names(View::Plan, [2.0, 0.9, 0.0]);
        assert_eq!(in_sill, ["Zone Sill"]);
        let in_pack = names(View::Side, [1.0, 0.0, 0.6]);
        assert_eq!(in_pack, ["Pack Pack"]);
    }

    #[test]
    fn a_twin_is_its_point_and_a_mirrored_zone_its_zone() {
        assert_eq!(names(View::Plan, [0.64, -0.76, 0.0]), ["Front lift point"]);
        assert_eq!(names(View::Plan, [2.0, -0.9, 0.0]), ["Zone Sill"]);
    }

    #[test]
    fn wheels_are_their_axle_and_edges_their_outline() {
        assert_eq!(names(View::Side, [3.683, 0.0, 0.2]), ["Rear axle"]);
        assert_eq!(names(View::Side, [2.0, 0.0, 1.868]), ["Outline"]);
        assert!(names(View::Side, [2.0, 0.0, 1.6]).is_empty());
    }

    #[test]
    fn what_is_not_drawn_is_not_hit() {
        let scene = Scene::new(&fixture::pickup(), None, None);
        let projection = projection(View::Plan);
        let at = projection.screen_from_vehicle([0.64, 0.76, 0.0]);
        let layers = Layers {
            points: false,
            ..Layers::default()
        };
        assert!(under(&scene, &projection, layers, at).is_empty());
    }

    #[test]
    fn repeated_clicks_go_through_everything_and_start_again() {
        let hits = ["/a", "/b"].map(|p| Hit {
            pointer: p.to_owned(),
            name: p.to_owned(),
        });
        let chosen = |selected| choose(&hits, selected).map(|h| h.pointer.as_str());
        assert_eq!(chosen(None), Some("/a"));
        assert_eq!(chosen(Some("/a")), Some("/b"));
        assert_eq!(chosen(Some("/b")), Some("/a"));
        assert_eq!(chosen(Some("/elsewhere")), Some("/a"));
        assert_eq!(choose(&[], None), None);
    }
}
