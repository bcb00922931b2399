//! Sentences in pieces, so that a code such as `T-11` stays on one line.

/// A piece of a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Piece {
    pub(crate) text: String,
    /// Whether it must not break.
    pub(crate) is_whole: bool,
}

/// Longer words may break: they would not fit a phone's line.
const LONGEST: usize = 26;

/// A sentence cut where a word with a hyphen and a figure, or a figure with its per cent, begins and ends; together they
/// are the sentence.
pub(crate) fn pieces(sentence: &str) -> Vec<Piece> {
    let mut pieces: Vec<Piece> = Vec::new();
    let mut words = sentence.split_inclusive(' ').peekable();
    while let Some(word) = words.next() {
        let (bare, space) = word.strip_suffix(' ').map_or((word, ""), |word| (word, " "));
        let is_figure = bare.ends_with(|c: char| c.is_ascii_digit());
        if let Some(sign) = words.next_if(|next| is_figure && next.starts_with('%')) {
            let (sign, space) = sign.strip_suffix(' ').map_or((sign, ""), |sign| (sign, " "));
            add(&mut pieces, &format!("{word}{sign}"), true);
            add(&mut pieces, space, false);
            continue;
        }
        let is_whole =
            bare.contains('-') && bare.chars().any(|c| c.is_ascii_digit()) && bare.chars().count() <= LONGEST;
        add(&mut pieces, bare, is_whole);
        add(&mut pieces, space, false);
    }
    pieces
}

fn add(pieces: &mut Vec<Piece>, text: &str, is_whole: bool) {
    match pieces.last_mut() {
        _ if text.is_empty() => {}
        Some(last) if !last.is_whole && !is_whole => last.text.push_str(text),
        _ => pieces.push(Piece {
            text: text.to_string(),
            is_whole,
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_pieces_of_their_own_and_the_sentence_is_all_there() {
        for sentence in [
            "T-03 is favoured: it comes first; T-02 follows.",
            "No code in this pitch-drive sentence",
            "",
            " a  T-1 ",
            "in 97 % of simulations; T-02 in 2 %.",
            "% 5 %",
        ] {
            let all: String = pieces(sentence).iter().map(|piece| piece.text.as_str()).collect();
            assert_eq!(all, sentence);
        }
        let cut = pieces("Does T-11 beat T-02?");
        let whole: Vec<&str> = cut
            .iter()
            .filter(|p| p.is_whole)
            .map(|p| p.text.as_str())
            .collect();
        assert_eq!(whole, ["T-11", "T-02?"]);
        let cut = pieces("T-03 in 97 % of simulations; others in 2 %.");
        let whole: Vec<&str> = cut
            .iter()
            .filter(|p| p.is_whole)
            .map(|p| p.text.as_str())
            .collect();
        assert_eq!(whole, ["T-03", "97 %", "2 %."]);
        assert!(pieces("pitch-drive").iter().all(|piece| !piece.is_whole));
    }
}
