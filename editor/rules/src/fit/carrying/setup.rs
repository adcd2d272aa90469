//! What is known of truck, deck and vehicle, and the conditions on the placement that follow.

use chockstone_mechanics::{
    carrying::{
        CarryingError, Chassis, Deck, Neighbour, Placements, Side, Standing, Vehicle, WayRound,
    },
    propagation::Tracked,
};
use chockstone_schema::report::{AlsoCarried, Facing, Finding, Reference, Severity, Trust};

use super::known::missing_of;
use crate::fit::{
    Job,
    work::{Gear, Known, missing, refused},
};

/// A truck's axles and ratings, each known or with the sentence that says what is missing.
#[derive(Debug)]
pub(in crate::fit) struct Truck {
    pub(in crate::fit) wheelbase: Known,
    pub(in crate::fit) front_empty: Known,
    pub(in crate::fit) rear_empty: Known,
    pub(in crate::fit) front_rating: Known,
    pub(in crate::fit) rear_rating: Known,
    pub(in crate::fit) gross_rating: Known,
    pub(in crate::fit) steering_share: Known,
}

impl Truck {
    pub(in crate::fit) fn of(job: &mut Job<'_>, gear: Gear<'_>) -> Self {
        let chassis = gear.equipment.chassis.as_ref();
        macro_rules! field {
            ($name:ident, $what:literal) => {
                job.of(
                    &gear,
                    chassis.and_then(|chassis| chassis.$name.as_ref()),
                    $what,
                    concat!("/chassis/", stringify!($name)),
                )
            };
        }
        Self {
            wheelbase: field!(wheelbase, "the truck's wheelbase"),
            front_empty: field!(front_axle_mass, "the truck's empty front axle load"),
            rear_empty: field!(rear_axle_mass, "the truck's empty rear axle load"),
            front_rating: field!(front_gawr, "the truck's front axle rating"),
            rear_rating: field!(rear_gawr, "the truck's rear axle rating"),
            gross_rating: field!(gvwr, "the truck's gross rating"),
            steering_share: field!(steering_share, "the share of load kept for steering"),
        }
    }

    /// The truck as the mechanics take it.
    pub(in crate::fit) fn chassis(&self) -> Chassis {
        let known = |number: &Known| number.as_ref().ok().cloned();
        Chassis {
            wheelbase: known(&self.wheelbase),
            front_empty: known(&self.front_empty),
            rear_empty: known(&self.rear_empty),
            front_rating: known(&self.front_rating),
            rear_rating: known(&self.rear_rating),
            gross_rating: known(&self.gross_rating),
            steering_share: known(&self.steering_share),
        }
    }
}

/// A carrier: its truck and its deck.
#[derive(Debug)]
pub(super) struct Carrier<'a> {
    pub(super) gear: Gear<'a>,
    pub(super) truck: Truck,
    pub(super) front_edge: Known,
    pub(super) length: Known,
    pub(super) overhang_allowed: Known,
    pub(super) capacity: Known,
    pub(super) height: Known,
}

impl<'a> Carrier<'a> {
    pub(super) fn of(job: &mut Job<'_>, gear: Gear<'a>) -> Self {
        let deck = gear.equipment.deck.as_ref();
        macro_rules! field {
            ($name:ident, $what:literal) => {
                job.of(
                    &gear,
                    deck.and_then(|deck| deck.$name.as_ref()),
                    $what,
                    concat!("/deck/", stringify!($name)),
                )
            };
        }
        Self {
            front_edge: field!(front_edge, "the place of the deck's front edge"),
            length: field!(length, "the deck's length"),
            overhang_allowed: field!(
                rear_overhang_allowed,
                "the overhang allowed behind the deck"
            ),
            capacity: field!(capacity, "the deck's capacity"),
            height: field!(height, "the deck's height"),
            truck: Truck::of(job, gear),
            gear,
        }
    }

    fn deck(&self) -> Deck {
        let known = |number: &Known| number.as_ref().ok().cloned();
        Deck {
            front_edge: known(&self.front_edge),
            length: known(&self.length),
            overhang_allowed: known(&self.overhang_allowed),
            capacity: known(&self.capacity),
        }
    }

    /// What every rating needs of the carrier.
    pub(super) fn missing(&self) -> Vec<String> {
        let truck = &self.truck;
        missing_of(&[
            &truck.wheelbase,
            &truck.front_empty,
            &truck.rear_empty,
            &truck.front_rating,
            &truck.rear_rating,
            &truck.gross_rating,
            &truck.steering_share,
            &self.front_edge,
            &self.length,
            &self.overhang_allowed,
            &self.capacity,
        ])
    }
}

/// Why a computation cannot go on.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Problem {
    /// Something is missing: one sentence each.
    Missing(Vec<String>),
    /// The numbers contradict what can be.
    Impossible(CarryingError),
}

impl Problem {
    /// What is missing or impossible, one sentence each.
    pub(super) fn sentences(&self) -> Vec<String> {
        match self {
            Self::Missing(sentences) => sentences.clone(),
            Self::Impossible(error) => refused(error),
        }
    }
}

/// A contradiction in the numbers, with the place to look at first.
pub(super) struct Impossible<'e> {
    error: &'e CarryingError,
}

impl Impossible<'_> {
    /// The finding that stands in place of a number.
    pub(super) fn finding(&self, title: &str) -> Finding {
        let place = match self.error {
            CarryingError::CentreOutsideAxles { .. } => "/mass/readings",
            CarryingError::EdgesInsideAxles { .. } => "/dimensions",
            _ => "",
        };
        Finding {
            check: "fit-carrying-geometry".to_owned(),
            severity: Severity::Blocking,
            place: place.to_owned(),
            message: format!(
                "{title}: nothing can be computed. {}",
                refused(self.error).concat()
            ),
            computed: None,
            limit: None,
            reference: Reference {
                title: "Plain logic".to_owned(),
                trust: Trust::Logic,
            },
            settle: "Correct the numbers, or use a deck that takes the vehicle.".to_owned(),
        }
    }
}

/// The vehicle in its own frame, from its mass, its centre and its ends.
///
/// The ends are those of the dimensions: the front overhang, and from it the length, or else the rear overhang. The side
/// outline stands in for what is not stated.
pub(super) fn vehicle(job: &mut Job<'_>) -> Result<Vehicle, Problem> {
    let mass = job.mass();
    let centre = job.centre_x();
    let wheelbase = match job.view.axles.len() {
        0 | 1 => Err(missing("the vehicle's axles", "/axles")),
        count => job.axle_x(count - 1),
    };
    let (front, rear) = ends(job);
    match (mass, centre, wheelbase, front, rear) {
        (Ok(mass), Ok(centre), Ok(wheelbase), Ok(front), Ok(rear)) => Ok(Vehicle {
            mass,
            centre,
            wheelbase,
            front,
            rear,
        }),
        (mass, centre, wheelbase, front, rear) => Err(Problem::Missing(missing_of(&[
            &mass, &centre, &wheelbase, &front, &rear,
        ]))),
    }
}

/// The vehicle's foremost and rearmost place in its own frame, metres.
pub(in crate::fit) fn ends(job: &mut Job<'_>) -> (Known, Known) {
    let wheelbase = match job.view.axles.len() {
        0 | 1 => Err(missing("the vehicle's axles", "/axles")),
        count => job.axle_x(count - 1),
    };
    let front = front_end(job);
    let rear = rear_end(job, &front, &wheelbase);
    (front, rear)
}

fn front_end(job: &mut Job<'_>) -> Known {
    let pointer = "/dimensions/front_overhang";
    match &job.view.profile.dimensions.front_overhang {
        Some(overhang) => job
            .number(
                pointer,
                "m",
                overhang.si(),
                overhang.plus_minus_si().unwrap_or(0.0),
            )
            .map(|overhang| -overhang),
        None => outline_end(job, true)
            .unwrap_or_else(|| Err(missing("the vehicle's front overhang", pointer))),
    }
}

fn rear_end(job: &mut Job<'_>, front: &Known, wheelbase: &Known) -> Known {
    let dimensions = &job.view.profile.dimensions;
    let view = job.view;
    if let (Some(length), Ok(front), true) =
        (&view.length, front, dimensions.front_overhang.is_some())
    {
        let length = job.own(Some(length), "the vehicle's length", "/dimensions/length")?;
        return Ok(front + length);
    }
    let pointer = "/dimensions/rear_overhang";
    match &dimensions.rear_overhang {
        Some(overhang) => {
            let overhang = job.number(
                pointer,
                "m",
                overhang.si(),
                overhang.plus_minus_si().unwrap_or(0.0),
            )?;
            Ok(wheelbase.clone()? + overhang)
        }
        None => outline_end(job, false)
            .unwrap_or_else(|| Err(missing("the vehicle's rear overhang", pointer))),
    }
}

/// The foremost or rearmost place of the side outline.
fn outline_end(job: &mut Job<'_>, foremost: bool) -> Option<Known> {
    let outline = job.view.side_outline.as_ref()?;
    let xs = outline.value.metres().into_iter().map(|[x, _]| x);
    let end = if foremost {
        xs.fold(f64::INFINITY, f64::min)
    } else {
        xs.fold(f64::NEG_INFINITY, f64::max)
    };
    let which = if foremost { "foremost" } else { "rearmost" };
    let place = format!("{} ({which} corner)", outline.place);
    Some(job.number(&place, "m", end, 0.0))
}

/// The vehicle on one carrier, one way round.
#[derive(Debug)]
pub(super) struct Case {
    pub(super) facing: Facing,
    pub(super) standing: Result<Standing, Problem>,
    pub(super) neighbours: Vec<(String, Neighbour)>,
    pub(super) placements: Result<Placements, Problem>,
    chosen: Option<f64>,
    /// Everything that stands on the deck, kilograms.
    pub(super) on_deck: Known,
}

impl Case {
    pub(super) fn new(
        job: &mut Job<'_>,
        carrier: &Carrier<'_>,
        vehicle: &Result<Vehicle, Problem>,
        facing: Facing,
        chosen: Option<f64>,
    ) -> Self {
        let standing = vehicle
            .clone()
            .and_then(|vehicle| vehicle.standing(way(facing)).map_err(Problem::Impossible));
        let also = neighbours(job, carrier, chosen, standing.as_ref().ok());
        let on_deck = on_deck(job, also.as_ref().ok());
        let placements = match (&standing, &also) {
            (Ok(standing), Ok(also)) => {
                let neighbours: Vec<Neighbour> = also.iter().map(|(_, n)| n.clone()).collect();
                Placements::new(
                    &carrier.truck.chassis(),
                    &carrier.deck(),
                    standing,
                    &neighbours,
                )
                .map_err(Problem::Impossible)
            }
            (Err(problem), _) | (_, Err(problem)) => Err(problem.clone()),
        };
        Self {
            facing,
            standing,
            neighbours: also.unwrap_or_default(),
            placements,
            chosen,
            on_deck,
        }
    }

    /// Where the vehicle stands: as chosen, or the best place to start with.
    pub(super) fn placement(&self) -> Option<f64> {
        let placements = self.placements.as_ref().ok()?;
        Some(self.chosen.unwrap_or_else(|| placements.suggested()))
    }

    /// The contradiction in the numbers, if there is one.
    pub(super) fn impossible(&self) -> Option<Impossible<'_>> {
        let of = |problem: &'_ Problem| matches!(problem, Problem::Impossible(_));
        let problem = self
            .placements
            .as_ref()
            .err()
            .filter(|problem| of(problem))?;
        match problem {
            Problem::Impossible(error) => Some(Impossible { error }),
            Problem::Missing(_) => None,
        }
    }

    /// Whether the deck is too short for the vehicle's axles.
    pub(super) fn deck_is_too_short(&self) -> bool {
        matches!(
            self.placements,
            Err(Problem::Impossible(
                CarryingError::DeckShorterThanWheelbase { .. }
            ))
        )
    }
}

fn way(facing: Facing) -> WayRound {
    match facing {
        Facing::NoseFirst => WayRound::NoseFirst,
        Facing::TailFirst => WayRound::TailFirst,
    }
}

fn on_deck(job: &Job<'_>, also: Option<&Vec<(String, Neighbour)>>) -> Known {
    let own = job.mass()?;
    let Some(also) = also else {
        return Err(vec![
            "What else stands on the deck is not known.".to_owned(),
        ]);
    };
    let others = also.iter().map(|(_, neighbour)| &neighbour.mass);
    Ok(Tracked::sum(others.chain([&own])))
}

/// The other vehicles on the deck, as the conditions take them.
fn neighbours(
    job: &mut Job<'_>,
    carrier: &Carrier<'_>,
    chosen: Option<f64>,
    standing: Option<&Standing>,
) -> Result<Vec<(String, Neighbour)>, Problem> {
    let middle = match (chosen, standing, &carrier.length) {
        (Some(s), Some(standing), _) => s + standing.length.value() / 2.0,
        (_, _, Ok(length)) => length.value() / 2.0,
        _ => 0.0,
    };
    let also = job.choices.also.clone();
    also.iter()
        .map(|other| Ok((other.profile.clone(), neighbour(job, other, middle)?)))
        .collect()
}

fn neighbour(job: &mut Job<'_>, also: &AlsoCarried, middle: f64) -> Result<Neighbour, Problem> {
    let id = &also.profile;
    let found = job.others.iter().find(|other| {
        other.profile().id.as_str() == id && other.variant() == also.variant.as_deref()
    });
    let Some(other) = found else {
        let sentence =
            format!("The other vehicle on the deck: {id} is not among the profiles given.");
        return Err(Problem::Missing(vec![sentence]));
    };
    // The other vehicle's numbers belong to its own computation: they enter this one as inputs.
    let choices = job.choices;
    let mut its_job = Job::new(&other.view, &other.computed, &[], &[], choices);
    let its = vehicle(&mut its_job)?
        .standing(way(also.facing))
        .map_err(Problem::Impossible)?;
    let mut input = |what: &str, unit, number: &Tracked, from: f64| {
        // The place on the deck is part of the name: the same model may stand there twice.
        let place = format!(
            "{what} of {id}, {}, placed at {} m",
            super::words_for(also.facing),
            also.placement
        );
        job.number(&place, unit, from + number.value(), 2.0 * number.u())
            .map_err(Problem::Missing)
    };
    let its_middle = also.placement + its.length.value() / 2.0;
    let (side, edge) = if its_middle < middle {
        (Side::TowardCab, its.length.clone())
    } else {
        (Side::TowardTail, Tracked::exact(0.0))
    };
    Ok(Neighbour {
        mass: input("mass", "kg", &its.mass, 0.0)?,
        centre: input("centre of gravity", "m", &its.centre, also.placement)?,
        edge: input("edge", "m", &edge, also.placement)?,
        side,
    })
}
