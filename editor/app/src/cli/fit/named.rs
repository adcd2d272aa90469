//! The words on the command line for what a person chooses, each with its meaning or published source.

use chockstone_schema::report::*;
use clap::{ValueEnum, builder::PossibleValue};

/// A choice of the report that has words on the command line.
pub(super) trait Choosable: Copy + Send + Sync + 'static {
    /// Every choice, the usual one first.
    const ALL: &'static [Named<Self>];

    /// The word and what it stands for.
    fn words(self) -> [&'static str; 2];
}

/// A choice as the command line parser knows it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Named<T>(pub(super) T);

impl<T: Choosable> ValueEnum for Named<T> {
    fn value_variants<'a>() -> &'a [Self] {
        T::ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        let [word, help] = self.0.words();
        Some(PossibleValue::new(word).help(help))
    }
}

/// A choice that is added to a type does not compile until it has words here.
macro_rules! choosable {
    ($($choice:ident { $($variant:ident $word:literal $help:literal,)* })*) => {$(
        impl Choosable for $choice {
            const ALL: &'static [Named<Self>] = &[$(Named(Self::$variant)),*];

            fn words(self) -> [&'static str; 2] {
                match self { $(Self::$variant => [$word, $help]),* }
            }
        }
    )*};
}

choosable! {
    Facing {
        NoseFirst "nose-first" "its front toward the truck's cab",
        TailFirst "tail-first" "its rear toward the truck's cab",
    }
    WheelState {
        Rolling "rolling" "all wheels roll",
        FrontLocked "front-locked" "the front wheels do not turn",
        RearLocked "rear-locked" "the rear wheels do not turn",
        AllLocked "all-locked" "no wheel turns",
        OnSkates "on-skates" "no wheel turns, every wheel is on a skate",
    }
    Surface {
        Hard "hard" "a hard road or a clean deck",
        Grass "grass" "grass",
        Gravel "gravel" "gravel",
        Soil "soil" "soil, medium hard",
        SandHardWet "sand-hard-wet" "sand, hard and wet",
        SandSoftWet "sand-soft-wet" "sand, soft and wet",
        SandSoftDry "sand-soft-dry" "sand, soft and dry",
        ShallowMud "shallow-mud" "shallow mud",
        Bog "bog" "bog or marsh",
        Clay "clay" "clay",
        MireToWheels "mire-to-wheels" "mire to the wheels",
        MireToFenders "mire-to-fenders" "mire to the fenders",
        MireToCab "mire-to-cab" "mire to the cab",
    }
    BalanceRules {
        UsRegulation "us-regulation" "49 CFR 393.102(a): 0.435, 0.5 and 0.25 g against working load limits, 0.8, 0.5 and 0.5 g against breaking strengths",
        Quebec "quebec" "Quebec, Cargo Securement Standards Regulation: 0.8, 0.5, 0.5 g and 20 % down against working load limits",
        En12195 "en-12195" "EN 12195-1:2010: 0.8, 0.5, 0.5 g with three quarters of the friction against lashing capacities",
    }
    CountingRules {
        UsRegulation "us-regulation" "49 CFR 393.106(d): half of the limit for a direct tie-down",
        CanadaStandard "canada-standard" "NSC Standard 10: half for each end on an anchor point of the truck",
        UsHandbook "us-handbook" "an older FMCSA handbook: half for each end, the cargo's ends too",
    }
    NumberRules {
        UsHandbook "us-handbook" "FMCSA Driver's Handbook, chapter 9: two at the front and two at the rear",
        UsRegulation "us-regulation" "49 CFR 393.128(b): two in all",
        California "california" "California Vehicle Code 29004(a)(3): four",
    }
    ResistanceRules {
        ArmyDoctrine "army-doctrine" "Army recovery doctrine: a tenth of the weight on a hard surface",
        WinchMaker "winch-maker" "a winch maker's brochure: 0.04 on a hard road",
        EngineersHandbook "engineers-handbook" "an engineer's handbook: 0.01 to 0.02 on a hard road",
    }
    GradeRules {
        Exact "exact" "weight times the sine of the slope",
        SixtiethPerDegree "sixtieth-per-degree" "a sixtieth of the weight for each degree",
    }
    Side {
        Left "left" "the left side",
        Middle "middle" "the middle",
        Right "right" "the right side",
    }
}

/// Reads one of the words of a choice where it is a part of a longer value.
pub(super) fn word<T: Choosable>(text: &str) -> Result<T, String> {
    let fitting = T::ALL.iter().find(|named| named.0.words()[0] == text);
    fitting.map(|named| named.0).ok_or_else(|| {
        let known: Vec<&str> = T::ALL.iter().map(|named| named.0.words()[0]).collect();
        format!("{text:?} is not one of {}", known.join(", "))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The usual choice is what the report takes when nothing is chosen.
    #[track_caller]
    fn first_is_usual<T: Choosable + Default + PartialEq>() {
        assert!(T::ALL.first().is_some_and(|named| named.0 == T::default()));
    }

    #[test]
    fn the_first_word_of_each_choice_is_the_usual_one() {
        first_is_usual::<Facing>();
        first_is_usual::<WheelState>();
        first_is_usual::<BalanceRules>();
        first_is_usual::<CountingRules>();
        first_is_usual::<NumberRules>();
        first_is_usual::<ResistanceRules>();
        first_is_usual::<GradeRules>();
    }

    #[test]
    fn an_unknown_word_is_told_with_those_that_fit() {
        let error = word::<Side>("port").err().unwrap_or_default();
        assert_eq!(error, r#""port" is not one of left, middle, right"#);
        assert_eq!(word::<Side>("right"), Ok(Side::Right));
    }
}
