//! What is written on a box: as many words as its picture has room for.

/// Average width of a letter, hundredths of its size; generous, since fonts differ.
const LETTER: usize = 58;
/// Height of a line, hundredths of the letters' size.
const LINE: usize = 120;
/// Space kept at the edges, px in all.
const EDGE: usize = 8;
/// Size of letters, px.
pub(super) const SIZE: usize = 13;
/// The smallest letters in which a number is still written, px.
const SMALLEST: usize = 10;

/// Lines from above, and the size of their letters.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Label {
    /// None: there is no room even for a number; the box is told apart by its place in the list.
    pub lines: Vec<String>,
    /// px.
    pub size: usize,
    /// The lines say what it is, not only a number.
    pub in_words: bool,
}

/// The label of a box whose picture is so many px wide and high. `mark` are the order's letters, `key` the
/// number in the list beside the picture, which is always written.
pub fn label(mark: &str, key: usize, what: &str, width: usize, height: usize) -> Label {
    let room = width.saturating_sub(EDGE);
    let fits = |text: &str, size: usize| wide(text, size) <= room;
    let lines_at = |size: usize| (height.saturating_sub(EDGE / 2) * 100) / (size * LINE);
    let head = format!("{key} {mark}");
    if lines_at(SIZE) >= 2 && fits(&head, SIZE) {
        let mut lines = vec![head.clone()];
        let rest = wrapped(what, room, lines_at(SIZE) - 1);
        if let Some(rest) = rest {
            lines.extend(rest);
            return Label { lines, size: SIZE, in_words: true };
        }
    }
    let one_line = format!("{head} {what}");
    if lines_at(SIZE) >= 1 {
        for (text, in_words) in [(one_line, true), (head, false), (key.to_string(), false)] {
            if fits(&text, SIZE) {
                return Label { lines: vec![text], size: SIZE, in_words };
            }
        }
    }
    let number = key.to_string();
    let bare = wide(&number, SMALLEST) <= width && SMALLEST <= height;
    if bare {
        Label { lines: vec![number], size: SMALLEST, in_words: false }
    } else {
        Label::default()
    }
}

/// Px that a text takes.
fn wide(text: &str, size: usize) -> usize {
    text.chars().count() * size * LETTER / 100
}

/// The words in at most `lines` lines; none when they do not fit.
fn wrapped(text: &str, room: usize, lines: usize) -> Option<Vec<String>> {
    let mut done: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        if wide(word, SIZE) > room {
            return None;
        }
        match done.last_mut() {
            Some(last) if wide(&format!("{last} {word}"), SIZE) <= room => {
                last.push(' ');
                last.push_str(word);
            }
            _ => done.push(word.to_owned()),
        }
    }
    (done.len() <= lines && !done.is_empty()).then_some(done)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(width: usize, height: usize) -> Vec<String> {
        label("OM", 7, "buttercreamed layers", width, height).lines
    }

    #[test]
    fn words_where_there_is_room_for_them_else_letters_else_a_number() {
        assert_eq!(lines(200, 60), ["7 OM", "buttercreamed layers"]);
        assert_eq!(lines(120, 60), ["7 OM", "buttercreamed", "layers"]);
        assert_eq!(lines(120, 36), ["7 OM"], "the words need a third line");
        assert_eq!(lines(220, 22), ["7 OM buttercreamed layers"]);
        assert_eq!(lines(44, 22), ["7 OM"]);
        assert_eq!(lines(20, 22), ["7"]);
        assert_eq!(lines(12, 11), ["7"], "in small figures");
        assert_eq!(lines(4, 4), Vec::<String>::new());
    }

    #[test]
    fn nothing_is_wider_or_higher_than_its_box() {
        for width in 0..260 {
            for height in [8, 15, 22, 40, 90] {
                let label =
                    label("OM", 12, "cake layers, wrapped, for the lighthouse", width, height);
                for line in &label.lines {
                    assert!(wide(line, label.size) <= width, "“{line}” in {width} px");
                }
                assert!(label.lines.len() * label.size <= height, "{label:?} in {height} px");
            }
        }
    }
}
