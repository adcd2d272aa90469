//! A vehicle on a carrier's deck: which way round, and every rating as a condition on its placement.

use super::chassis::{Chassis, Deck};
use super::condition::{Condition, Judgement, Line, Rating, Sense, Unknown};
use super::error::{CarryingError, Field, both, check_finite, check_positive, need};
use super::window::{self, Shut, Window};
use crate::propagation::Tracked;
use crate::verdict::Verdict;

/// Which end of the vehicle stands toward the cab.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WayRound {
    /// Its nose.
    NoseFirst,
    /// Its tail.
    TailFirst,
}

/// A vehicle in its own frame: origin under its front axle, x rearward. Kilograms and metres.
#[derive(Debug, Clone, PartialEq)]
pub struct Vehicle {
    /// Its mass.
    pub mass: Tracked,
    /// Its centre of gravity behind its front axle.
    pub centre: Tracked,
    /// Its rearmost axle behind its front axle.
    pub wheelbase: Tracked,
    /// Its foremost edge behind its front axle, so usually negative.
    pub front: Tracked,
    /// Its rearmost edge behind its front axle.
    pub rear: Tracked,
}

/// A vehicle as it stands, from its edge toward the cab rearward. Kilograms and metres.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// Its mass.
    pub mass: Tracked,
    /// Its centre of gravity behind that edge.
    pub centre: Tracked,
    /// The tyres nearest the cab, behind that edge.
    pub first_tyres: Tracked,
    /// The tyres nearest the tail, behind that edge.
    pub last_tyres: Tracked,
    /// Its far edge behind that edge.
    pub length: Tracked,
}

/// On which side of the vehicle another one stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// Between the vehicle and the cab.
    TowardCab,
    /// Between the vehicle and the tail.
    TowardTail,
}

/// Another vehicle that already stands on the same deck. Kilograms and metres.
#[derive(Debug, Clone, PartialEq)]
pub struct Neighbour {
    /// Its mass.
    pub mass: Tracked,
    /// Its centre of gravity behind the deck's front edge.
    pub centre: Tracked,
    /// Its edge that faces the vehicle, behind the deck's front edge.
    pub edge: Tracked,
    /// Where it stands.
    pub side: Side,
}

impl Vehicle {
    /// Turns the vehicle the given way round.
    ///
    /// # Errors
    /// A mass or wheelbase that is not more than zero, a centre of gravity outside the axles, edges that
    /// do not enclose the axles, and anything that is not finite.
    pub fn standing(&self, way: WayRound) -> Result<Standing, CarryingError> {
        self.check()?;
        let length = &self.rear - &self.front;
        let mass = self.mass.clone();
        Ok(match way {
            WayRound::NoseFirst => Standing {
                mass,
                centre: &self.centre - &self.front,
                first_tyres: -&self.front,
                last_tyres: &self.wheelbase - &self.front,
                length,
            },
            WayRound::TailFirst => Standing {
                mass,
                centre: &self.rear - &self.centre,
                first_tyres: &self.rear - &self.wheelbase,
                last_tyres: self.rear.clone(),
                length,
            },
        })
    }

    fn check(&self) -> Result<(), CarryingError> {
        check_positive(&self.mass, Field::VehicleMass)?;
        check_positive(&self.wheelbase, Field::VehicleWheelbase)?;
        check_finite(&self.centre, Field::VehicleCentre)?;
        check_finite(&self.front, Field::VehicleFront)?;
        check_finite(&self.rear, Field::VehicleRear)?;
        let wheelbase = self.wheelbase.value();
        let centre = self.centre.value();
        if centre < 0.0 || centre > wheelbase {
            return Err(CarryingError::CentreOutsideAxles { centre, wheelbase });
        }
        let (front, rear) = (self.front.value(), self.rear.value());
        if front > 0.0 || rear < wheelbase {
            return Err(CarryingError::EdgesInsideAxles {
                front,
                rear,
                wheelbase,
            });
        }
        Ok(())
    }
}

/// Every rating of a carrier with a vehicle on its deck, as conditions on the placement s.
///
/// s is the distance of the vehicle's edge toward the cab behind the deck's front edge, metres.
#[derive(Debug, Clone, PartialEq)]
pub struct Placements {
    conditions: Vec<Condition>,
    unknown: Vec<Unknown>,
    front: Option<Line>,
    rear: Option<Line>,
}

impl Placements {
    /// Sets up the conditions from what is known; what is not makes its ratings unknown.
    ///
    /// # Errors
    /// What [`Chassis::check`] and [`Deck::check`] refuse, a neighbour's mass that is not more than zero,
    /// and a deck that is shorter than the vehicle's wheelbase.
    pub fn new(
        chassis: &Chassis,
        deck: &Deck,
        vehicle: &Standing,
        neighbours: &[Neighbour],
    ) -> Result<Self, CarryingError> {
        chassis.check()?;
        deck.check()?;
        check_neighbours(neighbours)?;
        check_deck_takes_wheels(deck, vehicle)?;
        let setting = Setting {
            chassis,
            deck,
            vehicle,
            neighbours,
        };
        let (front, rear) = (setting.front_line(), setting.rear_line());
        let mut placements = Self {
            conditions: Vec::new(),
            unknown: Vec::new(),
            front: front.clone().ok(),
            rear: rear.clone().ok(),
        };
        setting.axle_ratings(&front, &rear, &mut placements);
        setting.weights(&mut placements);
        setting.deck_ends(&mut placements);
        setting.neighbours(&mut placements);
        Ok(placements)
    }

    /// Returns the ratings that can be judged.
    pub fn conditions(&self) -> &[Condition] {
        &self.conditions
    }

    /// Returns the ratings that cannot be judged, with what is missing.
    pub fn unknown(&self) -> &[Unknown] {
        &self.unknown
    }

    /// Computes the front axle's load at a placement, kilograms, where it is known.
    pub fn front_load(&self, s: f64) -> Option<Tracked> {
        self.front.as_ref().map(|line| line.at(s))
    }

    /// Computes the rear axle's load at a placement, kilograms, where it is known.
    pub fn rear_load(&self, s: f64) -> Option<Tracked> {
        self.rear.as_ref().map(|line| line.at(s))
    }

    /// Judges every rating at a placement.
    pub fn at(&self, s: f64) -> Vec<Judgement> {
        let known = self.conditions.iter().map(|condition| condition.at(s));
        known
            .chain(self.unknown.iter().map(Unknown::judgement))
            .collect()
    }

    /// Returns the placements at which every known rating is kept at its best estimate.
    ///
    /// # Errors
    /// The ratings that leave no such placement.
    pub fn window(&self) -> Result<Window, Shut> {
        window::window(&self.conditions)
    }

    /// Returns the placements at which every known rating is kept with twice its uncertainty to spare.
    ///
    /// # Errors
    /// The ratings that leave no such placement.
    pub fn sure_window(&self) -> Result<Window, Shut> {
        window::sure_window(&self.conditions)
    }

    /// Returns the verdict on the best placement there is.
    ///
    /// Within: a placement surely keeps every rating. Beyond: none can, even with every number at its
    /// kindest end. Not known: a rating cannot be judged and those that can do not forbid it.
    pub fn best_verdict(&self) -> Verdict {
        if window::beyond_everywhere(&self.conditions) {
            Verdict::Beyond
        } else if !self.unknown.is_empty() {
            Verdict::NotKnown
        } else if self.sure_window().is_ok() {
            Verdict::Within
        } else {
            Verdict::TooCloseToCall
        }
    }

    /// Returns the placement to start with: the middle of the sure window, else of the window, else the
    /// deck's front edge.
    pub fn suggested(&self) -> f64 {
        let middle = |window: Result<Window, Shut>| window.ok().and_then(|window| window.middle());
        middle(self.sure_window())
            .or_else(|| middle(self.window()))
            .unwrap_or(0.0)
    }

    fn add(&mut self, rating: Rating, parts: Result<(Line, Tracked, Sense), Vec<Field>>) {
        match parts {
            Ok((value, limit, sense)) => self.conditions.push(Condition {
                rating,
                value,
                limit,
                sense,
            }),
            Err(missing) => self.unknown.push(Unknown { rating, missing }),
        }
    }
}

/// What the conditions are made from.
struct Setting<'a> {
    chassis: &'a Chassis,
    deck: &'a Deck,
    vehicle: &'a Standing,
    neighbours: &'a [Neighbour],
}

impl Setting<'_> {
    /// Rear axle load: R₀ + Σ m·X / WB with X = e + centre, growing by m / WB for each metre.
    fn rear_line(&self) -> Result<Line, Vec<Field>> {
        let chassis = self.chassis;
        let truck = both(
            need(Field::Wheelbase, chassis.wheelbase.as_ref()),
            need(Field::RearEmpty, chassis.rear_empty.as_ref()),
        );
        let edge = need(Field::DeckFront, self.deck.front_edge.as_ref());
        let ((wheelbase, empty), edge) = both(truck, edge)?;
        let own = &self.vehicle.mass * (edge + &self.vehicle.centre);
        let moment = self.neighbours.iter().fold(own, |sum, neighbour| {
            sum + &neighbour.mass * (edge + &neighbour.centre)
        });
        Ok(Line {
            start: empty + moment / wheelbase,
            slope: &self.vehicle.mass / wheelbase,
        })
    }

    /// Front axle load: the gross weight less the rear axle load.
    fn front_line(&self) -> Result<Line, Vec<Field>> {
        let (rear, gross) = both(self.rear_line(), self.gross())?;
        Ok(Line {
            start: gross - rear.start,
            slope: -rear.slope,
        })
    }

    fn gross(&self) -> Result<Tracked, Vec<Field>> {
        let chassis = self.chassis;
        let (front, rear) = both(
            need(Field::FrontEmpty, chassis.front_empty.as_ref()),
            need(Field::RearEmpty, chassis.rear_empty.as_ref()),
        )?;
        Ok(front + rear + self.on_deck())
    }

    fn on_deck(&self) -> Tracked {
        let masses = self.neighbours.iter().map(|neighbour| &neighbour.mass);
        Tracked::sum(masses.chain([&self.vehicle.mass]))
    }

    fn axle_ratings(
        &self,
        front: &Result<Line, Vec<Field>>,
        rear: &Result<Line, Vec<Field>>,
        placements: &mut Placements,
    ) {
        let chassis = self.chassis;
        let at_most = |line: &Result<Line, Vec<Field>>, limit: Result<&Tracked, Vec<Field>>| {
            both(line.clone(), limit).map(|(line, limit)| (line, limit.clone(), Sense::AtMost))
        };
        let rating = need(Field::FrontRating, chassis.front_rating.as_ref());
        placements.add(Rating::FrontAxle, at_most(front, rating));
        let rating = need(Field::RearRating, chassis.rear_rating.as_ref());
        placements.add(Rating::RearAxle, at_most(rear, rating));
        let kept = both(
            need(Field::FrontEmpty, chassis.front_empty.as_ref()),
            need(Field::SteeringShare, chassis.steering_share.as_ref()),
        );
        let steering = both(front.clone(), kept)
            .map(|(line, (empty, share))| (line, empty * share, Sense::AtLeast));
        placements.add(Rating::Steering, steering);
        let on_road = front
            .clone()
            .map(|line| (line, Tracked::exact(0.0), Sense::AtLeast));
        placements.add(Rating::FrontOnRoad, on_road);
    }

    fn weights(&self, placements: &mut Placements) {
        let constant =
            |value: Tracked, limit: &Tracked| (Line::constant(value), limit.clone(), Sense::AtMost);
        let rating = need(Field::GrossRating, self.chassis.gross_rating.as_ref());
        let gross = both(self.gross(), rating).map(|(gross, rating)| constant(gross, rating));
        placements.add(Rating::Gross, gross);
        let capacity = need(Field::DeckCapacity, self.deck.capacity.as_ref());
        let load = capacity.map(|capacity| constant(self.on_deck(), capacity));
        placements.add(Rating::DeckCapacity, load);
    }

    fn deck_ends(&self, placements: &mut Placements) {
        let zero = || Tracked::exact(0.0);
        let vehicle = self.vehicle;
        let front = (Line::moving(zero()), zero(), Sense::AtLeast);
        placements.add(Rating::DeckFront, Ok(front));
        let first = Line::moving(vehicle.first_tyres.clone());
        placements.add(Rating::FirstTyres, Ok((first, zero(), Sense::AtLeast)));
        let length = need(Field::DeckLength, self.deck.length.as_ref());
        let last = length.clone().map(|length| {
            let tyres = Line::moving(vehicle.last_tyres.clone());
            (tyres, length.clone(), Sense::AtMost)
        });
        placements.add(Rating::LastTyres, last);
        let allowed = need(Field::OverhangAllowed, self.deck.overhang_allowed.as_ref());
        let overhang = both(length, allowed).map(|(length, allowed)| {
            let overhang = Line::moving(&vehicle.length - length);
            (overhang, allowed.clone(), Sense::AtMost)
        });
        placements.add(Rating::RearOverhang, overhang);
    }

    fn neighbours(&self, placements: &mut Placements) {
        for (index, neighbour) in self.neighbours.iter().enumerate() {
            let edge = neighbour.edge.clone();
            let (rating, value, sense) = match neighbour.side {
                Side::TowardCab => (
                    Rating::BehindNeighbour(index),
                    Tracked::exact(0.0),
                    Sense::AtLeast,
                ),
                Side::TowardTail => (
                    Rating::AheadOfNeighbour(index),
                    self.vehicle.length.clone(),
                    Sense::AtMost,
                ),
            };
            placements.add(rating, Ok((Line::moving(value), edge, sense)));
        }
    }
}

fn check_neighbours(neighbours: &[Neighbour]) -> Result<(), CarryingError> {
    for (index, neighbour) in neighbours.iter().enumerate() {
        check_positive(&neighbour.mass, Field::NeighbourLoad(index))?;
        check_finite(&neighbour.centre, Field::NeighbourLoad(index))?;
        check_finite(&neighbour.edge, Field::NeighbourEdge(index))?;
    }
    Ok(())
}

fn check_deck_takes_wheels(deck: &Deck, vehicle: &Standing) -> Result<(), CarryingError> {
    let wheelbase = vehicle.last_tyres.value() - vehicle.first_tyres.value();
    match deck.length.as_ref().map(Tracked::value) {
        Some(deck) if deck < wheelbase => {
            Err(CarryingError::DeckShorterThanWheelbase { deck, wheelbase })
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests;
