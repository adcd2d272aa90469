//! Working load limits of tie-downs that carry no marking.
//!
//! Tables to 49 CFR 393.108, reproduced, read second-hand; its rules read. A marking overrides them.
//! Both printed columns are kept: the kilograms are *not* converted pounds (they differ by −2.0 to
//! +0.8 %). At 5/16 in grade 80 lies below grade 70, as printed. Unmarked welded chain counts as
//! grade 30; unmarked wire rope of unknown make as 6×37 with a fibre core.

/// A limit in both columns of a printed table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct PrintedLimit {
    /// The column of pounds.
    pub pounds: u32,
    /// The column of kilograms.
    pub kilograms: u32,
}

const fn printed(pounds: u32, kilograms: u32) -> PrintedLimit {
    PrintedLimit { pounds, kilograms }
}

/// The grade of a chain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ChainGrade {
    /// Grade 30, proof coil; also what is not marked.
    G30,
    /// Grade 43, high test.
    G43,
    /// Grade 70, transport.
    G70,
    /// Grade 80, alloy.
    G80,
    /// Grade 100, alloy.
    G100,
}

impl ChainGrade {
    /// Reads a grade as it is stamped: 3, 4, 7, 8, 10, or 30 … 100, or 300 … 1000. Tables to 49 CFR
    /// 393.108, second-hand. `None` for any other mark.
    pub fn from_mark(mark: &str) -> Option<Self> {
        Some(match mark.trim() {
            "3" | "30" | "300" => Self::G30,
            "4" | "43" | "430" => Self::G43,
            "7" | "70" | "700" => Self::G70,
            "8" | "80" | "800" => Self::G80,
            "10" | "100" | "1000" => Self::G100,
            _ => return None,
        })
    }
}

/// Returns the default limit of a chain by its nominal size in sixteenths of an inch.
///
/// `None` for sizes and grades that the table lacks.
pub fn chain_default(sixteenths: u32, grade: ChainGrade) -> Option<PrintedLimit> {
    let row = CHAIN.iter().find(|row| row.sixteenths == sixteenths)?;
    match grade {
        ChainGrade::G30 => Some(row.g30),
        ChainGrade::G43 => Some(row.g43),
        ChainGrade::G70 => Some(row.g70),
        ChainGrade::G80 => row.alloy.map(|(g80, _)| g80),
        ChainGrade::G100 => row.alloy.map(|(_, g100)| g100),
    }
}

/// Returns the default limit of webbing by its width in sixteenths of an inch (2 in are 32).
pub fn webbing_default(sixteenths: u32) -> Option<PrintedLimit> {
    find(&WEBBING, sixteenths)
}

/// Returns the default limit of 6×37 fibre core wire rope by its diameter in sixteenths of an inch.
pub fn wire_rope_default(sixteenths: u32) -> Option<PrintedLimit> {
    find(&WIRE_ROPE, sixteenths)
}

fn find(table: &[(u32, PrintedLimit)], sixteenths: u32) -> Option<PrintedLimit> {
    table
        .iter()
        .find(|(size, _)| *size == sixteenths)
        .map(|(_, limit)| *limit)
}

struct ChainRow {
    sixteenths: u32,
    g30: PrintedLimit,
    g43: PrintedLimit,
    g70: PrintedLimit,
    /// Grades 80 and 100, where printed.
    alloy: Option<(PrintedLimit, PrintedLimit)>,
}

const CHAIN: [ChainRow; 6] = [
    ChainRow {
        sixteenths: 4,
        g30: printed(1300, 580),
        g43: printed(2600, 1180),
        g70: printed(3150, 1430),
        alloy: Some((printed(3500, 1570), printed(4300, 1950))),
    },
    ChainRow {
        sixteenths: 5,
        g30: printed(1900, 860),
        g43: printed(3900, 1770),
        g70: printed(4700, 2130),
        alloy: Some((printed(4500, 2000), printed(5700, 2600))),
    },
    ChainRow {
        sixteenths: 6,
        g30: printed(2650, 1200),
        g43: printed(5400, 2450),
        g70: printed(6600, 2990),
        alloy: Some((printed(7100, 3200), printed(8800, 4000))),
    },
    ChainRow {
        sixteenths: 7,
        g30: printed(3700, 1680),
        g43: printed(7200, 3270),
        g70: printed(8750, 3970),
        alloy: None,
    },
    ChainRow {
        sixteenths: 8,
        g30: printed(4500, 2030),
        g43: printed(9200, 4170),
        g70: printed(11_300, 5130),
        alloy: Some((printed(12_000, 5400), printed(15_000, 6800))),
    },
    ChainRow {
        sixteenths: 10,
        g30: printed(6900, 3130),
        g43: printed(13_000, 5910),
        g70: printed(15_800, 7170),
        alloy: Some((printed(18_100, 8200), printed(22_600, 10_300))),
    },
];

/// 1 3/4, 2, 3 and 4 in.
const WEBBING: [(u32, PrintedLimit); 4] = [
    (28, printed(1750, 790)),
    (32, printed(2000, 910)),
    (48, printed(3000, 1360)),
    (64, printed(4000, 1810)),
];

/// 1/4 in to 1 in; 7/8 in and 1 in from memory.
const WIRE_ROPE: [(u32, PrintedLimit); 9] = [
    (4, printed(1400, 640)),
    (5, printed(2100, 950)),
    (6, printed(3000, 1360)),
    (7, printed(4100, 1860)),
    (8, printed(5300, 2400)),
    (10, printed(8300, 3770)),
    (12, printed(10_900, 4940)),
    (14, printed(16_100, 7300)),
    (16, printed(20_900, 9480)),
];

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::*;

    /// Tables to 49 CFR 393.108, reproduced, second-hand.
    #[test]
    fn printed_cells_of_the_chain_table() {
        let cell = |size, grade| chain_default(size, grade).map(|l| (l.pounds, l.kilograms));
        assert_eq!(cell(5, ChainGrade::G30), Some((1900, 860)));
        assert_eq!(cell(6, ChainGrade::G70), Some((6600, 2990)));
        assert_eq!(cell(10, ChainGrade::G100), Some((22_600, 10_300)));
        assert_eq!(cell(7, ChainGrade::G80), None);
        assert_eq!(cell(9, ChainGrade::G30), None);
    }

    #[test]
    fn at_five_sixteenths_grade_80_lies_below_grade_70() {
        let pounds = |grade| chain_default(5, grade).unwrap().pounds;
        assert!(pounds(ChainGrade::G80) < pounds(ChainGrade::G70));
    }

    #[test]
    fn webbing_and_wire_rope() {
        assert_eq!(webbing_default(32), Some(printed(2000, 910)));
        assert_eq!(webbing_default(64), Some(printed(4000, 1810)));
        assert_eq!(webbing_default(16), None);
        assert_eq!(wire_rope_default(8), Some(printed(5300, 2400)));
        assert_eq!(wire_rope_default(9), None);
    }

    /// Arithmetic from the printed columns, no citation: −2.0 % (grade 80, 5/16 in) to +0.8 % (wire
    /// rope, 1/4 in).
    #[test]
    fn the_columns_are_not_conversions_of_each_other() {
        let chain = CHAIN.iter().flat_map(|row| {
            let (g80, g100) = row.alloy.unzip();
            [Some(row.g30), Some(row.g43), Some(row.g70), g80, g100]
        });
        let others = WEBBING
            .iter()
            .chain(&WIRE_ROPE)
            .map(|(_, limit)| Some(*limit));
        let off = |limit: PrintedLimit| {
            f64::from(limit.kilograms) / (f64::from(limit.pounds) * 0.453_592_37) - 1.0
        };
        let all: Vec<_> = chain.chain(others).flatten().map(off).collect();
        let least = all.iter().copied().fold(f64::INFINITY, f64::min);
        let most = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        assert!((least + 0.020).abs() < 0.0005, "{least}");
        assert!((most - 0.008).abs() < 0.0005, "{most}");
    }

    #[test]
    fn grades_are_read_as_stamped() {
        for mark in ["7", "70", "700", " 70 "] {
            assert_eq!(ChainGrade::from_mark(mark), Some(ChainGrade::G70));
        }
        assert_eq!(ChainGrade::from_mark("10"), Some(ChainGrade::G100));
        assert_eq!(ChainGrade::from_mark("75"), None);
    }
}
