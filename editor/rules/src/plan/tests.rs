use super::*;
use chockstone_schema::report::*;
#[test]
fn try_demos() {
    for name in [
        "brackwater-tolliver-crew",
        "gantwell-ostler",
        "ondrey-skarrow",
        "sorrelby-tindle",
    ] {
        let path = format!(
            "{}/../../profiles/{name}.profile.ron",
            env!("CARGO_MANIFEST_DIR")
        );
        let profile: chockstone_schema::Profile =
            chockstone_schema::read::read_file(std::path::Path::new(&path)).unwrap();
        let variant = profile.variants.first().map(|v| v.id.as_str().to_owned());
        let planner = Planner::new(&profile, variant.as_deref(), PlanChoices::default()).unwrap();
        let starts: Vec<Start> = situations().iter().map(Start::named).collect();
        let t = std::time::Instant::now();
        let rows = planner.table(&starts, &Goal::ALL);
        println!("== {name} named {:?}", t.elapsed());
        for row in &rows {
            println!("{}:", row.situation.as_deref().unwrap_or("?"));
            for cell in &row.cells {
                let way = cell.way.as_ref().map(|w| {
                    format!(
                        "{:.1} min {} steps {:?} debts {:?}",
                        w.seconds / 60.0,
                        w.steps,
                        w.parts.iter().map(|p| p.id.as_str()).collect::<Vec<_>>(),
                        w.debts
                    )
                });
                println!(
                    "   {:?} {:?} {} missing {:?} {:?}",
                    cell.goal,
                    cell.answer,
                    way.unwrap_or_default(),
                    cell.missing
                        .iter()
                        .map(|m| m.condition.as_str())
                        .collect::<Vec<_>>(),
                    cell.reasons
                );
            }
        }
        let all = combinations();
        for _ in 0..3 {
            let t = std::time::Instant::now();
            let rows = planner.table(&all, &Goal::ALL);
            println!("== {name} 64 {:?} {}", t.elapsed(), rows.len());
        }
        for (i, p) in profile.procedures.iter().enumerate() {
            for f in walk(&profile, i).faults {
                println!("FAULT {} {:?} {:?} {}", p.id, f.kind, f.severity, f.message);
            }
        }
    }
}
