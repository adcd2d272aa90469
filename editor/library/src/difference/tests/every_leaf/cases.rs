//! Every single edit of a profile, and what must be told of it: worked out from the schema, the grading table and the values
//! alone.

use std::collections::BTreeMap;

use chockstone_schema::{
    quantity::Dimension,
    report::{ChangeKind, Grade},
};
use serde_json::{Value, json};

use super::{
    super::super::table::{Row, Rule, row},
    model::{Kind, Part, number, scale},
};

/// One edit of a profile.
#[derive(Clone, Debug)]
pub(super) enum Edit {
    Set(String, Value),
    Remove(String),
    Insert(String, Value),
    /// Two neighbours of a list change places: the list and the first of them.
    Swap(String, usize),
    /// An id and all references to it: the kind's list, the element's place, the old and the new id.
    Rename(String, String, String, String),
}

/// What happened, as far as the grade depends on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Event {
    Added,
    Removed,
    Changed,
    Within,
    Wider,
    Narrower,
    Weaker,
    NoWeaker,
    Tidied,
    LanguageAdded,
    LanguageRemoved,
    Renamed,
    Moved,
}

/// What must be told.
#[derive(Clone, Debug)]
pub(super) struct Told {
    pub(super) event: Event,
    pub(super) row: &'static Row,
    /// The worst grade that it may have.
    pub(super) worst: Grade,
    pub(super) before: Option<String>,
    pub(super) after: Option<String>,
}

/// One edit, what must be told of it, and the fields of the model that it touches.
#[derive(Clone, Debug)]
pub(super) struct Case {
    pub(super) edit: Edit,
    pub(super) told: Vec<Told>,
    pub(super) touches: Vec<(&'static str, &'static str)>,
    /// Whether the edited profile must still read.
    pub(super) reads: bool,
}

impl Event {
    /// The event seen from the other side; of a weaker source both are possible, so the cases say it themselves.
    fn back(self) -> Self {
        match self {
            Self::Added => Self::Removed,
            Self::Removed => Self::Added,
            Self::Wider => Self::Narrower,
            Self::Narrower => Self::Wider,
            Self::LanguageAdded => Self::LanguageRemoved,
            Self::LanguageRemoved => Self::LanguageAdded,
            other => other,
        }
    }

    pub(super) fn kind(self) -> ChangeKind {
        match self {
            Self::Added => ChangeKind::Added,
            Self::Removed => ChangeKind::Removed,
            Self::Renamed => ChangeKind::Renamed,
            Self::Moved => ChangeKind::Moved,
            _ => ChangeKind::Changed,
        }
    }

    /// The grade that the row and its rule demand.
    pub(super) fn grade(self, row: &Row) -> Grade {
        match self {
            Self::Added => row.added,
            Self::Removed | Self::LanguageRemoved => row.removed,
            Self::Changed | Self::Wider | Self::Weaker | Self::Moved => row.changed,
            Self::Within | Self::Narrower => row.changed.milder(Grade::NewToKnow),
            Self::NoWeaker => row.changed.milder(row.added),
            Self::Tidied | Self::LanguageAdded | Self::Renamed => Grade::Wording,
        }
    }
}

impl Told {
    /// The same seen from the newer profile. `weaker` is told by who knows both sources.
    pub(super) fn back(&self, weaker: Option<Event>) -> Self {
        Self {
            event: weaker.unwrap_or_else(|| self.event.back()),
            row: self.row,
            worst: self.worst,
            before: self.after.clone(),
            after: self.before.clone(),
        }
    }
}

/// Where the walk stands: what grades a change here.
#[derive(Clone, Copy)]
struct Here {
    row: &'static Row,
    worst: Grade,
    /// The half-width of the value or place in SI units.
    half_width: Option<f64>,
    /// Whether the part may be left out.
    optional: bool,
}

/// Every single edit of a profile.
pub(super) fn all(profile: &Value) -> Vec<Case> {
    let mut cases = Cases {
        profile,
        kinds: kinds_of_sources(profile),
        found: Vec::new(),
        at: Vec::new(),
    };
    cases.fields(
        Part::profile(),
        "Profile",
        Grade::CanHurt,
        None,
        (profile, ""),
    );
    cases.found
}

/// How strong the kinds of sources are, as the table's own words say: measurements, makers' documents and regulations are as
/// strong as one another, then guidance, then reports, then estimates.
pub(super) fn strength(kind: &str) -> usize {
    let order = ["estimate", "field_report", "guidance"];
    order.iter().position(|k| *k == kind).unwrap_or(order.len())
}

fn kinds_of_sources(profile: &Value) -> BTreeMap<String, String> {
    let text = |source: &Value, key: &str| source[key].as_str().unwrap().to_owned();
    let sources = profile["sources"].as_array().unwrap().iter();
    sources.map(|s| (text(s, "id"), text(s, "kind"))).collect()
}

struct Cases<'v> {
    profile: &'v Value,
    kinds: BTreeMap<String, String>,
    found: Vec<Case>,
    /// The fields that the walk stands in.
    at: Vec<(&'static str, &'static str)>,
}

impl<'v> Cases<'v> {
    fn add(&mut self, edit: Edit, told: Vec<Told>) {
        let touches = self.at.last().copied().into_iter().collect();
        self.found.push(Case {
            edit,
            told,
            touches,
            reads: true,
        });
    }

    fn unread(&mut self) {
        if let Some(case) = self.found.last_mut() {
            case.reads = false;
        }
    }

    fn set(&mut self, here: Here, event: Event, told_at: &str, place: &str, value: Value) {
        let told = event_of(here, event, told_at);
        self.add(Edit::Set(place.to_owned(), value), vec![told]);
    }

    /// The fields of a struct but the one that it is recognised by.
    fn fields(
        &mut self,
        part: Part,
        name: &'static str,
        worst: Grade,
        but: Option<&str>,
        (value, place): (&'v Value, &str),
    ) {
        for (field, inner) in part.fields() {
            let Some(held) = value.get(field).filter(|_| Some(field) != but) else {
                continue;
            };
            let row = row(name, field).unwrap();
            let here = Here {
                row,
                worst,
                half_width: (row.rule == Rule::WithinUncertainty)
                    .then(|| half_width(inner, held, value, field))
                    .flatten(),
                optional: !part.requires(field),
            };
            self.at.push((name, field));
            self.part(inner, here, held, &format!("{place}/{field}"));
            self.at.pop();
        }
    }

    fn part(&mut self, part: Part, here: Here, value: &'v Value, place: &str) {
        let kind = part.kind();
        match kind {
            Kind::List => return self.list(part, here, value, place),
            Kind::Extensions => return self.extensions(here, value, place),
            Kind::Flag => {
                // What is absent is no, so taking a yes away changes it.
                let mut told = event_of(here, Event::Changed, place);
                told.after = None;
                return self.add(Edit::Remove(place.to_owned()), vec![told]);
            }
            _ => {}
        }
        if here.optional {
            let told = event_of(here, Event::Removed, place);
            self.add(Edit::Remove(place.to_owned()), vec![told]);
            self.unread();
        }
        match kind {
            Kind::Struct => self.fields(part, part.name, Grade::CanHurt, None, (value, place)),
            Kind::Sourced => self.sourced(part, here, value, place),
            Kind::Quantity(dimension) => self.quantity(part, dimension, here, value, place),
            Kind::Text => self.text(here, value, place),
            Kind::Place => self.place(here, value, place, place),
            Kind::Outline => self.outline(part, here, value, place),
            Kind::Reference(list) => self.reference(list, here, value, place),
            Kind::Words => self.word(part, here, value, place),
            Kind::YesOrNo => self.set(
                here,
                Event::Changed,
                place,
                place,
                json!(value != &json!(true)),
            ),
            Kind::Number => {
                let (_, high) = part.limits();
                let old = number(Some(value));
                let new = if old + 1.0 > high {
                    old - 1.0
                } else {
                    old + 1.0
                };
                self.set(here, Event::Changed, place, place, json!(new));
                // A whole number that is written as one with a point is another JSON value; the model reads both.
                self.found.pop();
                #[expect(clippy::cast_possible_truncation, reason = "a small whole number")]
                self.set(here, Event::Changed, place, place, json!(new as i64));
            }
            Kind::Kept => self.set(here, Event::Changed, place, place, json!(["another"])),
            Kind::String(kind) => self.string(kind, here, value, place),
            Kind::List | Kind::Extensions | Kind::Flag => unreachable!(),
        }
    }

    fn sourced(&mut self, part: Part, here: Here, value: &'v Value, place: &str) {
        for (field, inner) in part.fields() {
            let Some(held) = value.get(field) else {
                continue;
            };
            let inner_here = if field == "value" {
                Here {
                    optional: false,
                    ..here
                }
            } else {
                Here {
                    row: row("sourced", field).unwrap(),
                    worst: here.row.changed,
                    half_width: None,
                    optional: true,
                }
            };
            self.at.push(("sourced", field));
            self.part(inner, inner_here, held, &format!("{place}/{field}"));
            self.at.pop();
        }
    }

    fn quantity(
        &mut self,
        part: Part,
        dimension: Dimension,
        here: Here,
        value: &'v Value,
        place: &str,
    ) {
        let old = number(value.get(0));
        let limits = part.limits();
        let mut to = |event, by: f64| {
            let Some(new) = [old + by, old - by]
                .into_iter()
                .find(|n| inside(*n, limits))
            else {
                return;
            };
            let event = match event {
                Event::Wider if new < old => Event::Narrower,
                event => event,
            };
            self.set(here, event, place, place, json!([new, value[1]]));
            // The first axle stands at 0 by definition, and the others in order behind it.
            if place.starts_with("/axles/") && place.contains("/position/") {
                self.unread();
            }
        };
        let scale = scale(dimension, value);
        match (here.row.rule, here.half_width) {
            (Rule::WithinUncertainty, Some(half_width)) => {
                to(Event::Within, half_width / scale * 0.5);
                to(Event::Changed, half_width / scale * 2.0);
            }
            (Rule::HalfWidth, _) => {
                to(Event::Wider, old * 0.5);
                to(Event::Narrower, -old * 0.5);
            }
            _ => {
                to(Event::Changed, old.abs() * 0.25 + 0.5);
                to(Event::Changed, 0.001);
            }
        }
        // Another unit with the same number is another value.
        let units: Vec<&Value> = part.schema["x-units"].as_array().unwrap().iter().collect();
        let other = units.iter().find(|unit| ***unit != value[1]);
        if let Some(unit) = other
            .filter(|_| here.half_width.is_none() && here.row.rule != Rule::HalfWidth && old != 0.0)
        {
            let new = json!([value[0], unit]);
            self.set(here, Event::Changed, place, place, new);
            self.unread();
        }
    }

    fn text(&mut self, here: Here, value: &'v Value, place: &str) {
        let string = |language: &str| value[language].as_str().unwrap_or_default().to_owned();
        let mut with = |event, language: &str, new: Option<String>| {
            let mut text = value.clone();
            match new {
                Some(new) => text[language] = new.into(),
                None => drop(text.as_object_mut().unwrap().remove(language)),
            }
            self.set(here, event, place, place, text);
        };
        let languages: Vec<&String> = value.as_object().unwrap().keys().collect();
        for language in &languages {
            with(
                Event::Changed,
                language,
                Some(format!("{} Beware", string(language))),
            );
            with(
                Event::Tidied,
                language,
                Some(format!("{} !", string(language).to_uppercase())),
            );
        }
        with(Event::LanguageAdded, "sv", Some("På svenska".to_owned()));
        if languages.len() > 1 {
            with(Event::LanguageRemoved, "es", None);
        }
    }

    fn place(&mut self, here: Here, value: &'v Value, place: &str, told_at: &str) {
        for (axis, inner) in Part::of(&super::model::root()["$defs"]["Place"]).fields() {
            let Some(old) = value.get(axis) else { continue };
            let Kind::Quantity(dimension) = inner.kind() else {
                unreachable!()
            };
            self.at.push(("Place", axis));
            let at = format!("{place}/{axis}");
            let scale = scale(dimension, old);
            let by = |metres: f64| json!([number(old.get(0)) + metres / scale, old[1]]);
            let h = here
                .half_width
                .filter(|_| here.row.rule == Rule::WithinUncertainty);
            if let Some(half_width) = h {
                self.set(here, Event::Within, told_at, &at, by(-0.5 * half_width));
                self.set(here, Event::Changed, told_at, &at, by(2.0 * half_width));
            } else {
                self.set(here, Event::Changed, told_at, &at, by(0.001));
                self.set(here, Event::Changed, told_at, &at, by(-0.5));
            }
            if axis == "z" {
                let told = event_of(here, Event::Changed, told_at);
                self.add(Edit::Remove(at), vec![told]);
            }
            self.at.pop();
        }
    }

    fn outline(&mut self, part: Part, here: Here, value: &'v Value, place: &str) {
        let name = part.name;
        let corners = value["corners"].as_array().unwrap();
        self.at.push((name, "corners"));
        for (i, corner) in corners.iter().enumerate() {
            let j = i % 2;
            let new = json!(number(corner.get(j)) - 0.5);
            self.set(
                here,
                Event::Changed,
                place,
                &format!("{place}/corners/{i}/{j}"),
                new,
            );
        }
        let told = event_of(here, Event::Changed, place);
        let new = json!([number(corners[0].get(0)) - 7.0, number(corners[0].get(1))]);
        self.add(Edit::Insert(format!("{place}/corners/0"), new), vec![told]);
        self.at.pop();
        self.at.push((name, "unit"));
        let unit = if value["unit"] == "cm" { "mm" } else { "cm" };
        self.set(
            here,
            Event::Changed,
            place,
            &format!("{place}/unit"),
            json!(unit),
        );
        self.at.pop();
    }

    fn ids(&self, list: &str) -> Vec<&'v str> {
        let items = self.profile.pointer(list).and_then(Value::as_array);
        items
            .into_iter()
            .flatten()
            .filter_map(|item| item["id"].as_str())
            .collect()
    }

    fn reference(&mut self, list: &str, here: Here, value: &'v Value, place: &str) {
        let old = value.as_str().unwrap();
        // Of sources the first of every strength, so that both a weaker and a stronger one are tried; else the first other one.
        let mut tried = Vec::new();
        for id in self.ids(list).into_iter().filter(|id| *id != old) {
            let event = self.strength_event(here, old, id);
            if !tried.contains(&event) {
                tried.push(event);
                self.set(here, event, place, place, json!(id));
            }
        }
    }

    fn strength_event(&self, here: Here, old: &str, new: &str) -> Event {
        if here.row.rule != Rule::Strength {
            return Event::Changed;
        }
        let of = |id: &str| strength(&self.kinds[id]);
        if of(new) < of(old) {
            Event::Weaker
        } else {
            Event::NoWeaker
        }
    }

    fn word(&mut self, part: Part, here: Here, value: &'v Value, place: &str) {
        let old = value.as_str().unwrap();
        for word in part.words().into_iter().filter(|word| *word != old) {
            let event = match here.row.rule {
                Rule::Strength if strength(word) < strength(old) => Event::Weaker,
                Rule::Strength => Event::NoWeaker,
                _ => Event::Changed,
            };
            self.set(here, event, place, place, json!(word));
        }
    }

    fn string(&mut self, kind: &str, here: Here, value: &'v Value, place: &str) {
        self.set(
            here,
            Event::Changed,
            place,
            place,
            json!(other_string(kind, value.as_str().unwrap())),
        );
        if kind == "format_version" {
            self.unread();
        }
    }

    fn extensions(&mut self, here: Here, value: &'v Value, place: &str) {
        for name in value.as_object().unwrap().keys() {
            let at = format!("{place}/{name}");
            self.set(here, Event::Changed, &at, &at, json!({"other": [1]}));
            let told = event_of(here, Event::Removed, &at);
            self.add(Edit::Remove(at), vec![told]);
        }
    }

    fn list(&mut self, part: Part, here: Here, value: &'v Value, place: &str) {
        let items = value.as_array().unwrap();
        let item = part.item();
        if matches!(item.kind(), Kind::Place) {
            return self.line(here, items, place);
        }
        let key = matches!(item.kind(), Kind::Struct)
            .then(|| item.key())
            .flatten();
        for (i, element) in items.iter().enumerate() {
            let at = format!("{place}/{i}");
            let told = event_of(here, Event::Removed, &at);
            self.add(Edit::Remove(at.clone()), vec![told]);
            self.unread();
            if i + 1 < items.len() {
                self.swap(part, here, place, i);
            }
            match item.kind() {
                Kind::Struct => {
                    self.keyed(item, here, (items, i), key, place);
                    self.fields(item, item.name, Grade::CanHurt, key, (element, &at));
                }
                Kind::Text => self.text(here, element, &at),
                _ => {}
            }
        }
    }

    /// Two neighbours change places.
    fn swap(&mut self, part: Part, here: Here, place: &str, first: usize) {
        let mut told = Vec::new();
        if part.is_ordered() {
            let mut moved = event_of(here, Event::Moved, &format!("{place}/{first}"));
            moved.after = Some(format!("{place}/{}", first + 1));
            told.push(moved);
        }
        self.add(Edit::Swap(place.to_owned(), first), told);
        self.unread();
    }

    /// Another id, which is another name for the same part, or another key, which is another part.
    fn keyed(
        &mut self,
        item: Part,
        here: Here,
        (items, i): (&'v [Value], usize),
        key: Option<&'static str>,
        place: &str,
    ) {
        let Some(key) = key else { return };
        let at = format!("{place}/{i}");
        let old = items[i][key].as_str().unwrap();
        self.at.push((item.name, key));
        if key == "id" {
            let id_row = row(item.name, "id").unwrap();
            let told = event_of(
                Here {
                    row: id_row,
                    worst: Grade::CanHurt,
                    half_width: None,
                    optional: false,
                },
                Event::Renamed,
                &format!("{at}/id"),
            );
            self.add(
                Edit::Rename(
                    place.to_owned(),
                    at,
                    old.to_owned(),
                    format!("{old}-renamed"),
                ),
                vec![told],
            );
        } else if let Some(new) = self.other_key(item, key, items, old) {
            let told = vec![
                event_of(here, Event::Removed, &at),
                event_of(here, Event::Added, &at),
            ];
            self.add(Edit::Set(format!("{at}/{key}"), json!(new)), told);
        }
        self.at.pop();
    }

    fn other_key(&self, item: Part, key: &str, items: &[Value], old: &str) -> Option<String> {
        let (_, field) = item
            .fields()
            .into_iter()
            .find(|(name, _)| *name == key)
            .unwrap();
        let taken = |new: &str| items.iter().any(|item| item[key] == new);
        match field.kind() {
            Kind::Reference(list) => self
                .ids(list)
                .into_iter()
                .find(|id| !taken(id))
                .map(str::to_owned),
            Kind::Words => field
                .words()
                .into_iter()
                .find(|word| !taken(word))
                .map(str::to_owned),
            Kind::String(kind) => Some(other_string(kind, old)),
            _ => None,
        }
    }

    /// A line in space changes as one.
    fn line(&mut self, here: Here, items: &'v [Value], place: &str) {
        for (i, corner) in items.iter().enumerate() {
            self.place(here, corner, &format!("{place}/{i}"), place);
        }
        let told = event_of(here, Event::Changed, place);
        self.add(
            Edit::Insert(format!("{place}/0"), items[items.len() - 1].clone()),
            vec![told],
        );
    }
}

fn inside(number: f64, (low, high): (f64, f64)) -> bool {
    number > low && number <= high
}

/// The half-width that stands inside a sourced value or beside a place, in SI units.
fn half_width(part: Part, held: &Value, beside: &Value, field: &str) -> Option<f64> {
    let (spread, dimension) = match part.kind() {
        Kind::Sourced => {
            let (_, inner) = part
                .fields()
                .into_iter()
                .find(|(name, _)| *name == "plus_minus")
                .unwrap();
            let Kind::Quantity(dimension) = inner.kind() else {
                unreachable!()
            };
            (held.get("plus_minus")?, dimension)
        }
        _ => (
            beside.get(format!("{field}_plus_minus"))?,
            Dimension::Length,
        ),
    };
    Some(number(spread.get(0)) * scale(dimension, spread))
}

fn other_string(kind: &str, old: &str) -> String {
    match kind {
        "format_version" => "1.1".to_owned(),
        "release_number" => format!("9.{old}").rsplit_once('.').unwrap().0.to_owned(),
        "language" => "sv".to_owned(),
        "market" => "SE".to_owned(),
        "media_type" => if old == "image/jpeg" {
            "text/csv"
        } else {
            "image/jpeg"
        }
        .to_owned(),
        "sign_code" => if old == "W042" { "W041" } else { "W042" }.to_owned(),
        "sha256_hex" => "f".repeat(64),
        "vin_mask" => format!("{}9", &old[..16]),
        "part_path" => format!("{old}/value"),
        "id" => format!("{old}-other"),
        "date" => "2026-05-21".to_owned(),
        "moment" => "2026-05-21T21:12:00Z".to_owned(),
        _ => format!("{old} two"),
    }
}

/// What is told of an event.
fn event_of(here: Here, event: Event, place: &str) -> Told {
    let gone = matches!(event, Event::Added);
    let new = matches!(event, Event::Removed);
    Told {
        event,
        row: here.row,
        worst: here.worst,
        before: (!gone).then(|| place.to_owned()),
        after: (!new).then(|| place.to_owned()),
    }
}
