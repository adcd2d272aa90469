//! Small random problems for the planner: a profile with a few procedures over a few conditions, and some starts.
//!
//! They are drawn so that many goals can be reached and many cannot. Nothing in them means anything.

use std::collections::BTreeSet;

use chockstone_schema::{Profile, conditions};
use chockstone_tests::random::Random;
use serde_json::{Map, Value, from_value, json};

/// Built-in conditions that problems are drawn from; the goals ask for many of them.
const BUILT_IN: &[&str] = &[
    "doors-open",
    "low-voltage-alive",
    "awake",
    "ready",
    "key-present",
    "in-park",
    "in-neutral",
    "cord-attached",
    "charging",
    "jump-connected",
    "on-deck",
    "secured",
    "low-voltage-loop-open",
    "raised",
    "on-stands",
    "on-slope",
    "pack-suspect",
    "wheels-chocked",
    "line-taut",
    "front-cover-open",
    "parking-brake-set",
    "shift-refused",
    "skates-at-hand",
    "key-within-reach",
    "in-water",
    "smoke-or-heat",
    "on-wheel-lift",
    "on-skates",
];

/// Conditions that a goal asks for, of which every problem has a few.
const ASKED: &[&str] = &[
    "doors-open",
    "awake",
    "in-neutral",
    "on-deck",
    "secured",
    "ready",
];

/// Conditions that may be brought about, or ended, from outside.
const FACTS: &[&str] = &[
    "key-present",
    "skates-at-hand",
    "donor-at-hand",
    "on-slope",
    "pack-suspect",
    "shift-refused",
    "cord-stuck",
    "in-water",
    "smoke-or-heat",
];

/// Acts that a rule speaks of, or that nothing speaks of.
const ACTS: &[&str] = &[
    "select_neutral",
    "release_line",
    "release_chock",
    "winch_up",
    "work_under",
    "raise_jack",
    "set_parking_brake",
    "check",
];

const PURPOSES: &[&str] = &[
    "open",
    "wake",
    "shift_neutral",
    "load",
    "fire",
    "submersion",
    "other",
];

/// A profile with random procedures, and starts for it.
pub(super) fn problem(base: &Profile, random: &mut Random) -> (Profile, Vec<BTreeSet<String>>) {
    let maker = Maker::new(base, random);
    let mut profile = base.clone();
    let procedures = maker.procedures(random);
    profile.conditions = from_value(json!(maker.definitions(&procedures, random))).unwrap();
    profile.debts =
        from_value(json!(DEBTS.map(|id| json!({"id": id, "name": {"en": id}})))).unwrap();
    profile.safety_rules = from_value(json!(maker.safety_rules(random))).unwrap();
    profile.procedures = from_value(json!(procedures)).unwrap();
    let starts = (0..2).map(|_| maker.start(&profile, random)).collect();
    (profile, starts)
}

const DEBTS: [&str; 2] = ["debt-a", "debt-b"];

/// What one problem is drawn from.
struct Maker {
    pool: Vec<String>,
    own: Vec<String>,
    hazards: Vec<String>,
}

impl Maker {
    fn new(base: &Profile, random: &mut Random) -> Self {
        let own: Vec<String> = (0..=random.below(3)).map(|i| format!("own-{i}")).collect();
        let mut pool = own.clone();
        let size = 7 + random.below(4);
        while pool.len() < size {
            let from = match pool.len() - own.len() {
                0 | 1 => ASKED,
                2 | 3 => FACTS,
                _ => BUILT_IN,
            };
            let id = (*random.pick(from)).to_owned();
            if !pool.contains(&id) {
                pool.push(id);
            }
        }
        Self {
            pool,
            own,
            hazards: base.hazards.iter().map(|h| h.id.to_string()).collect(),
        }
    }

    /// Up to so many different conditions, none of those to be left out.
    fn some(&self, random: &mut Random, most: usize, without: &[String]) -> Vec<String> {
        let mut some: Vec<String> = Vec::new();
        for _ in 0..random.below(most + 1) {
            let id = random.pick(&self.pool);
            if !some.contains(id) && !without.contains(id) {
                some.push(id.clone());
            }
        }
        some
    }

    fn procedures(&self, random: &mut Random) -> Vec<Value> {
        (0..4 + random.below(5))
            .map(|i| {
                let starts = self.some(random, 2, &[]);
                let never = if random.chance(0.6) {
                    self.some(random, 1, &starts)
                } else {
                    Vec::new()
                };
                let steps: Vec<Value> = (0..=random.below(4))
                    .map(|j| self.step(random, j, &starts))
                    .collect();
                json!({
                    "id": format!("procedure-{i}"),
                    "name": {"en": "A procedure"},
                    "purpose": random.pick(PURPOSES),
                    "starts_with": starts,
                    "never_with": never,
                    "steps": steps,
                    "hazards": self.messages(random, 0.3),
                })
            })
            .collect()
    }

    fn messages(&self, random: &mut Random, chance: f64) -> Vec<&String> {
        if random.chance(chance) {
            vec![random.pick(&self.hazards)]
        } else {
            Vec::new()
        }
    }

    fn step(&self, random: &mut Random, j: usize, starts: &[String]) -> Value {
        // Facts are seldom brought about by the crew itself.
        let mut establishes = self.some(random, 2, &[]);
        if random.chance(0.8) {
            establishes.retain(|id| !FACTS.contains(&id.as_str()));
        }
        let clears = self.some(random, 1, &establishes);
        let mut requires: Vec<String> = if random.chance(0.3) {
            self.some(random, 1, &[])
        } else {
            Vec::new()
        };
        if random.chance(0.3) && !starts.is_empty() {
            requires = vec![random.pick(starts).clone()];
        }
        let mut step = Map::new();
        step.insert("id".into(), json!(format!("step-{j}")));
        step.insert("text".into(), json!({"en": "Do it."}));
        if random.chance(0.3) {
            step.insert("act".into(), json!(random.pick(ACTS)));
        }
        if random.chance(0.8) {
            let half_minutes = 1 + random.below(8);
            let most = if random.chance(0.5) { 30.0 } else { 0.0 };
            step.insert("time".into(), time(30.0 * half_minutes as f64, most));
        }
        if random.chance(0.25) {
            step.insert(
                "requires_not".into(),
                json!(self.some(random, 1, &requires)),
            );
        }
        step.insert("holds".into(), self.holds(random, &establishes, &clears));
        Self::debts(random, &mut step);
        step.insert("hazards".into(), json!(self.messages(random, 0.4)));
        step.insert("requires".into(), json!(requires));
        step.insert("establishes".into(), json!(establishes));
        step.insert("clears".into(), json!(clears));
        Value::Object(step)
    }

    /// A step may say how long what it brings about holds, or bring something about for a time only.
    fn holds(&self, random: &mut Random, establishes: &[String], clears: &[String]) -> Value {
        if !random.chance(0.25) {
            return json!([]);
        }
        let condition = match establishes.first() {
            Some(id) if random.chance(0.7) => id,
            _ => random.pick(&self.pool),
        };
        if clears.contains(condition) {
            return json!([]);
        }
        let time = time(60.0 * (2.0 + random.below(8) as f64), 30.0);
        json!([{"condition": condition, "time": time}])
    }

    fn debts(random: &mut Random, step: &mut Map<String, Value>) {
        if random.chance(0.25) {
            let key = *random.pick(&["opens", "settles"]);
            step.insert(key.into(), json!([random.pick(&DEBTS)]));
        }
    }

    /// The author's own conditions. Only what some procedure brings about has a time of its own: nothing says how long a
    /// fact from outside holds.
    fn definitions(&self, procedures: &[Value], random: &mut Random) -> Vec<Value> {
        let define = |(i, id): (usize, &String)| {
            let mut own =
                json!({"id": id, "name": {"en": id}, "meaning": {"en": "It can be seen."}});
            if random.chance(0.5) && brought_about(procedures, id) {
                own["holds_for"] = time(60.0 * (3.0 + random.below(8) as f64), 0.0);
                own["lapses_to"] = json!(self.some(random, 1, std::slice::from_ref(id)));
            }
            // On an earlier own condition or a built-in one, so that nothing depends on itself.
            if random.chance(0.4) {
                let earlier: Vec<&String> = self
                    .pool
                    .iter()
                    .enumerate()
                    .filter(|(j, _)| *j < i || *j >= self.own.len())
                    .map(|(_, id)| id)
                    .collect();
                own["depends_on"] = json!([random.pick(&earlier)]);
            }
            own
        };
        self.own.iter().enumerate().map(define).collect()
    }

    fn safety_rules(&self, random: &mut Random) -> Vec<Value> {
        let mut rules = Vec::new();
        for i in 0..random.below(2) {
            let holding = self.some(random, 2, &[]);
            let mut rule = json!({
                "id": format!("rule-{i}"),
                "text": {"en": "Never that."},
                "why": {"en": "It hurts."},
                "unless_any": self.some(random, 1, &holding),
                "while_holding": holding,
            });
            match random.below(3) {
                0 => rule["acts"] = json!([random.pick(ACTS)]),
                1 => rule["brings_about"] = json!([random.pick(&self.pool)]),
                _ if rule["while_holding"] == json!([]) => continue,
                _ => {}
            }
            rules.push(rule);
        }
        rules
    }

    /// What holds at a start: nothing without what it depends on, and not park and neutral at once.
    fn start(&self, profile: &Profile, random: &mut Random) -> BTreeSet<String> {
        let likely = random.between(0.2, 0.7);
        let mut given: BTreeSet<String> = self
            .pool
            .iter()
            .filter(|_| random.chance(likely))
            .cloned()
            .collect();
        if random.chance(0.7) {
            given.insert("winch-at-hand".into());
        }
        if given.contains("in-neutral") {
            given.remove("in-park");
        }
        loop {
            let needs: Vec<String> = given
                .iter()
                .flat_map(|id| needs(profile, id))
                .filter(|id| !given.contains(id))
                .collect();
            if needs.is_empty() {
                break;
            }
            given.extend(needs);
        }
        if given.contains("in-neutral") {
            // A dependency may have brought park back.
            given.remove("in-park");
            given.retain(|id| !needs(profile, id).contains(&"in-park".to_owned()));
        }
        given
    }
}

fn needs(profile: &Profile, id: &str) -> Vec<String> {
    let built_in = conditions::find(id).map_or(&[] as &[_], |c| c.depends_on);
    let own = profile.conditions.iter().filter(|c| c.id.as_str() == id);
    let own = own.flat_map(|c| &c.depends_on).map(ToString::to_string);
    built_in
        .iter()
        .map(|id| (*id).to_owned())
        .chain(own)
        .collect()
}

fn brought_about(procedures: &[Value], id: &str) -> bool {
    let lists = procedures
        .iter()
        .flat_map(|p| p["steps"].as_array().unwrap());
    lists
        .flat_map(|s| s["establishes"].as_array().unwrap())
        .any(|c| c == id)
}

fn time(seconds: f64, most: f64) -> Value {
    let mut time = json!({"value": [seconds, "s"], "source": "drill"});
    if most > 0.0 {
        time["plus_minus"] = json!([most, "s"]);
    }
    time
}
