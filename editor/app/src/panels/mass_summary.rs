//! Mass, centre of gravity and axle shares, with their doubt, and how each was worked out.

use chockstone_schema::report::{Estimate, MassResult};
use egui::{Grid, RichText, Ui};

use crate::{figures, theme::Tokens, widgets::UnitSystem};

/// Draws the result of one variant.
pub fn show(ui: &mut Ui, result: &MassResult, system: UnitSystem) {
    let tokens = Tokens::of(ui);
    let rows = rows(result);
    ui.label(RichText::new(format!("From {}", result.basis)).color(tokens.text_soft));
    if !rows.is_empty() {
        Grid::new(("mass summary", &result.variant))
            .num_columns(2)
            .spacing([16.0, 6.0])
            .show(ui, |ui| {
                for (label, estimate) in &rows {
                    ui.label(label);
                    let text = figures::estimate(estimate, system);
                    ui.label(RichText::new(text).strong())
                        .on_hover_text(&estimate.formula);
                    ui.end_row();
                }
            });
        ui.collapsing("How it was worked out", |ui| workings(ui, &rows));
    }
    for sentence in &result.not_known {
        ui.label(RichText::new(format!("Not known: {sentence}")).color(tokens.warning));
    }
}

type Row<'r> = (String, &'r Estimate);

fn row<'r>(label: &str, estimate: Option<&'r Estimate>) -> Option<Row<'r>> {
    estimate.map(|e| (label.to_owned(), e))
}

fn rows(result: &MassResult) -> Vec<Row<'_>> {
    let mut rows: Vec<Row<'_>> = row("Mass", result.mass.as_ref()).into_iter().collect();
    for axle in &result.axles {
        rows.push((format!("Axle {}", axle.axle), &axle.load));
        rows.push((format!("Share of axle {}", axle.axle), &axle.part));
    }
    rows.extend(row(
        "Centre of gravity behind the front axle",
        result.centre_x.as_ref(),
    ));
    rows.extend(row(
        "Centre of gravity right of the middle",
        result.centre_y.as_ref(),
    ));
    rows.extend(row(
        "Centre of gravity above the ground",
        result.centre_z.as_ref(),
    ));
    rows
}

fn workings(ui: &mut Ui, rows: &[Row<'_>]) {
    let tokens = Tokens::of(ui);
    for (label, estimate) in rows {
        ui.label(RichText::new(label).strong());
        ui.label(&estimate.formula);
        for share in estimate.doubt_from.iter().take(4) {
            let text = format!(
                "{:.0} % of the uncertainty from {}",
                share.part * 100.0,
                share.input
            );
            ui.label(RichText::new(text).color(tokens.text_soft));
        }
        ui.add_space(4.0);
    }
}
