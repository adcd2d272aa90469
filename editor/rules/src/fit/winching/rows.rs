//! What the winch, its line and a block carry.

use std::f64::consts::PI;

use chockstone_mechanics::{
    propagation::Tracked,
    winching::{
        BlockRule, Drum, LayerInUse, MIN_WRAPS, PACKING_LOOSE, layer_pull, moving_block,
        redirect_load,
    },
};
use chockstone_schema::report::{Judged, Trust};

use crate::{
    checks::references::Rest,
    fit::{
        Job,
        carrying::missing_of,
        work::{Gear, Known, missing, refused},
    },
};

const LAYER: Rest = (
    "Constant torque of the drum (statics); agrees with TM 9-2320-338-10 within 0.08 %",
    Trust::Arithmetic,
);
const LINE: Rest = (
    "Statics: the line carries what the winch pulls",
    Trust::Arithmetic,
);
const WRAPS: Rest = (
    "TM 9-2320-338-10: five turns stay on the drum under load",
    Trust::Primary,
);
const BLOCK: Rest = (
    "Block loading tables in rigging-hardware handbooks; loss by an engineering case study of a recovery pull; both second-hand",
    Trust::SecondHand,
);
const LAYER_FORMULA: &str = "pull of the line, against the first layer's pull x (D + d) / (D + (2n - 1) x d); packing factor 0.7";

/// A winch's line on its drum.
pub(super) struct Rope {
    /// What the winch pulls on the layer in use, N.
    capacity: Known,
    /// The layer in use.
    layer: Option<u32>,
    /// What the line may carry, N.
    rating: Known,
    /// Line left on the drum and the length of five turns, where line out was chosen.
    left: Option<(Known, Known)>,
}

impl Rope {
    pub(super) fn of(job: &mut Job<'_>, gear: Gear<'_>) -> Self {
        let Some(winch) = &gear.equipment.winch else {
            let none = Err(missing("the winch", &gear.place("/winch")));
            return Self {
                capacity: none.clone(),
                layer: None,
                rating: none,
                left: None,
            };
        };
        let rating = job.of(
            &gear,
            winch.line_rating.as_ref(),
            "the line's working load limit",
            "/winch/line_rating",
        );
        let first = job.of(
            &gear,
            winch.line_pull.as_ref(),
            "the winch's line pull",
            "/winch/line_pull",
        );
        let drum = drum(job, gear);
        let out = match job.choices.line_out {
            Some(out) => job.number("line out as chosen", "m", out, 0.0),
            None => Ok(Tracked::exact(0.0)),
        };
        let in_use = match (&drum, &out) {
            (Ok(drum), Ok(out)) => drum.layer_in_use(out).map_err(|error| refused(&error)),
            (Err(sentences), _) | (_, Err(sentences)) => Err(sentences.clone()),
        };
        Self {
            capacity: capacity(&first, &drum, &in_use),
            layer: in_use.as_ref().ok().map(|in_use| in_use.layer),
            rating,
            left: job.choices.line_out.map(|_| left(&drum, in_use)),
        }
    }

    /// The rows for a pull of the line.
    pub(super) fn rows(&self, job: &Job<'_>, gear: Gear<'_>, pull: &Known) -> Vec<Judged> {
        let label = self.layer.map_or_else(
            || "Pull of the winch".to_owned(),
            |layer| format!("Pull of the winch, layer {layer}"),
        );
        let mut rows = vec![
            job.row("winch-pull", label, pull, "N", LAYER_FORMULA, LAYER)
                .at_most(&self.capacity, gear.place("/winch/line_pull")),
            job.row(
                "line-load",
                "Load of the line",
                pull,
                "N",
                "pull of the winch",
                LINE,
            )
            .at_most(&self.rating, gear.place("/winch/line_rating")),
        ];
        if let Some((left, five)) = &self.left {
            let row = job.row(
                "line-left",
                "Line left on the drum",
                left,
                "m",
                "line length - line out, against 5 x pi x (D + d)",
                WRAPS,
            );
            rows.push(row.at_least(five, "five turns on the bare drum"));
        }
        rows
    }
}

fn drum(job: &mut Job<'_>, gear: Gear<'_>) -> Result<Drum, Vec<String>> {
    let Some(winch) = &gear.equipment.winch else {
        return Err(missing("the winch", &gear.place("/winch")));
    };
    let diameter = job.of(
        &gear,
        winch.drum_diameter.as_ref(),
        "the drum's diameter",
        "/winch/drum_diameter",
    );
    let width = job.of(
        &gear,
        winch.drum_width.as_ref(),
        "the drum's width",
        "/winch/drum_width",
    );
    let line = job.of(
        &gear,
        winch.line_diameter.as_ref(),
        "the line's diameter",
        "/winch/line_diameter",
    );
    let length = job.of(
        &gear,
        winch.line_length.as_ref(),
        "the line's length",
        "/winch/line_length",
    );
    match (diameter, width, line, length) {
        (Ok(diameter), Ok(width), Ok(line_diameter), Ok(line_length)) => Ok(Drum {
            diameter,
            width,
            line_diameter,
            line_length,
            packing: PACKING_LOOSE,
        }),
        (diameter, width, line, length) => Err(missing_of(&[&diameter, &width, &line, &length])),
    }
}

fn capacity(
    first: &Known,
    drum: &Result<Drum, Vec<String>>,
    in_use: &Result<LayerInUse, Vec<String>>,
) -> Known {
    match (first, drum, in_use) {
        (Ok(first), Ok(drum), Ok(in_use)) => {
            layer_pull(first, &drum.diameter, &drum.line_diameter, in_use.layer)
                .map_err(|error| refused(&error))
        }
        (first, _, in_use) => {
            let mut sentences = first.clone().err().unwrap_or_default();
            sentences.extend(in_use.as_ref().err().into_iter().flatten().cloned());
            Err(sentences)
        }
    }
}

fn left(
    drum: &Result<Drum, Vec<String>>,
    in_use: Result<LayerInUse, Vec<String>>,
) -> (Known, Known) {
    let five = drum
        .as_ref()
        .map(|drum| (&drum.diameter + &drum.line_diameter) * (MIN_WRAPS * PI))
        .map_err(Clone::clone);
    (in_use.map(|in_use| in_use.on_drum), five)
}

/// The winch line's pull when a block on the vehicle moves with it, its two parts side by side.
pub(super) fn line_with_block(job: &mut Job<'_>, gear: Gear<'_>, pull: &Known) -> Known {
    let efficiency = gear.equipment.snatch_block.as_ref().map_or_else(
        || Err(missing("the block", &gear.place("/snatch_block"))),
        |block| {
            job.of(
                &gear,
                block.efficiency.as_ref(),
                "the efficiency of the block",
                "/snatch_block/efficiency",
            )
        },
    );
    match (pull, &efficiency) {
        (Ok(pull), Ok(efficiency)) => {
            let aside = Tracked::exact(0.0);
            moving_block(pull, efficiency, &aside, BlockRule::WholeLoss)
                .map_err(|error| refused(&error))
        }
        _ => Err(missing_of(&[pull, &efficiency])),
    }
}

/// What the block carries: both parts of its line.
pub(super) fn block_row(job: &mut Job<'_>, gear: Gear<'_>, line: &Known) -> Judged {
    let rating = gear.equipment.snatch_block.as_ref().map_or_else(
        || Err(missing("the block", &gear.place("/snatch_block"))),
        |block| {
            job.of(
                &gear,
                block.rating.as_ref(),
                "the block's working load limit",
                "/snatch_block/rating",
            )
        },
    );
    let load = line.as_ref().map_err(Clone::clone).and_then(|line| {
        redirect_load(line, &Tracked::exact(0.0)).map_err(|error| refused(&error))
    });
    job.row(
        "block-load",
        "Load of the block",
        &load,
        "N",
        "2 x pull of the winch, which is load / (2 x efficiency)",
        BLOCK,
    )
    .at_most(&rating, gear.place("/snatch_block/rating"))
}
