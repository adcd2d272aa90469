//! Both views to look at, with the points that are meant marked and named. Nothing in them can be moved.

use std::collections::BTreeSet;

use egui::{Id, Rect, Role, Sense, Ui, Vec2, WidgetInfo, pos2, vec2};

use super::{
    hit,
    paint::Canvas,
    palette::Palette,
    projection::{Camera, Projection, View},
    scene::{Scene, ScenePoint},
    state::{DiagramInput, DiagramState, Layers},
};

/// Kept free around the vehicle in each view, for the names of points and the words in the corners.
const MARGIN: f32 = 30.0;
/// Between the two views.
pub(super) const GAP: f32 = 6.0;

/// What to draw.
pub struct Still<'a> {
    /// The profile, and in which units lengths are.
    pub input: DiagramInput<'a>,
    /// The variant, where the profile has several.
    pub variant: Option<&'a str>,
    /// The pointers of the points to mark; no other point is drawn.
    pub marked: &'a [String],
    /// What a point is called, by its number in the profile.
    pub name: &'a dyn Fn(usize) -> Option<String>,
    /// The height that both views together may take.
    pub most_height: f32,
}

/// Draws the side view above the plan view, as wide as there is room; returns the pointer of a marked point that was
/// clicked.
pub fn still_ui(ui: &mut Ui, still: &Still<'_>) -> Option<String> {
    let whole = Scene::new(still.input.profile, still.variant, None);
    let scene = still.scene(&whole);
    let state = DiagramState {
        marked: still.marked.iter().cloned().collect::<BTreeSet<_>>(),
        layers: Layers {
            grid: false,
            loads: false,
            labels: false,
            centre: false,
            legend: false,
            ..Layers::default()
        },
        ..DiagramState::default()
    };
    let (camera, heights) = fitted(whole.bounds(), ui.available_width(), still.most_height);
    let mut clicked = None;
    for (view, height) in [View::Side, View::Plan].into_iter().zip(heights) {
        let size = vec2(ui.available_width(), height);
        let (area, response) = ui.allocate_exact_size(size, Sense::hover());
        let label = label(view, &scene, still.marked);
        response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, &label));
        let projection = Projection { view, area, camera };
        let canvas = Canvas {
            painter: ui.painter_at(area),
            projection,
            palette: Palette::of(ui),
            measure: still.input.measure(),
            scene: &scene,
            input: &still.input,
            state: &state,
        };
        canvas.draw_inside();
        for point in marked(&scene, still.marked) {
            if point_ui(ui, &projection, point) {
                clicked = Some(point.pointer.clone());
            }
        }
        ui.add_space(GAP - ui.spacing().item_spacing.y);
    }
    clicked
}

impl Still<'_> {
    /// What there is to draw: of the points those that are marked, called as the caller wants them.
    fn scene(&self, whole: &Scene) -> Scene {
        let mut scene = whole.clone();
        // The places of the step alone can be found at a glance; all points at once cannot.
        scene
            .points
            .retain(|point| self.marked.contains(&point.pointer));
        for point in &mut scene.points {
            let index = super::edits::point_index(&point.pointer);
            if let Some(name) = index.and_then(self.name) {
                point.name = name;
            }
        }
        scene
    }
}

/// What both views look at so that everything within bounds is seen, and how high each is. Together they take at most
/// `most_height`.
pub(super) fn fitted(
    [least, greatest]: [[f64; 3]; 2],
    width: f32,
    most_height: f32,
) -> (Camera, [f32; 2]) {
    let spans = [View::Side, View::Plan].map(|view| {
        let ([_, v0], [_, v1]) = (view.flatten(least), view.flatten(greatest));
        (v1 - v0).max(0.1)
    });
    let [x0, ..] = least;
    let [x1, ..] = greatest;
    let free = |points: f32, margins: f32| f64::from((points - margins * MARGIN).max(40.0));
    let [side, plan] = spans;
    let scale =
        (free(width, 2.0) / (x1 - x0).max(0.1)).min(free(most_height - GAP, 4.0) / (side + plan));
    let mut camera = Camera {
        scale,
        ..Camera::default()
    };
    let middle = |a: f64, b: f64| a.midpoint(b);
    let ([_, y0, z0], [_, y1, z1]) = (least, greatest);
    camera.centre = [middle(x0, x1), middle(y0, y1), middle(z0, z1)];
    (
        camera,
        spans.map(|span| points(span * scale) + 2.0 * MARGIN),
    )
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "screen points need no more than f32"
)]
fn points(value: f64) -> f32 {
    value as f32
}

fn marked<'s>(scene: &'s Scene, marked: &'s [String]) -> impl Iterator<Item = &'s ScenePoint> {
    let points = scene.points.iter();
    points.filter(|point| marked.contains(&point.pointer))
}

/// The view in words, with what is marked in it.
fn label(view: View, scene: &Scene, pointers: &[String]) -> String {
    let names: Vec<&str> = marked(scene, pointers).map(|p| p.name.as_str()).collect();
    let title = match view {
        View::Side => "Side view",
        View::Plan => "Plan view",
    };
    if names.is_empty() {
        format!("{title}, no point marked")
    } else {
        format!("{title}, marked: {}", names.join(", "))
    }
}

/// What makes a marked point known to the pointer, the keyboard and assistive software; tells whether it was clicked.
fn point_ui(ui: &Ui, projection: &Projection, point: &ScenePoint) -> bool {
    let view = projection.view;
    let at = projection.screen_from_vehicle(point.place);
    let reach = Rect::from_center_size(at, Vec2::splat(hit::REACH * 2.0));
    let id = Id::unique(("still", view, &point.pointer));
    let response = ui.interact(reach.intersect(projection.area), id, Sense::click());
    let label = format!("Marked point {}, {}", point.name, view.name());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
    if response.has_focus() {
        let stroke = egui::Stroke::new(1.5, crate::theme::Tokens::of(ui).accent);
        let corner = pos2(at.x, at.y);
        let around = Rect::from_center_size(corner, Vec2::splat(hit::REACH * 2.0 + 6.0));
        ui.painter()
            .rect_stroke(around, 3.0, stroke, egui::StrokeKind::Outside);
    }
    let height = if point.height_known {
        ""
    } else {
        "\nIts height is not stated: drawn on the ground."
    };
    let kind = super::glyph::name(point.kind);
    let clicked = response.clicked();
    response.on_hover_text(format!("{}\n{kind}{height}\nOpen it", point.name));
    clicked
}
