//! The page that edits procedures, in the whole window and with what the rules really answer.

use egui_kittest::kittest::NodeT as _;

use super::*;

const SHIFT: &str = r#"(
    format: "1.0", id: "example", language: "en", languages: ["es"],
    identity: (maker: "Example Works", model: "One", body_style: van, propulsion: electric),
    dimensions: (wheelbase: (value: (131, "in"))),
    axles: [
        (id: "front", position: (value: (0, "mm"))),
        (id: "rear", position: (value: (131, "in"))),
    ],
    mass: (), energy: (), emergency: (), transport: (),
    debts: [(id: "cap", name: {"en": "Put the cap back", "es": "Ponga la tapa"})],
    procedures: [
        (
            id: "look", name: {"en": "Look around", "es": "Mirar alrededor"}, purpose: other,
            steps: [(id: "walk", text: {"en": "Walk around it.", "es": "Rodee el vehículo."})],
        ),
        (
            id: "shift", name: {"en": "Shift to neutral", "es": "Poner punto muerto"}, purpose: shift_neutral,
            starts_with: ["in-park", "low-voltage-alive"],
            ends_with: ["in-neutral"],
            steps: [
                (
                    id: "chock", text: {"en": "Chock a wheel.", "es": "Calce una rueda."}, act: chock,
                    establishes: ["wheels-chocked"], time: (value: (1, "min"), plus_minus: (0.5, "min")),
                ),
                (
                    id: "cap", text: {"en": "Take the cap off.", "es": "Quite la tapa."},
                    opens: ["cap"], time: (value: (30, "s")),
                ),
                (
                    id: "neutral", text: {"en": "Select neutral.", "es": "Seleccione punto muerto."},
                    act: select_neutral, requires: ["wheels-chocked"], establishes: ["in-neutral"],
                    holds: [(condition: "in-neutral", time: (value: (30, "min")))],
                ),
            ],
        ),
    ],
)
"#;

/// A tall window on the second procedure, so that every card is in view.
fn shift_page(desk: &Desk) -> Window {
    fs::write(desk.path("shift.profile.ron"), SHIFT).unwrap();
    let mut window = desk.window("shift.profile.ron", &[]);
    window.set_size(egui::vec2(1500.0, 2600.0));
    settle(&mut window);
    show(&mut window, "Procedures");
    pick(&mut window, "Shift to neutral, Shift neutral");
    window
}

/// Picks a procedure of the list by the beginning of what is said of it.
fn pick(window: &mut Window, told: &str) {
    let row = window.get_all_by_label_contains(told).next().unwrap();
    row.click();
    settle(window);
}

fn steps(window: &Window) -> Vec<String> {
    let steps = value(window, "/procedures/1/steps");
    let ids = steps.as_array().unwrap().iter();
    ids.map(|step| step["id"].as_str().unwrap().to_owned())
        .collect()
}

fn undo_name(window: &Window) -> Option<String> {
    let file = window.state().open().unwrap();
    file.contents.undo_name().map(str::to_owned)
}

fn shows(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

#[test]
fn a_step_is_moved_by_key_and_the_focus_goes_with_it() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    window.get_by_label("Step 1: drag to another place").focus();
    settle(&mut window);
    press(&mut window, Modifiers::ALT, Key::ArrowDown);
    assert_eq!(steps(&window), ["cap", "chock", "neutral"]);
    assert_eq!(undo_name(&window).as_deref(), Some("move step chock"));
    press(&mut window, Modifiers::ALT, Key::ArrowDown);
    assert_eq!(steps(&window), ["cap", "neutral", "chock"]);
    press(&mut window, Modifiers::ALT, Key::ArrowDown);
    assert_eq!(
        steps(&window),
        ["cap", "neutral", "chock"],
        "it is the last"
    );
    press(&mut window, Modifiers::ALT, Key::ArrowUp);
    assert_eq!(steps(&window), ["cap", "chock", "neutral"]);
}

#[test]
fn what_was_being_typed_goes_with_the_step_that_a_key_moves() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    write_in(&mut window, "Step 1, What to do", "Chock two wheels.");
    press(&mut window, Modifiers::ALT, Key::ArrowDown);
    assert_eq!(steps(&window), ["cap", "chock", "neutral"]);
    let text = |index: usize| value(&window, &format!("/procedures/1/steps/{index}/text/en"));
    assert_eq!(text(0), json!("Take the cap off."));
    assert_eq!(text(1), json!("Chock two wheels."));
}

#[test]
fn a_step_is_dragged_by_its_handle_to_another_place() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    let from = window
        .get_by_label("Step 1: drag to another place")
        .rect()
        .center();
    // Below the middle of the last card.
    let to = window.get_by_label("Step 3: add to it…").rect().center();
    window.hover_at(from);
    window.step();
    window.drag_at(from);
    window.step();
    for part in [0.3, 0.7, 1.0] {
        window.hover_at(from + (to - from) * part);
        window.step();
    }
    window.drop_at(to);
    settle(&mut window);
    assert_eq!(steps(&window), ["cap", "neutral", "chock"]);
    assert_eq!(undo_name(&window).as_deref(), Some("move step chock"));
}

#[test]
fn a_drag_given_up_leaves_everything_as_it_was() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    let at = |window: &Window, label| window.get_by_label(label).rect().center();
    let from = at(&window, "Step 1: drag to another place");
    let to = at(&window, "Step 3: add to it…");
    window.drag_at(from);
    window.step();
    window.hover_at(to);
    window.step();
    press(&mut window, Modifiers::NONE, Key::Escape);
    window.drop_at(to);
    settle(&mut window);
    assert_eq!(steps(&window), ["chock", "cap", "neutral"]);
}

#[test]
fn the_buttons_of_a_card_move_copy_and_remove_the_step() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    click(&mut window, "Step 3: move up");
    assert_eq!(steps(&window), ["chock", "neutral", "cap"]);
    click(&mut window, "Step 1: duplicate");
    assert_eq!(steps(&window), ["chock", "chock-1", "neutral", "cap"]);
    click(&mut window, "Step 2: remove");
    assert_eq!(steps(&window), ["chock", "neutral", "cap"]);
    assert_eq!(undo_name(&window).as_deref(), Some("delete step chock-1"));
}

#[test]
fn a_step_is_inserted_by_writing_what_to_do() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    click(&mut window, "Step 1: insert a step after");
    let name = "New step 2: what to do";
    window.get_by_label(name).type_text("Attach the line.");
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(steps(&window), ["chock", "step-1", "cap", "neutral"]);
    assert_eq!(undo_name(&window).as_deref(), Some("add step"));
    assert!(
        shows(&window, "New step 3: what to do"),
        "another may follow"
    );
    press(&mut window, Modifiers::NONE, Key::Escape);
    assert!(!shows(&window, "New step 3"));
    assert!(shows(&window, "Spanish (es): missing"));
    enter(&mut window, "Step 2, What to do (es)", "Enganche el cable.");
    assert!(!shows(&window, "Spanish (es): missing"));
}

#[test]
fn a_condition_is_picked_by_part_of_its_name_and_taken_away_by_its_cross() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    click(&mut window, "Step 3, Requires: add");
    // The field has the focus without a click.
    window.event(egui::Event::Text("low alive".to_owned()));
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::Enter);
    let requires = |window: &Window| value(window, "/procedures/1/steps/2/requires");
    assert_eq!(
        requires(&window),
        json!(["wheels-chocked", "low-voltage-alive"])
    );
    let name = "add Low voltage alive to requires of step 3";
    assert_eq!(undo_name(&window).as_deref(), Some(name));
    click(&mut window, "Step 3, Requires: take Wheels chocked away");
    assert_eq!(requires(&window), json!(["low-voltage-alive"]));
    menu(&mut window, "Edit", "Undo take Wheels chocked away");
    assert_eq!(
        requires(&window),
        json!(["wheels-chocked", "low-voltage-alive"])
    );
}

#[test]
fn the_state_after_each_step_stands_between_the_cards() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    for text in [
        "Before the first step",
        "Holds: Low voltage alive, In park",
        "After step 1: 1 min so far, 1.5 min at the slowest",
        "+ now holds: Wheels chocked",
        "After step 2: 1.5 min so far, 2 min at the slowest",
        "To put back: Put the cap back",
        "+ now holds: In neutral",
        "− no longer holds: In park",
        "Time left, at the least: In neutral, 30 min",
    ] {
        assert!(shows(&window, text), "{text}");
    }
    click(&mut window, "State between the steps");
    assert!(!shows(&window, "After step 1"));
}

#[test]
fn a_fault_appears_in_the_card_when_the_step_that_it_needs_is_removed() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    let fault = "The step neutral requires wheels-chocked, and neither";
    assert!(!shows(&window, fault));
    click(&mut window, "Step 1: remove");
    let of_card = |window: &Window| {
        let told = format!("Warning: {fault}");
        let found = window.get_all_by(|node| {
            node.role() == Role::Label && node.value().is_some_and(|l| l.contains(&told))
        });
        let card = window.get_by_label("Step 2: drag to another place").rect();
        found
            .filter(|label| label.rect().top() > card.top())
            .count()
    };
    assert_eq!(of_card(&window), 1, "once, beside the chips");
    assert!(shows(&window, "Add it to what the procedure starts with"));
    click(&mut window, "Fold step 2");
    assert!(!shows(&window, "Step 2, Requires: add"));
    let counted = window.get_all_by_label_contains("warning").count();
    assert!(counted > 0, "the folded card counts it");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(!shows(&window, fault));
}

#[test]
fn the_languages_of_the_profile_stand_side_by_side() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    let english = window.get_by_label("Step 1, What to do").rect();
    let spanish = window.get_by_label("Step 1, What to do (es)").rect();
    assert!((english.top() - spanish.top()).abs() < 1.0);
    assert!(english.right() < spanish.left());
    window.set_size(egui::vec2(960.0, 2600.0));
    settle(&mut window);
    click(&mut window, "Procedure: remove");
    let english = window.get_by_label("Step 1, What to do").rect();
    assert!(english.width() > 100.0);
    window.get_by_label("Step 1, What to do (es)").focus();
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::Delete);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert!(shows(&window, "Spanish (es): missing"));
}

#[test]
fn a_finding_opens_its_procedure_at_the_step() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    click(&mut window, "Step 1: remove");
    click(&mut window, "Fold all steps");
    pick(&mut window, "Look around, Other");
    show(&mut window, "Axles");
    let finding = "Warning: The step neutral requires wheels-chocked, and neither the start nor a step before it says that it holds.";
    window
        .get_by_role_and_label(Role::Button, finding)
        .scroll_to_me();
    settle(&mut window);
    window.get_by_role_and_label(Role::Button, finding).click();
    settle(&mut window);
    assert_eq!(window.state().page(), Page::Procedures);
    assert!(
        shows(&window, "Step 2, Requires: add"),
        "the card is unfolded"
    );
    assert!(!shows(&window, "Step 1, Requires: add"), "the other is not");
}

#[test]
fn a_procedure_is_added_copied_moved_and_removed() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    let ids = |window: &Window| -> Vec<String> {
        let all = value(window, "/procedures");
        let ids = all.as_array().unwrap().iter();
        ids.map(|p| p["id"].as_str().unwrap().to_owned()).collect()
    };
    click(&mut window, "Procedure: duplicate");
    assert_eq!(ids(&window), ["look", "shift", "shift-1"]);
    click(&mut window, "Procedure: move up");
    assert_eq!(ids(&window), ["look", "shift-1", "shift"]);
    assert_eq!(
        undo_name(&window).as_deref(),
        Some("move procedure shift-1")
    );
    click(&mut window, "Procedure: remove");
    assert_eq!(ids(&window), ["look", "shift"]);
    click(&mut window, "Add a procedure…");
    click(&mut window, "Blank procedure");
    assert!(shows(&window, "Not part of the file yet."));
    enter(&mut window, "Procedure, Name", "Open it");
    click(&mut window, "Procedure, Purpose");
    click(&mut window, "Open");
    assert_eq!(ids(&window), ["look", "shift", "procedure-1"]);
    click(&mut window, "Add a step…");
    window
        .get_by_label("New step 1: what to do")
        .type_text("Pull.");
    settle(&mut window);
    press(&mut window, Modifiers::NONE, Key::Enter);
    assert_eq!(
        value(&window, "/procedures/2/steps/0/text/en"),
        json!("Pull.")
    );
}

#[test]
fn a_starting_text_comes_with_what_it_names_and_is_marked_to_be_confirmed() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    click(&mut window, "Add a procedure…");
    click(&mut window, "Change a wheel");
    assert_eq!(
        value(&window, "/procedures/2/purpose"),
        json!("change_tyre")
    );
    assert_eq!(value(&window, "/procedures/2/to_confirm"), json!(true));
    assert!(shows(&window, "nobody has yet held this text against"));
    let name = undo_name(&window).unwrap();
    assert_eq!(name, "add the starting text Change a wheel");
    click(
        &mut window,
        "Still to be confirmed against the maker's instructions",
    );
    assert_eq!(value(&window, "/procedures/2/to_confirm"), Value::Null);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    let left = value(&window, "/procedures");
    assert_eq!(
        left.as_array().unwrap().len(),
        2,
        "one step back takes all of it"
    );
}

#[test]
fn a_condition_that_holds_for_a_time_joins_the_step_with_its_time() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    click(&mut window, "Step 2: add to it…");
    click(&mut window, "Holds");
    click(&mut window, "Step 2, Holds: add");
    click(&mut window, "Doors open");
    let holds = |window: &Window| value(window, "/procedures/1/steps/1/holds");
    assert_eq!(holds(&window), Value::Null, "it still lacks its time");
    enter(&mut window, "Step 2, Doors open, Time", "5 min");
    let condition = value(&window, "/procedures/1/steps/1/holds/0/condition");
    assert_eq!(condition, json!("doors-open"));
    click(&mut window, "Step 2, Doors open: remove");
    assert_eq!(holds(&window), Value::Null);
}

#[test]
fn a_caution_is_added_to_a_step_and_shown_in_every_language() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    click(&mut window, "Step 1: add to it…");
    click(&mut window, "Cautions");
    enter(&mut window, "Step 1, Cautions: add", "Mind your feet.");
    enter(&mut window, "Step 1, Cautions 1 (es)", "Cuide los pies.");
    let caution = value(&window, "/procedures/1/steps/0/cautions/0");
    assert_eq!(
        caution,
        json!({"en": "Mind your feet.", "es": "Cuide los pies."})
    );
}

#[test]
fn the_page_can_be_used_in_a_small_window() {
    let desk = Desk::new();
    let mut window = shift_page(&desk);
    window.set_size(egui::vec2(960.0, 600.0));
    settle(&mut window);
    assert!(window.unnamed_widgets().is_empty());
    let shown = window.get_by_label("Procedure shown");
    let right = shown.rect().right();
    assert!(shown.accesskit_node().value().is_some() || right < 960.0);
    shown.click();
    settle(&mut window);
    pick(&mut window, "Look around, Other");
    assert!(shows(&window, "Procedure, Name"));
    let text = window.get_by_label("Procedure, Name").value();
    assert_eq!(text.as_deref(), Some("Look around"));
}
