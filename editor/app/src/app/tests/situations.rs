//! The page of situations, in the whole window and with what the planner really answers.

use egui::accesskit::Toggled;
use egui_kittest::kittest::NodeT as _;

use super::*;

/// An invented van: it can be opened and woken with a key and shifted to neutral; its jump start is in the wrong order.
const VAN: &str = r#"(
    format: "1.0", id: "example", language: "en", languages: ["es"],
    identity: (maker: "Example Works", model: "One", body_style: van, propulsion: electric),
    dimensions: (wheelbase: (value: (131, "in"))),
    axles: [
        (id: "front", position: (value: (0, "mm"))),
        (id: "rear", position: (value: (131, "in"))),
    ],
    mass: (), energy: (), emergency: (), transport: (),
    points: [
        (id: "lock", name: {"en": "Door lock", "es": "Cerradura"}, kind: key_lock,
            place: (x: (1100, "mm"), y: (-900, "mm"), z: (1000, "mm"))),
        (id: "handle", name: {"en": "Door handle", "es": "Tirador"}, kind: door_release,
            place: (x: (1300, "mm"), y: (-900, "mm"), z: (1000, "mm"))),
    ],
    conditions: [
        (id: "hatch-open", name: {"en": "Hatch open", "es": "Portón abierto"},
            meaning: {"en": "The hatch is up.", "es": "El portón está arriba."}),
    ],
    debts: [(id: "cap", name: {"en": "Refit the cap", "es": "Coloque la tapa"})],
    hazards: [
        (id: "silent", signal: warning, harm: death_or_serious_injury,
            hazard: {"en": "It moves without a sound.", "es": "Se mueve sin ruido."}),
    ],
    procedures: [
        (
            id: "open", name: {"en": "Open the door", "es": "Abrir la puerta"}, purpose: open, to_confirm: true,
            starts_with: ["key-present"], ends_with: ["doors-open", "wheels-chocked"],
            steps: [
                (id: "chock", text: {"en": "Chock a wheel.", "es": "Calce una rueda."}, act: chock,
                    hazards: ["silent"], establishes: ["wheels-chocked"], time: (value: (1, "min"))),
                (id: "cap", text: {"en": "Pry the cap off.", "es": "Quite la tapa."}, points: ["lock"],
                    cautions: [{"en": "It springs off.", "es": "Salta."}], opens: ["cap"],
                    time: (value: (30, "s"), plus_minus: (15, "s"))),
                (id: "pull", text: {"en": "Pull the handle.", "es": "Tire del tirador."}, points: ["handle"],
                    requires: ["key-present"], establishes: ["doors-open"], time: (value: (1, "min"))),
            ],
        ),
        (
            id: "wake", name: {"en": "Wake it", "es": "Despertarlo"}, purpose: wake,
            starts_with: ["doors-open", "key-present", "low-voltage-alive"], ends_with: ["awake"],
            steps: [
                (id: "press", text: {"en": "Press start once.", "es": "Pulse arranque."},
                    establishes: ["awake"], time: (value: (1, "min"))),
            ],
        ),
        (
            id: "neutral", name: {"en": "Neutral by the selector", "es": "Punto muerto"}, purpose: shift_neutral,
            starts_with: ["awake", "wheels-chocked", "low-voltage-alive"], ends_with: ["in-neutral"],
            steps: [
                (id: "shift", text: {"en": "Select neutral.", "es": "Seleccione punto muerto."}, act: select_neutral,
                    time: (value: (30, "s")),
                    holds: [(condition: "in-neutral", time: (value: (30, "min")),
                        then: {"en": "It shifts to park.", "es": "Pasa a estacionamiento."})]),
                (id: "roll", text: {"en": "Feel that it rolls.", "es": "Compruebe que rueda."}, act: check,
                    requires: ["in-neutral"], time: (value: (1, "min"))),
            ],
        ),
        (
            id: "jump", name: {"en": "Jump start", "es": "Arranque auxiliar"}, purpose: jump_start,
            steps: [
                (id: "a", text: {"en": "Black to the flat battery.", "es": "Negra a la batería."},
                    act: connect_negative_flat),
                (id: "b", text: {"en": "Red to the flat battery.", "es": "Roja a la batería."},
                    act: connect_positive_flat, establishes: ["jump-connected"]),
            ],
        ),
    ],
)
"#;

fn van() -> Window {
    let desk = Desk::new();
    fs::write(desk.path("van.profile.ron"), VAN).unwrap();
    let mut window = desk.window("van.profile.ron", &[]);
    press(&mut window, Modifiers::COMMAND, Key::T);
    assert_eq!(window.state().page(), Page::Situations);
    window
}

fn shows(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

#[track_caller]
fn check_shows(window: &Window, text: &str) {
    assert!(shows(window, text), "{text:?} is not shown");
}

/// Clicks as assistive software does, which reaches what is scrolled out of sight too.
fn act_on(window: &mut Window, label: &str) {
    window.get_by_label(label).click_accesskit();
    settle(window);
}

/// Chooses a goal by its name and its short answer.
fn goal(window: &mut Window, name_and_answer: &str) {
    click(window, &format!("Goal {name_and_answer}"));
}

fn toggle(window: &mut Window, condition: &str) {
    window
        .get_by_role_and_label(Role::CheckBox, condition)
        .click_accesskit();
    settle(window);
}

fn is_true(window: &Window, condition: &str) -> bool {
    let node = window.get_by_role_and_label(Role::CheckBox, condition);
    node.accesskit_node().toggled() == Some(Toggled::True)
}

#[test]
fn choosing_a_situation_answers_every_goal_anew() {
    let mut window = van();
    assert!(is_true(&window, "Key present"));
    check_shows(&window, "Goal Opened: 2 min 30 s");
    check_shows(&window, "Goal Cord free: Holds");
    click(&mut window, "Situation No key");
    assert!(!is_true(&window, "Key present"));
    check_shows(&window, "Goal Opened: If: Key present");
}

#[test]
fn a_condition_that_is_changed_is_told_and_can_be_taken_back() {
    let mut window = van();
    assert!(shows(&window, "nothing changed"));
    toggle(&mut window, "Key present");
    toggle(&mut window, "Doors open");
    check_shows(&window, "Now true: Doors open");
    check_shows(&window, "No longer true: Key present");
    check_shows(&window, "Goal Opened: Holds");
    click(&mut window, "Start again");
    assert!(shows(&window, "nothing changed"));
    check_shows(&window, "Goal Opened: 2 min 30 s");
}

#[test]
fn what_cannot_hold_beside_a_condition_ends_with_it() {
    let mut window = van();
    assert!(is_true(&window, "In park"));
    toggle(&mut window, "In neutral");
    assert!(!is_true(&window, "In park"));
}

#[test]
fn a_way_is_gone_through_with_its_places_marked() {
    let mut window = van();
    goal(&mut window, "Opened: 2 min 30 s");
    check_shows(&window, "Step 1 of 3");
    check_shows(&window, "Side view, no point marked");
    check_shows(&window, "to be confirmed against the maker’s instructions");
    check_shows(&window, "WARNING It moves without a sound.");
    act_on(&mut window, "Next");
    check_shows(&window, "Step 2 of 3");
    check_shows(&window, "Marked point Door lock, side view");
    check_shows(&window, "Plan view, marked: Door lock");
    check_shows(&window, "Beware: It springs off.");
    press(&mut window, Modifiers::NONE, Key::ArrowRight);
    check_shows(&window, "Step 3 of 3");
    check_shows(&window, "Marked point Door handle, side view");
    assert!(!shows(&window, "Marked point Door lock"));
    check_shows(&window, "To settle so far: Refit the cap");
    act_on(&mut window, "Previous");
    check_shows(&window, "Step 2 of 3");
}

#[test]
fn a_step_leads_to_its_place_in_the_procedures() {
    let mut window = van();
    goal(&mut window, "Opened: 2 min 30 s");
    act_on(&mut window, "Look at step 3");
    check_shows(&window, "Step 3 of 3");
    act_on(&mut window, "Open this step in Procedures");
    assert_eq!(window.state().page(), Page::Procedures);
}

#[test]
fn the_timeline_says_the_same_in_words() {
    let mut window = van();
    goal(&mut window, "In neutral, held: 5 min");
    check_shows(
        &window,
        "Timeline: Open the door from 0 min to 2 min 45 s; Wake it from 2 min 45 s to 3 min 45 s; Neutral by the \
         selector from 3 min 45 s to 5 min 15 s; In neutral holds from 4 min 15 s until 34 min 15 s; needed until \
         5 min 15 s: within",
    );
    check_shows(&window, "Then: It shifts to park.");
    let step = "Step 5 on the timeline";
    window.get_by_label_contains(step).click_accesskit();
    settle(&mut window);
    check_shows(&window, "Step 5 of 6");
}

#[test]
fn a_missing_fact_can_be_assumed() {
    let mut window = van();
    click(&mut window, "Situation No key");
    goal(&mut window, "Opened: If: Key present");
    check_shows(&window, "There is a way if something changes first");
    act_on(&mut window, "Assume: Key present");
    assert!(is_true(&window, "Key present"));
    check_shows(&window, "Goal Opened: 2 min 30 s");
    check_shows(&window, "Now true: Key present");
}

#[test]
fn where_there_is_no_way_it_is_said_why() {
    let mut window = van();
    goal(&mut window, "Secured: No way");
    check_shows(&window, "Nothing in this profile");
    assert!(!shows(&window, "Timeline"));
}

#[test]
fn with_smoke_the_fire_comes_first_and_the_wheels_may_stay_off_the_ground() {
    let desk = Desk::new();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles");
    let name = "brackwater-tolliver-crew.profile.ron";
    fs::copy(demo.join(name), desk.path(name)).unwrap();
    let mut window = desk.window(name, &[]);
    press(&mut window, Modifiers::COMMAND, Key::T);
    click(&mut window, "Situation Smoke or heat");
    check_shows(&window, "Before anything else:");
    check_shows(&window, "Open procedure Smoke");
    let timeline = |window: &Window| {
        let canvas = window.get_by_label_contains("Timeline:");
        canvas.accesskit_node().label().unwrap_or_default()
    };
    let way = timeline(&window);
    act_on(&mut window, "Wheels off the ground instead");
    assert_ne!(timeline(&window), way);
    act_on(&mut window, "Next");
    assert_ne!(timeline(&window), way, "it is gone through as the way is");
}

#[test]
fn a_cell_of_the_table_opens_its_way() {
    let mut window = van();
    click(&mut window, "Table");
    check_shows(&window, "Parked and sound, Awake: 3 min 30 s");
    click(&mut window, "No key, Opened: If: Key present");
    assert!(!is_true(&window, "Key present"));
    check_shows(&window, "Assume: Key present");
    click(&mut window, "Table");
    click(&mut window, "All 64 combinations");
    assert!(!shows(&window, "Arrived on the deck, Awake"));
    let cells = window.query_all_by_label_contains(", Opened: ").count();
    assert!(cells > 5, "{cells} rows are shown");
}

#[test]
fn a_procedure_that_is_left_out_leads_to_what_is_wrong() {
    let mut window = van();
    check_shows(&window, "1 procedure left out");
    act_on(&mut window, "Open what is wrong in Jump start");
    assert_eq!(window.state().page(), Page::Procedures);
}

#[test]
fn texts_are_shown_in_the_language_that_was_chosen() {
    let mut window = van();
    let name = "Language of the texts";
    window
        .get_by_role_and_label(Role::ComboBox, name)
        .click_accesskit();
    settle(&mut window);
    act_on(&mut window, "es");
    assert!(is_true(&window, "Llave presente"));
    goal(&mut window, "Abierto: 2 min 30 s");
    check_shows(&window, "ADVERTENCIA Se mueve sin ruido.");
    act_on(&mut window, "Next");
    check_shows(&window, "Marked point Cerradura, side view");
    assert!(shows(&window, "Portón abierto"), "the profile’s own");
}

#[test]
fn the_time_of_a_key_that_is_fetched_can_be_stated() {
    let mut window = van();
    click(&mut window, "Situation No key");
    toggle(&mut window, "Key within reach");
    check_shows(&window, "Goal Opened: 17 min 30 s");
    let field = (Role::TextInput, "Fetching a key takes");
    window.get_by_role_and_label(field.0, field.1).focus();
    settle(&mut window);
    window
        .get_by_role_and_label(field.0, field.1)
        .type_text("40");
    press(&mut window, Modifiers::NONE, Key::Enter);
    check_shows(&window, "Goal Opened: 42 min 30 s");
}

#[test]
fn what_was_chosen_is_kept_while_other_pages_are_shown() {
    let mut window = van();
    click(&mut window, "Situation No key");
    show(&mut window, "Points");
    show(&mut window, "Situations");
    assert!(!is_true(&window, "Key present"));
}

#[test]
fn a_change_of_the_profile_changes_the_answer() {
    let mut window = van();
    check_shows(&window, "Goal Opened: 2 min 30 s");
    let edit = crate::document::Edit::set(
        "change time",
        "/procedures/0/steps/2/time/value",
        json!([6, "min"]),
    );
    let file = window.state_mut().open.as_mut().unwrap();
    file.contents.apply(edit).unwrap();
    settle(&mut window);
    check_shows(&window, "Goal Opened: 7 min 30 s");
}

#[test]
fn the_page_names_its_inputs_in_a_small_window_too() {
    let mut window = van();
    window.set_size(egui::vec2(960.0, 600.0));
    settle(&mut window);
    for view in ["One situation", "Table"] {
        click(&mut window, view);
        assert!(window.unnamed_widgets().is_empty(), "{view}");
    }
    check_shows(&window, "Parked and sound, Opened: 2 min 30 s");
}
