//! `chockstone mass`: mass, centre of gravity and axle shares, with their uncertainty.

use std::{
    io::{self, Write},
    path::PathBuf,
};

use chockstone_rules::{PROGRAM, mass};
use chockstone_schema::{
    Profile,
    read::read_file,
    report::{Estimate, MassReport, MassResult},
};

use super::{Outcome, complain, print_json};
use crate::{figures, widgets::UnitSystem};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// A profile.
    profile: PathBuf,
    /// Only this variant; without it, every variant.
    #[arg(long, value_name = "ID")]
    variant: Option<String>,
    /// Print one JSON document in SI units (schema/mass.schema.json).
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    let profile: Profile = match read_file(&arguments.profile) {
        Ok(profile) => profile,
        Err(error) => {
            complain(&error.to_string());
            return Ok(Outcome::Unusable);
        }
    };
    let results = match &arguments.variant {
        None => mass::all(&profile),
        Some(id) if profile.variant(id).is_some() => vec![mass::result(&profile, Some(id))],
        Some(id) => {
            let known: Vec<&str> = profile.variants.iter().map(|v| v.id.as_str()).collect();
            complain(&format!(
                "{}: there is no variant {id:?}; there is {}",
                arguments.profile.display(),
                known.join(", ")
            ));
            return Ok(Outcome::Unusable);
        }
    };
    let known = results.iter().all(|r| r.mass.is_some());
    if arguments.json {
        print_json(&MassReport {
            program: PROGRAM.to_owned(),
            profile: profile.id.to_string(),
            results,
        })?;
    } else {
        let mut out = io::stdout().lock();
        writeln!(out, "{} {}", profile.identity.maker, profile.identity.model)?;
        for result in &results {
            print_result(&mut out, result)?;
        }
    }
    Ok(if known { Outcome::Good } else { Outcome::No })
}

pub(super) fn print_result(out: &mut impl Write, result: &MassResult) -> io::Result<()> {
    if let Some(variant) = &result.variant {
        writeln!(out, "variant {variant}")?;
    }
    writeln!(out, "  from {}", result.basis)?;
    print_row(out, "mass", result.mass.as_ref())?;
    for axle in &result.axles {
        print_row(out, &format!("axle {}", axle.axle), Some(&axle.load))?;
        print_row(out, "  share of the whole", Some(&axle.part))?;
    }
    print_row(out, "centre behind front axle", result.centre_x.as_ref())?;
    print_row(out, "centre right of middle", result.centre_y.as_ref())?;
    print_row(out, "centre above ground", result.centre_z.as_ref())?;
    for sentence in &result.not_known {
        writeln!(out, "  not known: {sentence}")?;
    }
    Ok(())
}

fn print_row(out: &mut impl Write, label: &str, estimate: Option<&Estimate>) -> io::Result<()> {
    let Some(estimate) = estimate else {
        return Ok(());
    };
    writeln!(
        out,
        "  {label:<26} {}",
        figures::estimate(estimate, UnitSystem::AsEntered)
    )
}
