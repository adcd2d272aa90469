//! Opening the window on a screen.

use std::path::{Path, PathBuf};

use anyhow::{Context as _, bail};

use crate::{
    app::App,
    ports::{NativePicker, SystemClock},
    preferences::Preferences,
};

/// Opens the window on a file or a folder, else on the demo library, and returns when it is closed.
///
/// Where there is no screen it says so, with the way to work without one.
pub fn run_window(open: Option<PathBuf>) -> anyhow::Result<()> {
    if !has_screen() {
        bail!(
            "no screen was found (neither DISPLAY nor WAYLAND_DISPLAY is set), so the window cannot open; `chockstone \
             check FILE` and the other commands work without one: see `chockstone --help`"
        );
    }
    if let Some(path) = &open {
        std::fs::metadata(path).with_context(|| format!("{} cannot be opened", path.display()))?;
    }
    let start = open.or_else(demo_library);
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Chockstone")
            .with_app_id("chockstone")
            .with_inner_size([1280.0, 800.0])
            .with_min_inner_size([960.0, 600.0]),
        ..Default::default()
    };
    let made = eframe::run_native(
        "chockstone",
        options,
        Box::new(move |creation| {
            let preferences = Preferences::load(creation.storage);
            let picker = Box::new(NativePicker::default());
            let mut app = App::new(
                &creation.egui_ctx,
                preferences,
                picker,
                Box::new(SystemClock),
            );
            if let Some(folder) = eframe::storage_dir("chockstone") {
                app = app.keeping_unsaved_in(folder.join("unsaved"));
            }
            match &start {
                Some(path) => app.start_with(path),
                None => app.offer_new_ones(),
            }
            Ok(Box::new(app))
        }),
    );
    made.map_err(|error| anyhow::anyhow!("the window could not be opened: {error}"))
}

#[cfg(all(unix, not(target_os = "macos")))]
fn has_screen() -> bool {
    let names = ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"];
    names
        .iter()
        .any(|n| std::env::var_os(n).is_some_and(|v| !v.is_empty()))
}

#[cfg(not(all(unix, not(target_os = "macos"))))]
fn has_screen() -> bool {
    true
}

/// The folder `profiles` in the working folder or above the program: the demo library of a source tree.
fn demo_library() -> Option<PathBuf> {
    let program = std::env::current_exe().ok();
    let here = std::env::current_dir().ok();
    let above = program.iter().flat_map(|p| p.ancestors().skip(1));
    here.as_deref()
        .into_iter()
        .chain(above)
        .map(|folder| folder.join("profiles"))
        .find(|folder| holds_profiles(folder))
}

fn holds_profiles(folder: &Path) -> bool {
    let found = chockstone_library::files::find(folder);
    found.is_ok_and(|files| !files.is_empty())
}
