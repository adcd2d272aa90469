//! What was found, in words and as a drawing.

use chockstone_mechanics::clearing::{
    Against, BodyPart, Clearing, ClearingError, Direction, Standing, Tightest, Vehicle,
};
use chockstone_schema::report::{Facing, TightestSpot};

pub(super) fn facing(facing: Facing) -> &'static str {
    match facing {
        Facing::NoseFirst => "nose first",
        Facing::TailFirst => "tail first",
    }
}

/// The name and the label of the row of one part of the body.
pub(super) fn part_row(part: BodyPart) -> (&'static str, &'static str) {
    match part {
        BodyPart::FrontOverhang => ("front-overhang", "clearance of the front overhang"),
        BodyPart::Belly => ("belly", "clearance between the axles"),
        BodyPart::RearOverhang => ("rear-overhang", "clearance of the rear overhang"),
    }
}

/// What the mechanics refused, as a sentence.
pub(super) fn sentence(error: &ClearingError) -> Vec<String> {
    vec![format!("Impossible: {error}.")]
}

/// The tightest place with all that a drawing of it needs.
pub(super) fn tightest(vehicle: &Vehicle, clearing: &Clearing) -> Option<TightestSpot> {
    let tightest = clearing.tightest()?;
    let course = &clearing.course;
    let pose = course.pose_at(tightest.place.travel)?;
    let corners = vehicle.outline.iter();
    let reach = corners.fold(0.0, |most: f64, corner| most.max(corner[0].abs()));
    let (_, last) = course.range();
    let wheel = |[x, z]: [f64; 2], radius: f64| [x, z, radius];
    Some(TightestSpot {
        x: tightest.spot[0],
        z: tightest.spot[1],
        along: tightest.place.travel,
        what: what(tightest, clearing.direction),
        outline: vehicle
            .outline
            .iter()
            .map(|corner| pose.of_vehicle(*corner))
            .collect(),
        wheels: vec![
            wheel(pose.front, vehicle.front.radius.value()),
            wheel(pose.rear, vehicle.rear.radius.value()),
        ],
        ground: course.ground(2.0 * reach, last.max(1.0)),
        spot: pose.of_vehicle(tightest.spot),
    })
}

/// "the belly over the edge between …, front wheels on …, rear wheels on …".
fn what(tightest: &Tightest, direction: Direction) -> String {
    let against = match tightest.against {
        Against::Surface(surface) => surface.name().to_owned(),
        Against::Edge(a, b) => format!("the edge between {} and {}", a.name(), b.name()),
    };
    let place = &tightest.place;
    let (front, rear) = match direction {
        Direction::NoseFirst => (place.leading, place.trailing),
        Direction::TailFirst => (place.trailing, place.leading),
    };
    format!(
        "{} over {against}, front wheels {}, rear wheels {}",
        tightest.part.name(),
        standing(front),
        standing(rear)
    )
}

fn standing(standing: Standing) -> String {
    match standing {
        Standing::On(surface) => format!("on {}", surface.name()),
        Standing::Between(a, b) => format!("where {} meets {}", a.name(), b.name()),
    }
}
