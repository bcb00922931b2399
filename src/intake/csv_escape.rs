//! Cells that a spreadsheet would run as a formula carry an apostrophe in an exported folder.

use std::borrow::Cow;

const STARTS: [char; 4] = ['=', '+', '-', '@'];

/// The cell as it is written: with an apostrophe before `=`, `+`, `-` or `@`, unless it is a number.
pub(crate) fn escaped(cell: &str) -> Cow<'_, str> {
    let bare = cell.trim_start_matches('\'');
    let is_number = bare.len() == cell.len() && cell.parse::<f64>().is_ok();
    if bare.starts_with(STARTS) && !is_number {
        Cow::Owned(format!("'{cell}"))
    } else {
        Cow::Borrowed(cell)
    }
}

/// The cell without that apostrophe.
pub(crate) fn unescaped(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if rest.trim_start_matches('\'').starts_with(STARTS) => rest,
        _ => cell,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn formulas_are_shielded_and_numbers_are_not() {
        assert_eq!(escaped("=1+1"), "'=1+1");
        assert_eq!(escaped("@home"), "'@home");
        assert_eq!(escaped("-5"), "-5");
        assert_eq!(escaped("-5 or so"), "'-5 or so");
        assert_eq!(escaped("plain"), "plain");
    }

    proptest! {
        #[test]
        fn every_cell_comes_back_as_it_was(cell in "'{0,3}[=+@a0-]{0,2}.{0,6}") {
            let written = escaped(&cell);
            prop_assert_eq!(unescaped(&written), cell.as_str());
        }
    }
}
