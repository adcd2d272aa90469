//! What the checks say of a part and no row of it tells.

use chockstone_schema::report::Finding;
use egui::Ui;

use crate::{
    form::{self, Form},
    pointer,
};

/// Draws the findings within a place that stand beside none of the fields drawn, nor at the place itself.
pub(super) fn show(ui: &mut Ui, form: &Form<'_>, place: &str, drawn: &[String]) {
    let told_elsewhere = |finding: &&Finding| {
        finding.place == place
            || drawn
                .iter()
                .any(|field| pointer::is_within(&finding.place, field))
    };
    let rest: Vec<&Finding> = form
        .findings(place, true)
        .filter(|finding| !told_elsewhere(finding))
        .collect();
    for finding in rest {
        form::finding_ui(ui, finding);
    }
}
