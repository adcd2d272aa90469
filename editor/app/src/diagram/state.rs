//! What the diagram remembers between frames.

use std::collections::BTreeSet;

use chockstone_schema::{
    Profile,
    model::{geometry::ZoneKind, point::PointKind},
    report::{Finding, MassResult, Severity},
};

use super::{
    edits,
    glyph::{self, Group},
    hit,
    projection::{Camera, View},
    snap,
    ticks::Measure,
};
use crate::{command::Command, document::Edit, widgets::UnitSystem};

/// What the diagram shows and from what; it changes nothing of it.
#[derive(Clone, Copy)]
pub struct DiagramInput<'a> {
    /// The open profile.
    pub profile: &'a Profile,
    /// Mass and centre of gravity of each variant, as the rules computed them.
    pub masses: &'a [MassResult],
    /// What the checks found; marked at the points they are about.
    pub findings: &'a [Finding],
    /// The units that a person chose.
    pub system: UnitSystem,
}

impl DiagramInput<'_> {
    /// The mass result of a variant, or of a profile without variants.
    pub fn mass(&self, variant: Option<&str>) -> Option<&MassResult> {
        self.masses.iter().find(|m| m.variant.as_deref() == variant)
    }

    /// The worst finding about a place or a part of it.
    pub(super) fn worst(&self, pointer: &str) -> Option<Severity> {
        let about = self
            .findings
            .iter()
            .filter(|f| crate::pointer::is_within(&f.place, pointer));
        about.map(|f| f.severity).min()
    }

    /// In which units rulers and readings are. "As entered" follows the unit of the wheelbase or the last axle.
    pub fn measure(&self) -> Measure {
        match self.system {
            UnitSystem::Si => Measure::Si,
            UnitSystem::UsCustomary => Measure::UsCustomary,
            UnitSystem::AsEntered => {
                let wheelbase = self
                    .profile
                    .dimensions
                    .wheelbase
                    .as_ref()
                    .map(|w| w.value.unit());
                let axle = self.profile.axles.last().map(|a| a.position.value.unit());
                match wheelbase.or(axle) {
                    Some("in" | "ft") => Measure::UsCustomary,
                    _ => Measure::Si,
                }
            }
        }
    }
}

/// What a frame of the diagram asks the document to do.
#[derive(Debug, Default)]
pub struct DiagramOutput {
    /// Edits to apply, in order.
    pub edits: Vec<Edit>,
    /// The pointer of what a person selected in this frame.
    pub went_to: Option<String>,
    /// The pointer of what a person wants to see in its form.
    pub open_form: Option<String>,
}

impl DiagramOutput {
    /// The same as commands of the window. A selection alone is none: it stays on the page.
    pub fn into_commands(self) -> Vec<Command> {
        let edits = self.edits.into_iter().map(Command::Edit);
        edits.chain(self.open_form.map(Command::GoTo)).collect()
    }
}

/// Which variant of the vehicle is shown.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub enum ShownVariant {
    /// The first one, or the vehicle itself where it has no variants.
    #[default]
    First,
    /// The general values and the parts of every variant, without any mass result.
    All,
    /// The one with this id.
    Named(String),
}

/// Which views are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Shown {
    /// The side view above the plan view.
    #[default]
    Both,
    /// The side view alone.
    Side,
    /// The plan view alone.
    Plan,
}

impl Shown {
    /// The views, from the top.
    pub fn views(self) -> &'static [View] {
        match self {
            Self::Both => &[View::Side, View::Plan],
            Self::Side => &[View::Side],
            Self::Plan => &[View::Plan],
        }
    }
}

/// What is drawn and what is left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[expect(clippy::struct_excessive_bools, reason = "each is one checkbox")]
pub struct Layers {
    /// The grid.
    pub grid: bool,
    /// The outlines.
    pub outline: bool,
    /// Axles and wheels.
    pub axles: bool,
    /// What each axle carries.
    pub loads: bool,
    /// Battery packs and cables.
    pub energy: bool,
    /// Zones.
    pub zones: bool,
    /// Points.
    pub points: bool,
    /// The names of points.
    pub labels: bool,
    /// The centre of gravity.
    pub centre: bool,
    /// The legend.
    pub legend: bool,
}

impl Default for Layers {
    fn default() -> Self {
        Self {
            grid: true,
            outline: true,
            axles: true,
            loads: true,
            energy: true,
            zones: true,
            points: true,
            labels: true,
            centre: true,
            legend: true,
        }
    }
}

impl Layers {
    /// Each layer with its name, for the menu.
    pub fn named(&mut self) -> [(&'static str, &mut bool); 10] {
        [
            ("Grid", &mut self.grid),
            ("Outlines", &mut self.outline),
            ("Axles and wheels", &mut self.axles),
            ("Axle loads", &mut self.loads),
            ("Packs and cables", &mut self.energy),
            ("Zones", &mut self.zones),
            ("Points", &mut self.points),
            ("Names of points", &mut self.labels),
            ("Centre of gravity", &mut self.centre),
            ("Legend", &mut self.legend),
        ]
    }
}

/// What a drag holds.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Held {
    /// A point, by its number in the list; its twin moves the other way across the centre plane.
    Point {
        /// Its number.
        index: usize,
        /// Whether the twin on the other side is held.
        twin: bool,
    },
    /// A corner of an outline.
    Corner {
        /// The outline's pointer.
        outline: String,
        /// The corner's number.
        index: usize,
    },
}

/// A drag under way. Nothing is changed in the file until it ends.
#[derive(Clone, Debug)]
pub(super) struct Drag {
    /// What is held.
    pub held: Held,
    /// In which view.
    pub view: View,
    /// From the pointer to what is held, in the view's two coordinates.
    pub grip: [f64; 2],
    /// Where it is now, in the view's two coordinates (of the original, for a twin).
    pub flat: [f64; 2],
    /// The lines it was pulled onto.
    pub lines: Vec<snap::Line>,
}

/// A point about to be placed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placing {
    /// Its kind.
    pub kind: PointKind,
    /// Whether it becomes a mirrored pair.
    pub mirrored: bool,
}

impl Placing {
    /// Starts placing; what usually comes in pairs starts as a pair.
    pub fn new(kind: PointKind) -> Self {
        let paired = glyph::group(kind) == Group::Support || kind == PointKind::TieDown;
        Self {
            kind,
            mirrored: paired,
        }
    }
}

/// What the diagram remembers between frames.
#[derive(Clone, Debug)]
pub struct DiagramState {
    /// What both views look at.
    pub camera: Camera,
    /// Which views are shown.
    pub shown: Shown,
    /// Which variant is shown.
    pub variant: ShownVariant,
    /// What is drawn.
    pub layers: Layers,
    /// Whether drags are pulled onto lines that matter.
    pub snap: bool,
    /// The pointer of what is selected; shared with the forms.
    pub selection: Option<String>,
    /// The pointers of what is shown as if it were selected, where several things are meant at once.
    pub marked: BTreeSet<String>,
    /// The point being placed.
    pub placing: Option<Placing>,
    pub(super) drag: Option<Drag>,
    pub(super) fit_wanted: bool,
    pub(super) hovered: Option<String>,
    pub(super) focused_view: Option<(View, bool)>,
    /// Set when the selected thing shall take the keyboard's focus, as a new point does.
    pub(super) focus_wanted: bool,
    pub(super) hint: Option<String>,
    /// What was under the last right click.
    pub(super) menu: Vec<hit::Hit>,
}

impl Default for DiagramState {
    fn default() -> Self {
        Self {
            camera: Camera::default(),
            shown: Shown::default(),
            variant: ShownVariant::default(),
            layers: Layers::default(),
            snap: true,
            selection: None,
            marked: BTreeSet::new(),
            placing: None,
            drag: None,
            fit_wanted: true,
            hovered: None,
            focused_view: None,
            focus_wanted: false,
            hint: None,
            menu: Vec::new(),
        }
    }
}

impl DiagramState {
    /// Asks for the whole vehicle to be shown, as after opening another file.
    pub fn zoom_to_fit(&mut self) {
        self.fit_wanted = true;
    }

    /// Shows what is at a pointer as selected, as the forms and findings do.
    pub fn select(&mut self, pointer: Option<&str>) {
        self.selection = pointer.map(str::to_owned);
    }

    /// The id of the variant to show; none for the general values and every part.
    pub(super) fn variant_id(&self, profile: &Profile) -> Option<String> {
        let first = || profile.variants.first().map(|v| v.id.to_string());
        match &self.variant {
            ShownVariant::All => None,
            ShownVariant::Named(id) if profile.variant(id).is_some() => Some(id.clone()),
            ShownVariant::First | ShownVariant::Named(_) => first(),
        }
    }

    /// The number of the selected point.
    pub fn selected_point(&self) -> Option<usize> {
        edits::point_index(self.selection.as_deref()?)
    }

    /// The selected corner: its outline's pointer and its number.
    pub fn selected_corner(&self) -> Option<(&str, usize)> {
        edits::corner_index(self.selection.as_deref()?)
    }

    /// Whether something, or a part of it, is selected.
    pub fn is_selected(&self, pointer: &str) -> bool {
        self.selection
            .as_deref()
            .is_some_and(|s| crate::pointer::is_within(s, pointer))
    }
}

/// What a kind of zone is called.
pub(super) fn zone_name(kind: ZoneKind) -> &'static str {
    match kind {
        ZoneKind::NoLifting => "No lifting",
        ZoneKind::NoCutting => "No cutting",
        ZoneKind::NoReaching => "No reaching in",
        ZoneKind::HighVoltage => "High voltage",
        ZoneKind::HighStrength => "High-strength structure",
        ZoneKind::Inflator => "Inflator or gas strut",
    }
}

/// Every kind of zone, in the order of the legend.
pub(super) const ZONE_KINDS: [ZoneKind; 6] = [
    ZoneKind::NoLifting,
    ZoneKind::NoCutting,
    ZoneKind::NoReaching,
    ZoneKind::HighVoltage,
    ZoneKind::HighStrength,
    ZoneKind::Inflator,
];
