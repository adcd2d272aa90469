//! What becomes of work that was not saved, found by accessible names.

use super::*;

/// A window that keeps what is not saved; dropping it is as sudden as a kill.
fn keeping(desk: &Desk, start: &str) -> Window {
    let (start, own) = (desk.path(start), desk.path("own"));
    let mut harness = Harness::builder()
        .with_size(egui::vec2(1280.0, 900.0))
        .with_max_steps(24)
        .build_eframe(move |creation| {
            let clock = StillClock(Moment::new("2026-03-14T09:30:00Z").unwrap());
            let picker = Box::new(ScriptedPicker::new([]));
            let preferences = Preferences::default();
            let mut app = App::new(&creation.egui_ctx, preferences, picker, Box::new(clock))
                .keeping_unsaved_in(own);
            app.start_with(&start);
            app
        });
    settle(&mut harness);
    harness
}

/// Lets a second and the writing of a copy go by.
fn wait_a_little(window: &mut Window) {
    for _ in 0..4 {
        settle(window);
        std::thread::sleep(std::time::Duration::from_millis(40));
    }
}

fn copies(desk: &Desk) -> Vec<String> {
    let entries = fs::read_dir(desk.folder.path()).unwrap();
    let names = entries.map(|e| e.unwrap().file_name().to_string_lossy().into_owned());
    names.filter(|name| name.contains(".unsaved-")).collect()
}

fn set(window: &mut Window, pointer: &str, value: Value) {
    let open = window.state_mut().open.as_mut().unwrap();
    let edit = crate::document::Edit::set("change", pointer, value);
    open.contents.apply(edit).unwrap();
}

fn shows(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

#[test]
fn what_was_not_saved_is_kept_and_brought_back_as_a_step_that_can_be_undone() {
    let desk = Desk::new();
    let mut window = keeping(&desk, "one.profile.ron");
    set(&mut window, "/identity/model", json!("Two"));
    wait_a_little(&mut window);
    assert_eq!(copies(&desk), [".one.profile.ron.unsaved-1"]);
    drop(window);
    let mut window = keeping(&desk, "one.profile.ron");
    assert!(shows(&window, "1 change was not saved."));
    assert!(shows(&window, "2026-03-14T09:30:00Z"));
    click(&mut window, "Go on with them");
    assert_eq!(value(&window, "/identity/model"), json!("Two"));
    assert_eq!(desk.text("one.profile.ron"), PROFILE);
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(value(&window, "/identity/model"), json!("One"));
}

#[test]
fn saving_takes_the_copy_away() {
    let desk = Desk::new();
    let mut window = keeping(&desk, "one.profile.ron");
    set(&mut window, "/identity/model", json!("Two"));
    wait_a_little(&mut window);
    press(&mut window, Modifiers::COMMAND, Key::S);
    wait_a_little(&mut window);
    assert!(copies(&desk).is_empty());
    assert!(desk.text("one.profile.ron").contains("\"Two\""));
}

#[test]
fn a_text_that_is_being_typed_and_a_part_that_is_not_finished_are_kept_too() {
    let desk = Desk::new();
    let mut window = keeping(&desk, "one.profile.ron");
    show(&mut window, "Points");
    click(&mut window, "Add point");
    show(&mut window, "Identity");
    write_in(&mut window, "Recognition", "No grille, silent");
    wait_a_little(&mut window);
    drop(window);
    let mut window = keeping(&desk, "one.profile.ron");
    assert!(shows(
        &window,
        "Being typed in “Recognition”: No grille, silent"
    ));
    assert!(shows(&window, "Parts that were not finished are among it."));
    click(&mut window, "Go on with them");
    assert!(shows(&window, "it was being typed when the program ended"));
    window.get_by_label("Recognition").focus();
    settle(&mut window);
    window.key_press(Key::Enter);
    settle(&mut window);
    let recognition = value(&window, "/identity/recognition/en");
    assert_eq!(recognition, json!("No grille, silent"));
    assert!(window.state().open().unwrap().form.has_drafts());
}

#[test]
fn what_was_never_saved_is_offered_at_the_next_start() {
    let desk = Desk::new();
    let mut window = keeping(&desk, "one.profile.ron");
    let made = window
        .state()
        .open()
        .unwrap()
        .contents
        .profile()
        .unwrap()
        .clone();
    let made = Contents::Profile(crate::document::Document::new(made));
    window.state_mut().show_new(made);
    set(&mut window, "/identity/model", json!("Made"));
    wait_a_little(&mut window);
    drop(window);
    let mut window = keeping(&desk, "one.profile.ron");
    assert!(shows(&window, "A file that was never saved"));
    click(&mut window, "Go on with them");
    assert_eq!(value(&window, "/identity/model"), json!("Made"));
    assert_eq!(window.state().open().unwrap().path, None);
}

#[test]
fn a_file_that_was_written_meanwhile_is_put_together_with_what_was_not_saved() {
    let desk = Desk::new();
    let mut window = keeping(&desk, "one.profile.ron");
    set(&mut window, "/identity/model", json!("Two"));
    wait_a_little(&mut window);
    drop(window);
    let theirs = PROFILE.replace("(400, \"mm\")", "(420, \"mm\")");
    fs::write(desk.path("one.profile.ron"), theirs).unwrap();
    let mut window = keeping(&desk, "one.profile.ron");
    assert!(shows(
        &window,
        "Another program has written the file since then."
    ));
    click(&mut window, "Go on with them");
    assert_eq!(value(&window, "/identity/model"), json!("Two"));
    assert_eq!(value(&window, "/points/0/place/x"), json!([420, "mm"]));
}

#[test]
fn what_was_left_behind_can_be_left_for_later_or_thrown_away() {
    let desk = Desk::new();
    let mut window = keeping(&desk, "one.profile.ron");
    set(&mut window, "/identity/model", json!("Two"));
    wait_a_little(&mut window);
    drop(window);
    let mut window = keeping(&desk, "one.profile.ron");
    click(&mut window, "Leave them for later");
    assert_eq!(value(&window, "/identity/model"), json!("One"));
    assert_eq!(copies(&desk).len(), 1);
    drop(window);
    let mut window = keeping(&desk, "one.profile.ron");
    click(&mut window, "Throw them away");
    assert!(copies(&desk).is_empty());
    assert_eq!(value(&window, "/identity/model"), json!("One"));
}

#[test]
fn two_windows_on_one_file_say_so_and_put_both_together() {
    let desk = Desk::new();
    let mut one = keeping(&desk, "one.profile.ron");
    let mut two = keeping(&desk, "one.profile.ron");
    assert!(shows(&two, "Another window works on this file too."));
    set(&mut one, "/identity/model", json!("Two"));
    press(&mut one, Modifiers::COMMAND, Key::S);
    set(&mut two, "/points/0/place/x", json!([440, "mm"]));
    press(&mut two, Modifiers::COMMAND, Key::S);
    click(&mut two, "Put both together");
    assert_eq!(value(&two, "/identity/model"), json!("Two"));
    press(&mut two, Modifiers::COMMAND, Key::S);
    let text = desk.text("one.profile.ron");
    assert!(text.contains("\"Two\"") && text.contains("440"), "{text}");
}

#[test]
fn a_part_that_both_changed_is_shown_for_choosing() {
    let desk = Desk::new();
    let mut window = keeping(&desk, "one.profile.ron");
    set(&mut window, "/identity/model", json!("Two"));
    let theirs = PROFILE.replace("model: \"One\"", "model: \"Three\"");
    fs::write(desk.path("one.profile.ron"), theirs).unwrap();
    press(&mut window, Modifiers::COMMAND, Key::S);
    click(&mut window, "Put both together");
    assert_eq!(window.state().page(), Page::Compare);
    assert!(shows(
        &window,
        "1 part was changed by two people in two ways."
    ));
}

#[test]
fn a_file_that_another_program_wrote_is_read_again_when_the_window_comes_back() {
    let desk = Desk::new();
    let mut window = keeping(&desk, "one.profile.ron");
    let theirs = PROFILE.replace("model: \"One\"", "model: \"Three\"");
    fs::write(desk.path("one.profile.ron"), theirs).unwrap();
    window.event(egui::Event::WindowFocused(true));
    settle(&mut window);
    assert_eq!(value(&window, "/identity/model"), json!("Three"));
    assert!(!window.state().open().unwrap().is_unsaved());
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(value(&window, "/identity/model"), json!("One"));
    assert!(window.state().open().unwrap().is_unsaved());
}

#[test]
fn a_file_that_cannot_be_written_loses_nothing_and_says_what_to_do() {
    let desk = Desk::new();
    let mut window = keeping(&desk, "one.profile.ron");
    set(&mut window, "/identity/model", json!("Two"));
    // Gone, as a folder of the network may be. Whoever tests as root may write everywhere.
    let away = desk.path("away");
    let folder = desk.path("work");
    fs::create_dir(&folder).unwrap();
    fs::rename(desk.path("one.profile.ron"), folder.join("one.profile.ron")).unwrap();
    window.state_mut().open.as_mut().unwrap().path = Some(folder.join("one.profile.ron"));
    fs::rename(&folder, &away).unwrap();
    press(&mut window, Modifiers::COMMAND, Key::S);
    assert!(shows(&window, "Your changes are still here."));
    fs::rename(&away, &folder).unwrap();
    click(&mut window, "Try again");
    assert!(!window.state().open().unwrap().is_unsaved());
    let text = fs::read_to_string(folder.join("one.profile.ron")).unwrap();
    assert!(text.contains("\"Two\""), "{text}");
}
