//! Mass, centre of gravity and axle shares, with their doubt, and how each was worked out.

use chockstone_schema::report::{Estimate, MassResult};
use egui::{Grid, RichText, Ui};

use crate::{theme::Tokens, widgets::UnitSystem};

/// What a figure measures, for showing it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figure {
    /// A mass, kept in kg.
    Mass,
    /// A length, kept in m.
    Length,
    /// A part of a whole.
    Share,
}

impl Figure {
    /// Unit symbol, factor from SI and decimals.
    fn unit(self, system: UnitSystem) -> (&'static str, f64, usize) {
        match (self, system) {
            (Self::Mass, UnitSystem::UsCustomary) => ("lb", 1.0 / 0.453_592_37, 0),
            (Self::Mass, _) => ("kg", 1.0, 1),
            (Self::Length, UnitSystem::UsCustomary) => ("in", 1.0 / 0.0254, 2),
            (Self::Length, _) => ("mm", 1000.0, 0),
            (Self::Share, _) => ("%", 100.0, 1),
        }
    }

    /// The figure with its ± and unit, as a person reads it; in both families where none was chosen.
    pub fn text(self, estimate: &Estimate, system: UnitSystem) -> String {
        if system == UnitSystem::AsEntered && self != Self::Share {
            let us = self.text(estimate, UnitSystem::UsCustomary);
            return format!("{}  =  {us}", self.text(estimate, UnitSystem::Si));
        }
        let (unit, factor, decimals) = self.unit(system);
        let value = estimate.value * factor;
        match estimate.plus_minus {
            Some(plus_minus) => {
                format!(
                    "{value:.decimals$} ± {:.decimals$} {unit}",
                    plus_minus * factor
                )
            }
            None => format!("{value:.decimals$} {unit}, uncertainty not stated"),
        }
    }
}

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
                for (label, estimate, figure) in &rows {
                    ui.label(label);
                    let text = figure.text(estimate, system);
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

type Row<'r> = (String, &'r Estimate, Figure);

fn row<'r>(label: &str, estimate: Option<&'r Estimate>, figure: Figure) -> Option<Row<'r>> {
    estimate.map(|e| (label.to_owned(), e, figure))
}

fn rows(result: &MassResult) -> Vec<Row<'_>> {
    let mut rows: Vec<Row<'_>> = row("Mass", result.mass.as_ref(), Figure::Mass)
        .into_iter()
        .collect();
    for axle in &result.axles {
        rows.push((format!("Axle {}", axle.axle), &axle.load, Figure::Mass));
        rows.push((
            format!("Share of axle {}", axle.axle),
            &axle.part,
            Figure::Share,
        ));
    }
    rows.extend(row(
        "Centre of gravity behind the front axle",
        result.centre_x.as_ref(),
        Figure::Length,
    ));
    rows.extend(row(
        "Centre of gravity right of the middle",
        result.centre_y.as_ref(),
        Figure::Length,
    ));
    rows.extend(row(
        "Centre of gravity above the ground",
        result.centre_z.as_ref(),
        Figure::Length,
    ));
    rows
}

fn workings(ui: &mut Ui, rows: &[Row<'_>]) {
    let tokens = Tokens::of(ui);
    for (label, estimate, _) in rows {
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

#[cfg(test)]
mod tests {
    use super::*;

    fn estimate(value: f64, plus_minus: Option<f64>) -> Estimate {
        Estimate {
            value,
            plus_minus,
            unit: "kg".into(),
            formula: "sum".into(),
            doubt_from: Vec::new(),
        }
    }

    #[test]
    fn a_figure_has_its_doubt_and_its_unit() {
        let mass = estimate(3229.6, Some(4.2));
        assert_eq!(Figure::Mass.text(&mass, UnitSystem::Si), "3229.6 ± 4.2 kg");
        // 1 lb = 0.45359237 kg (international yard and pound agreement of 1959).
        assert_eq!(
            Figure::Mass.text(&mass, UnitSystem::AsEntered),
            "3229.6 ± 4.2 kg  =  7120 ± 9 lb"
        );
        assert_eq!(
            Figure::Mass.text(&mass, UnitSystem::UsCustomary),
            "7120 ± 9 lb"
        );
        assert_eq!(
            Figure::Length.text(&estimate(1.5, None), UnitSystem::Si),
            "1500 mm, uncertainty not stated"
        );
        assert_eq!(
            Figure::Share.text(&estimate(0.503, Some(0.001)), UnitSystem::Si),
            "50.3 ± 0.1 %"
        );
    }
}
