//! The diagram as a person works in it, found by accessible names.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a failed unwrap is the failed test"
)]
#![allow(
    clippy::indexing_slicing,
    reason = "a missing point is the failed test"
)]

use chockstone_schema::{
    Profile,
    id::VariantRef,
    report::{Finding, MassResult, Reference, Severity, Trust},
};
use egui::{
    Event, Key, Modifiers, MouseWheelUnit, PointerButton, Pos2, Theme, TouchPhase, Vec2, vec2,
};
use egui_kittest::{Harness, kittest::Queryable as _};
use serde_json::json;

use super::{
    DiagramInput, DiagramState, Layers, Overlay, OverlayPart, Shown, fixture, overlay_ui, room_ui,
    show, toolbar::Asked,
};
use crate::{document::Document, theme, widgets::UnitSystem};

/// A window with nothing but the diagram.
struct Bench {
    document: Document<Profile>,
    diagram: DiagramState,
    masses: Vec<MassResult>,
    findings: Vec<Finding>,
    system: UnitSystem,
    went_to: Option<String>,
    open_form: Option<String>,
    toolbar: bool,
}

impl Bench {
    fn new() -> Self {
        Self {
            document: Document::opened(fixture::pickup()),
            diagram: DiagramState::default(),
            masses: vec![fixture::mass()],
            findings: Vec::new(),
            system: UnitSystem::Si,
            went_to: None,
            open_form: None,
            toolbar: true,
        }
    }

    fn ui(&mut self, ui: &mut egui::Ui) {
        let input = DiagramInput {
            profile: self.document.typed(),
            masses: &self.masses,
            findings: &self.findings,
            system: self.system,
        };
        let output = if self.toolbar {
            show(ui, &input, &mut self.diagram)
        } else {
            room_ui(ui, &input, Asked::default(), &mut self.diagram)
        };
        for edit in output.edits {
            self.document.apply(edit).unwrap();
        }
        self.went_to = output.went_to.or(self.went_to.take());
        self.open_form = output.open_form.or(self.open_form.take());
    }

    fn place(&self, index: usize) -> String {
        let place = &self.document.typed().points[index].place;
        format!(
            "{} / {} / {}",
            place.x,
            place.y,
            place.z.map_or("-".to_owned(), |z| z.to_string())
        )
    }
}

type Window = Harness<'static, Bench>;

fn window_of(bench: Bench, size: Vec2, theme: Theme) -> Window {
    Harness::builder()
        .with_size(size)
        .with_theme(theme)
        .with_max_steps(20)
        .wgpu()
        .with_context_setup(theme::install)
        .build_ui_state(|ui, bench| bench.ui(ui), bench)
}

fn window() -> Window {
    let mut window = window_of(Bench::new(), vec2(1000.0, 720.0), Theme::Light);
    window.run();
    window
}

fn middle(window: &Window, label: &str) -> Pos2 {
    window.get_by_label(label).rect().center()
}

fn press(window: &mut Window, modifiers: Modifiers, key: Key) {
    window.key_press_modifiers(modifiers, key);
    window.run();
}

/// Drags from one place to another in a few moves and leaves the button down.
fn drag(window: &mut Window, from: Pos2, by: Vec2) {
    window.hover_at(from);
    window.run();
    window.drag_at(from);
    window.run();
    for part in [0.25_f32, 0.5, 0.75, 1.0] {
        window.hover_at(from + by * part);
        window.run();
    }
}

const LIFT: &str = "Point Front lift point, plan view";
const LIFT_SIDE: &str = "Point Front lift point, side view";
const LIFT_TWIN: &str = "Point Front lift point, twin, plan view";

#[test]
fn a_point_is_selected_by_a_click_and_found_in_the_file() {
    let mut window = window();
    window.get_by_label(LIFT).click();
    window.run();
    assert_eq!(
        window.state().diagram.selection.as_deref(),
        Some("/points/0")
    );
    assert_eq!(window.state().went_to.as_deref(), Some("/points/0"));
    window.get_by_label("Zone Sill, plan view").click();
    window.run();
    assert_eq!(
        window.state().diagram.selection.as_deref(),
        Some("/zones/0")
    );
    window.get_by_label("Axle Rear axle, side view").click();
    window.run();
    assert_eq!(
        window.state().diagram.selection.as_deref(),
        Some("/axles/1")
    );
}

#[test]
fn clicking_again_selects_what_lies_beneath() {
    let mut window = window();
    let at = middle(&window, "Zone Sill, side view");
    let mut seen = Vec::new();
    for _ in 0..4 {
        window.hover_at(at);
        window.drag_at(at);
        window.run();
        window.drop_at(at);
        window.run();
        seen.extend(window.state().diagram.selection.clone());
    }
    let all = [
        "/zones/0",
        "/energy/high_voltage/packs/0",
        "/dimensions/side_outline",
        "/zones/0",
    ];
    assert_eq!(seen, all);
    window.get_by_label_contains("Click again for the next");
}

#[test]
fn a_right_click_lists_what_lies_under_the_pointer() {
    let mut window = window();
    window
        .get_by_label("Pack Pack, side view")
        .click_secondary();
    window.run();
    window.get_by_label("Select Pack Pack").click();
    window.run();
    assert_eq!(
        window.state().diagram.selection.as_deref(),
        Some("/energy/high_voltage/packs/0")
    );
}

#[test]
fn a_selected_point_leads_to_its_form() {
    let mut window = window();
    window.get_by_label(LIFT).click();
    window.run();
    window.get_by_label("Show in form").click();
    window.run();
    assert_eq!(window.state().open_form.as_deref(), Some("/points/0"));
}

#[test]
fn choosing_a_variant_changes_what_is_shown() {
    let mut bench = Bench::new();
    let mut profile = fixture::pickup();
    for (id, name) in [("short", "Short bed"), ("long", "Long bed")] {
        profile
            .variants
            .push(serde_json::from_value(json!({"id": id, "name": {"en": name}})).unwrap());
    }
    profile.points[2].variants = vec![VariantRef::new("long").unwrap()];
    bench.document = Document::opened(profile);
    bench.masses[0].variant = Some("long".to_owned());
    let mut window = window_of(bench, vec2(1000.0, 720.0), Theme::Light);
    window.run();
    assert!(
        window
            .query_by_label("Point Front eye, side view")
            .is_none()
    );
    assert!(
        window
            .query_by_label_contains("Centre of gravity: x")
            .is_none()
    );
    window.get_by_label("Variant shown").click();
    window.run();
    window.get_by_label("Long bed").click();
    window.run();
    window.get_by_label("Point Front eye, side view");
    assert!(
        window
            .query_all_by_label_contains("Centre of gravity: x")
            .count()
            == 2
    );
}

#[test]
fn the_worst_finding_about_a_point_is_marked() {
    let finding = |place: &str, severity| Finding {
        check: "example".to_owned(),
        severity,
        place: place.to_owned(),
        message: String::new(),
        computed: None,
        limit: None,
        reference: Reference {
            title: String::new(),
            trust: Trust::Logic,
        },
        settle: String::new(),
    };
    let findings = [
        finding("/points/1/place", Severity::Warning),
        finding("/points/1", Severity::Blocking),
        finding("/points/12", Severity::Note),
    ];
    let profile = fixture::pickup();
    let input = DiagramInput {
        profile: &profile,
        masses: &[],
        findings: &findings,
        system: UnitSystem::Si,
    };
    assert_eq!(input.worst("/points/1"), Some(Severity::Blocking));
    assert_eq!(input.worst("/points/12"), Some(Severity::Note));
    assert_eq!(input.worst("/points/2"), None);
}

#[test]
fn the_vehicles_right_side_is_at_the_top_of_the_plan_view() {
    let window = window();
    assert!(middle(&window, LIFT).y < middle(&window, LIFT_TWIN).y);
    let front = middle(&window, "Axle Front axle, side view");
    let rear = middle(&window, "Axle Rear axle, side view");
    assert!(front.x < rear.x, "the vehicle faces left");
    assert!(
        (middle(&window, LIFT).x - middle(&window, LIFT_SIDE).x).abs() < 0.5,
        "the views share x"
    );
}

#[test]
fn a_drag_is_one_step_that_can_be_taken_back() {
    let mut window = window();
    window.state_mut().diagram.snap = false;
    let from = middle(&window, LIFT);
    drag(&mut window, from, vec2(40.0, -20.0));
    assert_eq!(
        window.state().place(0),
        "640 mm / 760 mm / 330 mm",
        "nothing is changed before the drop"
    );
    let shown = middle(&window, LIFT);
    window.drop_at(from + vec2(40.0, -20.0));
    window.run();
    let scale = window.state().diagram.camera.scale;
    let expected = [0.640 + 40.0 / scale, 0.760 + 20.0 / scale].map(|m| (m * 1000.0).round());
    let place = &window.state().document.typed().points[0].place;
    let close = |a: f64, b: f64| (a - b).abs() <= 1.0;
    assert!(
        close(place.x.value(), expected[0]) && close(place.y.value(), expected[1]),
        "{place:?}"
    );
    assert_eq!(place.z.unwrap().to_string(), "330 mm");
    let dropped = middle(&window, LIFT);
    assert!((shown - from).length() < 0.5 && (dropped - from - vec2(40.0, -20.0)).length() < 1.0);
    assert_eq!(
        window.state().document.undo_name(),
        Some("move Front lift point")
    );
    window.state_mut().document.undo();
    assert_eq!(window.state().place(0), "640 mm / 760 mm / 330 mm");
    assert_eq!(
        window.state().document.undo_name(),
        None,
        "the whole drag was one step"
    );
}

#[test]
fn dragging_the_twin_moves_the_point_the_other_way_across() {
    let mut window = window();
    window.state_mut().diagram.snap = false;
    let from = middle(&window, LIFT_TWIN);
    drag(&mut window, from, vec2(0.0, 30.0));
    window.drop_at(from + vec2(0.0, 30.0));
    window.run();
    let scale = window.state().diagram.camera.scale;
    let y = window.state().document.typed().points[0].place.y;
    assert!((y.metres() - (0.760 + 30.0 / scale)).abs() < 0.0011, "{y}");
}

#[test]
fn escape_gives_a_drag_up() {
    let mut window = window();
    let from = middle(&window, LIFT);
    drag(&mut window, from, vec2(60.0, 10.0));
    press(&mut window, Modifiers::NONE, Key::Escape);
    window.drop_at(from + vec2(60.0, 10.0));
    window.run();
    assert_eq!(window.state().place(0), "640 mm / 760 mm / 330 mm");
    assert!(!window.state().document.is_modified());
}

#[test]
fn a_drag_is_pulled_onto_the_axle() {
    let mut window = window();
    let scale = window.state().diagram.camera.scale;
    let from = middle(&window, "Point Rear slot, plan view");
    // Three points on the screen beside the rear axle (145 in), which pulls from six.
    #[expect(clippy::cast_possible_truncation, reason = "points on the screen")]
    let by = vec2(((145.0 * 0.0254 - 4.56) * scale) as f32 + 3.0, 0.0);
    drag(&mut window, from, by);
    window.drop_at(from + by);
    window.run();
    assert_eq!(
        window.state().document.typed().points[5]
            .place
            .x
            .to_string(),
        "3683 mm"
    );
}

#[test]
fn arrow_keys_nudge_in_the_points_own_unit_and_are_one_step() {
    let mut window = window();
    window.get_by_label(LIFT).focus();
    window.run();
    for _ in 0..3 {
        press(&mut window, Modifiers::NONE, Key::ArrowRight);
    }
    press(&mut window, Modifiers::SHIFT, Key::ArrowUp);
    assert_eq!(window.state().place(0), "643 mm / 770 mm / 330 mm");
    window.state_mut().document.undo();
    assert_eq!(window.state().place(0), "640 mm / 760 mm / 330 mm");
    window
        .get_by_label("Point Rear lift point, side view")
        .focus();
    window.run();
    press(&mut window, Modifiers::NONE, Key::ArrowDown);
    press(&mut window, Modifiers::SHIFT, Key::ArrowLeft);
    assert_eq!(window.state().place(1), "120.25 in / 30 in / 12.875 in");
}

#[test]
fn tab_goes_from_one_thing_to_the_next_and_selects_it() {
    let mut window = window();
    window.get_by_label(LIFT_SIDE).focus();
    window.run();
    press(&mut window, Modifiers::NONE, Key::Tab);
    assert_eq!(
        window.state().diagram.selection.as_deref(),
        Some("/points/1")
    );
}

#[test]
fn a_mirrored_pair_is_placed_by_a_click_and_taken_back() {
    let mut window = window();
    window.get_by_label("Add point…").click();
    window.run();
    window
        .get_by_role_and_label(egui::Role::Button, "Tie-down")
        .click();
    window.run();
    let view = window.get_by_label("Plan view").rect();
    let at = view.center() + vec2(150.0, 60.0);
    window.hover_at(at);
    window.run();
    window.drag_at(at);
    window.run();
    window.drop_at(at);
    window.run();
    let profile = window.state().document.typed();
    let point = &profile.points[6];
    assert!(
        point.mirrored && point.place.y.value() > 0.0,
        "the place kept is the one on the right"
    );
    assert_eq!(
        window.state().diagram.selection.as_deref(),
        Some("/points/6")
    );
    window.get_by_label("Point Tie-down 2, plan view");
    window.get_by_label("Point Tie-down 2, twin, plan view");
    press(&mut window, Modifiers::NONE, Key::ArrowRight);
    assert_eq!(
        window.state().document.undo_name(),
        Some("nudge Tie-down 2"),
        "the new point has the keys"
    );
    window.state_mut().document.undo();
    window.state_mut().document.undo();
    window.run();
    assert!(
        window
            .query_by_label("Point Tie-down 2, plan view")
            .is_none()
    );
    assert!(!window.state().document.is_modified());
}

#[test]
fn keys_duplicate_mirror_and_delete_the_selected_point() {
    let mut window = window();
    window.get_by_label("Point Front eye, side view").focus();
    window.run();
    press(&mut window, Modifiers::NONE, Key::M);
    assert!(window.state().document.typed().points[2].mirrored);
    press(&mut window, Modifiers::NONE, Key::D);
    assert_eq!(window.state().document.typed().points.len(), 7);
    press(&mut window, Modifiers::NONE, Key::Delete);
    assert_eq!(window.state().document.typed().points.len(), 6);
    assert_eq!(window.state().diagram.selection, None);
}

#[test]
fn exact_numbers_are_typed_with_any_unit() {
    let mut window = window();
    window.get_by_label(LIFT).click();
    window.run();
    let field = window.get_by_label("Point z");
    field.focus();
    window.run();
    press(&mut window, Modifiers::COMMAND, Key::A);
    window.get_by_label("Point z").type_text("13.5 in");
    window.run();
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(window.state().place(0), "640 mm / 760 mm / 13.5 in");
    window.get_by_label("Mirrored pair").click();
    window.run();
    window.get_by_label("Swap side").click();
    window.run();
    assert_eq!(window.state().place(0), "640 mm / -760 mm / 13.5 in");
}

#[test]
fn a_corner_of_the_outline_is_dragged_added_and_deleted() {
    let mut window = window();
    window
        .state_mut()
        .diagram
        .select(Some("/dimensions/side_outline"));
    window.state_mut().diagram.snap = false;
    window.run();
    let from = middle(&window, "Corner 5, side view");
    drag(&mut window, from, vec2(0.0, -12.0));
    window.drop_at(from + vec2(0.0, -12.0));
    window.run();
    assert_eq!(window.state().document.undo_name(), Some("move corner"));
    assert_eq!(
        window.state().diagram.selection.as_deref(),
        Some("/dimensions/side_outline/corners/4")
    );
    let corners = |w: &Window| {
        w.state()
            .document
            .typed()
            .dimensions
            .side_outline
            .clone()
            .unwrap()
            .corners
    };
    assert!(corners(&window)[4].1.get() > 1850.0);
    window.get_by_label("Add corner after").click();
    window.run();
    assert_eq!(corners(&window).len(), 20);
    window.get_by_label("Delete corner").click();
    window.run();
    assert_eq!(corners(&window).len(), 19);
}

#[test]
fn the_wheel_zooms_at_the_pointer_and_show_all_brings_everything_back() {
    let mut window = window();
    let at = middle(&window, LIFT);
    window.hover_at(at);
    window.run();
    let before = window.state().diagram.camera;
    window.event(Event::MouseWheel {
        unit: MouseWheelUnit::Point,
        delta: vec2(0.0, 120.0),
        phase: TouchPhase::Move,
        source: egui::MouseWheelSource::Wheel,
        modifiers: Modifiers::NONE,
    });
    for _ in 0..20 {
        window.step();
    }
    assert!(window.state().diagram.camera.scale > before.scale * 1.1);
    assert!(
        (middle(&window, LIFT) - at).length() < 1.0,
        "what is under the pointer stays there"
    );
    window.get_by_label("Show all").click();
    window.run();
    assert!((window.state().diagram.camera.scale - before.scale).abs() < 1e-9);
}

#[test]
fn dragging_the_empty_drawing_or_the_middle_button_pans_both_views() {
    let mut window = window();
    let before = middle(&window, LIFT_SIDE);
    let empty = window.get_by_label("Plan view").rect().right_top() + vec2(-30.0, 40.0);
    drag(&mut window, empty, vec2(-50.0, 0.0));
    window.drop_at(empty + vec2(-50.0, 0.0));
    window.run();
    let after = middle(&window, LIFT_SIDE);
    assert!(
        (after.x - before.x + 50.0).abs() < 8.0,
        "the side view follows: {before} {after}"
    );
    let on_point = middle(&window, LIFT);
    let button = |pos, pressed| Event::PointerButton {
        pos,
        button: PointerButton::Middle,
        pressed,
        modifiers: Modifiers::NONE,
    };
    window.hover_at(on_point);
    window.run();
    window.event(button(on_point, true));
    window.run();
    window.hover_at(on_point + vec2(25.0, 0.0));
    window.run();
    window.event(button(on_point + vec2(25.0, 0.0), false));
    window.run();
    assert!((middle(&window, LIFT).x - on_point.x - 25.0).abs() < 1.0);
    assert!(!window.state().document.is_modified());
}

#[test]
fn layers_that_are_off_have_nothing_to_click() {
    let mut window = window();
    window.state_mut().diagram.layers.points = false;
    window.state_mut().diagram.layers.zones = false;
    window.run();
    assert!(window.query_by_label(LIFT).is_none());
    assert!(window.query_by_label("Zone Sill, plan view").is_none());
    window.get_by_label("Pack Pack, plan view");
}

#[test]
fn the_centre_of_gravity_can_be_read_aloud() {
    let window = window();
    let text = "Centre of gravity: x 1790 ± 60 mm, y 20 ± 40 mm, z 700 ± 90 mm";
    assert_eq!(window.get_all_by_label(text).count(), 2);
}

#[test]
fn an_empty_profile_and_a_tiny_window_do_no_harm() {
    let mut bench = Bench::new();
    let mut profile = fixture::pickup();
    profile.energy.disconnects.clear();
    profile.points.clear();
    profile.zones.clear();
    profile.dimensions.side_outline = None;
    profile.dimensions.plan_outline = None;
    profile.energy.high_voltage = None;
    bench.document = Document::opened(profile);
    bench.masses.clear();
    for size in [vec2(900.0, 600.0), vec2(120.0, 80.0), vec2(10.0, 10.0)] {
        let mut bench = Bench {
            document: Document::opened(bench.document.typed().clone()),
            ..Bench::new()
        };
        bench.masses.clear();
        window_of(bench, size, Theme::Dark).run();
    }
}

/// The drawing itself, in both sets of colours and both systems of units; small, since the images are kept.
#[test]
fn the_drawing_looks_as_it_did() {
    let mut results = egui_kittest::SnapshotResults::new();
    for (theme, system, colours) in [
        (Theme::Light, UnitSystem::Si, "light"),
        (Theme::Dark, UnitSystem::UsCustomary, "dark"),
    ] {
        for (shown, view) in [(Shown::Side, "side"), (Shown::Plan, "plan")] {
            let mut bench = Bench {
                system,
                toolbar: false,
                ..Bench::new()
            };
            bench.diagram.shown = shown;
            bench.diagram.layers = Layers {
                labels: false,
                grid: false,
                ..Layers::default()
            };
            let mut window = window_of(bench, vec2(256.0, 140.0), theme);
            window.run();
            results.add(window.try_snapshot(format!("diagram_{view}_{colours}")));
        }
    }
}

/// Two versions over one another: a point that moved, one that is gone, one that is new, and a zone of another shape.
fn two_versions() -> [Profile; 2] {
    let older = fixture::pickup();
    let mut newer = older.clone();
    let x = |mm: f64| serde_json::from_value(json!([mm, "mm"])).unwrap();
    newer.points[0].place.x = x(1150.0);
    let mut added = newer.points.remove(4);
    added.id = serde_json::from_value(json!("port-rear")).unwrap();
    added.place.x = x(4300.0);
    newer.points.push(added);
    newer.zones[0].plan = serde_json::from_value(json!(
        {"unit": "mm", "corners": [[900, 760], [3300, 760], [3300, 960], [900, 960]]}
    ))
    .unwrap();
    [older, newer]
}

#[test]
fn two_versions_over_one_another_look_as_they_did() {
    let [older, newer] = two_versions();
    let both = |older: &str, newer: &str| OverlayPart {
        older: (!older.is_empty()).then(|| older.to_owned()),
        newer: (!newer.is_empty()).then(|| newer.to_owned()),
        words: String::new(),
    };
    let parts = [
        both("/points/0", "/points/0"),
        both("/points/4", ""),
        both("", "/points/5"),
        both("/zones/0", "/zones/0"),
    ];
    let mut results = egui_kittest::SnapshotResults::new();
    for (theme, name) in [(Theme::Light, "light"), (Theme::Dark, "dark")] {
        let (sides, parts) = ([older.clone(), newer.clone()], parts.clone());
        let mut window = Harness::builder()
            .with_size(vec2(200.0, 180.0))
            .with_theme(theme)
            .with_max_steps(20)
            .wgpu()
            .with_context_setup(theme::install)
            .build_ui(move |ui| {
                let overlay = Overlay {
                    sides: [&sides[0], &sides[1]],
                    parts: &parts,
                    selected: None,
                    close: false,
                    system: UnitSystem::Si,
                    most_height: 170.0,
                };
                overlay_ui(ui, &overlay);
            });
        window.run();
        results.add(window.try_snapshot(format!("compare_{name}")));
    }
}
