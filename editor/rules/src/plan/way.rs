//! Telling a way: its steps with their times, what each changes, what runs out, and what is owed at the end.

use chockstone_schema::{
    Profile,
    id::{DebtRef, HazardRef, PointRef},
    model::procedure::{Procedure, Step},
    report::{HazardCount, HoldLine, PartKind, Verdict, Way, WayPart, WayStep},
};

use super::{
    actions::{Action, Origin},
    general_acts::GeneralAct,
    goals::GoalCode,
    names::{both, fact_text},
    search::Found,
    state::{IDLE, Set, State, bits},
    world::{StepCode, World},
};

/// Tells the way that these actions make from a start; none when it cannot be done as it stands, or misses the goal.
pub(crate) fn tell(
    world: &World<'_>,
    actions: &[Action<'_>],
    found: &Found,
    start: &State,
    goal: &GoalCode,
) -> Option<Way> {
    let mut telling = Telling {
        world,
        state: start.clone(),
        time: 0,
        slowest: 0,
        running: vec![None; world.timed.len()],
        way: empty(),
    };
    let order = facts_first(world, actions, found, start, goal)?;
    for action in order.iter().filter_map(|i| actions.get(*i)) {
        telling.part(action);
    }
    Some(telling.end(goal))
}

/// The same actions with the facts as early as they can be: what must be brought is brought before the work begins.
fn facts_first(
    world: &World<'_>,
    actions: &[Action<'_>],
    found: &Found,
    start: &State,
    goal: &GoalCode,
) -> Option<Found> {
    let leads = |order: &Found| {
        let mut state = start.clone();
        let mut order = order.iter().filter_map(|i| actions.get(*i));
        order.all(|action| action.carry_out(world, &mut state)) && goal.reached(world, &state)
    };
    let mut order = found.clone();
    let is_fact = |i: usize| actions.get(i).is_some_and(Action::is_fact);
    let mut front = 0;
    for place in 0..order.len() {
        if !order.get(place).is_some_and(|i| is_fact(*i)) {
            continue;
        }
        let earlier = (front..place).find_map(|to| {
            let mut other = order.clone();
            other.get_mut(to..=place)?.rotate_right(1);
            leads(&other).then_some((to, other))
        });
        if let Some((to, other)) = earlier {
            order = other;
            front = to + 1;
        } else {
            front = place + 1;
        }
    }
    leads(&order).then_some(order)
}

fn empty() -> Way {
    Way {
        seconds: 0.0,
        slowest: 0.0,
        untimed_steps: 0,
        steps: 0,
        hazards: HazardCount::default(),
        parts: Vec::new(),
        holds: Vec::new(),
        debts: Vec::new(),
        end: Vec::new(),
    }
}

/// A hold that is running.
#[derive(Clone, Debug)]
struct Running {
    line: HoldLine,
    untimed_before: usize,
    untimed_when_needed: usize,
}

struct Telling<'w, 'p> {
    world: &'w World<'p>,
    state: State,
    time: u64,
    slowest: u64,
    running: Vec<Option<Running>>,
    way: Way,
}

impl Telling<'_, '_> {
    fn part(&mut self, action: &Action<'_>) {
        let profile = self.world.profile;
        let part = match action.origin {
            Origin::Procedure(index, procedure) => self.procedure(index, procedure, action),
            Origin::General(act) => self.general(act, action),
            Origin::Fact { bit, must_hold } => {
                let id = self.world.id(bit);
                action.carry_out(self.world, &mut self.state);
                part(PartKind::Fact, id, fact_text(profile, id, must_hold))
            }
        };
        let count = &mut self.way.hazards;
        count.danger += action.hazards.danger;
        count.warning += action.hazards.warning;
        count.caution += action.hazards.caution;
        count.notice += action.hazards.notice;
        self.way.steps += part.steps.len();
        self.way.parts.push(part);
    }

    fn procedure(&mut self, index: usize, procedure: &Procedure, action: &Action<'_>) -> WayPart {
        let mut told = part(
            PartKind::Procedure,
            procedure.id.as_str(),
            procedure.name.clone(),
        );
        told.place = Some(format!("/procedures/{index}"));
        told.to_confirm = procedure.to_confirm == Some(true);
        told.hazards = strings(&procedure.hazards, HazardRef::as_str);
        for ((j, step), code) in procedure.steps.iter().enumerate().zip(&action.steps) {
            let place = format!("/procedures/{index}/steps/{j}");
            let timed = step.time.is_some() || code.time > 0;
            let mut line = self.step(code, timed, |profile, bit| {
                hold_words(profile, step, &place, bit)
            });
            step.id.as_str().clone_into(&mut line.id);
            line.text = step.text.clone();
            line.place = Some(place);
            line.tools.clone_from(&step.tools);
            line.cautions.clone_from(&step.cautions);
            line.points = strings(&step.points, PointRef::as_str);
            line.hazards = strings(&step.hazards, HazardRef::as_str);
            line.opens = strings(&step.opens, DebtRef::as_str);
            line.settles = strings(&step.settles, DebtRef::as_str);
            told.steps.push(line);
        }
        told
    }

    fn general(&mut self, act: &GeneralAct, action: &Action<'_>) -> WayPart {
        let mut told = part(PartKind::GeneralAct, act.id, both(act.name));
        for code in &action.steps {
            let mut line = self.step(code, true, |_, _| (String::new(), None));
            act.id.clone_into(&mut line.id);
            line.text = both(act.text);
            line.cautions = vec![both(act.caution)];
            told.steps.push(line);
        }
        told
    }

    /// Carries out a step and tells what it changes.
    fn step(
        &mut self,
        code: &StepCode,
        timed: bool,
        words: impl Fn(&Profile, &str) -> (String, Option<chockstone_schema::text::Text>),
    ) -> WayStep {
        let (start, slowest_start) = (seconds(self.time), seconds(self.slowest));
        let before = self.state.clone();
        self.time = self.time.saturating_add(code.time);
        self.slowest = self.slowest.saturating_add(code.slowest);
        self.way.untimed_steps += usize::from(!timed);
        self.need(code.require);
        self.world.carry_out(&mut self.state, code, |_, _| true);
        self.renew(code, &words);
        let (before_held, after) = (before.held, &self.state);
        WayStep {
            id: String::new(),
            place: None,
            text: both(["–", "–"]),
            start,
            seconds: timed.then(|| seconds(code.time)),
            slowest_start,
            slowest: timed.then(|| seconds(code.slowest)),
            tools: Vec::new(),
            points: Vec::new(),
            cautions: Vec::new(),
            hazards: Vec::new(),
            now_holds: self.world.ids_of(after.held & !before_held),
            ended: self
                .world
                .ids_of(before_held & !(after.held | after.doubtful)),
            doubtful: self.world.ids_of(after.doubtful & !before.doubtful),
            opens: Vec::new(),
            settles: Vec::new(),
        }
    }

    /// Marks the running holds that a step needs until its end, by themselves or for what depends on them.
    fn need(&mut self, conditions: Set) {
        let conditions = self.world.with_dependencies(conditions);
        let now = seconds(self.slowest);
        for (running, bit) in self.running.iter_mut().zip(&self.world.timed) {
            if let Some(running) = running.as_mut().filter(|_| conditions >> bit & 1 == 1) {
                running.line.needed_until = Some(now);
                running.untimed_when_needed = self.way.untimed_steps;
            }
        }
    }

    /// Ends the holds that a step touches, and begins those that it sets.
    fn renew(
        &mut self,
        code: &StepCode,
        words: &impl Fn(&Profile, &str) -> (String, Option<chockstone_schema::text::Text>),
    ) {
        let now = seconds(self.slowest);
        let touched = code.touches();
        for slot in 0..self.running.len() {
            let bit = self.world.timed.get(slot).copied().unwrap_or_default();
            let idle = self.state.left.get(slot).is_none_or(|left| *left == IDLE);
            if touched >> bit & 1 == 1 || idle {
                let finished = self.running.get_mut(slot).and_then(Option::take);
                if let Some(mut running) = finished {
                    if touched >> bit & 1 == 1 {
                        running.line.ended = Some(now);
                    }
                    self.way.holds.push(judged(running));
                }
            }
        }
        for (slot, time) in &code.timers {
            let bit = self.world.timed.get(*slot).copied().unwrap_or_default();
            let id = self.world.id(bit);
            let (place, then) = words(self.world.profile, id);
            let line = HoldLine {
                condition: id.to_owned(),
                place,
                from: now,
                until: now + f64::from(*time) / 1000.0,
                needed_until: None,
                ended: None,
                verdict: Verdict::Within,
                then,
            };
            if let Some(running) = self.running.get_mut(*slot) {
                *running = Some(Running {
                    line,
                    untimed_before: self.way.untimed_steps,
                    untimed_when_needed: self.way.untimed_steps,
                });
            }
        }
    }

    /// The goal needs its own conditions until the end.
    fn end(mut self, goal: &GoalCode) -> Way {
        self.need(needed_at_end(goal, self.state.held));
        let rest: Vec<Running> = self.running.iter_mut().filter_map(Option::take).collect();
        self.way.holds.extend(rest.into_iter().map(judged));
        self.way.holds.sort_by(|a, b| a.from.total_cmp(&b.from));
        self.way.seconds = seconds(self.time);
        self.way.slowest = seconds(self.slowest);
        self.way.debts = self.world.debts_of(self.state.debts);
        self.way.end = self.world.ids_of(self.state.held);
        self.way
    }
}

/// Steps without a time leave open how long the hold really lasts.
fn judged(running: Running) -> HoldLine {
    let mut line = running.line;
    line.verdict = match line.needed_until {
        Some(needed) if needed > line.until => Verdict::Beyond,
        Some(_) if running.untimed_when_needed > running.untimed_before => Verdict::NotKnown,
        _ => Verdict::Within,
    };
    line
}

/// Where it is stated how long a condition holds after a step, and what happens then.
fn hold_words(
    profile: &Profile,
    step: &Step,
    place: &str,
    id: &str,
) -> (String, Option<chockstone_schema::text::Text>) {
    let own = step.holds.iter().position(|h| h.condition.as_str() == id);
    if let Some((k, hold)) = own.and_then(|k| Some((k, step.holds.get(k)?))) {
        return (format!("{place}/holds/{k}"), hold.then.clone());
    }
    let defined = profile.conditions.iter().position(|c| c.id.as_str() == id);
    let place = defined.map(|k| format!("/conditions/{k}/holds_for"));
    (place.unwrap_or_default(), None)
}

fn part(kind: PartKind, id: &str, name: chockstone_schema::text::Text) -> WayPart {
    WayPart {
        kind,
        id: id.to_owned(),
        name,
        place: None,
        to_confirm: false,
        hazards: Vec::new(),
        steps: Vec::new(),
    }
}

fn strings<T>(list: &[T], text: impl Fn(&T) -> &str) -> Vec<String> {
    list.iter().map(|item| text(item).to_owned()).collect()
}

fn seconds(milliseconds: u64) -> f64 {
    milliseconds as f64 / 1000.0
}

/// The facts of a way: the bit and whether it must hold.
pub(crate) fn facts<'a>(
    actions: &'a [Action<'_>],
    found: &'a Found,
) -> impl Iterator<Item = (usize, bool)> + 'a {
    found.iter().filter_map(|i| match actions.get(*i)?.origin {
        Origin::Fact { bit, must_hold } => Some((bit, must_hold)),
        _ => None,
    })
}

/// What a goal needs to hold at the end.
fn needed_at_end(goal: &GoalCode, state: Set) -> Set {
    goal.all | bits(goal.any & state).next().map_or(0, |bit| 1 << bit)
}
