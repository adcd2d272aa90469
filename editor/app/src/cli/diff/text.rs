//! A difference as a person reads it at a terminal, in English or Spanish.

use std::io::{self, Write};

use chockstone_schema::{
    CAUTIONS, Profile,
    report::{Change, ComparedSide, DifferenceReport, Effect, Grade},
    text::Language,
};

/// The language that texts are told in.
pub(super) struct Words {
    /// The wanted language, then what stands in for it.
    order: Vec<Language>,
}

impl Words {
    /// The wanted language, or that of the profile.
    pub(super) fn new(profile: &Profile, wanted: Option<&Language>) -> Self {
        let order = wanted.into_iter().chain([&profile.language]).cloned();
        Self {
            order: order.chain(Language::new("en").ok()).collect(),
        }
    }

    /// A text of the program in the first language that it has.
    fn own(&self, [english, spanish]: [&'static str; 2]) -> &'static str {
        let known = self
            .order
            .iter()
            .filter_map(|l| l.as_str().split('-').next());
        let first = known.into_iter().find(|l| matches!(*l, "en" | "es"));
        if first == Some("es") {
            spanish
        } else {
            english
        }
    }

    /// Prints the whole: the two sides, the changes by grade, the least release number, the effects, the cautions.
    pub(super) fn print(&self, document: &DifferenceReport, after: &Profile) -> io::Result<()> {
        let mut out = io::stdout().lock();
        let identity = &after.identity;
        writeln!(out, "{} {} ({})", identity.maker, identity.model, after.id)?;
        self.side(&mut out, ["before", "antes"], &document.before)?;
        self.side(&mut out, ["after", "después"], &document.after)?;
        self.other_profile(&mut out, document)?;
        for grade in Grade::ALL {
            self.grade(&mut out, grade, &document.changes)?;
        }
        self.in_short(&mut out, document)?;
        self.effects(&mut out, &document.effects)?;
        writeln!(out, "\n{}", self.own(CAUTIONS))
    }

    fn side(
        &self,
        out: &mut impl Write,
        which: [&'static str; 2],
        side: &ComparedSide,
    ) -> io::Result<()> {
        let file = side.file.as_deref().unwrap_or_default();
        let release = side.release.as_deref().map_or_else(String::new, |number| {
            format!(", {} {number}", self.own(["release", "edición"]))
        });
        let hash = side.sha256.get(..12).unwrap_or_default();
        writeln!(
            out,
            "  {:<8}{file}{release}, SHA-256 {hash}…",
            self.own(which)
        )
    }

    fn other_profile(&self, out: &mut impl Write, document: &DifferenceReport) -> io::Result<()> {
        let (a, b) = (&document.before.profile, &document.after.profile);
        if a == b {
            return Ok(());
        }
        let told = self.own([
            "These are two different profiles, not two versions of one",
            "Son dos perfiles distintos, no dos versiones de uno",
        ]);
        writeln!(out, "  {told}: {a}, {b}.")
    }

    fn grade(&self, out: &mut impl Write, grade: Grade, changes: &[Change]) -> io::Result<()> {
        let of_grade: Vec<&Change> = changes.iter().filter(|c| c.grade == grade).collect();
        if of_grade.is_empty() {
            return Ok(());
        }
        writeln!(out, "\n{}: {}", self.own(name(grade)), of_grade.len())?;
        for change in of_grade {
            writeln!(out, "  {}", change.sentence.pick(&self.order))?;
            writeln!(out, "    {}", change.place())?;
            writeln!(out, "    {}", change.reason.pick(&self.order))?;
        }
        Ok(())
    }

    /// The counts and the least release number.
    fn in_short(&self, out: &mut impl Write, document: &DifferenceReport) -> io::Result<()> {
        let count = |grade| document.changes.iter().filter(|c| c.grade == grade).count();
        let counts = Grade::ALL.map(|grade| format!("{} {}", count(grade), self.own(noun(grade))));
        writeln!(out)?;
        if document.before.sha256 == document.after.sha256 {
            writeln!(
                out,
                "{}",
                self.own(["Nothing has changed.", "Nada ha cambiado."])
            )?;
        } else if document.changes.is_empty() {
            let told = self.own([
                "Nothing has changed in meaning; the bytes are not the same.",
                "Nada ha cambiado de sentido; los bytes no son los mismos.",
            ]);
            writeln!(out, "{told}")?;
        } else {
            writeln!(out, "{}", counts.join(", "))?;
        }
        if let (Some(last), Some(least)) = (&document.before.release, &document.least_release) {
            let told = self.own([
                "The least release number after",
                "El menor número de edición tras la",
            ]);
            let is = self.own(["is", "es"]);
            writeln!(out, "{told} {last} {is} {least}.")?;
        }
        Ok(())
    }

    fn effects(&self, out: &mut impl Write, effects: &[Effect]) -> io::Result<()> {
        if effects.is_empty() {
            return Ok(());
        }
        let worse = effects.iter().filter(|effect| effect.worse).count();
        let [title, of_them] = [
            [
                "Computed results that are not the same",
                "Resultados calculados que cambian",
            ],
            ["worse", "peores"],
        ]
        .map(|words| self.own(words));
        writeln!(out, "\n{title}: {}, {worse} {of_them}", effects.len())?;
        for effect in effects {
            self.effect(out, effect)?;
        }
        Ok(())
    }

    fn effect(&self, out: &mut impl Write, effect: &Effect) -> io::Result<()> {
        let mark = if effect.worse {
            self.own(["WORSE", "PEOR"])
        } else {
            ""
        };
        let none = self.own(["nothing", "nada"]);
        let told = |result: &Option<String>| result.as_deref().unwrap_or(none).to_owned();
        let [was, now] = [["was", "era"], ["is now", "es ahora"]].map(|words| self.own(words));
        writeln!(out, "  {mark:<6}{}", effect.what)?;
        writeln!(out, "        {was}: {}", told(&effect.before))?;
        writeln!(out, "        {now}: {}", told(&effect.after))
    }
}

fn name(grade: Grade) -> [&'static str; 2] {
    match grade {
        Grade::CanHurt => ["Can hurt", "Puede dañar"],
        Grade::NewToKnow => ["New to know", "Nuevo"],
        Grade::Wording => ["Wording", "Redacción"],
    }
}

fn noun(grade: Grade) -> [&'static str; 2] {
    match grade {
        Grade::CanHurt => ["can hurt", "pueden dañar"],
        Grade::NewToKnow => ["new to know", "nuevos"],
        Grade::Wording => ["wording", "de redacción"],
    }
}
