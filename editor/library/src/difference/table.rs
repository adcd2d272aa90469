//! The grading table: for every field of the model, how much it matters when it is added, removed or changed, and why.
//!
//! [`ROWS`] is the whole of it, one row a field, in the order of the model. A test fails when a field of the model has no
//! row, when a row names no field, and when a field has two.
//!
//! How a row is read:
//! - **added** and **removed** grade a part that is only in one of the two; for a list they grade each of its elements.
//! - **changed** grades another value, and in a list whose order matters another order.
//! - **rule** says what else is looked at before the grade is given ([`Rule`]).
//! - **why** is told to people ([`Why`]).
//!
//! Four things hold for every row and are not repeated in it:
//! - A text of which only capitals, blanks and punctuation beside words changed is wording. A language that it is newly told
//!   in is wording too; a language that it is no longer told in counts as removed.
//! - A value with its uncertainty and its source (`sourced`) has the row of the field that it stands in. Its uncertainty,
//!   source and note have the rows of `sourced`, and are never graded worse than a change of the value itself would be.
//! - A new id for the same part is wording, for references follow it.
//! - An element without an id is recognised by what it is about, such as the axle of an axle load: about something else it is
//!   another element, so one is gone and one is added.
//!
//! Where it is open whether a change can hurt, it is graded as if it could: the grade says what must be looked at, and the
//! first release number says that somebody who acts on the older release must look again. That an author's statement is
//! graded rather than judged is plain logic; which field is which rests on no source but the people of the trade who read
//! the table (common practice, no source).

use std::{collections::BTreeMap, sync::LazyLock};

use chockstone_schema::report::Grade;

mod rows;

pub use rows::ROWS;

/// What is looked at, besides the row's three grades.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// Nothing.
    Plain,
    /// A value or a place that moved by no more than its stated uncertainty, on either side, is at most new to know.
    WithinUncertainty,
    /// A half-width or a step of a scale: a larger one, or none any more, has the row's grade; a smaller one, or a first
    /// one, is at most new to know.
    HalfWidth,
    /// What a source is, or which source a statement names: a weaker one, or none any more, has the row's grade; one as
    /// strong or stronger is at most what was added.
    Strength,
    /// The field that holds the part gives the grade; the part changes as a whole.
    Holder,
}

/// Why a field matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// A rating or a limit.
    Limit,
    /// A measure that results are computed from.
    Measure,
    /// Where something is.
    Where,
    /// What a point or a system may be used for.
    Use,
    /// A hazard message, a caution or a region to keep out of.
    Warning,
    /// What a crew does.
    Instruction,
    /// A condition or a debt.
    Condition,
    /// A time.
    Time,
    /// Stored energy.
    Energy,
    /// How the vehicle may be moved.
    Moving,
    /// What the vehicle does by itself.
    Behaviour,
    /// How well something is known.
    Certainty,
    /// Where a statement comes from.
    Origin,
    /// Which vehicles it is for.
    Scope,
    /// How to find or recognise something.
    Recognition,
    /// What something is called.
    Name,
    /// Background.
    Background,
    /// Pictures and documents.
    Picture,
    /// Records of the file itself.
    Record,
    /// Languages.
    Languages,
    /// Data of other programs.
    OtherPrograms,
}

impl Why {
    /// The reason as a sentence, in English and Spanish.
    pub fn sentence(self) -> [&'static str; 2] {
        match self {
            Self::Limit => [
                "Crews load, drive, wait or keep away up to this limit.",
                "Las cuadrillas cargan, circulan, esperan o se alejan según este límite.",
            ],
            Self::Measure => [
                "Loads, clearances and placements are computed from it.",
                "De él se calculan cargas, holguras y posiciones.",
            ],
            Self::Where => [
                "Pads, hooks, tools or hands go by this place.",
                "Apoyos, ganchos, herramientas o manos se guían por este lugar.",
            ],
            Self::Use => [
                "It says what is allowed, what is not and what fits.",
                "Indica qué se permite, qué no y qué encaja.",
            ],
            Self::Warning => ["It warns of a hazard.", "Advierte de un peligro."],
            Self::Instruction => [
                "Crews do what it says, in its order.",
                "Las cuadrillas hacen lo que dice, en su orden.",
            ],
            Self::Condition => [
                "Steps are safe only under this condition.",
                "Los pasos solo son seguros bajo esta condición.",
            ],
            Self::Time => [
                "Crews count on this time.",
                "Las cuadrillas cuentan con este tiempo.",
            ],
            Self::Energy => [
                "It says what energy is stored and how it is shut off.",
                "Indica qué energía hay almacenada y cómo se corta.",
            ],
            Self::Moving => [
                "It says how the vehicle may be moved and secured.",
                "Indica cómo se puede mover y asegurar el vehículo.",
            ],
            Self::Behaviour => [
                "It says what the vehicle does by itself: rolls, locks, steers, brakes, makes voltage.",
                "Indica qué hace el vehículo por sí mismo: rueda, se bloquea, dirige, frena, genera tensión.",
            ],
            Self::Certainty => [
                "It says how far a value may be trusted.",
                "Indica hasta qué punto se puede confiar en un valor.",
            ],
            Self::Origin => [
                "It says where a statement comes from.",
                "Indica de dónde procede una afirmación.",
            ],
            Self::Scope => [
                "It says which vehicles this is for.",
                "Indica para qué vehículos vale.",
            ],
            Self::Recognition => [
                "It helps to find or recognise something.",
                "Ayuda a encontrar o reconocer algo.",
            ],
            Self::Name => ["It is a name.", "Es un nombre."],
            Self::Background => [
                "It explains; nobody acts on it alone.",
                "Explica; nadie actúa solo por ello.",
            ],
            Self::Picture => [
                "It is a picture or a document.",
                "Es una imagen o un documento.",
            ],
            Self::Record => [
                "It is a record of the file itself.",
                "Es un registro del propio archivo.",
            ],
            Self::Languages => [
                "It says in which languages the profile can be read.",
                "Indica en qué idiomas se puede leer el perfil.",
            ],
            Self::OtherPrograms => [
                "It is data of another program, which nothing here reads.",
                "Son datos de otro programa, que aquí nadie lee.",
            ],
        }
    }
}

/// How much one field of the model matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Row {
    /// The struct, by its name in the JSON Schema; `Profile` for the whole.
    pub part: &'static str,
    /// The field.
    pub field: &'static str,
    /// The grade when it is added.
    pub added: Grade,
    /// The grade when it is removed.
    pub removed: Grade,
    /// The grade when it changes.
    pub changed: Grade,
    /// What else is looked at.
    pub rule: Rule,
    /// Why it matters.
    pub why: Why,
}

impl Row {
    /// Its name in reports: struct and field.
    pub fn name(&self) -> String {
        format!("{}.{}", self.part, self.field)
    }
}

/// The row of a field.
pub fn row(part: &str, field: &str) -> Option<&'static Row> {
    static BY_FIELD: LazyLock<BTreeMap<(&str, &str), &Row>> =
        LazyLock::new(|| ROWS.iter().map(|r| ((r.part, r.field), r)).collect());
    BY_FIELD.get(&(part, field)).copied()
}

/// What a field without a row is graded by until it has one: as if it could hurt.
pub(super) static UNLISTED: Row = Row {
    part: "unlisted",
    field: "unlisted",
    added: Grade::CanHurt,
    removed: Grade::CanHurt,
    changed: Grade::CanHurt,
    rule: Rule::Plain,
    why: Why::OtherPrograms,
};

#[cfg(test)]
mod tests;
