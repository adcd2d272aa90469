//! What the checks rest on, and how far each source may be trusted.

use chockstone_schema::report::Trust::{
    self, Arithmetic, Computed, Logic, Memory, Practice, Primary, SecondHand,
};

/// A title with clause, and how it was read.
pub(crate) type Rest = (&'static str, Trust);

pub(crate) const LOGIC: Rest = ("Plain logic", Logic);
pub(crate) const PRACTICE: Rest = ("Common practice, no source", Practice);
pub(crate) const HIGH_VOLTAGE: Rest = (
    "49 CFR 571.305 S3: high voltage is above 60 V DC or 30 V AC",
    Primary,
);
pub(crate) const CLASS_B: Rest = (
    "ISO 6469-3, voltage class B: up to 1,500 V DC or 1,000 V AC; from memory",
    Memory,
);
pub(crate) const ISOLATION: Rest = (
    "UN R100, 5.1.3: 100 ohm per volt, 500 where circuits are joined; quoted",
    SecondHand,
);
pub(crate) const POST_CRASH: Rest = (
    "UN R94, 5.2.8, quoted, and GTR 20 as NTSB SR-20/01 gives it: 60 V DC or 30 V AC, or less than 0.2 J (2.0 J in an older R94)",
    SecondHand,
);
pub(crate) const SIGNAL_WORD: Rest = (
    "ANSI Z535.4-2007, 4.14: meanings of the signal words; quoted",
    SecondHand,
);
pub(crate) const MESSAGE_PARTS: Rest = (
    "ANSI Z535.4 and Z535.6: hazard, consequence and avoidance; from memory",
    Memory,
);
pub(crate) const SIGNS: Rest = (
    "ISO 7010, from a public register's copy of 2025-10",
    SecondHand,
);
pub(crate) const FIFTY_FEET_FLOODED: Rest = (
    "USFA, 2022-10-20, on NHTSA's advice for flooded vehicles: 50 ft (15 m)",
    Primary,
);
pub(crate) const FIFTY_FEET_DAMAGED: Rest = (
    "Washington SB 5909 bill report, 2024: 50 ft for vehicles damaged in a crash",
    SecondHand,
);
pub(crate) const SALT_WATER: Rest = (
    "USFA, 2022-10-20: fires start days to weeks after salt water",
    Primary,
);
pub(crate) const NHTSA: Rest = ("NHTSA interim guidance 811575, version 2 (2014)", Primary);
pub(crate) const TWO_METHODS: Rest = (
    "SAE J2990, press text of 2012: 'a minimum of tw…', cut off there",
    SecondHand,
);
pub(crate) const CUT_LOOP: Rest = (
    "NTSB SR-20/01: a cut loop is low voltage and does not remove the pack's energy; second-hand",
    SecondHand,
);
pub(crate) const ORANGE: Rest = (
    "UN R100, 5.1.1.5: orange covering for cables outside enclosures only; from a copy",
    SecondHand,
);
pub(crate) const HALF_WEIGHT: Rest = (
    "FMCSA Driver's Handbook, ch. 9: working load limits add up to at least half the weight",
    Primary,
);
pub(crate) const SECURING_FORCES: Rest = (
    "49 CFR 393.102(a)(1), one edition: 0.8 g forward, 0.5 g rearward and sideways",
    Primary,
);
pub(crate) const TWO_AND_TWO: Rest = (
    "FMCSA Driver's Handbook, ch. 9: at least two tie-downs at both the front and rear (49 CFR 393.128(b), from memory: two in all)",
    Primary,
);
pub(crate) const LIGHT_LIMIT: Rest = (
    "FMCSA Driver's Handbook, ch. 9: cars, light trucks and vans up to 10,000 lb",
    Primary,
);
pub(crate) const DAMAGED_CELLS: Rest = (
    "PHMSA letter 24-0050, 2024-07-02: damaged lithium batteries move under 49 CFR 173.185(f), without relief by (d)",
    Primary,
);
pub(crate) const TURNING_WHEELS: Rest = (
    "Course text attributing to SAE J2990: do not tow with drive wheels turning on the ground",
    SecondHand,
);
pub(crate) const JUMP_ORDER: Rest = (
    "Jump start sequence on which several public texts agree",
    SecondHand,
);
pub(crate) const JACKS: Rest = (
    "29 CFR 1910.244(a)(2): after raising, crib, block or otherwise secure at once",
    Primary,
);
pub(crate) const GLOVE_TESTS: Rest = (
    "29 CFR 1910.137(c)(2), Table I-5: tested every 6 months, 12 before first issue; second-hand",
    SecondHand,
);
pub(crate) const GLOVE_CLASSES: Rest = (
    "ASTM D120 classes by trade tables: AC limits second-hand; DC limits from memory except class 0",
    Memory,
);
pub(crate) const WEIGHT_CLASSES: Rest = ("NHTSA vPIC list of GVWR classes", Primary);
pub(crate) const FLUORIDE: Rest = (
    "Larsson et al., Scientific Reports 7:10018 (2017): 20 to 200 mg of HF per Wh of burning cells",
    Primary,
);
pub(crate) const INLETS: Rest = (
    "SAE J1772 and CCS1: single phase, five contacts; second-hand",
    SecondHand,
);
pub(crate) const MODES: Rest = (
    "IEC 61851-1: mode 4 is direct current from a charger outside the vehicle; second-hand",
    SecondHand,
);
pub(crate) const VEHICLE_DATA: Rest = (
    "Ranges from open vehicle data (EPA test cars 2022, an open model file, NHTSA vPIC)",
    Computed,
);
pub(crate) const MEMORY_RANGE: Rest = ("Usual range, from memory", Memory);
pub(crate) const ONE_POSITION: Rest = (
    "BS ISO 17840:2013 preview: versions whose component positions differ need their own sheet",
    SecondHand,
);
pub(crate) const SOURCES_DIFFER: Rest = (
    "USFA and NHTSA, Electric Vehicle Fire/Rescue Response Operations Guide, 2025-07-29: tactics are not all evidence-based",
    Primary,
);
pub(crate) const LENGTH_SUM: Rest = (
    "L103 = L104 + L101 + L105 (SAE J1100 codes from memory; the sum is arithmetic)",
    Arithmetic,
);
pub(crate) const STABILITY: Rest = (
    "Public compilation of NHTSA measurements to 1998 with later electric rows, widened; second-hand",
    SecondHand,
);
pub(crate) const AXLE_LIFT: Rest = (
    "ISO 10392:1992, clause 3, and :2011, 6.2, excerpts",
    SecondHand,
);
pub(crate) const FREE_SUSPENSION: Rest = (
    "SAE Congress 1998, 'Vehicle CG Height Measurement Errors', abstract",
    SecondHand,
);
pub(crate) const LIFT_ANGLE: Rest = (
    "Course notes 'Vehicle Inertial Measurements': lift angles above 15 degrees",
    Primary,
);
pub(crate) const AGREEMENT: Rest = (
    "Normalised difference of ISO/IEC 17043 and ISO 13528, from memory: above 1 two readings disagree",
    Memory,
);
pub(crate) const LIFT_POINTS: Rest = (
    "Proposal, no published figure: a lift stands on four places",
    Practice,
);
pub(crate) const RESPONSE_CONTENT: Rest = (
    "ISO 17840-3:2019, abstract, and 49 CFR 172.602: fire, submersion, towing, storage",
    Primary,
);
pub(crate) const VIN: Rest = ("ISO 3779 and 49 CFR 565, by summaries", SecondHand);
