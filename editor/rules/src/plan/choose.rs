//! What can matter on the way from one start to one goal.
//!
//! Let a way reach the goal, and take from it every action that is not chosen here. What is left still reaches the goal,
//! because at each moment two things are true. What is *wanted* and held in the whole way is held in what is left of it;
//! and what is *unwanted* and may hold in what is left may hold in the whole way. An action that is not chosen could only
//! break this by bringing about something wanted that does not hold without it, or by ending something unwanted that may
//! hold without it: and such actions are chosen. What may come to hold, and what may be lost, in what is left follows
//! from the start and from the chosen actions alone. Time only runs shorter in what is left, so what runs out there ran
//! out in the whole way, or was ended or renewed by an action that is chosen. So leaving out never makes a goal dearer.
//!
//! Two things are outside of this. A start that breaks a rule that is always judged lets later steps leave it broken, so
//! mending it early could do harm: then nothing is left out. And a way that passes the time with something useless, so that
//! a condition runs out on purpose before what it lapses to is put in order, is not looked for.

use super::{
    actions::Action,
    goals::GoalCode,
    state::{Set, State},
    world::{RuleCode, World},
};

/// The actions and conditions that matter.
#[derive(Debug)]
pub(crate) struct Chosen {
    /// For each action whether it matters.
    pub(crate) actions: Vec<bool>,
    /// The conditions that matter.
    pub(crate) matters: Set,
    /// The start breaks a rule that is always judged.
    pub(crate) broken: bool,
}

impl Chosen {
    /// Every action and every condition.
    pub(crate) fn everything(world: &World<'_>, all: &[Action<'_>], start: &State) -> Self {
        Self {
            actions: vec![true; all.len()],
            matters: Set::MAX,
            broken: world.broken(start) != 0,
        }
    }
}

/// The rules that are judged after every step.
fn always<'w>(world: &'w World<'_>) -> impl Iterator<Item = &'w RuleCode> {
    world.always.iter().filter_map(|i| world.rules.get(*i))
}

/// What may become doubtful when a timed condition runs out, without itself.
pub(crate) fn lapses(world: &World<'_>, bit: usize) -> Set {
    world.nature(bit).lapses_to & !(1 << bit)
}

/// Everything that brings one of these conditions along, with them.
fn bringers(world: &World<'_>, mut set: Set) -> Set {
    loop {
        let natures = world.natures.iter().enumerate();
        let more = natures
            .filter(|(_, nature)| nature.brings & set != 0)
            .fold(set, |all, (bit, _)| all | 1 << bit);
        if more == set {
            return set;
        }
        set = more;
    }
}

/// Chooses for one start, from the goal backwards until nothing is added.
pub(crate) fn choose(
    world: &World<'_>,
    all: &[Action<'_>],
    goal: &GoalCode,
    start: &State,
) -> Chosen {
    if world.broken(start) != 0 {
        return Chosen::everything(world, all, start);
    }
    let mut choice = Choice {
        world,
        all,
        start,
        owes: goal.settled,
        chosen: vec![false; all.len()],
        wanted: goal.all | goal.any,
        unwanted: goal.none,
        effects: Effects::default(),
    };
    while choice.grow() {}
    choice.done()
}

/// What may come to hold, or to be doubtful; what may be lost; and the debts that may be opened.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Effects {
    adds: Set,
    ends: Set,
    opens: Set,
}

struct Choice<'w, 'p> {
    world: &'w World<'p>,
    all: &'w [Action<'p>],
    start: &'w State,
    owes: bool,
    chosen: Vec<bool>,
    wanted: Set,
    unwanted: Set,
    /// What the chosen actions may do, by themselves and by what follows.
    effects: Effects,
}

impl Choice<'_, '_> {
    /// Adds what follows once more; false when nothing does.
    fn grow(&mut self) -> bool {
        let before = (self.wanted, self.unwanted, self.effects);
        self.follow_conditions();
        self.follow_rules();
        let mut any = false;
        for (i, action) in self.all.iter().enumerate() {
            if self.chosen.get(i) == Some(&false) && self.helps(action) {
                any = true;
                if let Some(mark) = self.chosen.get_mut(i) {
                    *mark = true;
                }
                self.wanted |= action.reads_held;
                self.unwanted |= action.reads_ended;
                self.count_in(action);
            }
        }
        self.follow_effects();
        any || before != (self.wanted, self.unwanted, self.effects)
    }

    /// Whether an action can bring about what is wanted and may not hold without it, or end what is unwanted and may
    /// hold without it.
    fn helps(&self, action: &Action<'_>) -> bool {
        let Effects { adds, ends, opens } = self.effects;
        let may_lack = !self.start.held | ends;
        let may_hold = self.start.held | self.start.doubtful | adds;
        action.adds & self.wanted & may_lack != 0
            || action.ends & self.unwanted & may_hold != 0
            || self.owes && action.settles & (self.start.debts | opens) != 0
    }

    fn count_in(&mut self, action: &Action<'_>) {
        self.effects.adds |= action.adds;
        self.effects.ends |= action.ends;
        for step in &action.steps {
            self.effects.opens |= step.opens;
        }
    }

    fn follow_conditions(&mut self) {
        let world = self.world;
        self.wanted = world.with_dependencies(bringers(world, self.wanted));
        self.unwanted = bringers(world, self.unwanted);
        for bit in &world.timed {
            // When it ends, and for how long it is renewed, decides when what it lapses to becomes doubtful; so does the
            // loss of what it depends on, with which it goes.
            if lapses(world, *bit) & (self.wanted | self.unwanted) != 0 {
                self.wanted |= 1 << bit;
                self.unwanted |= world.with_dependencies(1 << bit);
            }
        }
    }

    /// A rule that the start keeps can come to be broken only where all that it speaks of may hold, and nothing that
    /// makes it safe holds for good.
    fn follow_rules(&mut self) {
        let Effects { adds, ends, .. } = self.effects;
        let may_hold = self.start.held | self.start.doubtful | adds;
        let lasts = self.start.held & !ends;
        for rule in always(self.world) {
            if rule.while_holding & !may_hold == 0 && rule.unless_any & lasts == 0 {
                self.wanted |= rule.unless_any;
                self.unwanted |= rule.while_holding;
            }
        }
    }

    /// What runs out, what it lapses to, what is brought along, and what depends on what is lost.
    fn follow_effects(&mut self) {
        let world = self.world;
        loop {
            let Effects { adds, ends, .. } = self.effects;
            let Effects {
                adds: more,
                ends: less,
                ..
            } = &mut self.effects;
            *more |= world.brought_with(*more);
            for bit in world.timed.iter().filter(|bit| adds >> **bit & 1 == 1) {
                let doubtful = 1 << bit | lapses(world, *bit);
                *more |= doubtful;
                *less |= doubtful;
            }
            for (condition, needs) in &world.dependent {
                if needs & *less != 0 {
                    *less |= condition;
                }
            }
            if (adds, ends) == (*more, *less) {
                return;
            }
        }
    }

    /// Every rule is judged after every step, so what it speaks of matters too, and everything that decides of it.
    fn done(self) -> Chosen {
        let world = self.world;
        let judged = always(world).fold(0, |set, r| set | r.while_holding | r.unless_any);
        let mut matters = self.wanted | self.unwanted | judged;
        loop {
            let mut more = world.with_dependencies(bringers(world, matters));
            for bit in &world.timed {
                if lapses(world, *bit) & more != 0 {
                    more |= 1 << bit;
                }
            }
            if more == matters {
                break;
            }
            matters = more;
        }
        Chosen {
            actions: self.chosen,
            matters,
            broken: false,
        }
    }
}
