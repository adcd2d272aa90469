//! The fast search against a plain one, and its bound.
//!
//! The plain search leaves nothing out, has no guide, and may use every fact: Dijkstra's, by the `pathfinding` library.

use chockstone_schema::{
    Profile,
    report::{Goal, Least, PlanChoices},
};
use pathfinding::{num_traits::Zero, prelude::dijkstra};
use serde_json::{Value, from_value, json};

use super::super::{
    actions::{self, Action},
    combinations,
    cost::Cost,
    goals::{GoalCode, asked},
    search::{Answer, Search},
    state::State,
    world::World,
};
use super::{DEMOS, demo};

fn actions<'p>(world: &World<'p>, profile: &'p Profile) -> Vec<Action<'p>> {
    let procedures: Vec<_> = profile.procedures.iter().enumerate().collect();
    let mut all = actions::of_procedures(world, &procedures);
    all.extend(actions::of_crew(world, &PlanChoices::default()));
    all.extend(actions::of_facts(world, &all));
    all
}

/// A plain search would have to go on from too many states.
struct TooMany;

/// The least cost by a plain search; none where there is no way.
fn plain(
    world: &World<'_>,
    all: &[Action<'_>],
    goal: &GoalCode,
    start: &State,
    least: Least,
) -> Result<Option<Cost>, TooMany> {
    let mut left = 1500;
    let found = dijkstra(
        start,
        |state| {
            left -= i32::from(left > 0);
            let mut next = Vec::new();
            for action in all.iter().filter(|_| left > 0) {
                let mut after = state.clone();
                if action.carry_out(world, &mut after) && after != *state {
                    next.push((after, Cost::of(action, least)));
                }
            }
            next
        },
        |state| goal.reached(world, state),
    );
    if left == 0 {
        return Err(TooMany);
    }
    Ok(found.map(|(_, cost)| cost))
}

fn answer(profile: &Profile, given: &[&str], goal: Goal) -> (Answer, Option<Cost>) {
    let procedures: Vec<_> = profile.procedures.iter().collect();
    let world = World::new(profile, &procedures, None).unwrap();
    let all = actions(&world, profile);
    let goal = GoalCode::new(&world, asked(goal));
    let start = world.still(world.set(given.iter().copied()));
    let found = Search::new(&world, &all, goal, Least::Time).answer(&start);
    let cost = cost(&all, &found, Least::Time);
    (found, cost)
}

fn cost(all: &[Action<'_>], answer: &Answer, least: Least) -> Option<Cost> {
    let way = answer.found.as_ref()?;
    let costs = way.iter().map(|i| Cost::of(&all[*i], least));
    Some(costs.fold(Cost::zero(), |sum, cost| sum + cost))
}

#[test]
fn the_fast_search_finds_what_a_plain_one_finds() {
    let (mut seed, mut compared) = (7_u64, 0);
    let mut below = |n: usize| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        usize::try_from(seed >> 33).unwrap() % n
    };
    let starts = combinations();
    for name in DEMOS {
        let whole = demo(name);
        for round in 0..40 {
            let mut profile = whole.clone();
            while profile.procedures.len() > 6 {
                profile.procedures.remove(below(profile.procedures.len()));
            }
            let procedures: Vec<_> = profile.procedures.iter().collect();
            let world = World::new(&profile, &procedures, None).unwrap();
            let mut all = actions(&world, &profile);
            while all.iter().filter(|a| a.is_fact()).count() > 4 {
                let last = all.len();
                let place = below(last);
                if all[place].is_fact() {
                    all.remove(place);
                }
            }
            let least = [Least::Time, Least::Hazard][round % 2];
            let given = &starts[below(starts.len())].given;
            let given = world.set(given.iter().map(String::as_str));
            let start = world.start(given);
            for goal in Goal::ALL {
                let code = GoalCode::new(&world, asked(goal));
                let found = Search::new(&world, &all, code, least).answer(&start);
                let Ok(expected) = plain(&world, &all, &code, &start, least) else {
                    continue;
                };
                assert!(!found.given_up);
                assert_eq!(
                    cost(&all, &found, least),
                    expected,
                    "{name} {round} {goal:?}"
                );
                compared += 1;
            }
        }
    }
    assert!(compared > 300, "{compared}");
}

/// A profile with only these conditions of its own and these procedures.
fn with(conditions: Value, procedures: Value) -> Profile {
    let mut profile = crate::testing::sound_profile();
    profile.safety_rules.clear();
    profile.conditions = from_value(conditions).unwrap();
    profile.procedures = from_value(procedures).unwrap();
    profile
}

fn own(id: &str) -> Value {
    json!({"id": id, "name": {"en": id}, "meaning": {"en": "It can be seen."}})
}

fn procedure(id: &str, mut step: Value) -> Value {
    step["id"] = json!("step");
    step["text"] = json!({"en": "Do it."});
    json!({"id": id, "name": {"en": id}, "purpose": "other", "steps": [step]})
}

fn seconds(seconds: u32) -> Value {
    json!({"value": [seconds, "s"]})
}

#[test]
fn what_renews_a_condition_is_kept_where_what_it_lapses_to_is_in_the_way() {
    let mut timer = own("timer");
    timer["holds_for"] = seconds(60);
    timer["lapses_to"] = json!(["in-park"]);
    let profile = with(
        json!([own("free"), timer]),
        json!([
            procedure(
                "p1",
                json!({"requires": ["in-park"], "establishes": ["timer", "front-cover-open"], "clears": ["in-park"], "time": seconds(3)})
            ),
            procedure(
                "p2",
                json!({"requires": ["front-cover-open"], "establishes": ["steering-locked"], "time": seconds(50)})
            ),
            procedure(
                "renew",
                json!({"requires": ["steering-locked"], "establishes": ["timer"], "time": seconds(1)})
            ),
            procedure(
                "p3",
                json!({"requires": ["steering-locked"], "establishes": ["free"], "time": seconds(40)})
            ),
            procedure(
                "p4",
                json!({"requires": ["free"], "requires_not": ["in-park"], "establishes": ["doors-open"], "time": seconds(1)})
            ),
        ]),
    );
    let (_, cost) = answer(&profile, &["in-park"], Goal::Opened);
    let cost = cost.unwrap();
    assert_eq!((cost.facts, cost.first), (0, 95_000));
}

#[test]
fn too_many_states_are_given_up_and_soon() {
    let ids: Vec<String> = (0..20).map(|i| format!("c{i}")).collect();
    let conditions: Vec<Value> = ids.iter().map(|id| own(id)).collect();
    let mut procedures: Vec<Value> = Vec::new();
    for (i, id) in ids.iter().enumerate() {
        procedures.push(procedure(
            &format!("set-{i}"),
            json!({"establishes": [id], "time": seconds(1)}),
        ));
        procedures.push(procedure(
            &format!("end-{i}"),
            json!({"requires": [id], "clears": [id], "time": seconds(1)}),
        ));
    }
    procedures.push(procedure(
        "open",
        json!({"requires": ids, "establishes": ["doors-open"], "time": seconds(1)}),
    ));
    let profile = with(json!(conditions), json!(procedures));
    let (answer, _) = answer(&profile, &["in-park"], Goal::Opened);
    assert!(answer.given_up && answer.found.is_none() && answer.reasons.is_empty());
}

#[test]
fn what_a_judged_condition_depends_on_matters_to_the_end_of_the_chain() {
    let (mut first, mut second) = (own("dd"), own("ee"));
    first["depends_on"] = json!(["ee"]);
    second["depends_on"] = json!(["low-voltage-alive"]);
    let step = json!({"establishes": ["doors-open"], "time": seconds(5)});
    let mut profile = with(json!([first, second]), json!([procedure("open", step)]));
    profile.safety_rules = from_value(json!([{
        "id": "rule", "text": {"en": "Never that."}, "why": {"en": "It hurts."},
        "while_holding": ["winch-at-hand"], "unless_any": ["dd"],
    }]))
    .unwrap();
    let given = ["dd", "ee", "low-voltage-alive", "winch-at-hand"];
    let (_, cost) = answer(&profile, &given, Goal::Opened);
    assert_eq!(cost.map(|c| (c.facts, c.first)), Some((0, 5_000)));
}
