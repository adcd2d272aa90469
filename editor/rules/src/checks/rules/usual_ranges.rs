//! Values outside what open vehicle data shows, or memory has, for light vehicles: warnings, never more.
//!
//! EPA test cars 2022, an open model file, NHTSA vPIC, all computed from the data; track, width and low voltage from memory.

use super::prelude::*;
use chockstone_schema::model::identity::BodyStyle;

pub(super) static RULES: &[Rule] = &[
    profile(
        "mass-unusual",
        "A curb mass outside 900 to 4,200 kg on a light vehicle.",
        Warning,
        VEHICLE_DATA,
        mass,
    ),
    profile(
        "wheelbase-unusual",
        "A wheelbase outside 1.8 to 4.0 m on a light vehicle.",
        Warning,
        VEHICLE_DATA,
        wheelbase,
    ),
    profile(
        "pack-energy-unusual",
        "A pack outside 5 to 250 kWh on a light vehicle.",
        Warning,
        VEHICLE_DATA,
        energy,
    ),
    profile(
        "pack-voltage-unusual",
        "A pack voltage outside 60 to 1,000 V.",
        Warning,
        VEHICLE_DATA,
        voltage,
    ),
    profile(
        "track-unusual",
        "A track outside 1.2 to 2.0 m on a light vehicle.",
        Warning,
        MEMORY_RANGE,
        track,
    ),
    profile(
        "width-unusual",
        "A width above 2.6 m.",
        Warning,
        MEMORY_RANGE,
        width,
    ),
    profile(
        "low-voltage-unusual",
        "A low voltage outside 9 to 60 V.",
        Warning,
        MEMORY_RANGE,
        low_voltage,
    ),
    profile(
        "radius-below-clearance",
        "A wheel radius that is not above the ground clearance.",
        Warning,
        PRACTICE,
        radius,
    ),
];

fn is_light(ctx: &Context<'_>) -> bool {
    !matches!(
        ctx.profile.identity.body_style,
        BodyStyle::Bus | BodyStyle::BoxTruck | BodyStyle::ChassisCab
    )
}

struct Figure<'a> {
    place: String,
    si: f64,
    shown: String,
    what: &'a str,
}

fn outside(figure: &Figure<'_>, (low, high): (f64, f64), limit: &str, found: &mut Findings) {
    if figure.si < low - 1e-9 || figure.si > high + 1e-9 {
        found
            .add(
                &figure.place,
                format!("The {} is unusual.", figure.what),
                "Look at number and unit in the source.",
            )
            .computed(&figure.shown)
            .limit(limit);
    }
}

macro_rules! judge {
    ($found:ident, $at:expr, $what:literal, $range:expr, $limit:literal) => {
        if let Some(at) = $at {
            let figure = Figure {
                place: at.number(),
                si: at.si(),
                shown: at.value.value.to_string(),
                what: $what,
            };
            outside(&figure, $range, $limit, $found);
        }
    };
}

fn mass(ctx: &Context<'_>, found: &mut Findings) {
    for view in ctx.views.iter().filter(|_| is_light(ctx)) {
        judge!(
            found,
            &view.curb_mass,
            "curb mass",
            (900.0, 4200.0),
            "900 to 4,200 kg"
        );
    }
}

fn wheelbase(ctx: &Context<'_>, found: &mut Findings) {
    for view in ctx.views.iter().filter(|_| is_light(ctx)) {
        judge!(
            found,
            &view.wheelbase,
            "wheelbase",
            (1.8, 4.0),
            "1.8 to 4.0 m"
        );
    }
}

fn energy(ctx: &Context<'_>, found: &mut Findings) {
    for view in ctx.views.iter().filter(|_| is_light(ctx)) {
        judge!(
            found,
            &view.capacity,
            "energy of the pack",
            (5.0 * 3.6e6, 250.0 * 3.6e6),
            "5 to 250 kWh"
        );
    }
}

fn voltage(ctx: &Context<'_>, found: &mut Findings) {
    for view in &ctx.views {
        judge!(
            found,
            &view.working_voltage,
            "working voltage",
            (60.0, 1000.0),
            "60 to 1,000 V"
        );
        judge!(
            found,
            &view.maximum_voltage,
            "maximum voltage",
            (60.0, 1000.0),
            "60 to 1,000 V"
        );
    }
}

fn track(ctx: &Context<'_>, found: &mut Findings) {
    for axle in ctx
        .views
        .iter()
        .filter(|_| is_light(ctx))
        .flat_map(|v| &v.axles)
    {
        judge!(found, &axle.track, "track", (1.2, 2.0), "1.2 to 2.0 m");
    }
}

fn width(ctx: &Context<'_>, found: &mut Findings) {
    for view in &ctx.views {
        judge!(found, &view.width, "width", (0.0, 2.6), "2.6 m");
    }
}

fn low_voltage(ctx: &Context<'_>, found: &mut Findings) {
    let voltage = ctx
        .profile
        .energy
        .low_voltage
        .as_ref()
        .and_then(|l| l.voltage.as_ref());
    let at = voltage.map(|value| At {
        value,
        place: "/energy/low_voltage/voltage".to_owned(),
    });
    judge!(found, &at, "low voltage", (9.0, 60.0), "9 to 60 V");
}

fn radius(ctx: &Context<'_>, found: &mut Findings) {
    for view in &ctx.views {
        for axle in &view.axles {
            let tyre = axle.tyre.as_ref();
            let radius = tyre.and_then(|t| t.value.static_loaded_radius.as_ref());
            let (Some(tyre), Some(radius), Some(clearance)) =
                (tyre, radius, &view.ground_clearance)
            else {
                continue;
            };
            if radius.si() <= clearance.si() {
                found
                    .add(
                        format!("{}/static_loaded_radius/value", tyre.place),
                        "The wheel's radius is not above the ground clearance.",
                        "Look at both figures and their units.",
                    )
                    .computed(radius.value.to_string())
                    .limit(clearance.value.value.to_string());
            }
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "mass-unusual",
        "700 kg",
        r#"{"/mass/curb_mass/value": [700, "kg"]}"#,
        "/mass/curb_mass/value",
    ),
    pass(
        "mass-unusual",
        "4,200 kg",
        r#"{"/mass/curb_mass/value": [4200, "kg"]}"#,
    ),
    fail(
        "wheelbase-unusual",
        "4.5 m",
        r#"{"/dimensions/wheelbase/value": [4.5, "m"]}"#,
        "/dimensions/wheelbase/value",
    ),
    pass(
        "wheelbase-unusual",
        "4.5 m on a bus",
        r#"{"/dimensions/wheelbase/value": [4.5, "m"], "/identity/body_style": "bus"}"#,
    ),
    fail(
        "pack-energy-unusual",
        "600 kWh",
        r#"{"/energy/high_voltage/capacity/value": [600, "kWh"]}"#,
        "/energy/high_voltage/capacity/value",
    ),
    pass(
        "pack-energy-unusual",
        "16 kWh",
        r#"{"/energy/high_voltage/capacity/value": [16, "kWh"]}"#,
    ),
    fail(
        "pack-voltage-unusual",
        "1,200 V",
        r#"{"/energy/high_voltage/maximum_voltage/value": [1200, "V"]}"#,
        "/energy/high_voltage/maximum_voltage/value",
    ),
    pass(
        "pack-voltage-unusual",
        "800 V",
        r#"{"/energy/high_voltage/maximum_voltage/value": [800, "V"]}"#,
    ),
    fail(
        "track-unusual",
        "160 mm",
        r#"{"/axles/0/track/value": [160, "mm"]}"#,
        "/axles/0/track/value",
    ),
    pass("track-unusual", "1.6 m", "{}"),
    fail(
        "width-unusual",
        "2.7 m",
        r#"{"/dimensions/width/value": [2.7, "m"]}"#,
        "/dimensions/width/value",
    ),
    pass("width-unusual", "1.9 m", "{}"),
    fail(
        "low-voltage-unusual",
        "120 V",
        r#"{"/energy/low_voltage/voltage/value": [120, "V"]}"#,
        "/energy/low_voltage/voltage/value",
    ),
    pass(
        "low-voltage-unusual",
        "48 V",
        r#"{"/energy/low_voltage/voltage/value": [48, "V"]}"#,
    ),
    fail(
        "radius-below-clearance",
        "a radius of 190 mm",
        r#"{"/axles/0/tyre/static_loaded_radius/value": [190, "mm"]}"#,
        "/axles/0/tyre/static_loaded_radius/value",
    ),
    pass("radius-below-clearance", "a radius of 320 mm", "{}"),
];
