//! Every rule, one a file, and the table that lists them.

use crate::checks::Rule;
#[cfg(test)]
use crate::testing::Case;

mod prelude;

mod alert_symbol;
mod all_orange;
mod curb_mass_and_gvwr;
mod damaged_cells_clause;
mod few_disconnects;
mod glove_class_text;
mod hazard_message;
mod insulation;
mod jump_start;
mod key_distance;
mod lift_polygon;
mod loop_wording;
mod motor_statements;
mod points_in_zones;
mod post_crash_limits;
mod restraint_wait;
mod rules_contradict;
mod salt_water;
mod securing;
mod signal_words;
mod signs;
mod storage_distance;
mod storage_inside;
mod turning_drive_axle;
mod voltage_class;
mod work_under;

/// Every rule, file by file.
pub(crate) static RULES: &[&[Rule]] = &[
    alert_symbol::RULES,
    all_orange::RULES,
    curb_mass_and_gvwr::RULES,
    damaged_cells_clause::RULES,
    few_disconnects::RULES,
    glove_class_text::RULES,
    hazard_message::RULES,
    insulation::RULES,
    jump_start::RULES,
    key_distance::RULES,
    lift_polygon::RULES,
    loop_wording::RULES,
    motor_statements::RULES,
    points_in_zones::RULES,
    post_crash_limits::RULES,
    restraint_wait::RULES,
    rules_contradict::RULES,
    salt_water::RULES,
    securing::RULES,
    signal_words::RULES,
    signs::RULES,
    storage_distance::RULES,
    storage_inside::RULES,
    turning_drive_axle::RULES,
    voltage_class::RULES,
    work_under::RULES,
];

/// The rows that every rule is tested by.
#[cfg(test)]
pub(crate) static CASES: &[&[Case]] = &[
    alert_symbol::CASES,
    all_orange::CASES,
    curb_mass_and_gvwr::CASES,
    damaged_cells_clause::CASES,
    few_disconnects::CASES,
    glove_class_text::CASES,
    hazard_message::CASES,
    insulation::CASES,
    jump_start::CASES,
    key_distance::CASES,
    lift_polygon::CASES,
    loop_wording::CASES,
    motor_statements::CASES,
    points_in_zones::CASES,
    post_crash_limits::CASES,
    restraint_wait::CASES,
    rules_contradict::CASES,
    salt_water::CASES,
    securing::CASES,
    signal_words::CASES,
    signs::CASES,
    storage_distance::CASES,
    storage_inside::CASES,
    turning_drive_axle::CASES,
    voltage_class::CASES,
    work_under::CASES,
];
