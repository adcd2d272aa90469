//! Insulating gloves against the vehicle's voltage.

use chockstone_schema::report::{FitTopic, Judged, Verdict};

use super::{
    Job, answer,
    work::{Gear, Known, missing},
    worst,
};
use crate::checks::{
    references::{GLOVE_CLASSES, LOGIC},
    rules::equipment_gloves::limits,
};

const POINTER: &str = "/energy/high_voltage/maximum_voltage";

/// The gloves given, against the highest voltage of the vehicle.
///
/// A vehicle without a high-voltage system asks for none.
pub(crate) fn fit(job: &mut Job<'_>) -> Vec<Judged> {
    if job.view.profile.energy.high_voltage.is_none() {
        return Vec::new();
    }
    let gear: Vec<Gear<'_>> = job.gear.clone();
    let rows: Vec<Judged> = gear
        .iter()
        .filter_map(|gear| {
            let class = gear.equipment.gloves.as_ref()?.class;
            let (_, direct) = limits(class);
            Some(row(job, *gear, f64::from(direct)))
        })
        .collect();
    if !rows.is_empty() {
        let verdict = worst(rows.iter().filter_map(|row| row.verdict));
        let sentence = match verdict {
            Verdict::Within => "The gloves are of a class for the vehicle's highest voltage.",
            Verdict::Beyond => "The vehicle's highest voltage is beyond the class of the gloves.",
            Verdict::TooCloseToCall => "The voltage is too close to the limit of the gloves.",
            Verdict::NotKnown => "The vehicle's highest voltage is not known.",
        };
        job.topics
            .push(answer(FitTopic::Protection, verdict, sentence));
    }
    rows
}

fn row(job: &mut Job<'_>, gear: Gear<'_>, direct: f64) -> Judged {
    let place = gear.place("/gloves/class");
    let limit = job.number(&place, "V", direct, 0.0);
    let voltage = voltage(job);
    job.row(
        "glove-voltage",
        format!(
            "Highest voltage of the vehicle (DC) for the gloves {}",
            gear.id()
        ),
        &voltage,
        "V",
        "the highest voltage stated, against the direct voltage of the gloves' class",
        LOGIC,
    )
    .at_most(&limit, GLOVE_CLASSES.0)
}

fn voltage(job: &mut Job<'_>) -> Known {
    let view = job.view;
    match &view.maximum_voltage {
        Some(field) => job.own(Some(field), "the vehicle's highest voltage", &field.place),
        None => Err(missing("the vehicle's highest voltage", POINTER)),
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use chockstone_schema::{
        model::equipment::GloveClass,
        report::{FitChoices, FitReport},
    };

    use super::*;
    use crate::{fit::Vehicle, testing};

    fn with(class: GloveClass, voltage: bool) -> FitReport {
        let mut profile = testing::sound_profile();
        if !voltage {
            let energy = profile.energy.high_voltage.as_mut().unwrap();
            energy.maximum_voltage = None;
            for variant in &mut profile.variants {
                if let Some(energy) = &mut variant.energy {
                    energy.maximum_voltage = None;
                }
            }
        }
        let mut gloves = testing::sound_equipment();
        gloves.gloves.as_mut().unwrap().class = class;
        Vehicle::new(&profile, None).fit(&[&gloves], &[], &FitChoices::default())
    }

    /// ASTM D120 by trade tables: class 0 is for up to 1,500 V DC; class 00 up to 750 V DC, from memory.
    #[test]
    fn class_0_is_enough_for_the_sound_vehicle() {
        let report = with(GloveClass::Class0, true);
        assert_eq!(report.protection.len(), 1);
        assert_eq!(report.protection[0].verdict, Some(Verdict::Within));
        let limit = report.protection[0].limit.as_ref().unwrap();
        assert_eq!(limit.at_most, Some(1500.0));
    }

    #[test]
    fn a_voltage_that_is_not_stated_is_named() {
        let report = with(GloveClass::Class0, false);
        assert_eq!(report.protection[0].verdict, Some(Verdict::NotKnown));
        assert!(report.protection[0].not_known[0].contains(POINTER));
    }

    #[test]
    fn a_vehicle_without_high_voltage_asks_for_none() {
        let mut profile = testing::sound_profile();
        profile.energy.high_voltage = None;
        let gloves = testing::sound_equipment();
        let report = Vehicle::new(&profile, None).fit(&[&gloves], &[], &FitChoices::default());
        assert!(report.protection.is_empty());
    }
}
