//! What goes up, and over what: fields turned into the inputs of the mechanics.

use chockstone_mechanics::{
    clearing::{LaidRamp, Tail, Vehicle, Way, Wheel},
    propagation::Tracked,
};

use super::super::work::{Gear, Job, Known, missing};

/// The vehicle without anything under its wheels.
pub(super) type Body = Vehicle;

/// One way of going up a deck: what raises the wheels, and the way itself.
pub(super) struct Means {
    /// What raises the vehicle or eases the ramp, in words.
    pub(super) words: Option<String>,
    raise: Known,
    way: Result<Way, Vec<String>>,
}

/// The vehicle's outline, axles and tyres.
pub(super) fn body(job: &mut Job<'_>) -> Result<Body, Vec<String>> {
    let view = job.view;
    let outline = view
        .side_outline
        .as_ref()
        .map(|at| at.value.metres())
        .ok_or_else(|| missing("the side outline", "/dimensions/side_outline"));
    let Some(last) = view.axles.len().checked_sub(1).filter(|last| *last > 0) else {
        let mut sentences = vec!["The vehicle needs two axles: see /axles.".to_owned()];
        sentences.extend(outline.err().unwrap_or_default());
        return Err(sentences);
    };
    let front = wheel(job, 0);
    let rear = wheel(job, last);
    let outline_error = outline_error(job);
    match (outline, front, rear, outline_error) {
        (Ok(outline), Ok(front), Ok(rear), Ok(outline_error)) => Ok(Vehicle {
            outline,
            outline_error,
            front,
            rear,
        }),
        (outline, front, rear, error) => Err([outline.err(), front.err(), rear.err(), error.err()]
            .into_iter()
            .flatten()
            .flatten()
            .collect()),
    }
}

fn wheel(job: &mut Job<'_>, index: usize) -> Result<Wheel, Vec<String>> {
    let x = job.axle_x(index);
    let view = job.view;
    let tyre = view.axles.get(index).and_then(|axle| axle.tyre.as_ref());
    let radius = tyre.and_then(|tyre| {
        Some(crate::view::At {
            value: tyre.value.static_loaded_radius.as_ref()?,
            place: format!("{}/static_loaded_radius", tyre.place),
        })
    });
    let pointer = format!("/axles/{index}/tyre/static_loaded_radius");
    let radius = job.own(radius.as_ref(), "the tyre's static loaded radius", &pointer);
    match (x, radius) {
        (Ok(x), Ok(radius)) => Ok(Wheel {
            x,
            radius,
            raise: Tracked::exact(0.0),
        }),
        (x, radius) => Err([x, radius]
            .into_iter()
            .filter_map(Result::err)
            .flatten()
            .collect()),
    }
}

/// How much further out the body may be than its outline: zero, with the uncertainty of the ground clearance.
fn outline_error(job: &mut Job<'_>) -> Known {
    let clearance = job.view.ground_clearance.as_ref();
    let stated = clearance.and_then(|at| Some((at.value.plus_minus_si()?, at.place.clone())));
    match stated {
        Some((half, place)) => {
            let place = format!("{place}/plus_minus for the side outline");
            job.number(&place, "m", 0.0, half)
        }
        None => Ok(Tracked::exact(0.0)),
    }
}

/// Every way of going up one deck: plain, on each set of skates, over blocks of the height chosen.
pub(super) fn means(job: &mut Job<'_>, carrier: Gear<'_>) -> Vec<Means> {
    let way = way(job, carrier);
    let mut all = vec![Means {
        words: None,
        raise: Ok(Tracked::exact(0.0)),
        way: way.clone(),
    }];
    let gear = job.gear.clone();
    let needed = 2 * job.view.axles.len();
    for skates in &gear {
        let Some(field) = &skates.equipment.skates else {
            continue;
        };
        if usize::from(field.count) < needed {
            continue;
        }
        let thickness = field.thickness.as_ref();
        all.push(Means {
            words: Some(format!("a skate under every wheel ({})", skates.id())),
            raise: job.of(
                skates,
                thickness,
                "the skates' thickness",
                "/skates/thickness",
            ),
            way: way.clone(),
        });
    }
    if let (Some(height), Ok(plain)) = (job.choices.block_height, &way)
        && let Some(laid) = laid_ramp(plain, height)
    {
        all.push(Means {
            words: Some(format!(
                "a ramp {:.0} mm high laid at the foot, sloped at {:.1}°",
                height * 1000.0,
                laid.slope.to_degrees()
            )),
            raise: Ok(Tracked::exact(0.0)),
            way: Ok(Way {
                laid: Some(laid),
                ..plain.clone()
            }),
        });
    }
    all
}

/// A ramp or blocks from the ground to where tail or deck is as high, at half the slope there: it divides the dip in two
/// equal ones. Where that would not reach out before the foot it is a little flatter than the way as a whole.
fn laid_ramp(way: &Way, height: f64) -> Option<LaidRamp> {
    let tail = way.tail.as_ref();
    let (length, angle) = tail.map_or((0.0, 0.0), |t| (t.length.value(), t.angle.value()));
    let (rise, run) = (length * angle.sin(), length * angle.cos());
    let tilt = way.tilt.value();
    let (reached, ends_on) = if height <= rise {
        (height / angle.tan(), angle)
    } else {
        (run + (height - rise) / tilt.tan(), tilt)
    };
    let whole = (height / reached).atan();
    let slope = (ends_on / 2.0).min(0.9 * whole);
    (height > 0.0 && slope > 0.0).then_some(LaidRamp {
        height,
        slope,
        top: 0.0,
    })
}

fn way(job: &mut Job<'_>, carrier: Gear<'_>) -> Result<Way, Vec<String>> {
    let Some(deck) = &carrier.equipment.deck else {
        return Err(missing("the deck", &carrier.place("/deck")));
    };
    let tilt = job.of(
        &carrier,
        deck.tilt_angle.as_ref(),
        "the deck's angle when it is tilted",
        "/deck/tilt_angle",
    );
    let tail = tail(job, carrier);
    let length = deck.length.as_ref().map(|length| length.value.si());
    match (tilt, tail) {
        (Ok(tilt), Ok(tail)) => Ok(Way {
            laid: None,
            tail,
            tilt,
            deck_length: length,
            level_after: None,
        }),
        (tilt, tail) => Err([tilt.err(), tail.err()]
            .into_iter()
            .flatten()
            .flatten()
            .collect()),
    }
}

/// The tail ramp; a deck that states neither length nor angle of one has none.
fn tail(job: &mut Job<'_>, carrier: Gear<'_>) -> Result<Option<Tail>, Vec<String>> {
    let Some(deck) = &carrier.equipment.deck else {
        return Ok(None);
    };
    let length = deck.tail_length.as_ref();
    let none = length.map_or(deck.tail_angle.is_none(), |length| length.value.si() <= 0.0);
    if none {
        return Ok(None);
    }
    let length = job.of(
        &carrier,
        length,
        "the tail ramp's length",
        "/deck/tail_length",
    );
    let angle = deck.tail_angle.as_ref();
    let angle = job.of(&carrier, angle, "the tail ramp's angle", "/deck/tail_angle");
    match (length, angle) {
        (Ok(length), Ok(angle)) => Ok(Some(Tail { length, angle })),
        (length, angle) => Err([length, angle]
            .into_iter()
            .filter_map(Result::err)
            .flatten()
            .collect()),
    }
}

/// The vehicle as it goes up, and its way.
pub(super) fn vehicle_on(
    body: &Result<Body, Vec<String>>,
    means: &Means,
) -> Result<(Vehicle, Way), Vec<String>> {
    match (body, &means.raise, &means.way) {
        (Ok(body), Ok(raise), Ok(way)) => {
            let mut vehicle = body.clone();
            vehicle.front.raise = raise.clone();
            vehicle.rear.raise = raise.clone();
            Ok((vehicle, way.clone()))
        }
        (body, raise, way) => Err([
            body.as_ref().err(),
            raise.as_ref().err(),
            way.as_ref().err(),
        ]
        .into_iter()
        .flatten()
        .flatten()
        .cloned()
        .collect()),
    }
}
