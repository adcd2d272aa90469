//! The Compare page and the reviews that come of it, found by accessible names.

use egui_kittest::kittest::NodeT as _;

use super::*;

/// Draws until the background work is done.
fn wait_for(window: &mut Window, text: &str) {
    for _ in 0..400 {
        window.step();
        if shows(window, text) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    panic!("{text:?} never came");
}

fn shows(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

fn show_compare(window: &mut Window) {
    show(window, "Compare");
    assert_eq!(window.state().page(), Page::Compare);
}

/// Changes a value of the open file, as a form or the diagram does.
fn edit(window: &mut Window, pointer: &str, value: serde_json::Value) {
    let open = window.state_mut().open.as_mut().unwrap();
    let edit = crate::document::Edit::set("change", pointer, value);
    open.contents.apply(edit).unwrap();
}

/// A window on a profile whose lift point was moved since it was saved, with the changes shown.
fn changed(desk: &Desk) -> Window {
    let mut window = desk.window("one.profile.ron", &[]);
    show(&mut window, "Points");
    edit(&mut window, "/points/0/place/x", json!([440, "mm"]));
    edit(&mut window, "/identity/model", json!("Two"));
    show_compare(&mut window);
    wait_for(&mut window, "2 changes:");
    settle(&mut window);
    window
}

#[test]
fn a_file_as_it_was_saved_has_no_changes_and_says_so() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    show_compare(&mut window);
    wait_for(&mut window, "Nothing changed in meaning");
    assert!(shows(&window, "has no release in the library yet"));
}

#[test]
fn changes_are_listed_drawn_gone_through_and_filtered() {
    let desk = Desk::new();
    let mut window = changed(&desk);
    let arrow = window
        .query_all_by_label_contains("arrow, side view")
        .next();
    let arrow = arrow.and_then(|node| node.accesskit_node().label());
    let told = arrow.unwrap_or_default();
    assert!(told.starts_with("Front lift point moved 40 mm"), "{told}");
    assert!(told.contains("rearward"), "{told}");
    assert!(shows(&window, "Choose a change in the list"));
    press(&mut window, Modifiers::NONE, Key::F7);
    window.get_by_label("Before");
    press(&mut window, Modifiers::SHIFT, Key::F7);
    press(&mut window, Modifiers::NONE, Key::F7);
    window.get_by_label("After");
    click(&mut window, "Can hurt");
    assert!(!shows(&window, "arrow, side view"));
    window.get_by_label("Find").focus();
    settle(&mut window);
    window.get_by_label("Find").type_text("nowhere");
    settle(&mut window);
    assert!(shows(
        &window,
        "No change is of these grades and holds these words."
    ));
}

#[test]
fn what_can_hurt_is_accepted_one_by_one() {
    let desk = Desk::new();
    let mut window = changed(&desk);
    edit(&mut window, "/points/0/name/en", json!("Lift point, front"));
    wait_for(&mut window, "3 changes:");
    click(&mut window, "Review");
    click(&mut window, "Accept all shown that cannot hurt (1)");
    window.get_by_label("Accept all shown that cannot hurt (0)");
    window.get_by_label("Without a decision (2)");
    assert!(shows(
        &window,
        "2 that can hurt somebody without a decision"
    ));
}

#[test]
fn a_file_that_cannot_be_read_is_told_with_its_reason() {
    let desk = Desk::new();
    fs::write(desk.path("broken.zip"), "nothing").unwrap();
    let mut window = desk.window("one.profile.ron", &["broken.zip"]);
    show_compare(&mut window);
    click(&mut window, "Older side");
    click(&mut window, "Another file…");
    wait_for(&mut window, "broken.zip: ");
    assert!(shows(&window, "Choose another side above."));
}

#[test]
fn a_review_is_recorded_blocks_by_its_question_and_grows_stale() {
    let desk = Desk::new();
    let mut window = changed(&desk);
    press(&mut window, Modifiers::NONE, Key::F7);
    click(&mut window, "Ask…");
    write_in(&mut window, "Question", "From which end?");
    click(&mut window, "Ask this");
    click(&mut window, "Review");
    write_in(&mut window, "Reviewer", "Ana Ruiz");
    write_in(&mut window, "Role", "trainer");
    click(&mut window, "Record review");
    wait_for(&mut window, "3 changes:");
    assert_eq!(value(&window, "/reviews/0/decision"), json!("question"));
    assert_eq!(value(&window, "/reviews/0/who"), json!("Ana Ruiz"));
    assert_eq!(window.state().preferences().reviewer, "Ana Ruiz");
    let asks = |window: &mut Window| {
        let findings = window.state_mut().findings();
        findings.iter().any(|f| f.check == "open-question")
    };
    assert!(asks(&mut window));
    show(&mut window, "Reviews and changes");
    window.get_by_label("It is about exactly these contents.");
    write_in(&mut window, "Answer", "From the front axle.");
    click(&mut window, "Answer the question");
    assert!(!asks(&mut window));
    edit(&mut window, "/identity/model", json!("Three"));
    settle(&mut window);
    assert!(shows(&window, "Stale: the profile has changed since"));
}

#[test]
fn a_conflict_is_resolved_in_one_step_that_can_be_taken_back() {
    let desk = Desk::new();
    let conflict = "conflicts: [(part: \"/mass/gvwr/value\", about: value, base: (8500, \"lb\"), \
                    ours: (8600, \"lb\"), theirs: (8700, \"lb\"))],\n)";
    let mut text = PROFILE.replace("mass: ()", "mass: (gvwr: (value: (8500, \"lb\")))");
    text.truncate(text.trim_end().len() - 1);
    fs::write(desk.path("one.profile.ron"), text + conflict).unwrap();
    let mut window = desk.window("one.profile.ron", &[]);
    show_compare(&mut window);
    assert!(shows(&window, "Theirs: 8700 lb"));
    click(&mut window, "Take theirs, conflict 1");
    assert_eq!(value(&window, "/mass/gvwr/value"), json!([8700, "lb"]));
    assert_eq!(value(&window, "/conflicts"), Value::Null);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(value(&window, "/mass/gvwr/value"), json!([8500, "lb"]));
    assert!(shows(&window, "Take ours, conflict 1"));
}

#[test]
fn what_the_changes_do_is_worked_out_and_listed() {
    let desk = Desk::new();
    let reading = "mass: (readings: [(id: \"scale\", loads: [(axle: \"front\", total: (3500, \"lb\")), \
                   (axle: \"rear\", total: (3500, \"lb\"))])])";
    let text = PROFILE.replace("mass: ()", reading);
    fs::write(desk.path("one.profile.ron"), text).unwrap();
    fs::write(desk.path("torn.equipment.ron"), "(").unwrap();
    let mut window = desk.window("one.profile.ron", &["note.html"]);
    edit(
        &mut window,
        "/mass/readings/0/loads/0/total",
        json!([4500, "lb"]),
    );
    show_compare(&mut window);
    wait_for(&mut window, "1 change:");
    click(&mut window, "What it does");
    wait_for(&mut window, "Mass and balance (");
    // 3,500 + 3,500 lb are 7,000 lb, with 1,000 lb more on the front axle 8,000 lb (3,175 kg and 3,629 kg).
    assert!(shows(&window, "Was: 3175 kg") || shows(&window, "Was: 7000 lb"));
    assert!(shows(&window, "Is now: 3629 kg") || shows(&window, "Is now: 8000 lb"));
    assert!(shows(&window, "Left out: "));
    click(&mut window, "Save change note…");
    let note = desk.text("note.html");
    assert!(note.contains("Computed results that changed"));
}
