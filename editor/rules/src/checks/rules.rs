//! Every rule, one a file, and the table that lists them.

use crate::checks::Rule;
#[cfg(test)]
use crate::testing::Case;

mod prelude;

mod alert_symbol;
mod all_orange;
mod axle_ratings;
mod centre_height;
mod centre_place;
mod curb_mass_and_gvwr;
mod damaged_cells_clause;
mod debts;
pub(crate) mod equipment_gloves;
mod equipment_ratings;
mod equipment_sources;
mod few_disconnects;
mod fluoride;
mod glove_class_text;
mod hazard_message;
mod inlets;
mod insulation;
mod jump_start;
mod key_distance;
mod languages;
mod length_sum;
mod lift_polygon;
mod loop_wording;
mod mirrored_points;
mod missing;
mod missing_advice;
mod motor_statements;
mod neutral_under_control;
mod outlines;
mod point_uses;
mod points_in_zones;
mod points_outside;
mod post_crash_limits;
mod procedure_parts;
mod restraint_wait;
mod reviews;
mod rules_contradict;
mod salt_water;
mod scale_readings;
mod securing;
mod signal_words;
mod signs;
mod source_records;
mod step_conditions;
mod storage_distance;
mod storage_inside;
mod timed_holds;
mod to_confirm;
mod turning_drive_axle;
mod usual_ranges;
mod value_sources;
mod variant_weighings;
mod variants;
mod voltage_class;
mod weight_class;
mod work_under;

/// Every rule, file by file.
pub(crate) static RULES: &[&[Rule]] = &[
    alert_symbol::RULES,
    all_orange::RULES,
    axle_ratings::RULES,
    centre_height::RULES,
    centre_place::RULES,
    curb_mass_and_gvwr::RULES,
    damaged_cells_clause::RULES,
    debts::RULES,
    equipment_gloves::RULES,
    equipment_ratings::RULES,
    equipment_sources::RULES,
    few_disconnects::RULES,
    fluoride::RULES,
    glove_class_text::RULES,
    hazard_message::RULES,
    inlets::RULES,
    insulation::RULES,
    jump_start::RULES,
    key_distance::RULES,
    languages::RULES,
    length_sum::RULES,
    lift_polygon::RULES,
    loop_wording::RULES,
    mirrored_points::RULES,
    missing::RULES,
    missing_advice::RULES,
    motor_statements::RULES,
    neutral_under_control::RULES,
    outlines::RULES,
    point_uses::RULES,
    points_in_zones::RULES,
    points_outside::RULES,
    post_crash_limits::RULES,
    procedure_parts::RULES,
    restraint_wait::RULES,
    reviews::RULES,
    rules_contradict::RULES,
    salt_water::RULES,
    scale_readings::RULES,
    securing::RULES,
    signal_words::RULES,
    signs::RULES,
    source_records::RULES,
    step_conditions::RULES,
    storage_distance::RULES,
    storage_inside::RULES,
    timed_holds::RULES,
    to_confirm::RULES,
    turning_drive_axle::RULES,
    usual_ranges::RULES,
    value_sources::RULES,
    variant_weighings::RULES,
    variants::RULES,
    voltage_class::RULES,
    weight_class::RULES,
    work_under::RULES,
];

/// The rows that every rule is tested by.
#[cfg(test)]
pub(crate) static CASES: &[&[Case]] = &[
    alert_symbol::CASES,
    all_orange::CASES,
    axle_ratings::CASES,
    centre_height::CASES,
    centre_place::CASES,
    curb_mass_and_gvwr::CASES,
    damaged_cells_clause::CASES,
    debts::CASES,
    equipment_gloves::CASES,
    equipment_ratings::CASES,
    equipment_sources::CASES,
    few_disconnects::CASES,
    fluoride::CASES,
    glove_class_text::CASES,
    hazard_message::CASES,
    inlets::CASES,
    insulation::CASES,
    jump_start::CASES,
    key_distance::CASES,
    languages::CASES,
    length_sum::CASES,
    lift_polygon::CASES,
    loop_wording::CASES,
    mirrored_points::CASES,
    missing::CASES,
    missing_advice::CASES,
    motor_statements::CASES,
    neutral_under_control::CASES,
    outlines::CASES,
    point_uses::CASES,
    points_in_zones::CASES,
    points_outside::CASES,
    post_crash_limits::CASES,
    procedure_parts::CASES,
    restraint_wait::CASES,
    reviews::CASES,
    rules_contradict::CASES,
    salt_water::CASES,
    scale_readings::CASES,
    securing::CASES,
    signal_words::CASES,
    signs::CASES,
    source_records::CASES,
    step_conditions::CASES,
    storage_distance::CASES,
    storage_inside::CASES,
    timed_holds::CASES,
    to_confirm::CASES,
    turning_drive_axle::CASES,
    usual_ranges::CASES,
    value_sources::CASES,
    variant_weighings::CASES,
    variants::CASES,
    voltage_class::CASES,
    weight_class::CASES,
    work_under::CASES,
];
