//! The whole job in the window, found by accessible names alone: from nothing to a checked and saved profile, and from
//! a complete profile to a release.

use super::*;

fn new_profile(window: &mut Window) {
    press(window, Modifiers::COMMAND, Key::N);
    for (label, text) in [
        ("Maker", "Trial Works"),
        ("Model", "Two"),
        ("Wheelbase", "145 in"),
        ("Length", "232 in"),
        ("Width", "80 in"),
        ("Height", "78 in"),
    ] {
        write_in(window, label, text);
    }
    click(window, "Make profile");
}

fn place_tie_down_pair(window: &mut Window) {
    show(window, "Diagram");
    click(window, "Add point…");
    window
        .get_by_role_and_label(Role::Button, "Tie-down")
        .click();
    settle(window);
    let at = window.get_by_label("Plan view").rect().center() + egui::vec2(60.0, 40.0);
    // A press that lasts longer than a click would be a drag, so it is let go in the next frame.
    window.hover_at(at);
    window.step();
    window.drag_at(at);
    window.step();
    window.drop_at(at);
    settle(window);
}

fn add_load(window: &mut Window, number: usize, axle: &str, pounds: &str) {
    click(window, "reading-1, Add load");
    click(window, &format!("reading-1, Load {number}, Axle"));
    let choices = window.get_all_by_role_and_label(Role::Button, axle);
    choices.last().unwrap().click();
    settle(window);
    enter(window, &format!("reading-1, {axle}, Total"), pounds);
}

fn centre(window: &Window) -> Option<f64> {
    let profile: chockstone_schema::Profile =
        chockstone_schema::read::from_value(&value(window, "")).unwrap();
    chockstone_rules::mass::result(&profile, None)
        .centre_x
        .map(|x| x.value)
}

#[test]
fn a_profile_is_made_from_nothing_weighed_checked_and_saved() {
    let desk = Desk::new();
    let mut window = desk.window("", &["made.profile.ron"]);
    new_profile(&mut window);

    place_tie_down_pair(&mut window);
    assert_eq!(value(&window, "/points/0/kind"), json!("tie_down"));
    assert_eq!(value(&window, "/points/0/mirrored"), json!(true));

    show(&mut window, "Mass");
    assert_eq!(centre(&window), None);
    click(&mut window, "Add reading");
    add_load(&mut window, 1, "front", "3,600.5 lb");
    add_load(&mut window, 2, "rear", "3520 lb");
    assert_eq!(
        value(&window, "/mass/readings/0/loads/0/total"),
        json!([3600.5, "lb"])
    );
    // Arithmetic from the formula a = L Wr / W: 145 in × 3520 / 7120.5, in metres.
    let first = centre(&window).unwrap();
    assert!(
        (first - 145.0 * 0.0254 * 3520.0 / 7120.5).abs() < 1e-9,
        "{first}"
    );

    enter(&mut window, "reading-1, rear, Total", "3620 lb");
    let moved = centre(&window).unwrap();
    assert!(moved > first, "more on the rear axle moves it back");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(centre(&window), Some(first));
    press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(centre(&window), Some(moved));

    settle_a_finding(&mut window);
    press(&mut window, Modifiers::COMMAND, Key::S);
    assert!(!modified(&window));
    let text = desk.text("made.profile.ron");
    assert!(text.contains("(3600.5, \"lb\")"), "kept as it was typed");
}

/// Clicks the finding that the rating is missing, types it where the click leads, and sees the finding go.
fn settle_a_finding(window: &mut Window) {
    let missing = "Blocking: The gross vehicle weight rating is not stated.";
    let row = window.get_by_role_and_label(Role::Button, missing);
    row.scroll_to_me();
    settle(window);
    window.get_by_role_and_label(Role::Button, missing).click();
    settle(window);
    assert_eq!(window.state().page(), Page::Mass);
    enter(window, "GVWR", "9400 lb");
    assert_eq!(value(window, "/mass/gvwr/value"), json!([9400, "lb"]));
    assert!(window.query_all_by_label(missing).next().is_none());
}

#[test]
fn a_complete_profile_is_changed_saved_and_published() {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles");
    let desk = Desk::new();
    let name = "sorrelby-tindle.profile.ron";
    fs::copy(demo.join(name), desk.path(name)).unwrap();
    fs::create_dir(desk.path("attachments")).unwrap();
    for entry in fs::read_dir(demo.join("attachments")).unwrap() {
        let path = entry.unwrap().path();
        let target = desk.path("attachments").join(path.file_name().unwrap());
        fs::copy(path, target).unwrap();
    }
    let mut window = desk.window(name, &[]);
    enter(&mut window, "Note", " Reviewed.");
    show(&mut window, "Publish");
    window.get_by_label("Save the changes first: what is released is what the file holds.");
    press(&mut window, Modifiers::COMMAND, Key::S);
    show(&mut window, "Publish");
    window.get_by_label("Nothing blocks the release.");
    click(&mut window, "Publish release 1.0.0");
    let bundle = desk.path("releases/sorrelby-tindle/sorrelby-tindle-1.0.0.zip");
    let report = chockstone_library::verify::verify_file(&bundle).unwrap();
    assert!(report.good, "{report:?}");
    assert_eq!(report.release.as_deref(), Some("1.0.0"));
}
