//! The walk over two profiles that tells each change once.

use std::collections::BTreeMap;

use chockstone_schema::{
    quantity::Dimension,
    report::{Change, ChangeKind, Grade, Shift, WordChange},
};
use serde_json::Value;

use super::{
    geometry::{self, Move},
    matching::{Matched, Pair, Renames, key, moved_either_way, pairs},
    sentence,
    shape::{By, Field, List, Shape, Struct, elements, member},
    table::{Row, Rule},
    values::{Written, same},
    words::{self, Language},
};

/// What the walk knows and has found.
pub(super) struct Walk<'v> {
    /// The language that names are told in.
    language: &'v str,
    renames: Renames,
    /// How strong each source is, by id, in the older and in the newer profile.
    strengths: [BTreeMap<&'v str, u8>; 2],
    /// The pointers in the older and in the newer profile.
    places: [String; 2],
    /// What leads to the place, in words.
    trail: Vec<String>,
    changes: Vec<Change>,
}

/// What is known of one change before it is put into words.
struct Found<'a> {
    kind: ChangeKind,
    row: &'static Row,
    grade: Grade,
    reason: [&'static str; 2],
    a: Option<&'a Value>,
    b: Option<&'a Value>,
    /// The sentence after what leads to the place.
    rest: String,
    shift: Option<Shift>,
    words: Vec<WordChange>,
}

impl<'a> Found<'a> {
    fn new(kind: ChangeKind, row: &'static Row, (a, b): Sides<'a>, rest: String) -> Self {
        let grade = match kind {
            ChangeKind::Added => row.added,
            ChangeKind::Removed => row.removed,
            ChangeKind::Changed | ChangeKind::Moved | ChangeKind::Renamed => row.changed,
        };
        let reason = row.why.sentence();
        Self {
            kind,
            row,
            grade,
            reason,
            a,
            b,
            rest,
            shift: None,
            words: Vec::new(),
        }
    }

    fn graded(mut self, grade: Grade, reason: [&'static str; 2]) -> Self {
        self.grade = grade;
        self.reason = reason;
        self
    }
}

/// A part in the older and in the newer profile.
type Sides<'a> = (Option<&'a Value>, Option<&'a Value>);

/// A row, and the worst grade that a change under it may have.
#[derive(Clone, Copy)]
struct Held {
    row: &'static Row,
    worst: Grade,
    /// The half-width of the value or place, in SI units, where one is stated.
    half_width: Option<f64>,
}

impl Held {
    fn by(row: &'static Row) -> Self {
        Self {
            row,
            worst: Grade::CanHurt,
            half_width: None,
        }
    }
}

const WITHIN: [&str; 2] = [
    "It moved by no more than its stated uncertainty.",
    "Se movió no más que su incertidumbre declarada.",
];
const TYPOGRAPHY: [&str; 2] = [
    "Only capitals, blanks or punctuation changed.",
    "Solo cambiaron mayúsculas, espacios o puntuación.",
];
const TRANSLATED: [&str; 2] = ["It is told in one more language.", "Está en un idioma más."];
const UNTRANSLATED: [&str; 2] = [
    "Whoever reads this language is no longer told.",
    "Quien lee este idioma ya no lo sabe.",
];
const LESS_CERTAIN: [&str; 2] = [
    "It is known less well than before.",
    "Se conoce peor que antes.",
];
const MORE_CERTAIN: [&str; 2] = [
    "It is known better than before.",
    "Se conoce mejor que antes.",
];
const AS_CERTAIN: [&str; 2] = [
    "Its source is no weaker than before.",
    "Su fuente no es más débil que antes.",
];
const SAME_PART: [&str; 2] = [
    "It is the same part, and references follow its id.",
    "Es la misma parte, y las referencias siguen a su id.",
];
const ORDER: [&str; 2] = [
    "What is done in order is done in another order.",
    "Lo que se hace en orden se hace en otro orden.",
];

/// How strong a kind of source is. Measurements, makers' documents and regulations are as strong as one another
/// (common practice, no source).
fn strength(kind: &str) -> u8 {
    match kind {
        "measured" | "makers_document" | "regulation" => 3,
        "guidance" => 2,
        "field_report" => 1,
        _ => 0,
    }
}

impl<'v> Walk<'v> {
    pub(super) fn new(a: &'v Value, b: &'v Value) -> Self {
        let strengths = [a, b].map(|profile| {
            let sources = elements(profile.get("sources")).iter();
            let known = sources.filter_map(|source| {
                let kind = source.get("kind")?.as_str()?;
                Some((source.get("id")?.as_str()?, strength(kind)))
            });
            known.collect()
        });
        Self {
            language: b.get("language").and_then(Value::as_str).unwrap_or("en"),
            renames: Renames::between(a, b),
            strengths,
            places: [String::new(), String::new()],
            trail: Vec::new(),
            changes: Vec::new(),
        }
    }

    /// Walks both profiles; the changes come worst first, then in the order of the model.
    pub(super) fn over(mut self, part: &'static Struct, a: &Value, b: &Value) -> Vec<Change> {
        self.fields(part, None, a, b);
        self.changes.sort_by_key(|change| change.grade);
        self.changes
    }

    /// The fields of a struct, but the one that it was recognised by.
    fn fields(&mut self, part: &'static Struct, but: Option<&str>, a: &Value, b: &Value) {
        for field in part.fields.iter().filter(|f| Some(f.name) != but) {
            let sides = (member(Some(a), field.name), member(Some(b), field.name));
            if sides.0 == sides.1 {
                continue;
            }
            let mut held = Held::by(field.row);
            if field.row.rule == Rule::WithinUncertainty {
                held.half_width = half_width(field, a, b);
            }
            self.trail.push(field.title.clone());
            self.at(field.name, field.name, |walk| {
                walk.part(&field.shape, held, sides);
            });
            self.trail.pop();
        }
    }

    /// Goes down by one key on each side.
    fn at(&mut self, a: &str, b: &str, inside: impl FnOnce(&mut Self)) {
        let lengths = self.places.each_ref().map(String::len);
        for (place, key) in self.places.iter_mut().zip([a, b]) {
            place.push('/');
            place.push_str(&key.replace('~', "~0").replace('/', "~1"));
        }
        inside(self);
        for (place, length) in self.places.iter_mut().zip(lengths) {
            place.truncate(length);
        }
    }

    fn part(&mut self, shape: &'static Shape, held: Held, sides: Sides<'_>) {
        match (shape, sides) {
            (Shape::List(list), _) => self.list(list, shape, held, sides),
            (Shape::Flag, _) => self.flag(held, sides),
            (Shape::Extensions, _) => self.extensions(held, sides),
            (_, (None, Some(new))) => {
                self.stands_alone(ChangeKind::Added, shape, held, (None, Some(new)));
            }
            (_, (Some(old), None)) => {
                self.stands_alone(ChangeKind::Removed, shape, held, (Some(old), None));
            }
            (_, (Some(old), Some(new))) => self.both(shape, held, old, new),
            (_, (None, None)) => {}
        }
    }

    fn both(&mut self, shape: &'static Shape, held: Held, old: &Value, new: &Value) {
        match shape {
            Shape::Struct(part) if part.sourced => self.sourced(part, held, old, new),
            Shape::Struct(part) => self.fields(part, None, old, new),
            Shape::Quantity(dimension) => self.quantity(*dimension, held, old, new),
            Shape::Text => self.text(held, old, new),
            Shape::Place => self.moved(held, geometry::place(old, new), old, new),
            Shape::Outline(seen) => self.moved(held, geometry::outline(*seen, old, new), old, new),
            Shape::Reference(of) => self.reference(of, held, old, new),
            _ => self.leaf(shape, held, old, new),
        }
    }

    fn push(&mut self, found: Found<'_>, worst: Grade) {
        let trail = self.trail.join(", ");
        let sentence = sentence::capital(&format!("{trail}{}", found.rest));
        let place = |value: Option<&Value>, side: &String| value.map(|_| side.clone());
        let [before, after] = &self.places;
        self.changes.push(Change {
            kind: found.kind,
            grade: found.grade.milder(worst),
            before_place: place(found.a, before),
            after_place: place(found.b, after),
            row: found.row.name(),
            sentence: sentence::text(&sentence, None),
            reason: sentence::text(found.reason[0], Some(found.reason[1])),
            before: found.a.cloned(),
            after: found.b.cloned(),
            shift: found.shift,
            words: found.words,
        });
    }

    fn stands_alone(&mut self, kind: ChangeKind, shape: &Shape, held: Held, sides: Sides<'_>) {
        let value = sides.0.or(sides.1).unwrap_or(&Value::Null);
        let told = sentence::value(shape, value, self.language);
        let (rest, certainty) = match kind {
            ChangeKind::Added => (format!(": {told} was added."), MORE_CERTAIN),
            _ => (format!(": {told} is gone."), LESS_CERTAIN),
        };
        let found = Found::new(kind, held.row, sides, rest);
        let found = match held.row.rule {
            Rule::HalfWidth | Rule::Strength => {
                let grade = found.grade;
                found.graded(grade, certainty)
            }
            _ => found,
        };
        self.push(found, held.worst);
    }

    /// A value with its uncertainty and its source: what the value is graded by is the field around it.
    fn sourced(&mut self, part: &'static Struct, held: Held, old: &Value, new: &Value) {
        for field in &part.fields {
            let sides = (member(Some(old), field.name), member(Some(new), field.name));
            if sides.0 == sides.1 {
                continue;
            }
            if field.name == "value" {
                self.at("value", "value", |walk| {
                    walk.part(&field.shape, held, sides);
                });
                continue;
            }
            let inner = Held {
                row: field.row,
                worst: held.row.changed,
                half_width: None,
            };
            self.trail.push(field.title.clone());
            self.at(field.name, field.name, |walk| {
                walk.part(&field.shape, inner, sides);
            });
            self.trail.pop();
        }
    }

    fn changed<'a>(
        &self,
        shape: &Shape,
        row: &'static Row,
        old: &'a Value,
        new: &'a Value,
    ) -> Found<'a> {
        let told = |value| sentence::value(shape, value, self.language);
        let rest = format!(": was {}, is now {}.", told(old), told(new));
        Found::new(ChangeKind::Changed, row, (Some(old), Some(new)), rest)
    }

    fn quantity(&mut self, dimension: Dimension, held: Held, old: &Value, new: &Value) {
        let (Some(a), Some(b)) = (Written::of(old), Written::of(new)) else {
            return self.leaf(&Shape::Leaf, held, old, new);
        };
        if same(dimension, a, b) {
            return;
        }
        let mut found = self.changed(&Shape::Quantity(dimension), held.row, old, new);
        let apart = sentence::apart_in_brackets(dimension, old, new);
        found.rest = format!("{}{apart}.", found.rest.trim_end_matches('.'));
        let sizes = a.si_difference(dimension).zip(b.si_difference(dimension));
        let found = match (held.row.rule, sizes) {
            (Rule::WithinUncertainty, Some((a, b))) if within(b - a, held.half_width) => {
                let grade = found.grade.milder(Grade::NewToKnow);
                found.graded(grade, WITHIN)
            }
            (Rule::HalfWidth, Some((a, b))) if b < a => {
                let grade = found.grade.milder(Grade::NewToKnow);
                found.graded(grade, MORE_CERTAIN)
            }
            (Rule::HalfWidth, _) => {
                let grade = found.grade;
                found.graded(grade, LESS_CERTAIN)
            }
            _ => found,
        };
        self.push(found, held.worst);
    }

    fn moved(&mut self, held: Held, moved: Option<Move>, old: &Value, new: &Value) {
        let Some(moved) = moved else {
            return;
        };
        let rest = format!(" {}.", moved.words);
        let mut found = Found::new(ChangeKind::Changed, held.row, (Some(old), Some(new)), rest);
        found.shift = moved.shift;
        if held.row.rule == Rule::WithinUncertainty && within(moved.farthest, held.half_width) {
            let grade = found.grade.milder(Grade::NewToKnow);
            found = found.graded(grade, WITHIN);
        }
        self.push(found, held.worst);
    }

    fn text(&mut self, held: Held, old: &Value, new: &Value) {
        let mut grade = Grade::Wording;
        let mut reason = None;
        let mut told = Vec::new();
        let mut changes = Vec::new();
        for language in words::languages(old, new) {
            let (tag, worse, why) = match language {
                Language::Added(tag) => (tag, Grade::Wording, TRANSLATED),
                Language::Removed(tag) => (tag, held.row.removed, UNTRANSLATED),
                Language::Typography(tag) => (tag, Grade::Wording, TYPOGRAPHY),
                Language::Words(tag) => (tag, held.row.changed, held.row.why.sentence()),
            };
            if reason.is_none() || worse < grade {
                reason = Some(why);
            }
            grade = grade.worse(worse);
            let string = |text: &Value| text.get(tag).and_then(Value::as_str).map(str::to_owned);
            let (old, new) = (
                string(old).unwrap_or_default(),
                string(new).unwrap_or_default(),
            );
            let change = words::change(tag, &old, &new);
            told.push(match language {
                Language::Added(_) => format!("{tag} was added"),
                Language::Removed(_) => format!("{tag} is gone"),
                _ => format!("{tag} “{}”", sentence::words(&change)),
            });
            changes.push(change);
        }
        let Some(reason) = reason else {
            return;
        };
        let rest = format!(": {}.", told.join("; "));
        let found = Found::new(ChangeKind::Changed, held.row, (Some(old), Some(new)), rest);
        let mut found = found.graded(grade, reason);
        found.words = changes;
        self.push(found, held.worst);
    }

    fn reference(&mut self, of: &str, held: Held, old: &Value, new: &Value) {
        let id = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        let (before, after) = (id(old), id(new));
        if self.renames.now(of, &before) == after {
            return;
        }
        let mut found = self.changed(&Shape::Leaf, held.row, old, new);
        if held.row.rule == Rule::Strength {
            let [strong_before, strong_after] = &self.strengths;
            let known = strong_before
                .get(before.as_str())
                .zip(strong_after.get(after.as_str()));
            found = by_strength(found, known.is_none_or(|(before, after)| after < before));
        }
        self.push(found, held.worst);
    }

    fn leaf(&mut self, shape: &Shape, held: Held, old: &Value, new: &Value) {
        let mut found = self.changed(shape, held.row, old, new);
        if held.row.rule == Rule::Strength {
            let strength = |value: &Value| strength(value.as_str().unwrap_or_default());
            found = by_strength(found, strength(new) < strength(old));
        }
        self.push(found, held.worst);
    }

    /// Yes or no, and no when absent.
    fn flag(&mut self, held: Held, (a, b): Sides<'_>) {
        let is = |side: Option<&Value>| side.and_then(Value::as_bool).unwrap_or_default();
        if is(a) == is(b) {
            return;
        }
        let (old, new) = (Value::Bool(is(a)), Value::Bool(is(b)));
        let mut found = self.changed(&Shape::Flag, held.row, &old, &new);
        // There is nothing to point at where it is absent, but the value is known all the same.
        found.a = a;
        found.b = b;
        self.push(found, held.worst);
        if let Some(change) = self.changes.last_mut() {
            change.before = Some(old);
            change.after = Some(new);
        }
    }

    fn extensions(&mut self, held: Held, (a, b): Sides<'_>) {
        let names = |side: Option<&'_ Value>| -> Vec<String> {
            let object = side.and_then(Value::as_object);
            object.into_iter().flat_map(|o| o.keys().cloned()).collect()
        };
        let mut all = names(a);
        all.extend(names(b));
        all.sort();
        all.dedup();
        for name in all {
            let sides = (member(a, &name), member(b, &name));
            self.trail.push(name.clone());
            self.at(&name, &name, |walk| match sides {
                (Some(old), Some(new)) if old != new => {
                    let rest = " changed.".to_owned();
                    let found = Found::new(ChangeKind::Changed, held.row, sides, rest);
                    walk.push(found, held.worst);
                }
                (None, Some(_)) => {
                    walk.stands_alone(ChangeKind::Added, &Shape::Extensions, held, sides);
                }
                (Some(_), None) => {
                    walk.stands_alone(ChangeKind::Removed, &Shape::Extensions, held, sides);
                }
                _ => {}
            });
            self.trail.pop();
        }
    }

    fn list(&mut self, list: &'static List, shape: &'static Shape, held: Held, (a, b): Sides<'_>) {
        if list.by == By::Line {
            return self.line(shape, held, (a, b));
        }
        let (old, new) = (elements(a), elements(b));
        let pairs = pairs(list, old, new, &self.renames);
        let out_of_order = if list.ordered {
            out_of_order(list, &pairs, new)
        } else {
            Vec::new()
        };
        for pair in &pairs {
            let sides = (
                pair.a.and_then(|i| old.get(i)),
                pair.b.and_then(|j| new.get(j)),
            );
            // One of the two indices is not used where the element is on one side only.
            let index = |at: Option<usize>| at.unwrap_or_default().to_string();
            let (i, j) = (index(pair.a), index(pair.b));
            self.at(&i, &j, |walk| {
                walk.element(list, held, pair, sides);
                if out_of_order.contains(pair) {
                    walk.order(list, held, pair, sides);
                }
            });
        }
    }

    fn line(&mut self, shape: &'static Shape, held: Held, sides: Sides<'_>) {
        match sides {
            (Some(old), Some(new)) => self.moved(held, geometry::line(old, new), old, new),
            (None, Some(_)) => self.stands_alone(ChangeKind::Added, shape, held, sides),
            (Some(_), None) => self.stands_alone(ChangeKind::Removed, shape, held, sides),
            (None, None) => {}
        }
    }

    /// An element of a list: it is new, or gone, or it is looked into.
    fn element(&mut self, list: &'static List, held: Held, pair: &Pair, sides: Sides<'_>) {
        let Shape::Struct(part) = list.item.as_ref() else {
            return match sides {
                (Some(old), Some(new)) if matches!(list.item.as_ref(), Shape::Text) => {
                    self.text(held, old, new);
                }
                (None, Some(_)) => self.stands_alone(ChangeKind::Added, &list.item, held, sides),
                (Some(_), None) => self.stands_alone(ChangeKind::Removed, &list.item, held, sides),
                _ => {}
            };
        };
        if sides.0 == sides.1 {
            return;
        }
        let field = self.call(list, part, sides);
        match sides {
            (Some(old), Some(new)) => {
                if pair.renamed {
                    self.renamed(part, old, new);
                }
                let key = if let By::Field(key) = list.by {
                    Some(key)
                } else {
                    None
                };
                self.fields(part, key, old, new);
            }
            (None, Some(_)) => {
                let found =
                    Found::new(ChangeKind::Added, held.row, sides, " was added.".to_owned());
                self.push(found, held.worst);
            }
            (Some(_), None) => {
                let found =
                    Found::new(ChangeKind::Removed, held.row, sides, " is gone.".to_owned());
                self.push(found, held.worst);
            }
            (None, None) => {}
        }
        self.uncall(field);
    }

    /// Puts what the element is called in the place of the list's title, which is given back.
    fn call(&mut self, list: &List, part: &Struct, (a, b): Sides<'_>) -> Option<String> {
        let key = if let By::Field(key) = list.by {
            Some(key)
        } else {
            None
        };
        let item = b.or(a).unwrap_or(&Value::Null);
        let called = sentence::element(part, item, key, self.language);
        let title = self.trail.pop();
        self.trail.push(called);
        title
    }

    fn uncall(&mut self, title: Option<String>) {
        self.trail.pop();
        self.trail.extend(title);
    }

    fn renamed(&mut self, part: &'static Struct, old: &Value, new: &Value) {
        let Some(field) = part.field("id") else {
            return;
        };
        let sides = (member(Some(old), "id"), member(Some(new), "id"));
        let id = |side: Option<&Value>| side.and_then(Value::as_str).unwrap_or_default().to_owned();
        let rest = format!(": the id {} is now {}.", id(sides.0), id(sides.1));
        let found = Found::new(ChangeKind::Renamed, field.row, sides, rest);
        let found = found.graded(field.row.changed, SAME_PART);
        self.at("id", "id", |walk| walk.push(found, Grade::CanHurt));
    }

    fn order(&mut self, list: &'static List, held: Held, pair: &Pair, sides: Sides<'_>) {
        let number = |at: Option<usize>| at.unwrap_or_default() + 1;
        let rest = format!(
            " moved from number {} to number {}.",
            number(pair.a),
            number(pair.b)
        );
        let found = Found::new(ChangeKind::Moved, held.row, sides, rest);
        let found = found.graded(held.row.changed, ORDER);
        if let Shape::Struct(part) = list.item.as_ref() {
            let title = self.call(list, part, sides);
            self.push(found, held.worst);
            self.uncall(title);
        } else {
            self.push(found, held.worst);
        }
    }
}

fn by_strength(found: Found<'_>, weaker: bool) -> Found<'_> {
    if weaker {
        let grade = found.grade;
        found.graded(grade, LESS_CERTAIN)
    } else {
        let grade = found.grade.milder(found.row.added);
        found.graded(grade, AS_CERTAIN)
    }
}

/// Whether something moved by no more than its half-width, where one is stated.
fn within(moved: f64, half_width: Option<f64>) -> bool {
    half_width.is_some_and(|half_width| moved.abs() <= half_width * (1.0 + 1e-9))
}

/// The larger half-width that either side states for a value or a place, in SI units.
fn half_width(field: &Field, a: &Value, b: &Value) -> Option<f64> {
    let of = |part: &Value| {
        if let Shape::Struct(inner) = &field.shape {
            let written = member(member(Some(part), field.name), "plus_minus")?;
            let dimension = inner.field("plus_minus").map(|f| &f.shape);
            let Some(Shape::Quantity(dimension)) = dimension else {
                return None;
            };
            Written::of(written)?.si_difference(*dimension)
        } else {
            let written = member(Some(part), &format!("{}_plus_minus", field.name))?;
            Written::of(written)?.si_difference(Dimension::Length)
        }
    };
    [of(a), of(b)].into_iter().flatten().reduce(f64::max)
}

/// The pairs that stand at another place of a list whose order matters.
fn out_of_order(list: &List, pairs: &[Pair], new: &[Value]) -> Vec<Pair> {
    let matched = pairs.iter().filter_map(|pair| Some((pair.a?, pair.b?)));
    let keys: Vec<(usize, usize, String)> = matched
        .filter_map(|(a, b)| Some((a, b, key(list, new.get(b)?, None))))
        .collect();
    let elements: Vec<Matched<'_>> = keys
        .iter()
        .map(|(a, b, key)| Matched { a: *a, b: *b, key })
        .collect();
    let moved = moved_either_way(&elements);
    let out = |pair: &&Pair| pair.b.is_some() && pair.a.is_some_and(|i| moved.contains(&i));
    pairs.iter().filter(out).copied().collect()
}
