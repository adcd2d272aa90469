//! The page that holds a vehicle against equipment, in the whole window and with what the rules really answer.

use egui_kittest::kittest::NodeT as _;

use super::*;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles")
}

const PICKUP: &str = "brackwater-tolliver-crew.profile.ron";
const CAR: &str = "sorrelby-tindle.profile.ron";

/// A desk with two demo profiles and the demo equipment.
fn yard() -> Desk {
    let desk = Desk {
        folder: tempfile::tempdir().unwrap(),
    };
    for name in [PICKUP, CAR] {
        fs::copy(demo().join(name), desk.path(name)).unwrap();
    }
    fs::create_dir(desk.path("equipment")).unwrap();
    for entry in fs::read_dir(demo().join("equipment")).unwrap() {
        let path = entry.unwrap().path();
        let target = desk.path("equipment").join(path.file_name().unwrap());
        fs::copy(path, target).unwrap();
    }
    desk
}

fn show_fit(window: &mut Window) {
    show(window, "Fit");
    assert_eq!(window.state().page(), Page::Fit);
}

fn shows(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

fn is_chosen(window: &Window, name: &str) -> bool {
    let node = window.get_by_role_and_label(Role::CheckBox, name);
    node.accesskit_node().toggled() == Some(egui::accesskit::Toggled::True)
}

const CARRIER: &str = "Two-axle carrier, 26,000 lb, 22 ft deck";
const VEHICLE: &str = "Vehicle on the deck";

#[test]
fn a_folder_without_equipment_says_what_to_do() {
    let desk = Desk::new();
    fs::remove_file(desk.path("straps.equipment.ron")).unwrap();
    let mut window = desk.window("one.profile.ron", &[]);
    show_fit(&mut window);
    assert!(shows(
        &window,
        "Open a folder with equipment files, or make one."
    ));
    window.get_by_label("New equipment…").click();
    settle(&mut window);
    assert!(matches!(
        window.state().dialog(),
        Some(Dialog::NewEquipment(_))
    ));
}

#[test]
fn choosing_a_carrier_puts_the_vehicle_on_its_deck() {
    let desk = yard();
    let mut window = desk.window(PICKUP, &[]);
    show_fit(&mut window);
    assert!(!shows(&window, VEHICLE));
    click(&mut window, CARRIER);
    assert!(is_chosen(&window, CARRIER));
    let before = window.get_by_label_contains(VEHICLE).rect();
    window.get_by_label_contains(VEHICLE).focus();
    settle(&mut window);
    press(&mut window, Modifiers::SHIFT, Key::ArrowRight);
    let after = window.get_by_label_contains(VEHICLE).rect();
    assert!(after.left() > before.left(), "it moved rearward");
}

#[test]
fn choices_are_remembered_for_each_file_while_the_program_runs() {
    let desk = yard();
    let mut window = desk.window(PICKUP, &[]);
    show_fit(&mut window);
    click(&mut window, CARRIER);
    let open = |window: &mut Window, title: &str| {
        show(window, "Library");
        let row = window.get_all_by_label_contains(title).next().unwrap();
        row.click();
        settle(window);
        show_fit(window);
    };
    open(&mut window, "Tindle");
    assert!(!is_chosen(&window, CARRIER), "another file, other choices");
    open(&mut window, "Brackwater");
    assert!(is_chosen(&window, CARRIER));
}

#[test]
fn equipment_that_changed_on_disk_is_read_again() {
    let desk = yard();
    let mut window = desk.window(PICKUP, &[]);
    show_fit(&mut window);
    assert!(!shows(&window, "Renamed winch"));
    let name = "equipment/winch-portable.equipment.ron";
    let text = desk.text(name).replace("Portable winch", "Renamed winch");
    fs::write(desk.path(name), text).unwrap();
    show(&mut window, "Diagram");
    show_fit(&mut window);
    assert!(shows(&window, "Renamed winch"));
}

#[test]
fn the_page_names_its_inputs_in_a_small_window_too() {
    let desk = yard();
    let mut window = desk.window(PICKUP, &[]);
    window.set_size(egui::vec2(960.0, 600.0));
    settle(&mut window);
    show_fit(&mut window);
    click(&mut window, CARRIER);
    assert!(shows(&window, VEHICLE));
    assert!(window.unnamed_widgets().is_empty());
}
