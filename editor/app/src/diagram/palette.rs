//! The colours of the drawing, in a light and a dark set that go with the window's.
//!
//! Marks that carry meaning reach a contrast of 3 to 1 on the paper (WCAG 2.2, success criterion 1.4.11; from
//! memory), which the tests compute. Nothing is told by colour alone: points differ by shape, zones by hatching.

use chockstone_schema::model::geometry::ZoneKind;
use egui::{Color32, Ui};

use super::glyph::Group;

/// The colours of one set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Palette {
    /// Behind the drawing.
    pub paper: Color32,
    /// Behind the rulers.
    pub ruler: Color32,
    /// Fine grid lines.
    pub grid: Color32,
    /// Grid lines at labelled marks.
    pub grid_strong: Color32,
    /// Ruler marks, dimension text, the front mark.
    pub soft: Color32,
    /// Labels and values.
    pub text: Color32,
    /// The ground and the centre plane.
    pub ground: Color32,
    /// Inside the body.
    pub body: Color32,
    /// The outline.
    pub outline: Color32,
    /// Inside tyres.
    pub tyre: Color32,
    /// The lines of tyres and rims.
    pub wheel: Color32,
    /// Inside packs.
    pub pack: Color32,
    /// The lines of packs and the marks of motors.
    pub pack_line: Color32,
    /// High-voltage cables.
    pub cable: Color32,
    /// Zones that forbid.
    pub forbid: Color32,
    /// Zones that hold a danger.
    pub danger: Color32,
    /// Zones that tools may fail on.
    pub strong: Color32,
    /// Points that carry the vehicle.
    pub support: Color32,
    /// Points that are pulled on.
    pub pull: Color32,
    /// Points of a supply of electricity.
    pub electric: Color32,
    /// Points that open something.
    pub opening: Color32,
    /// What is selected.
    pub selected: Color32,
    /// What is under the pointer.
    pub hovered: Color32,
}

const fn rgb(hex: u32) -> Color32 {
    let [_, r, g, b] = hex.to_be_bytes();
    Color32::from_rgb(r, g, b)
}

/// The light set.
pub const LIGHT: Palette = Palette {
    paper: rgb(0xFD_FD_FB),
    ruler: rgb(0xF1_F2_EF),
    grid: rgb(0xF0_F1_EE),
    grid_strong: rgb(0xE1_E4_E1),
    soft: rgb(0x5B_65_69),
    text: rgb(0x1E_24_26),
    ground: rgb(0x74_7E_80),
    body: rgb(0xE9_ED_EC),
    outline: rgb(0x3D_49_4E),
    tyre: rgb(0xC9_CE_CE),
    wheel: rgb(0x3D_43_46),
    pack: rgb(0xD3_E4_F4),
    pack_line: rgb(0x2A_62_9E),
    cable: rgb(0xC2_57_00),
    forbid: rgb(0xB0_25_25),
    danger: rgb(0xA0_52_00),
    strong: rgb(0x5A_55_7C),
    support: rgb(0x0B_60_6B),
    pull: rgb(0x1C_6B_33),
    electric: rgb(0x9A_4A_00),
    opening: rgb(0x72_36_96),
    selected: rgb(0xC4_00_6B),
    hovered: rgb(0x5B_65_69),
};

/// The dark set.
pub const DARK: Palette = Palette {
    paper: rgb(0x16_1A_1C),
    ruler: rgb(0x22_27_29),
    grid: rgb(0x1D_22_24),
    grid_strong: rgb(0x2A_31_34),
    soft: rgb(0x9A_A5_A8),
    text: rgb(0xE9_EC_EA),
    ground: rgb(0x7D_88_8B),
    body: rgb(0x23_2A_2D),
    outline: rgb(0xB4_C0_C3),
    tyre: rgb(0x3A_42_45),
    wheel: rgb(0xAE_B8_BA),
    pack: rgb(0x22_37_4C),
    pack_line: rgb(0x7F_B6_EE),
    cable: rgb(0xFF_9A_45),
    forbid: rgb(0xFF_84_7C),
    danger: rgb(0xF2_B5_5C),
    strong: rgb(0xB9_B3_E0),
    support: rgb(0x6C_C8_D2),
    pull: rgb(0x86_D3_A2),
    electric: rgb(0xFF_B0_66),
    opening: rgb(0xD2_A4_F0),
    selected: rgb(0xFF_6F_B8),
    hovered: rgb(0xC8_D0_D2),
};

impl Palette {
    /// The set of the theme that is shown.
    pub fn of(ui: &Ui) -> &'static Self {
        if ui.visuals().dark_mode {
            &DARK
        } else {
            &LIGHT
        }
    }

    /// The colour of a group of points.
    pub fn group(&self, group: Group) -> Color32 {
        match group {
            Group::Support => self.support,
            Group::Pull => self.pull,
            Group::Electric => self.electric,
            Group::Opening => self.opening,
            Group::Other => self.soft,
        }
    }

    /// The colour of a kind of zone.
    pub fn zone(&self, kind: ZoneKind) -> Color32 {
        match kind {
            ZoneKind::NoLifting | ZoneKind::NoCutting | ZoneKind::NoReaching => self.forbid,
            ZoneKind::HighVoltage | ZoneKind::Inflator => self.danger,
            ZoneKind::HighStrength => self.strong,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance as WCAG 2.2 defines it for sRGB (from memory).
    fn luminance(color: Color32) -> f64 {
        let linear = |c: u8| {
            let c = f64::from(c) / 255.0;
            if c <= 0.04045 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * linear(color.r()) + 0.7152 * linear(color.g()) + 0.0722 * linear(color.b())
    }

    #[track_caller]
    fn check(name: &str, mark: Color32, ground: Color32, least: f64) {
        let (a, b) = (luminance(mark), luminance(ground));
        let ratio = (a.max(b) + 0.05) / (a.min(b) + 0.05);
        assert!(ratio >= least, "{name} is {ratio:.2} to 1");
    }

    #[test]
    fn marks_can_be_told_from_paper_body_and_pack() {
        for p in [LIGHT, DARK] {
            for ground in [p.paper, p.body, p.pack] {
                for (name, mark) in [
                    ("outline", p.outline),
                    ("wheel", p.wheel),
                    ("pack line", p.pack_line),
                    ("cable", p.cable),
                    ("forbid", p.forbid),
                    ("danger", p.danger),
                    ("strong", p.strong),
                    ("support", p.support),
                    ("pull", p.pull),
                    ("electric", p.electric),
                    ("opening", p.opening),
                    ("other", p.soft),
                    ("selected", p.selected),
                    ("ground", p.ground),
                ] {
                    check(name, mark, ground, 3.0);
                }
            }
        }
    }

    #[test]
    fn labels_and_ruler_text_can_be_read() {
        for p in [LIGHT, DARK] {
            for ground in [p.paper, p.body, p.pack, p.ruler] {
                check("text", p.text, ground, 4.5);
                check("ruler text", p.soft, ground, 4.5);
            }
        }
    }
}
