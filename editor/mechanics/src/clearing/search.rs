//! The smallest clearance of each part of the body over the whole path.
//!
//! Two kinds of things can be nearest: a corner of the body over a piece of the ground, or a crest
//! of the ground under an edge or corner of the body. Over a stretch of the path such a point strays
//! from a straight way by a bounded amount that falls with the square of the stretch. Along the
//! straight way the smallest distance is at one of its ends. So a stretch that cannot hold anything
//! smaller than what was found is left out for certain; the others are halved. What is left after
//! that is the smallest clearance to within a [`TOLERANCE`].

use super::body::{Underside, upright};
use super::ground::Ground;
use super::motion::{Attitude, Leg, Motion};
use super::plane::distance_to_segment;

/// How much smaller than the clearance found the true one may be, metres.
const TOLERANCE: f64 = 1e-7;

/// No stretch of the path is divided below this, metres: a guard, not a limit of the accuracy.
const SHORTEST: f64 = 2e-5;

/// What is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Task {
    /// A corner of the body over the ground.
    Corner(usize),
    /// A crest of the ground under one part of the body.
    Crest(usize, usize),
}

/// Where a part of the body is nearest to the ground.
#[derive(Debug, Clone, Copy)]
pub(super) struct Found {
    pub(super) clearance: f64,
    pub(super) task: Task,
    pub(super) leg: usize,
    pub(super) s: f64,
}

/// The three things that meet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scene<'a> {
    pub(super) ground: &'a Ground,
    pub(super) underside: &'a Underside,
    pub(super) motion: &'a Motion,
}

impl Scene<'_> {
    /// The clearance of one thing in one attitude; infinity where something else is nearer.
    pub(super) fn clearance(&self, task: Task, attitude: &Attitude) -> f64 {
        match task {
            Task::Corner(index) => {
                self.underside
                    .corners
                    .get(index)
                    .map_or(f64::INFINITY, |(corner, _)| {
                        let point = attitude.of_body(*corner);
                        self.ground.chain.nearest(point, None).distance
                    })
            }
            Task::Crest(index, part) => {
                let Some(crest) = self.ground.chain.crests.get(index) else {
                    return f64::INFINITY;
                };
                let point = attitude.seen_by_body(*crest);
                let to_edge = self.underside.chain.nearest(upright(point), Some(part));
                let to_corner = self.part_corners(part).map(|c| (c - point).length());
                to_corner.fold(to_edge.distance, f64::min)
            }
        }
    }

    /// The clearance of everything in one attitude.
    pub(super) fn least(&self, attitude: &Attitude) -> f64 {
        let tasks = self.tasks();
        let clearances = tasks.iter().map(|task| self.clearance(*task, attitude));
        clearances.fold(f64::INFINITY, f64::min)
    }

    pub(super) fn part(&self, task: Task) -> usize {
        match task {
            Task::Corner(index) => self.underside.corners.get(index).map_or(0, |c| c.1),
            Task::Crest(_, part) => part,
        }
    }

    fn part_corners(&self, part: usize) -> impl Iterator<Item = super::plane::Vector> {
        let corners = self.underside.corners.iter();
        corners.filter(move |c| c.1 == part).map(|c| c.0)
    }

    fn tasks(&self) -> Vec<Task> {
        let corners = (0..self.underside.corners.len()).map(Task::Corner);
        let crests = (0..self.ground.chain.crests.len())
            .flat_map(|crest| (0..3).map(move |part| Task::Crest(crest, part)));
        corners.chain(crests).collect()
    }

    /// Whether a task may come below `floor` somewhere between two places of a leg.
    fn may_come_below(&self, task: Task, floor: f64, leg: &Leg, ends: &[Place; 2]) -> bool {
        let [a, b] = ends;
        let stretch = b.s - a.s;
        match task {
            Task::Corner(index) => {
                let Some((corner, _)) = self.underside.corners.get(index) else {
                    return false;
                };
                let arm = (*corner - a.attitude.origin).length();
                let slack = leg.strays(arm, stretch);
                let (from, to) = (a.attitude.of_body(*corner), b.attitude.of_body(*corner));
                let chain = &self.ground.chain;
                chain.may_come_below(from, to, slack, floor, None)
            }
            Task::Crest(index, part) => {
                let Some(crest) = self.ground.chain.crests.get(index) else {
                    return false;
                };
                let arm = (*crest - a.attitude.centre).length();
                let slack = leg.strays_in_body(arm, stretch);
                let (from, to) = (
                    a.attitude.seen_by_body(*crest),
                    b.attitude.seen_by_body(*crest),
                );
                let chain = &self.underside.chain;
                chain.may_come_below(upright(from), upright(to), slack, floor, Some(part))
                    || self
                        .part_corners(part)
                        .any(|c| distance_to_segment(c, from, to) - slack < floor)
            }
        }
    }

    /// What can be the nearest of all. Where the ground has no crest, every piece of it is a
    /// straight line below the whole body, and only the corners of the convex hull count.
    fn tasks_of_all(&self) -> Vec<Task> {
        if self.ground.chain.crests.is_empty() {
            let hull = self.underside.hull.iter();
            hull.map(|corner| Task::Corner(*corner)).collect()
        } else {
            self.tasks()
        }
    }

    /// Finds the smallest clearance of each part.
    pub(super) fn of_parts(&self) -> [Option<Found>; 3] {
        let mut search = Search::new(*self, f64::INFINITY, self.tasks());
        search.run(false);
        search.found
    }

    /// Finds the smallest clearance of all.
    pub(super) fn tightest(&self) -> Option<Found> {
        let mut search = Search::new(*self, f64::INFINITY, self.tasks_of_all());
        search.whole = true;
        search.run(false);
        let found = search.found.into_iter().flatten();
        found.min_by(|a, b| a.clearance.total_cmp(&b.clearance))
    }

    /// Says whether anything comes below `floor` anywhere.
    pub(super) fn comes_below(&self, floor: f64) -> bool {
        let mut search = Search::new(*self, floor, self.tasks_of_all());
        search.whole = true;
        search.run(true);
        search.found.iter().any(Option::is_some)
    }
}

#[derive(Debug, Clone, Copy)]
struct Place {
    s: f64,
    attitude: Attitude,
}

struct Search<'a> {
    scene: Scene<'a>,
    floors: [f64; 3],
    found: [Option<Found>; 3],
    /// Whether only the smallest of all parts together is sought.
    whole: bool,
    /// Tasks that are still in question, those of each halving on top of those before.
    open: Vec<Task>,
}

impl<'a> Search<'a> {
    fn new(scene: Scene<'a>, floor: f64, open: Vec<Task>) -> Self {
        Self {
            open,
            whole: false,
            scene,
            floors: [floor; 3],
            found: [None; 3],
        }
    }

    /// Searches the whole path; `any` stops at the first thing found.
    fn run(&mut self, any: bool) {
        let motion = self.scene.motion;
        let mut ends = Vec::with_capacity(motion.legs.len());
        let mut before: Option<Place> = None;
        for (index, leg) in motion.legs.iter().enumerate() {
            // One leg ends as the next begins.
            let from = before.unwrap_or_else(|| {
                let place = self.place(leg, leg.from);
                self.look(index, &place, 0);
                place
            });
            let to = self.place(leg, leg.to);
            self.look(index, &to, 0);
            ends.push([from, to]);
            before = Some(to);
        }
        for (index, (leg, pair)) in motion.legs.iter().zip(&ends).enumerate() {
            if any && self.found.iter().any(Option::is_some) {
                return;
            }
            self.halve(index, leg, pair, 0);
        }
    }

    fn place(&self, leg: &Leg, s: f64) -> Place {
        let attitude = self.scene.motion.at(leg, s);
        Place { s, attitude }
    }

    /// Measures the open tasks from `first` on.
    fn look(&mut self, leg: usize, place: &Place, first: usize) {
        for task in self.open.iter().skip(first) {
            let clearance = self.scene.clearance(*task, &place.attitude);
            let part = self.scene.part(*task);
            if let (Some(floor), Some(found)) =
                (self.floors.get_mut(part), self.found.get_mut(part))
                && clearance < *floor
            {
                *floor = clearance;
                *found = Some(Found {
                    clearance,
                    task: *task,
                    leg,
                    s: place.s,
                });
            }
        }
    }

    fn floor(&self, task: Task) -> f64 {
        let part = self.scene.part(task);
        let own = self.floors.get(part).copied();
        let floor = if self.whole {
            self.floors.iter().copied().reduce(f64::min)
        } else {
            own
        };
        floor.unwrap_or(f64::INFINITY) - TOLERANCE
    }

    fn halve(&mut self, index: usize, leg: &Leg, ends: &[Place; 2], first: usize) {
        let [a, b] = ends;
        if b.s - a.s < SHORTEST {
            return;
        }
        let last = self.open.len();
        for position in first..last {
            if let Some(&task) = self.open.get(position)
                && self.scene.may_come_below(task, self.floor(task), leg, ends)
            {
                self.open.push(task);
            }
        }
        if self.open.len() > last {
            let middle = self.place(leg, a.s.midpoint(b.s));
            self.look(index, &middle, last);
            self.halve(index, leg, &[*a, middle], last);
            self.halve(index, leg, &[middle, *b], last);
        }
        self.open.truncate(last);
    }
}
