//! Both versions drawn over one another.

use chockstone_schema::report::Change;
use egui::Ui;

use super::{Answer, Plan, words};
use crate::{
    diagram::{Overlay, OverlayPart, drawn_part, overlay_legend_ui, overlay_ui},
    panels::fit::pick,
};

/// The height of both views together, at most.
const MOST_HEIGHT: f32 = 420.0;

/// A drawn part, and the changes that are about it.
struct Marked<'c> {
    part: OverlayPart,
    changes: Vec<&'c Change>,
}

/// Draws both views; a click on a part looks at its first change.
pub(super) fn show(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    let marked = marked(answer, plan);
    let selected = plan.selected.as_ref().and_then(|change| {
        let about = |m: &Marked<'_>| m.changes.contains(&change);
        marked.iter().position(about)
    });
    ui.horizontal_wrapped(|ui| {
        pick::heading(ui, "Both versions over one another");
        let close = ui.add_enabled(
            selected.is_some(),
            egui::Checkbox::new(&mut plan.close, "Look closely"),
        );
        close
            .on_hover_text("Shows the part alone, larger.")
            .on_disabled_hover_text("Choose a change of a part that is drawn.");
    });
    overlay_legend_ui(ui);
    let parts: Vec<OverlayPart> = marked.iter().map(|m| m.part.clone()).collect();
    let [older, newer] = &answer.compared.profiles;
    let overlay = Overlay {
        sides: [older, newer],
        parts: &parts,
        selected,
        close: plan.close,
        system: answer.input.system,
        most_height: MOST_HEIGHT,
    };
    let clicked = overlay_ui(ui, &overlay).and_then(|index| marked.get(index));
    if let Some(change) = clicked.and_then(|m| m.changes.first()) {
        plan.select(change);
    }
}

/// The drawn parts that the listed changes are about, each once.
fn marked<'a>(answer: &Answer<'a>, plan: &Plan) -> Vec<Marked<'a>> {
    let mut marked: Vec<Marked<'a>> = Vec::new();
    for change in plan.listed(answer.compared) {
        let drawn = |place: &Option<String>| drawn_part(place.as_deref()?);
        let (older, newer) = (drawn(&change.before_place), drawn(&change.after_place));
        let part = match (older, newer) {
            (None, None) => continue,
            // Of what was added to or taken from a part that both versions have, only one side tells the place.
            (None, Some(newer)) if Some(&newer) != change.after_place.as_ref() => {
                (twin(answer, 1, &newer), Some(newer))
            }
            (Some(older), None) if Some(&older) != change.before_place.as_ref() => {
                let newer = twin(answer, 0, &older);
                (Some(older), newer)
            }
            sides => sides,
        };
        let known = marked
            .iter_mut()
            .find(|m| (&m.part.older, &m.part.newer) == (&part.0, &part.1));
        match known {
            Some(known) => known.changes.push(change),
            None => marked.push(Marked {
                part: OverlayPart {
                    older: part.0,
                    newer: part.1,
                    words: String::new(),
                },
                changes: vec![change],
            }),
        }
    }
    for one in &mut marked {
        one.part.words = fate(answer, &one.changes);
    }
    marked
}

/// Where a part of one side is on the other.
fn twin(answer: &Answer<'_>, from: usize, pointer: &str) -> Option<String> {
    let values = &answer.compared.values;
    let (here, there) = (values.get(from)?, values.get(1 - from)?);
    let path = chockstone_library::part::path_of(here, pointer)?;
    chockstone_library::part::pointer_of(there, &path)
}

/// What became of a part, from all its changes: that it moved is told before anything else.
fn fate(answer: &Answer<'_>, changes: &[&Change]) -> String {
    let system = answer.input.system;
    let moved = changes.iter().find(|change| change.shift.is_some());
    let told = moved
        .or(changes.first())
        .map(|change| words::fate(change, system));
    told.unwrap_or_default()
}
