//! What the planner takes for granted, as data: for programs that check its answers.

use chockstone_schema::{conditions::BUILT_IN, report::Goal};
use serde_json::{Value, json};

use super::{
    actions::{TO_BE_OVER, TO_BRING},
    built_in_rules::{BUILT_IN_RULES, Judged},
    general_acts::GENERAL_ACTS,
    goals::{WHEELS_OFF_THE_GROUND, asked},
};

/// The built-in conditions, general acts, rules, goals and facts that may be assumed, as JSON. Times are in seconds.
pub fn data() -> Value {
    let conditions = BUILT_IN.iter().map(
        |c| json!({"id": c.id, "depends_on": c.depends_on, "ends": c.ends, "brings": c.brings}),
    );
    let acts = GENERAL_ACTS.iter().map(|a| {
        json!({
            "id": a.id, "act": a.act, "requires": a.requires, "requires_not": a.requires_not,
            "establishes": a.establishes, "clears": a.clears,
            "time": a.seconds.0, "plus_minus": a.seconds.1,
        })
    });
    let rules = BUILT_IN_RULES.iter().map(|r| {
        let (while_holding, unless_any) = (r.while_holding, r.unless_any);
        let nothing = || Value::Null;
        let (acts, brings_about, ends, spared) = match &r.judged {
            Judged::Before { acts, brings_about } => {
                (json!(acts), json!(brings_about), nothing(), nothing())
            }
            Judged::After { acts, ends } => (json!(acts), nothing(), json!(ends), nothing()),
            Judged::BeforeAnyBut(purposes) => (nothing(), nothing(), nothing(), json!(purposes)),
            Judged::Always => (nothing(), nothing(), nothing(), nothing()),
        };
        json!({
            "id": r.id, "while_holding": while_holding, "unless_any": unless_any,
            "always": matches!(r.judged, Judged::Always), "after": matches!(r.judged, Judged::After { .. }),
            "acts": acts, "brings_about": brings_about, "ends": ends, "before_any_but": spared,
        })
    });
    let goal = |(all, any, none, settled): super::goals::Asked| json!({"all": all, "any": any, "none": none, "settled": settled});
    let goals = Goal::ALL.map(|g| json!({"goal": g, "asks": goal(asked(g))}));
    json!({
        "conditions": conditions.collect::<Vec<_>>(),
        "general_acts": acts.collect::<Vec<_>>(),
        "rules": rules.collect::<Vec<_>>(),
        "goals": goals,
        "wheels_off_the_ground": goal(WHEELS_OFF_THE_GROUND),
        "to_bring": TO_BRING,
        "to_be_over": TO_BE_OVER,
    })
}
