//! The vehicle as it is lifted: whole, or with a heavy part taken out.

use chockstone_mechanics::{
    lifting::Spot,
    mass::{self as statics, Change},
    propagation::Tracked,
};
use chockstone_schema::{
    model::mass::{Item, ItemState},
    quantity::Coordinate,
};

use super::super::work::{Job, Known, missing};
use crate::view::At;

/// A part lighter than this share of the vehicle moves the centre of gravity too little to matter.
const HEAVY_SHARE: f64 = 0.05;

/// The most parts whose removal is looked at, heaviest first.
const MOST_ITEMS: usize = 3;

/// Mass and centre of gravity, or what is missing of them.
#[derive(Clone, Debug)]
pub(super) struct Body {
    pub(super) mass: Known,
    pub(super) x: Known,
    pub(super) y: Known,
    /// Above the ground with the vehicle on its wheels.
    pub(super) z: Known,
}

impl Body {
    pub(super) fn of(job: &Job<'_>) -> Self {
        Self {
            mass: job.mass(),
            x: job.centre_x(),
            y: job.centre_y(),
            z: job.centre_z(),
        }
    }

    /// The centre of gravity in plan, or everything that is missing for it.
    pub(super) fn centre(&self) -> Result<Spot, Vec<String>> {
        match (&self.x, &self.y) {
            (Ok(x), Ok(y)) => Ok(Spot::new(x.clone(), y.clone())),
            (x, y) => Err(all_missing([x, y])),
        }
    }

    /// The same vehicle with one of its items taken out.
    pub(super) fn without(&self, job: &mut Job<'_>, index: usize, item: &Item) -> Self {
        let place = format!("/mass/items/{index}");
        let mass = At {
            value: &item.mass,
            place: format!("{place}/mass"),
        };
        let mass = job.own(Some(&mass), "the mass of the item", &mass.place);
        let mut coordinate = |axis: &str, value: Option<Coordinate>| {
            let pointer = format!("{place}/place/{axis}");
            let value = value.ok_or_else(|| missing("the place of the item", &pointer))?;
            job.number(&pointer, "m", value.metres(), 0.0)
        };
        let x = coordinate("x", item.place.as_ref().map(|p| p.x));
        let y = coordinate("y", item.place.as_ref().map(|p| p.y));
        let z = coordinate("z", item.place.as_ref().and_then(|p| p.z));
        self.less(&mass, &Self::known(&self.x, x), [y, z])
    }

    /// An unknown place of the vehicle outweighs that of the item, of which nothing more need be said.
    fn known(of_body: &Known, of_item: Known) -> Known {
        of_body.as_ref().map_err(Clone::clone)?;
        of_item
    }

    fn less(&self, mass: &Known, x: &Known, [y, z]: [Known; 2]) -> Self {
        let (y, z) = (Self::known(&self.y, y), Self::known(&self.z, z));
        let (Ok(whole), Ok(part)) = (&self.mass, mass) else {
            let lacking = all_missing([&self.mass, mass]);
            let [mass, x, y, z] = [(); 4].map(|()| Err(lacking.clone()));
            return Self { mass, x, y, z };
        };
        // Where x is not known the mass still is; the datum then does not matter.
        let zero = || Tracked::exact(0.0);
        let own = |known: &Known| known.clone().ok();
        let body = statics::Body {
            mass: whole.clone(),
            x: own(&self.x).unwrap_or_else(zero),
            y: own(&self.y),
            z: own(&self.z),
        };
        let item = statics::Item {
            change: Change::Removed,
            mass: part.clone(),
            x: own(x).unwrap_or_else(zero),
            y: own(&y),
            z: own(&z),
        };
        match statics::with_items(&body, &[item]) {
            Ok(rest) => Self {
                mass: Ok(rest.mass),
                x: x.clone().map(|_| rest.x),
                y: y.and_then(|_| rest.y.ok_or_else(Vec::new)),
                z: z.and_then(|_| rest.z.ok_or_else(Vec::new)),
            },
            Err(error) => {
                let sentence = vec![format!("Impossible: {error}.")];
                let [mass, x, y, z] = [(); 4].map(|()| Err(sentence.clone()));
                Self { mass, x, y, z }
            }
        }
    }
}

/// The sentences of all that is missing, each once.
pub(super) fn all_missing<'k>(known: impl IntoIterator<Item = &'k Known>) -> Vec<String> {
    let mut sentences: Vec<String> = Vec::new();
    for sentence in known.into_iter().filter_map(|k| k.as_ref().err()).flatten() {
        if !sentences.contains(sentence) {
            sentences.push(sentence.clone());
        }
    }
    sentences
}

/// The heavy parts of the vehicle's mass that can be taken out, heaviest first, with their places in the list.
pub(super) fn heavy_items<'p>(job: &Job<'p>, body: &Body) -> Vec<(usize, &'p Item)> {
    let view = job.view;
    let whole = body.mass.as_ref().map_or(0.0, Tracked::value);
    let all = view.profile.mass.items.iter().enumerate();
    let mut heavy: Vec<(usize, &Item)> = all
        .filter(|(_, item)| item.state == ItemState::Included && view.has(&item.variants))
        .filter(|(_, item)| whole > 0.0 && item.mass.si() >= HEAVY_SHARE * whole)
        .collect();
    heavy.sort_by(|(_, a), (_, b)| b.mass.si().total_cmp(&a.mass.si()));
    heavy.truncate(MOST_ITEMS);
    heavy
}
