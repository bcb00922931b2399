//! A finished drawing, and the only text that enters a page as markup.

use std::fmt;

/// Markup of one drawing. It is made in this room alone, where every text in it has been escaped.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Svg(String);

impl Svg {
    /// From markup that this room has made.
    pub(in crate::charts) fn of(markup: String) -> Self {
        Self(markup)
    }

    /// The markup.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Svg {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl askama::filters::HtmlSafe for Svg {}

impl askama::FastWritable for Svg {
    fn write_into(&self, dest: &mut dyn fmt::Write, _: &dyn askama::Values) -> askama::Result<()> {
        dest.write_str(&self.0)?;
        Ok(())
    }
}
