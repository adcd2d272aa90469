//! The pages of the window and the fields that each shows: the one table.

/// A page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(missing_docs, reason = "the table below says what each shows")]
pub enum Page {
    Library,
    Diagram,
    Fit,
    Situations,
    Compare,
    Identity,
    Variants,
    Dimensions,
    Axles,
    Mass,
    Points,
    Zones,
    Energy,
    Procedures,
    Conditions,
    Hazards,
    Emergency,
    Transport,
    Sources,
    Reviews,
    Other,
    Publish,
    EquipmentGeneral,
    EquipmentTruck,
    EquipmentWinching,
    EquipmentLifting,
    EquipmentSecuring,
    EquipmentSources,
    EquipmentOther,
}

/// Which file a page belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Belongs {
    /// It is there without any file.
    Window,
    /// To a profile.
    Profile,
    /// To a piece of equipment.
    Equipment,
}

/// What is said of a page in one place.
#[derive(Debug, Clone, Copy)]
pub struct PageInfo {
    /// The page.
    pub page: Page,
    /// Which file it belongs to.
    pub belongs: Belongs,
    /// Its label in the list at the left and its heading.
    pub label: &'static str,
    /// What it is for, under its heading.
    pub help: &'static str,
    /// The fields of the document's top level that it shows, in order.
    pub fields: &'static [&'static str],
}

const fn page(
    page: Page,
    belongs: Belongs,
    label: &'static str,
    help: &'static str,
    fields: &'static [&'static str],
) -> PageInfo {
    PageInfo {
        page,
        belongs,
        label,
        help,
        fields,
    }
}

const PROFILE: Belongs = Belongs::Profile;
const EQUIPMENT: Belongs = Belongs::Equipment;

/// Every page, in the order of the list.
pub static PAGES: [PageInfo; 29] = [
    page(
        Page::Library,
        Belongs::Window,
        "Library",
        "The profiles and equipment of the open folder.",
        &[],
    ),
    page(
        Page::Diagram,
        PROFILE,
        "Diagram",
        "Side view and plan view, to scale.",
        &[],
    ),
    page(
        Page::Fit,
        PROFILE,
        "Fit",
        "Whether it loads, lifts, tows and holds with your own equipment.",
        &[],
    ),
    page(
        Page::Situations,
        PROFILE,
        "Situations",
        "From what is true now, the safe way to each goal, or why there is none.",
        &[],
    ),
    page(
        Page::Compare,
        PROFILE,
        "Compare",
        "What changed between two versions, whether it can hurt somebody, and what a reviewer says to it.",
        &["conflicts"],
    ),
    page(
        Page::Identity,
        PROFILE,
        "Identity",
        "Which vehicle the profile is about, and in which languages.",
        &["id", "identity", "language", "languages"],
    ),
    page(
        Page::Variants,
        PROFILE,
        "Variants",
        "Versions of the vehicle and what differs in each.",
        &["variants"],
    ),
    page(
        Page::Dimensions,
        PROFILE,
        "Dimensions",
        "Outer dimensions and outlines, unladen at curb mass.",
        &["dimensions"],
    ),
    page(
        Page::Axles,
        PROFILE,
        "Axles",
        "The axles from the front, and what turning them does.",
        &["axles"],
    ),
    page(
        Page::Mass,
        PROFILE,
        "Mass",
        "What is declared, what was weighed, and what comes on or off.",
        &["mass"],
    ),
    page(
        Page::Points,
        PROFILE,
        "Points",
        "Places with a use: lift, jack, tie-down, winch, disconnects, releases.",
        &["points"],
    ),
    page(
        Page::Zones,
        PROFILE,
        "Zones",
        "Regions that must not carry load, be cut or be reached into.",
        &["zones"],
    ),
    page(
        Page::Energy,
        PROFILE,
        "Energy",
        "Stored energy and how it is shut off.",
        &["energy"],
    ),
    page(
        Page::Procedures,
        PROFILE,
        "Procedures",
        "Ordered steps toward a purpose.",
        &["procedures"],
    ),
    page(
        Page::Conditions,
        PROFILE,
        "Conditions and debts",
        "Facts that steps need or bring about, what must be put back, and rules that no way may break.",
        &["conditions", "debts", "safety_rules"],
    ),
    page(
        Page::Hazards,
        PROFILE,
        "Hazards",
        "Hazard messages: what, what happens, and how to avoid it.",
        &["hazards"],
    ),
    page(
        Page::Emergency,
        PROFILE,
        "Fire, water, storage",
        "What to do with smoke or fire, in water, and when storing a damaged vehicle.",
        &["emergency"],
    ),
    page(
        Page::Transport,
        PROFILE,
        "Transport",
        "What sources allow and forbid. What the program computes stands elsewhere.",
        &["transport"],
    ),
    page(
        Page::Sources,
        PROFILE,
        "Sources and files",
        "Where values come from, and files kept with the profile.",
        &["sources", "attachments"],
    ),
    page(
        Page::Reviews,
        PROFILE,
        "Reviews and changes",
        "What reviewers decided, and what changed in each release.",
        &["reviews", "changes"],
    ),
    page(
        Page::Other,
        PROFILE,
        "Other data",
        "Format, release and data of other programs.",
        &["format", "release", "extensions"],
    ),
    page(
        Page::Publish,
        PROFILE,
        "Publish",
        "What blocks a release, what it will hold, and the release.",
        &[],
    ),
    page(
        Page::EquipmentGeneral,
        EQUIPMENT,
        "General",
        "What the equipment is and whose.",
        &["id", "name", "owner", "language", "note"],
    ),
    page(
        Page::EquipmentTruck,
        EQUIPMENT,
        "Truck and deck",
        "The truck under it and a carrier's deck.",
        &["chassis", "deck"],
    ),
    page(
        Page::EquipmentWinching,
        EQUIPMENT,
        "Winching",
        "Winch, bridle, snatch block and skates.",
        &["winch", "bridle", "snatch_block", "skates"],
    ),
    page(
        Page::EquipmentLifting,
        EQUIPMENT,
        "Lifting and towing",
        "Wheel lift, dollies, vehicle lift, jack and stands.",
        &["wheel_lift", "dollies", "vehicle_lift", "jack", "stands"],
    ),
    page(
        Page::EquipmentSecuring,
        EQUIPMENT,
        "Securing and protection",
        "Straps, chains and insulating gloves.",
        &["straps", "chains", "gloves"],
    ),
    page(
        Page::EquipmentSources,
        EQUIPMENT,
        "Sources and files",
        "Where values come from, and files kept with it.",
        &["sources", "attachments"],
    ),
    page(
        Page::EquipmentOther,
        EQUIPMENT,
        "Other data",
        "The format of the file.",
        &["format"],
    ),
];

impl Page {
    /// What is said of the page.
    pub fn info(self) -> &'static PageInfo {
        let found = PAGES.iter().find(|info| info.page == self);
        // The table holds every page; a test walks it. The first row only satisfies the type.
        let [first, ..] = &PAGES;
        found.unwrap_or(first)
    }
}

/// The pages of the window with a file of this kind open.
pub fn pages_for(open: Belongs) -> impl Iterator<Item = &'static PageInfo> {
    PAGES
        .iter()
        .filter(move |info| info.belongs == Belongs::Window || info.belongs == open)
}

/// The page that shows a place of a document.
pub fn page_of(place: &str, open: Belongs) -> Option<Page> {
    let first = crate::pointer::segments(place).into_iter().next()?;
    PAGES
        .iter()
        .find(|info| info.belongs == open && info.fields.contains(&first.as_str()))
        .map(|info| info.page)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::form::Node;

    fn check(open: Belongs, schema: &serde_json::Value) {
        for field in Node::root(schema).fields() {
            let shown = PAGES
                .iter()
                .filter(|info| info.belongs == open && info.fields.contains(&field))
                .count();
            assert_eq!(shown, 1, "{field} is on {shown} pages");
        }
        let fields = Node::root(schema).fields();
        for info in PAGES.iter().filter(|info| info.belongs == open) {
            assert!(
                info.fields.iter().all(|f| fields.contains(f)),
                "{}",
                info.label
            );
        }
    }

    #[test]
    fn every_field_of_the_model_is_on_exactly_one_page() {
        check(
            Belongs::Profile,
            &chockstone_schema::json_schema::profile().annotated,
        );
        check(
            Belongs::Equipment,
            &chockstone_schema::json_schema::equipment().annotated,
        );
    }

    #[test]
    fn every_page_is_in_the_table_once() {
        for info in &PAGES {
            assert_eq!(info.page.info().help, info.help);
            assert!(!info.label.is_empty());
        }
    }

    #[test]
    fn a_place_leads_to_its_page() {
        assert_eq!(
            page_of("/points/3/rating", Belongs::Profile),
            Some(Page::Points)
        );
        assert_eq!(
            page_of("/id", Belongs::Equipment),
            Some(Page::EquipmentGeneral)
        );
        assert_eq!(page_of("/nowhere", Belongs::Profile), None);
        assert_eq!(page_of("", Belongs::Profile), None);
    }
}
