//! What in a view has a name: what can be clicked, focused and read aloud.

use egui::{Rect, Vec2};

use super::{
    edits, hit, polygon,
    projection::View,
    scene::{Region, ScenePoint},
    state::{DiagramState, Held},
    ticks,
    view::Frame,
    wheels,
};

/// Something in a view that can be clicked and focused by its name.
pub(super) struct Node {
    pub(super) pointer: String,
    pub(super) twin: bool,
    pub(super) label: String,
    pub(super) area: Rect,
    pub(super) held: Option<Held>,
}

pub(super) fn nodes(frame: &Frame<'_>, state: &DiagramState) -> Vec<Node> {
    let (scene, layers) = (frame.scene, state.layers);
    let mut nodes = Vec::new();
    if layers.energy {
        nodes.extend(
            scene
                .packs
                .iter()
                .filter_map(|pack| region(frame, "Pack", pack)),
        );
    }
    if layers.zones {
        nodes.extend(
            scene
                .zones
                .iter()
                .filter_map(|zone| region(frame, "Zone", zone)),
        );
    }
    if layers.axles {
        nodes.extend(axles(frame));
    }
    nodes.extend(corners(frame, state));
    if layers.points {
        nodes.extend(scene.points.iter().flat_map(|point| points(frame, point)));
    }
    nodes
}

fn region(frame: &Frame<'_>, noun: &str, region: &Region) -> Option<Node> {
    let view = frame.projection.view;
    let outline = region.polygons.iter().find(|p| p.view == view)?;
    Some(Node {
        pointer: region.pointer.clone(),
        twin: false,
        label: format!("{noun} {}, {}", region.name, view.name()),
        area: polygon::bounds(&hit::on_screen(&outline.corners, &frame.projection)),
        held: None,
    })
}

fn axles(frame: &Frame<'_>) -> impl Iterator<Item = Node> {
    let projection = frame.projection;
    frame.scene.axles.iter().map(move |axle| {
        let wheel = wheels::on_screen(axle, &projection).first().map(|w| w.area);
        let mark = Rect::from_center_size(wheels::motor_mark(axle, &projection), Vec2::splat(18.0));
        Node {
            pointer: axle.pointer.clone(),
            twin: false,
            label: format!("Axle {}, {}", axle.name, projection.view.name()),
            area: wheel.unwrap_or(mark),
            held: None,
        }
    })
}

fn corners(frame: &Frame<'_>, state: &DiagramState) -> Vec<Node> {
    let view = frame.projection.view;
    let mut nodes = Vec::new();
    for outline in frame.scene.editable_outlines().filter(|o| o.view == view) {
        let Some(pointer) = outline.pointer.as_deref().filter(|p| state.is_selected(p)) else {
            continue;
        };
        let places = hit::on_screen(&outline.corners, &frame.projection);
        nodes.extend(places.into_iter().enumerate().map(|(index, at)| Node {
            pointer: format!("{pointer}/corners/{index}"),
            twin: false,
            label: format!("Corner {}, {}", index + 1, view.name()),
            area: Rect::from_center_size(at, Vec2::splat(12.0)),
            held: Some(Held::Corner {
                outline: pointer.to_owned(),
                index,
            }),
        }));
    }
    nodes
}

fn points(frame: &Frame<'_>, point: &ScenePoint) -> Vec<Node> {
    let view = frame.projection.view;
    let Some(index) = edits::point_index(&point.pointer) else {
        return Vec::new();
    };
    let node = |place: [f64; 3], twin: bool| Node {
        pointer: point.pointer.clone(),
        twin,
        label: if twin {
            format!("Point {}, twin, {}", point.name, view.name())
        } else {
            format!("Point {}, {}", point.name, view.name())
        },
        area: Rect::from_center_size(
            frame.projection.screen_from_vehicle(place),
            Vec2::splat(hit::REACH * 2.0),
        ),
        held: Some(Held::Point { index, twin }),
    };
    let twin = point
        .twin()
        .filter(|_| view == View::Plan)
        .map(|place| node(place, true));
    twin.into_iter().chain([node(point.place, false)]).collect()
}

pub(super) fn point_text(frame: &Frame<'_>, point: &ScenePoint) -> String {
    let show = |metres: f64| ticks::length_text(frame.input.measure(), metres);
    let [x, y, z] = point.place;
    let pair = if point.mirrored {
        ", mirrored pair"
    } else {
        ""
    };
    let height = if point.height_known {
        show(z)
    } else {
        "not stated".to_owned()
    };
    let kind = super::glyph::name(point.kind);
    format!(
        "{}\n{kind}{pair}\nx {}, y {}, z {height}",
        point.name,
        show(x),
        show(y)
    )
}

pub(super) fn centre_text(frame: &Frame<'_>) -> String {
    let Some(centre) = frame.scene.centre else {
        return String::new();
    };
    let show = |f: (f64, Option<f64>)| ticks::length_with_doubt(frame.input.measure(), f.0, f.1);
    let part = |name: &str, figure: Option<(f64, Option<f64>)>| match figure {
        Some(figure) => format!("{name} {}", show(figure)),
        None => format!("{name} not known"),
    };
    let parts = [
        part("x", Some(centre.x)),
        part("y", centre.y),
        part("z", centre.z),
    ];
    format!("Centre of gravity: {}", parts.join(", "))
}
