//! What a person chooses before a fit, as options of the command.

use std::path::PathBuf;

use chockstone_schema::{
    Equipment, Profile,
    report::{
        AlsoCarried, BalanceRules, CountingRules, Facing, FitChoices, GradeRules, NumberRules,
        ResistanceRules, RuleChoices, Side, Surface, TieDownChoice, WheelState,
    },
};

use super::{
    list,
    named::{Choosable, Named, word},
};
use crate::cli::quantities;

#[derive(Debug, clap::Args)]
pub(super) struct Choices {
    /// Which way round the vehicle stands on the deck.
    #[arg(long, value_name = "WAY", value_enum, default_value = usual::<Facing>())]
    facing: Named<Facing>,
    /// The vehicle's foremost place behind the deck's front edge, such as "1.2 m" or "47 in"; without it the middle of
    /// the window where every rating holds.
    #[arg(long, value_name = "LENGTH", value_parser = quantities::place, allow_hyphen_values = true)]
    placement: Option<f64>,
    /// What the wheels do while it is winched.
    #[arg(long, value_name = "STATE", value_enum, default_value = usual::<WheelState>())]
    wheels: Named<WheelState>,
    /// What it is winched over; without it a clean, hard deck.
    #[arg(long, value_enum)]
    surface: Option<Named<Surface>>,
    /// The slope that it is winched up where no deck is given, such as "10 deg".
    #[arg(long, value_name = "ANGLE", value_parser = quantities::slope, allow_hyphen_values = true)]
    slope: Option<f64>,
    /// How much line is off the drum, such as "40 ft"; without it none, the outermost layer.
    #[arg(long, value_name = "LENGTH", value_parser = quantities::line)]
    line_out: Option<f64>,
    /// Friction between tyre and deck that is counted on for securing, such as 0.3; without it none is.
    #[arg(long, value_name = "FACTOR", value_parser = quantities::friction)]
    friction: Option<f64>,
    /// The height of blocks laid at the foot of the deck, such as "4 in".
    #[arg(long, value_name = "LENGTH", value_parser = quantities::height)]
    block_height: Option<f64>,
    /// One tie-down: a point's id (or an axle's for a strap over its tyre) and its side, the deck's anchor and its side,
    /// and the straps or chains, such as "tie-front:left:pair-1:left:straps-soft". Without any, the program proposes the
    /// smallest set.
    #[arg(long, value_name = "FROM:SIDE:TO:SIDE:WITH", value_parser = tie_down)]
    tie_down: Vec<TieDownChoice>,
    /// Another vehicle on the same deck: its file, which way round, its foremost place (the deck's front edge without it)
    /// and its variant.
    #[arg(long, value_name = "PROFILE[:WAY[:LENGTH[:VARIANT]]]", value_parser = also)]
    pub(super) also: Vec<Also>,
    /// What tie-downs must withstand.
    #[arg(long, value_name = "RULES", value_enum, default_value = usual::<BalanceRules>())]
    balance: Named<BalanceRules>,
    /// How much of a tie-down's limit counts toward the sum.
    #[arg(long, value_name = "RULES", value_enum, default_value = usual::<CountingRules>())]
    counting: Named<CountingRules>,
    /// How many tie-downs there must be at least.
    #[arg(long, value_name = "RULES", value_enum, default_value = usual::<NumberRules>())]
    number: Named<NumberRules>,
    /// How hard surfaces resist.
    #[arg(long, value_name = "RULES", value_enum, default_value = usual::<ResistanceRules>())]
    resistance: Named<ResistanceRules>,
    /// How a slope is counted.
    #[arg(long, value_name = "RULES", value_enum, default_value = usual::<GradeRules>())]
    grade: Named<GradeRules>,
}

/// The word of what is taken when nothing is chosen.
fn usual<T: Choosable + Default>() -> &'static str {
    T::default().words()[0]
}

/// Another vehicle on the same deck, as the call names it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Also {
    pub(super) path: PathBuf,
    facing: Facing,
    placement: f64,
    pub(super) variant: Option<String>,
}

impl Choices {
    /// The choices as the report keeps them; `also` are the profiles read for `--also`, in the same order.
    pub(super) fn report(&self, also: &[(Profile, Option<String>)]) -> FitChoices {
        let carried =
            |(given, (profile, variant)): (&Also, &(Profile, Option<String>))| AlsoCarried {
                profile: profile.id.to_string(),
                variant: variant.clone(),
                facing: given.facing,
                placement: given.placement,
            };
        FitChoices {
            facing: self.facing.0,
            placement: self.placement,
            wheels: self.wheels.0,
            surface: self.surface.map(|named| named.0),
            slope: self.slope,
            line_out: self.line_out,
            friction: self.friction,
            block_height: self.block_height,
            tie_downs: self.tie_down.clone(),
            also: self.also.iter().zip(also).map(carried).collect(),
            rules: RuleChoices {
                balance: self.balance.0,
                counting: self.counting.0,
                number: self.number.0,
                resistance: self.resistance.0,
                grade: self.grade.0,
            },
        }
    }

    /// Refuses tie-downs that name what is not there.
    pub(super) fn lead_somewhere(
        &self,
        profile: &Profile,
        equipment: &[Equipment],
    ) -> Result<(), String> {
        let points = profile.points.iter().map(|p| p.id.as_str());
        let from: Vec<&str> = points
            .chain(profile.axles.iter().map(|a| a.id.as_str()))
            .collect();
        let decks = equipment.iter().filter_map(|e| e.deck.as_ref());
        let to: Vec<&str> = decks
            .flat_map(|deck| deck.anchors.iter().map(|a| a.id.as_str()))
            .collect();
        let with: Vec<&str> = equipment
            .iter()
            .filter(|e| e.straps.is_some() || e.chains.is_some())
            .map(|e| e.id.as_str())
            .collect();
        for tie_down in &self.tie_down {
            known("the vehicle has no point or axle", &tie_down.from, &from)?;
            known("no deck given has an anchor", &tie_down.to, &to)?;
            known("no straps or chains given are", &tie_down.with, &with)?;
        }
        Ok(())
    }
}

fn known(sentence: &str, id: &str, known: &[&str]) -> Result<(), String> {
    if known.contains(&id) {
        return Ok(());
    }
    Err(format!(
        "--tie-down: {sentence} {id:?}; there is {}",
        list(known)
    ))
}

/// Reads `FROM:SIDE:TO:SIDE:WITH`.
fn tie_down(text: &str) -> Result<TieDownChoice, String> {
    let parts: Vec<&str> = text.split(':').map(str::trim).collect();
    let [from, from_side, to, to_side, with] = parts.as_slice() else {
        return Err(format!(
            "five parts with colons between them are wanted, and these are {}",
            parts.len()
        ));
    };
    Ok(TieDownChoice {
        from: (*from).to_owned(),
        from_side: word::<Side>(from_side)?,
        to: (*to).to_owned(),
        to_side: word::<Side>(to_side)?,
        with: (*with).to_owned(),
    })
}

/// Reads `PROFILE[:WAY[:LENGTH[:VARIANT]]]`. A path may hold colons itself; its file name ends in `.ron` or `.json`.
fn also(text: &str) -> Result<Also, String> {
    let end = [".ron", ".json"]
        .iter()
        .filter_map(|ending| text.rfind(ending).map(|at| at + ending.len()))
        .max()
        .unwrap_or(text.len());
    let (path, rest) = text.split_at(end);
    let mut parts = match rest.strip_prefix(':') {
        Some(rest) => rest.split(':').map(str::trim).collect(),
        None if rest.is_empty() => Vec::new(),
        None => return Err(format!("{rest:?} behind the file's name is not understood")),
    }
    .into_iter();
    let other = Also {
        path: path.into(),
        facing: parts.next().map_or(Ok(Facing::default()), word)?,
        placement: parts.next().map_or(Ok(0.0), quantities::place)?,
        variant: parts.next().map(str::to_owned),
    };
    match parts.next() {
        Some(more) => Err(format!("{more:?} is one part too many")),
        None => Ok(other),
    }
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "tests state facts")]
mod tests {
    use super::*;

    #[test]
    fn a_tie_down_has_five_parts() {
        let read = tie_down("front-tow:left:pair-1:right:straps-soft").unwrap();
        assert_eq!(read.from, "front-tow");
        assert_eq!(read.to_side, Side::Right);
        assert!(
            tie_down("a:left:b:right")
                .unwrap_err()
                .contains("five parts")
        );
        assert!(tie_down("a:port:b:right:c").unwrap_err().contains("port"));
    }

    #[test]
    fn another_vehicle_may_leave_out_what_follows_its_file() {
        let read = also("a/b.profile.ron").unwrap();
        assert_eq!(read.path, PathBuf::from("a/b.profile.ron"));
        assert_eq!(read.facing, Facing::NoseFirst);
        let read = also("c:/b.profile.json:tail-first:3 m:short").unwrap();
        assert_eq!(read.path, PathBuf::from("c:/b.profile.json"));
        assert_eq!(read.facing, Facing::TailFirst);
        assert!((read.placement - 3.0).abs() < 1e-12);
        assert_eq!(read.variant.as_deref(), Some("short"));
    }

    #[test]
    fn what_is_not_understood_behind_a_file_is_told() {
        assert!(also("b.ron:sideways").unwrap_err().contains("sideways"));
        assert!(also("b.ron:nose-first:3").unwrap_err().contains("unit"));
        assert!(
            also("b.ron:nose-first:3 m:x:y")
                .unwrap_err()
                .contains("too many")
        );
        assert!(also("b.ronx").unwrap_err().contains("not understood"));
    }
}
