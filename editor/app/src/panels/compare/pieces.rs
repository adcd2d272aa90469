//! Changed words: removed ones struck through, added ones underlined, each with a ground of its own.

use chockstone_schema::report::{PieceKind, WordChange};
use egui::{Color32, Label, RichText, Stroke, TextFormat, TextStyle, Ui, text::LayoutJob};
use serde_json::Value;

use crate::theme::Tokens;

/// Draws the changed strings of a text beside one another, with the strings of other languages as they are.
pub(super) fn show(ui: &mut Ui, changes: &[WordChange], now: Option<&Value>) {
    let unchanged = now.and_then(Value::as_object).into_iter().flatten();
    let unchanged: Vec<(&str, &str)> = unchanged
        .filter(|(tag, _)| !changes.iter().any(|c| c.language == **tag))
        .filter_map(|(tag, string)| Some((tag.as_str(), string.as_str()?)))
        .collect();
    let columns = changes.len() + unchanged.len();
    // Two columns can be read beside each other; of more, each gets the whole width.
    if columns == 2 && ui.available_width() > 300.0 {
        ui.columns(2, |columns| {
            let mut columns = columns.iter_mut();
            for (change, ui) in changes.iter().zip(&mut columns) {
                changed_ui(ui, change);
            }
            for ((tag, string), ui) in unchanged.iter().zip(&mut columns) {
                unchanged_ui(ui, tag, string);
            }
        });
        return;
    }
    for change in changes {
        changed_ui(ui, change);
    }
    for (tag, string) in unchanged {
        unchanged_ui(ui, tag, string);
    }
}

fn changed_ui(ui: &mut Ui, change: &WordChange) {
    ui.label(RichText::new(&change.language).strong().small());
    let job = job(ui, change);
    ui.add(Label::new(job).wrap())
        .accessible_name(spoken(change));
}

fn unchanged_ui(ui: &mut Ui, tag: &str, string: &str) {
    let head = format!("{tag}, unchanged");
    ui.label(RichText::new(head).strong().small());
    let soft = Tokens::of(ui).text_soft;
    ui.add(Label::new(RichText::new(string).color(soft)).wrap());
}

/// The words with their marks.
fn job(ui: &Ui, change: &WordChange) -> LayoutJob {
    let tokens = Tokens::of(ui);
    let font = TextStyle::Body.resolve(ui.style());
    let format = |color: Color32| TextFormat {
        font_id: font.clone(),
        color,
        ..TextFormat::default()
    };
    let mut job = LayoutJob::default();
    for piece in &change.pieces {
        let format = match piece.kind {
            PieceKind::Same => format(tokens.text),
            PieceKind::Removed => TextFormat {
                strikethrough: Stroke::new(1.5, tokens.blocking),
                ..format(tokens.blocking)
            },
            PieceKind::Added => TextFormat {
                underline: Stroke::new(1.5, tokens.good),
                ..format(tokens.good)
            },
        };
        job.append(&piece.text, 0.0, format);
    }
    job
}

/// The words with their marks as they are read aloud.
fn spoken(change: &WordChange) -> String {
    let pieces = change.pieces.iter().map(|piece| match piece.kind {
        PieceKind::Same => piece.text.clone(),
        PieceKind::Removed => format!("[removed: {}]", piece.text),
        PieceKind::Added => format!("[added: {}]", piece.text),
    });
    format!("{}: {}", change.language, pieces.collect::<String>())
}
