//! Colours and spacing of the window, in a light and a dark set.
//!
//! Every pair of text and ground reaches a contrast of 4.5 to 1 (WCAG 2.2, success criterion 1.4.3, level AA; from
//! memory), and marks that carry meaning reach 3 to 1 (1.4.11); the tests compute both. Meaning is never told by colour
//! alone: a severity has a shape and a word.

use egui::{Color32, Context, CornerRadius, Margin, Stroke, TextStyle, Theme, Vec2, Visuals};

/// The colours of one set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tokens {
    /// Behind pages.
    pub page: Color32,
    /// Behind the bars and the side panels.
    pub panel: Color32,
    /// Behind the cards of list items.
    pub card: Color32,
    /// Behind text that can be edited.
    pub field: Color32,
    /// Ordinary text.
    pub text: Color32,
    /// Text that explains or is secondary.
    pub text_soft: Color32,
    /// Lines around fields and cards.
    pub line: Color32,
    /// Lines that part regions.
    pub line_soft: Color32,
    /// Behind buttons at rest.
    pub button: Color32,
    /// Behind buttons under the pointer.
    pub button_hover: Color32,
    /// What is chosen, focused or leads on.
    pub accent: Color32,
    /// Text on `accent`.
    pub on_accent: Color32,
    /// Behind what is chosen in a list.
    pub chosen: Color32,
    /// Behind a field that a finding led to.
    pub spotlight: Color32,
    /// Text and mark of a blocking finding or a refusal.
    pub blocking: Color32,
    /// Text and mark of a warning.
    pub warning: Color32,
    /// Text and mark of a note.
    pub note: Color32,
    /// Text and mark of what is in order.
    pub good: Color32,
    /// Behind the standing caution.
    pub caution: Color32,
    /// Text of the standing caution.
    pub on_caution: Color32,
}

const fn rgb(hex: u32) -> Color32 {
    let [_, r, g, b] = hex.to_be_bytes();
    Color32::from_rgb(r, g, b)
}

/// The light set.
pub const LIGHT: Tokens = Tokens {
    page: rgb(0xFB_FB_F9),
    panel: rgb(0xF1_F2_EF),
    card: rgb(0xFF_FF_FF),
    field: rgb(0xFF_FF_FF),
    text: rgb(0x1E_24_26),
    text_soft: rgb(0x52_5C_60),
    line: rgb(0x84_8E_90),
    line_soft: rgb(0xD8_DC_DA),
    button: rgb(0xE4_E8_E6),
    button_hover: rgb(0xD6_DE_DC),
    accent: rgb(0x0B_60_6B),
    on_accent: rgb(0xFF_FF_FF),
    chosen: rgb(0xD2_E8_EA),
    spotlight: rgb(0xFF_F0_C2),
    blocking: rgb(0xA5_1D_1D),
    warning: rgb(0x8A_4B_00),
    note: rgb(0x1F_55_8C),
    good: rgb(0x1C_66_3A),
    caution: rgb(0x2A_2F_31),
    on_caution: rgb(0xFF_E3_9A),
};

/// The dark set.
pub const DARK: Tokens = Tokens {
    page: rgb(0x1B_1F_21),
    panel: rgb(0x22_27_29),
    card: rgb(0x26_2B_2E),
    field: rgb(0x15_18_1A),
    text: rgb(0xE9_EC_EA),
    text_soft: rgb(0xA9_B3_B5),
    line: rgb(0x74_80_83),
    line_soft: rgb(0x39_41_44),
    button: rgb(0x36_3E_41),
    button_hover: rgb(0x45_4F_52),
    accent: rgb(0x6C_C8_D2),
    on_accent: rgb(0x06_1D_20),
    chosen: rgb(0x1F_46_4B),
    spotlight: rgb(0x4E_43_1A),
    blocking: rgb(0xFF_9C_94),
    warning: rgb(0xF2_B5_5C),
    note: rgb(0x8F_C2_F5),
    good: rgb(0x86_D3_A2),
    caution: rgb(0x11_13_14),
    on_caution: rgb(0xF6_D8_87),
};

impl Tokens {
    /// The set of the theme that is shown.
    pub fn of(ui: &egui::Ui) -> &'static Self {
        if ui.visuals().dark_mode {
            &DARK
        } else {
            &LIGHT
        }
    }
}

/// The width of the column of labels in forms.
pub const LABEL_WIDTH: f32 = 190.0;
/// The width of a field for a number with its unit.
pub const NUMBER_WIDTH: f32 = 116.0;
/// The widest that a field of text grows.
pub const TEXT_WIDTH: f32 = 460.0;
/// Between the parts of one row.
pub const GAP: f32 = 8.0;
/// The height of fields and buttons.
pub const ROW_HEIGHT: f32 = 26.0;

/// The frame of dialogs, roomier than that of menus.
pub fn dialog_frame(style: &egui::Style) -> egui::Frame {
    egui::Frame::popup(style).inner_margin(Margin::same(18))
}

/// Gives a context both sets, the spacing and the fonts.
pub fn install(context: &Context) {
    context.set_fonts(fonts());
    for (theme, tokens) in [(Theme::Light, LIGHT), (Theme::Dark, DARK)] {
        context.set_visuals_of(theme, visuals(theme, tokens));
        context.style_mut_of(theme, space);
    }
}

/// The default fonts; signs that the proportional one lacks, such as arrows, are taken from the monospaced one.
fn fonts() -> egui::FontDefinitions {
    let mut fonts = egui::FontDefinitions::default();
    let fixed = fonts.families.get(&egui::FontFamily::Monospace).cloned();
    let proportional = fonts
        .families
        .entry(egui::FontFamily::Proportional)
        .or_default();
    for font in fixed.unwrap_or_default() {
        if !proportional.contains(&font) {
            proportional.push(font);
        }
    }
    fonts
}

fn space(style: &mut egui::Style) {
    let spacing = &mut style.spacing;
    spacing.item_spacing = Vec2::new(GAP, 6.0);
    spacing.button_padding = Vec2::new(9.0, 4.0);
    spacing.interact_size = Vec2::new(40.0, ROW_HEIGHT);
    spacing.text_edit_width = TEXT_WIDTH;
    spacing.combo_width = 150.0;
    spacing.indent = 20.0;
    spacing.menu_margin = Margin::same(6);
    spacing.tooltip_width = 360.0;
    spacing.scroll = egui::style::ScrollStyle::solid();
    for (text_style, size) in [
        (TextStyle::Heading, 20.0),
        (TextStyle::Body, 14.0),
        (TextStyle::Button, 14.0),
        (TextStyle::Small, 12.0),
        (TextStyle::Monospace, 13.0),
    ] {
        if let Some(font) = style.text_styles.get_mut(&text_style) {
            font.size = size;
        }
    }
}

fn visuals(theme: Theme, tokens: Tokens) -> Visuals {
    let mut visuals = match theme {
        Theme::Light => Visuals::light(),
        Theme::Dark => Visuals::dark(),
    };
    visuals.panel_fill = tokens.panel;
    visuals.window_fill = tokens.card;
    visuals.window_stroke = Stroke::new(1.0, tokens.line);
    visuals.extreme_bg_color = tokens.field;
    visuals.text_edit_bg_color = Some(tokens.field);
    visuals.faint_bg_color = tokens.card;
    visuals.code_bg_color = tokens.button;
    visuals.hyperlink_color = tokens.accent;
    visuals.error_fg_color = tokens.blocking;
    visuals.warn_fg_color = tokens.warning;
    visuals.weak_text_color = Some(tokens.text_soft);
    visuals.selection.bg_fill = tokens.chosen;
    visuals.selection.stroke = Stroke::new(1.0, tokens.text);
    visuals.text_cursor.stroke.color = tokens.accent;
    visuals.striped = false;
    visuals.indent_has_left_vline = false;
    widgets(&mut visuals.widgets, tokens);
    visuals
}

fn widgets(widgets: &mut egui::style::Widgets, tokens: Tokens) {
    let radius = CornerRadius::same(4);
    let paint = |w: &mut egui::style::WidgetVisuals, fill: Color32, line: Color32, text| {
        w.bg_fill = fill;
        w.weak_bg_fill = fill;
        w.bg_stroke = Stroke::new(1.0, line);
        w.fg_stroke = Stroke::new(1.0, text);
        w.corner_radius = radius;
        w.expansion = 0.0;
    };
    paint(
        &mut widgets.noninteractive,
        tokens.panel,
        tokens.line_soft,
        tokens.text,
    );
    paint(
        &mut widgets.inactive,
        tokens.button,
        tokens.line,
        tokens.text,
    );
    paint(
        &mut widgets.hovered,
        tokens.button_hover,
        tokens.accent,
        tokens.text,
    );
    paint(
        &mut widgets.active,
        tokens.chosen,
        tokens.accent,
        tokens.text,
    );
    paint(
        &mut widgets.open,
        tokens.button_hover,
        tokens.accent,
        tokens.text,
    );
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

    fn contrast(a: Color32, b: Color32) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn contrast_of_black_on_white_is_21_to_1() {
        // WCAG 2.2, definition of contrast ratio: ratios range from 1 to 21 (from memory).
        assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
    }

    #[test]
    fn every_text_can_be_read_on_every_ground_it_stands_on() {
        for (set, t) in [("light", LIGHT), ("dark", DARK)] {
            let grounds = [
                ("page", t.page),
                ("panel", t.panel),
                ("card", t.card),
                ("field", t.field),
                ("spotlight", t.spotlight),
            ];
            let texts = [
                ("text", t.text),
                ("soft text", t.text_soft),
                ("accent", t.accent),
                ("blocking", t.blocking),
                ("warning", t.warning),
                ("note", t.note),
                ("good", t.good),
            ];
            for (ground_name, ground) in grounds {
                for (text_name, text) in texts {
                    let ratio = contrast(text, ground);
                    assert!(
                        ratio >= 4.5,
                        "{set}: {text_name} on {ground_name} is {ratio:.2} to 1"
                    );
                }
            }
        }
    }

    #[test]
    fn text_on_buttons_choices_and_the_caution_can_be_read() {
        for (set, t) in [("light", LIGHT), ("dark", DARK)] {
            for (name, text, ground) in [
                ("button", t.text, t.button),
                ("hovered button", t.text, t.button_hover),
                ("chosen", t.text, t.chosen),
                ("accent", t.on_accent, t.accent),
                ("caution", t.on_caution, t.caution),
            ] {
                let ratio = contrast(text, ground);
                assert!(ratio >= 4.5, "{set}: text on {name} is {ratio:.2} to 1");
            }
        }
    }

    #[test]
    fn lines_around_fields_can_be_seen() {
        for (set, t) in [("light", LIGHT), ("dark", DARK)] {
            for (name, ground) in [("page", t.page), ("card", t.card), ("field", t.field)] {
                let ratio = contrast(t.line, ground);
                assert!(ratio >= 3.0, "{set}: line on {name} is {ratio:.2} to 1");
            }
        }
    }
}
