//! Two versions of a vehicle drawn over one another: what was before hollow and dashed, what is now solid, with an arrow
//! for what moved. Nothing in it can be moved by hand.

use egui::{Id, Rect, Role, Sense, Ui, Vec2, WidgetInfo, pos2, vec2};

use chockstone_schema::Profile;

use super::{
    paint::{self, Canvas, between::Drawn},
    palette::Palette,
    projection::{Camera, Projection, View},
    scene::Scene,
    state::{DiagramInput, DiagramState, Layers},
    still::{GAP, fitted},
};
use crate::widgets::UnitSystem;

/// How much is shown around a part that is looked at closely, in metres.
const AROUND: f64 = 0.35;

/// A part that is drawn and that changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OverlayPart {
    /// Its pointer in the older profile; none when it is new.
    pub older: Option<String>,
    /// Its pointer in the newer profile; none when it is gone.
    pub newer: Option<String>,
    /// What changed of it, in a few words: "moved 40 mm rearward".
    pub words: String,
}

/// What to draw.
pub struct Overlay<'a> {
    /// The older and the newer profile.
    pub sides: [&'a Profile; 2],
    /// The parts that changed.
    pub parts: &'a [OverlayPart],
    /// The part that is looked at, by its number.
    pub selected: Option<usize>,
    /// Whether the views show that part alone, larger.
    pub close: bool,
    /// The units that a person chose.
    pub system: UnitSystem,
    /// The height that both views together may take.
    pub most_height: f32,
}

/// The pointer of what the diagram draws for a place of a profile: the point, the zone, the pack, the cable, the axle or
/// the outline that the place belongs to.
pub fn drawn_part(place: &str) -> Option<String> {
    let segments = crate::pointer::segments(place);
    let names: Vec<&str> = segments.iter().map(String::as_str).collect();
    let length = match names.as_slice() {
        ["points" | "zones" | "axles", _, ..]
        | ["dimensions", "side_outline" | "plan_outline", ..] => 2,
        ["variants", _, "side_outline" | "plan_outline", ..] => 3,
        ["energy", "high_voltage", "packs" | "cables", _, ..] => 4,
        _ => return None,
    };
    let kept = segments.iter().take(length);
    Some(kept.fold(String::new(), |at, s| crate::pointer::join(&at, s)))
}

/// Draws both views, as wide as there is room; returns the number of a part that was clicked.
pub fn overlay_ui(ui: &mut Ui, overlay: &Overlay<'_>) -> Option<usize> {
    let [older, newer] = overlay.scenes();
    let both = [&older, &newer];
    let drawn: Vec<[Option<Drawn<'_>>; 2]> = overlay.parts.iter().map(|p| find(both, p)).collect();
    let bounds = newer.bounds().into_iter().fold(older.bounds(), around);
    let (whole, heights) = fitted(bounds, ui.available_width(), overlay.most_height);
    let closer = overlay.selected.filter(|_| overlay.close);
    let closer = closer.and_then(|index| drawn.get(index));
    let base = overlay.base(&newer);
    let state = Overlay::state();
    let mut clicked = None;
    for (view, height) in [View::Side, View::Plan].into_iter().zip(heights) {
        let size = vec2(ui.available_width(), height);
        let (area, response) = ui.allocate_exact_size(size, Sense::hover());
        let label = format!("{} of both, {}", title(view), counted(overlay.parts.len()));
        response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, &label));
        let camera = closer.map_or(whole, |part| close_up(part, whole, area.size()));
        let input = overlay.input();
        let canvas = Canvas {
            painter: ui.painter_at(area),
            projection: Projection { view, area, camera },
            palette: Palette::of(ui),
            measure: input.measure(),
            scene: &base,
            input: &input,
            state: &state,
        };
        canvas.draw_inside();
        if let Some(index) = parts_ui(ui, overlay, &canvas, &drawn) {
            clicked = Some(index);
        }
        ui.add_space(GAP - ui.spacing().item_spacing.y);
    }
    clicked
}

/// Says what the marks mean.
pub fn overlay_legend_ui(ui: &mut Ui) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(5.0, 2.0);
        let font = egui::TextStyle::Small.resolve(ui.style());
        for (sample, text) in paint::between::SAMPLES {
            // A mark and its words stay on one line.
            let words = ui.painter().layout_no_wrap(
                (*text).to_owned(),
                font.clone(),
                egui::Color32::PLACEHOLDER,
            );
            if ui.available_size_before_wrap().x < words.size().x + 42.0 {
                ui.end_row();
            }
            let (area, _) = ui.allocate_exact_size(vec2(30.0, 16.0), Sense::hover());
            paint::between::sample(&ui.painter_at(area), area, *sample, Palette::of(ui));
            ui.label(egui::RichText::new(*text).small());
            ui.add_space(6.0);
        }
    });
}

impl Overlay<'_> {
    /// The variant whose outline is looked at, on each side.
    fn variants(&self) -> [Option<String>; 2] {
        let part = self.selected.and_then(|index| self.parts.get(index));
        let of = |profile: &Profile, pointer: Option<&String>| {
            let names = crate::pointer::segments(pointer?);
            match names.as_slice() {
                [list, index, ..] if list == "variants" => {
                    let variant = profile.variants.get(index.parse::<usize>().ok()?)?;
                    Some(variant.id.to_string())
                }
                _ => None,
            }
        };
        let [older, newer] = self.sides;
        [
            of(older, part.and_then(|p| p.older.as_ref())),
            of(newer, part.and_then(|p| p.newer.as_ref())),
        ]
    }

    fn scenes(&self) -> [Scene; 2] {
        let [older, newer] = self.sides;
        let [older_variant, newer_variant] = self.variants();
        [
            Scene::new(older, older_variant.as_deref(), None),
            Scene::new(newer, newer_variant.as_deref(), None),
        ]
    }

    fn input(&self) -> DiagramInput<'_> {
        let [_, profile] = self.sides;
        DiagramInput {
            profile,
            masses: &[],
            findings: &[],
            system: self.system,
        }
    }

    /// The newer vehicle, of its points only those that changed.
    fn base(&self, newer: &Scene) -> Scene {
        let mut scene = newer.clone();
        let changed = |pointer: &str| {
            let mut newer = self.parts.iter().filter_map(|p| p.newer.as_deref());
            newer.any(|p| p == pointer)
        };
        scene.points.retain(|point| changed(&point.pointer));
        scene
    }

    fn state() -> DiagramState {
        DiagramState {
            layers: Layers {
                grid: false,
                loads: false,
                labels: false,
                centre: false,
                legend: false,
                ..Layers::default()
            },
            ..DiagramState::default()
        }
    }
}

fn title(view: View) -> &'static str {
    match view {
        View::Side => "Side view",
        View::Plan => "Plan view",
    }
}

fn counted(parts: usize) -> String {
    match parts {
        0 => "nothing drawn changed".to_owned(),
        1 => "1 drawn part changed".to_owned(),
        _ => format!("{parts} drawn parts changed"),
    }
}

/// What is drawn of a part on each side.
fn find<'s>([older, newer]: [&'s Scene; 2], part: &OverlayPart) -> [Option<Drawn<'s>>; 2] {
    let in_scene = |scene: &'s Scene, pointer: Option<&String>| Drawn::find(scene, pointer?);
    [
        in_scene(older, part.older.as_ref()),
        in_scene(newer, part.newer.as_ref()),
    ]
}

/// The box around a box and a place.
fn around([least, most]: [[f64; 3]; 2], place: [f64; 3]) -> [[f64; 3]; 2] {
    let each = |corner: [f64; 3], of: fn(f64, f64) -> f64| {
        let mut own = place.into_iter();
        corner.map(|value| own.next().map_or(value, |other| of(value, other)))
    };
    [each(least, f64::min), each(most, f64::max)]
}

/// The camera that shows one part and a little around it.
fn close_up(part: &[Option<Drawn<'_>>; 2], whole: Camera, size: Vec2) -> Camera {
    let places = part.iter().flatten().flat_map(Drawn::places);
    let bounds = places.fold(None, |bounds: Option<[[f64; 3]; 2]>, place| {
        // A coordinate that a view does not show is taken from the whole vehicle.
        let mut instead = whole.centre.into_iter();
        let place = place.map(|along| along.or(instead.next()).unwrap_or_default());
        Some(bounds.map_or([place, place], |known| around(known, place)))
    });
    let Some([[x0, y0, z0], [x1, y1, z1]]) = bounds else {
        return whole;
    };
    let fits = |points: f32, metres: f64| f64::from(points) / (metres + 2.0 * AROUND);
    let up = (z1 - z0).max(y1 - y0);
    Camera {
        centre: [x0.midpoint(x1), y0.midpoint(y1), z0.midpoint(z1)],
        scale: fits(size.x, x1 - x0).min(fits(size.y, up)).max(whole.scale),
    }
}

/// Draws the parts and makes them known to the pointer, the keyboard and assistive software.
fn parts_ui(
    ui: &Ui,
    overlay: &Overlay<'_>,
    canvas: &Canvas<'_>,
    drawn: &[[Option<Drawn<'_>>; 2]],
) -> Option<usize> {
    let mut areas: Vec<(usize, Rect)> = Vec::new();
    for (index, sides) in drawn.iter().enumerate() {
        let chosen = overlay.selected == Some(index);
        if let Some(area) = canvas.change(sides, chosen) {
            areas.push((index, area));
        }
    }
    // What is added last lies on top: the small ones on the large ones.
    areas.sort_by(|(_, a), (_, b)| b.area().total_cmp(&a.area()));
    let mut clicked = None;
    for (index, area) in areas {
        let (Some(part), Some(sides)) = (overlay.parts.get(index), drawn.get(index)) else {
            continue;
        };
        let chosen = overlay.selected == Some(index);
        if part_ui(ui, canvas, (index, part, sides), area, chosen) {
            clicked = Some(index);
        }
    }
    clicked
}

fn part_ui(
    ui: &Ui,
    canvas: &Canvas<'_>,
    (index, part, sides): (usize, &OverlayPart, &[Option<Drawn<'_>>; 2]),
    area: Rect,
    chosen: bool,
) -> bool {
    let view = canvas.projection.view;
    let area = area.intersect(canvas.projection.area);
    if !area.is_positive() {
        return false;
    }
    let id = Id::unique(("overlay", view, index));
    let response = ui.interact(area, id, Sense::click());
    let name = sides.iter().flatten().last().map_or("", |d| d.name());
    let arrow = if canvas.arrow(sides).is_some() {
        ", arrow"
    } else {
        ""
    };
    let label = format!("{name} {}{arrow}, {}", part.words, view.name());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, chosen, &label));
    if chosen && area.contains(area.center()) {
        name_ui(canvas, name, area);
    }
    if response.has_focus() {
        let stroke = egui::Stroke::new(1.5, crate::theme::Tokens::of(ui).accent);
        let around = area.expand(3.0);
        ui.painter()
            .rect_stroke(around, 3.0, stroke, egui::StrokeKind::Outside);
    }
    let clicked = response.clicked();
    response.on_hover_text(format!("{name} {}", part.words));
    clicked
}

/// The name of the part that is looked at, above it, or below it at the upper edge.
fn name_ui(canvas: &Canvas<'_>, name: &str, area: Rect) {
    let inside = canvas.projection.area;
    let above = area.top() - 8.0 > inside.top() + 24.0;
    let (y, align) = if above {
        (area.top() - 6.0, egui::Align2::CENTER_BOTTOM)
    } else {
        (area.bottom() + 6.0, egui::Align2::CENTER_TOP)
    };
    let half = 60.0_f32.min(inside.width() / 2.0);
    let x = area
        .center()
        .x
        .clamp(inside.left() + half, inside.right() - half);
    let y = y.clamp(inside.top() + 16.0, inside.bottom() - 16.0);
    let palette = canvas.palette;
    paint::text_on(
        &canvas.painter,
        (pos2(x, y), align),
        name,
        palette.text,
        palette.paper,
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_leads_to_what_is_drawn_of_it() {
        for (place, part) in [
            ("/points/3/place/x", Some("/points/3")),
            ("/points/3", Some("/points/3")),
            ("/axles/1/position/value", Some("/axles/1")),
            (
                "/energy/high_voltage/packs/0/side",
                Some("/energy/high_voltage/packs/0"),
            ),
            (
                "/dimensions/side_outline/corners",
                Some("/dimensions/side_outline"),
            ),
            ("/variants/2/plan_outline", Some("/variants/2/plan_outline")),
            ("/dimensions/wheelbase", None),
            ("/points", None),
            ("", None),
        ] {
            assert_eq!(drawn_part(place).as_deref(), part, "{place}");
        }
    }

    #[test]
    fn a_close_view_shows_both_places_of_a_point() {
        let profile = crate::diagram::fixture::pickup();
        let scene = Scene::new(&profile, None, None);
        let mut moved = scene.clone();
        moved.preview_point("/points/0", [1.04, 0.76, 0.33], true);
        let part = OverlayPart {
            older: Some("/points/0".to_owned()),
            newer: Some("/points/0".to_owned()),
            words: String::new(),
        };
        let drawn = find([&scene, &moved], &part);
        let size = vec2(400.0, 200.0);
        let camera = close_up(&drawn, Camera::default(), size);
        for view in [View::Side, View::Plan] {
            let area = Rect::from_min_size(pos2(0.0, 0.0), size);
            let projection = Projection { view, area, camera };
            for place in [[0.64, 0.76, 0.33], [1.04, 0.76, 0.33]] {
                assert!(
                    area.contains(projection.screen_from_vehicle(place)),
                    "{view:?}"
                );
            }
        }
        assert!(camera.scale > 200.0, "{}", camera.scale);
    }
}
