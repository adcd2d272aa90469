//! Text broken into lines for a terminal.

/// The most columns that a line has.
pub(super) const COLUMNS: usize = 120;

/// A text in lines of at most `width` columns. A longer word is broken.
pub(super) fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for paragraph in text.lines() {
        let mut line = String::new();
        for word in paragraph
            .split_whitespace()
            .flat_map(|word| pieces(word, width))
        {
            if !line.is_empty() && columns(&line) + 1 + columns(&word) > width {
                lines.push(std::mem::take(&mut line));
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(&word);
        }
        lines.push(line);
    }
    lines
}

/// How many columns a text takes; every language that the program is in has one column a letter.
pub(super) fn columns(text: &str) -> usize {
    text.chars().count()
}

/// A word in pieces of at most `width` columns.
fn pieces(word: &str, width: usize) -> Vec<String> {
    let letters: Vec<char> = word.chars().collect();
    letters
        .chunks(width.max(1))
        .map(|piece| piece.iter().collect())
        .collect()
}

/// A text under a lead that stands before its first line: `lead` and the text, later lines under the text.
pub(super) fn hang(lead: &str, text: &str) -> Vec<String> {
    let indent = columns(lead);
    let lines = wrap(text, COLUMNS.saturating_sub(indent).max(1));
    let lines = lines.into_iter().enumerate();
    lines
        .map(|(i, line)| {
            if i == 0 {
                format!("{lead}{line}")
            } else {
                format!("{:indent$}{line}", "")
            }
        })
        .collect()
}

/// Cells side by side, each wrapped to its width, two columns apart.
pub(super) fn beside(cells: &[Vec<String>], widths: &[usize]) -> Vec<String> {
    let height = cells.iter().map(Vec::len).max().unwrap_or_default();
    let line = |row: usize| {
        let mut line = String::new();
        for (cell, width) in cells.iter().zip(widths) {
            let text = cell.get(row).map_or("", String::as_str);
            let gap = width.saturating_sub(columns(text)) + 2;
            line.push_str(text);
            line.extend(std::iter::repeat_n(' ', gap));
        }
        line.trim_end().to_owned()
    };
    (0..height).map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_broken_between_words_and_a_long_word_inside() {
        assert_eq!(wrap("no way today", 6), ["no way", "today"]);
        assert_eq!(wrap("estacionamiento", 12), ["estacionamie", "nto"]);
        assert_eq!(wrap("one\ntwo", 12), ["one", "two"]);
        assert_eq!(wrap("pasa año niño", 8), ["pasa año", "niño"]);
    }

    #[test]
    fn later_lines_stand_under_the_text() {
        let text = "word ".repeat(30);
        let lines = hang("  beware: ", &text);
        assert!(lines.len() > 1 && lines.iter().all(|line| columns(line) <= COLUMNS));
        assert!(
            lines
                .iter()
                .skip(1)
                .all(|line| line.starts_with("          word"))
        );
    }

    #[test]
    fn cells_stand_two_columns_apart_with_nothing_behind_the_last() {
        let cells = [vec!["a".to_owned()], vec!["b".to_owned(), "c".to_owned()]];
        assert_eq!(beside(&cells, &[3, 3]), ["a    b", "     c"]);
    }
}
