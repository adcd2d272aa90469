//! What the ways give for vehicles that can be worked out by hand, and what is refused.

use super::*;

#[test]
fn level_ground_gives_the_ground_clearance() {
    let car = crate_on_wheels(0.8, 0.9, 0.16, 2.8);
    for direction in Direction::BOTH {
        let clearing = clear(&car, &deck(0.0), direction).unwrap();
        for part in &clearing.parts {
            close(part.clearance.value(), 0.16, 1e-9);
        }
        let parts: Vec<_> = clearing.parts.iter().map(|p| p.part).collect();
        assert_eq!(parts, BodyPart::ALL);
    }
}

/// A wheel in the dip touches both surfaces, so the nose stands over the deck as if it were level
/// ground turned by the tilt about the wheel's centre. Arithmetic from the geometry, no citation.
#[test]
fn a_nose_in_the_dip_is_where_geometry_puts_it() {
    let car = crate_on_wheels(0.9, 0.1, 0.25, 2.8);
    let tilt = degrees(10.0);
    let nose = [0.9f64, 0.25 - 0.32];
    let expected = 0.32 + nose[1] * tilt.cos() - nose[0] * tilt.sin();
    let clearing = clear(&car, &deck(10.0), Direction::NoseFirst).unwrap();
    let tightest = clearing.tightest().unwrap();
    close(tightest.clearance.value(), expected, 1e-9);
    close(tightest.spot[0], -0.9, 1e-12);
    close(tightest.spot[1], 0.25, 1e-12);
    assert_eq!(tightest.against, Against::Surface(Surface::Deck));
    let dip = Standing::Between(Surface::Ground, Surface::Deck);
    assert_eq!(tightest.place.leading, dip);
    assert_eq!(tightest.place.trailing, Standing::On(Surface::Ground));
    // The dip holds the wheel's centre short of the foot.
    close(tightest.place.travel, -0.32 * (tilt / 2.0).tan(), 1e-9);
}

#[test]
fn a_long_tail_drags_on_the_ground_when_the_nose_goes_up() {
    let car = crate_on_wheels(0.1, 1.6, 0.25, 2.8);
    let clearing = clear(&car, &deck(12.0), Direction::NoseFirst).unwrap();
    let tightest = clearing.tightest().unwrap();
    assert_eq!(tightest.part, BodyPart::RearOverhang);
    assert_eq!(tightest.against, Against::Surface(Surface::Ground));
    assert!(tightest.clearance.value() < 0.05);
}

#[test]
fn a_gentler_tail_ramp_helps_the_nose() {
    let car = crate_on_wheels(1.0, 0.3, 0.2, 2.8);
    let bare = least(&car, &deck(12.0), Direction::NoseFirst);
    let tail = with_tail(deck(12.0), 0.9, 5.0);
    assert!(least(&car, &tail, Direction::NoseFirst) > bare + 0.01);
}

#[test]
fn skates_and_laid_ramps_help_the_nose() {
    let car = crate_on_wheels(1.0, 0.3, 0.2, 2.8);
    let bare = least(&car, &deck(12.0), Direction::NoseFirst);
    let mut raised = car.clone();
    raised.front.raise = exact(0.03);
    raised.rear.raise = exact(0.03);
    let with_skates = least(&raised, &deck(12.0), Direction::NoseFirst);
    assert!(with_skates > bare + 0.02 && with_skates < bare + 0.04);
    let way = Way {
        laid: Some(LaidRamp {
            height: 0.1,
            slope: degrees(5.0),
            top: 0.3,
        }),
        ..deck(12.0)
    };
    assert!(least(&car, &way, Direction::NoseFirst) > bare + 0.02);
}

#[test]
fn a_raised_front_alone_lifts_the_nose_and_lowers_the_tail() {
    let mut car = crate_on_wheels(0.9, 0.9, 0.2, 2.8);
    car.front.raise = exact(0.05);
    let clearing = clear(&car, &deck(0.0), Direction::NoseFirst).unwrap();
    assert!(clearing.parts[0].clearance.value() > 0.25);
    assert!(clearing.parts[2].clearance.value() < 0.2);
}

#[test]
fn a_deck_that_ends_early_ends_the_path_there() {
    let car = crate_on_wheels(0.3, 1.6, 0.25, 2.8);
    let short = Way {
        deck_length: Some(1.0),
        ..deck(12.0)
    };
    let course = Course::new(&car, &short, Direction::NoseFirst).unwrap();
    let (_, last) = course.range();
    let pose = course.pose_at(last).unwrap();
    let end = [12f64.to_radians().cos(), 12f64.to_radians().sin()];
    let off = (pose.front[0] - end[0]).hypot(pose.front[1] - end[1]);
    close(off, 0.32, 1e-9);
    let whole = least(&car, &deck(12.0), Direction::NoseFirst);
    assert!(least(&car, &short, Direction::NoseFirst) > whole);
}

#[test]
fn poses_keep_wheelbase_and_radius() {
    let mut car = crate_on_wheels(0.9, 1.1, 0.2, 2.8);
    car.rear.radius = exact(0.36);
    let way = with_tail(ramp_and_level(14.0, 6.0), 0.8, 5.0);
    for direction in Direction::BOTH {
        let course = Course::new(&car, &way, direction).unwrap();
        let ground = oracle::ground(&course);
        let (first, last) = course.range();
        for step in 0..200 {
            let travel = first + (last - first) * f64::from(step) / 199.0;
            let pose = course.pose_at(travel).unwrap();
            for (x, radius, centre) in [(0.0, 0.32, pose.front), (2.8, 0.36, pose.rear)] {
                let there = pose.of_vehicle([x, radius]);
                close(there[0], centre[0], 1e-9);
                close(there[1], centre[1], 1e-9);
                close(oracle::to_ground(centre, &ground), radius, 1e-9);
            }
        }
    }
}

#[test]
fn a_hump_too_short_for_the_wheel_is_rolled_over() {
    let car = crate_on_wheels(0.5, 0.5, 0.3, 2.8);
    let way = Way {
        laid: Some(LaidRamp {
            height: 0.03,
            slope: degrees(60.0),
            top: 0.25,
        }),
        ..deck(10.0)
    };
    let course = Course::new(&car, &way, Direction::NoseFirst).unwrap();
    let ground = oracle::ground(&course);
    let (first, last) = course.range();
    for step in 0..2000 {
        let travel = first + (last - first) * f64::from(step) / 1999.0;
        let pose = course.pose_at(travel).unwrap();
        close(oracle::to_ground(pose.front, &ground), 0.32, 1e-9);
        close(oracle::to_ground(pose.rear, &ground), 0.32, 1e-9);
    }
}

#[track_caller]
fn refused(vehicle: &Vehicle, way: &Way, expected: &str) {
    let error = clear(vehicle, way, Direction::NoseFirst).unwrap_err();
    assert!(error.to_string().contains(expected), "{error}");
}

#[test]
fn what_cannot_be_is_refused_by_name() {
    let car = crate_on_wheels(0.5, 0.5, 0.2, 2.8);
    let with = |change: &dyn Fn(&mut Vehicle)| {
        let mut changed = car.clone();
        change(&mut changed);
        changed
    };
    let way = deck(10.0);
    refused(
        &with(&|c| c.front.radius = exact(0.0)),
        &way,
        "radius of the front wheels",
    );
    refused(
        &with(&|c| c.rear.radius = exact(f64::NAN)),
        &way,
        "radius of the rear wheels",
    );
    refused(
        &with(&|c| c.rear.raise = exact(-0.1)),
        &way,
        "raise of a wheel",
    );
    refused(
        &with(&|c| c.rear.x = exact(-1.0)),
        &way,
        "does not lie behind",
    );
    refused(
        &with(&|c| c.rear.x = exact(f64::INFINITY)),
        &way,
        "not a finite number",
    );
    refused(
        &with(&|c| c.outline.truncate(2)),
        &way,
        "three or more corners",
    );
    refused(
        &with(&|c| c.outline[0][1] = f64::NAN),
        &way,
        "three or more corners",
    );
    refused(
        &with(&|c| c.outline_error = exact(f64::NAN)),
        &way,
        "uncertainty of the outline",
    );
    refused(&car, &deck(-1.0), "too steep");
    refused(&car, &deck(95.0), "too steep");
    refused(&car, &deck(f64::NAN), "too steep");
    refused(&car, &with_tail(deck(10.0), 0.0, 5.0), "length of the tail");
    let laid = |height: f64, slope: f64, top: f64, way: Way| Way {
        laid: Some(LaidRamp { height, slope, top }),
        ..way
    };
    refused(
        &car,
        &laid(0.1, 0.1, 0.2, deck(0.0)),
        "does not rise so far",
    );
    refused(
        &car,
        &laid(0.1, 0.5, 0.0, deck(10.0)),
        "give its top a length",
    );
    refused(
        &car,
        &laid(-0.1, 0.5, 0.0, deck(10.0)),
        "height of the laid ramp",
    );
    refused(&car, &laid(0.1, 0.5, f64::NAN, deck(10.0)), "top");
    let endless = Way {
        level_after: Some(5.0),
        ..deck(10.0)
    };
    refused(&car, &endless, "needs the deck's length");
    assert!(matches!(
        tyre_tangent(&exact(0.1), &exact(0.3), &exact(0.32)),
        Err(ClearingError::PointInWheel { .. })
    ));
    assert!(bed_angle(&exact(2.0), &exact(1.0)).is_err());
}

#[test]
fn the_steepest_deck_behind_a_laid_ramp_begins_where_the_ramp_can_lie() {
    let car = crate_on_wheels(1.0, 0.3, 0.2, 2.8);
    let way = Way {
        laid: Some(LaidRamp {
            height: 0.08,
            slope: degrees(5.0),
            top: 0.9,
        }),
        ..deck(8.0)
    };
    let steepest = |way: &Way| match steepest_tilt(&car, way, Direction::NoseFirst, 0.0).unwrap() {
        Steepest::Angle { angle, .. } => angle.value().to_degrees(),
        other => panic!("{other:?}"),
    };
    let angle = steepest(&way);
    let at = |tilt: f64| {
        let tilted = Way {
            tilt: exact(degrees(tilt)),
            ..way.clone()
        };
        least(&car, &tilted, Direction::NoseFirst)
    };
    close(at(angle), 0.0, 1e-6);
    assert!(angle > steepest(&deck(8.0)) && at(angle - 1.0) > 0.0 && at(angle + 1.0) < 0.0);
}

#[test]
fn a_vehicle_on_the_ground_never_clears_and_a_high_one_always_does() {
    let steepest = |car: &Vehicle| steepest_tilt(car, &deck(0.0), Direction::NoseFirst, 0.0);
    let low = crate_on_wheels(0.5, 0.5, -0.01, 2.8);
    assert_eq!(steepest(&low), Ok(Steepest::Never));
    let high = crate_on_wheels(0.1, 0.1, 1.4, 2.8);
    let found = steepest(&high).unwrap();
    assert!(matches!(found, Steepest::BeyondSearch { tried } if tried > degrees(40.0)));
}
