//! What surrounds every page: title, navigation, search, the caution at its foot.

use crate::web::assets;
use crate::web::token::token;

/// Which entry of the navigation a page belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Section {
    /// List of trials, comparisons.
    Trials,
    /// Machines.
    Machines,
    /// Blends.
    Blends,
    /// Rigs.
    Rigs,
    /// Catalogue of methods.
    Methods,
    /// Taking results in.
    Import,
    /// Single questions without an archive.
    Calculate,
    /// How numbers are computed.
    About,
    /// None of them.
    Elsewhere,
}

/// Whether a page shows invented data; it says so itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum DataIs {
    /// Somebody's records.
    Recorded,
    /// The demo's.
    Invented,
}

/// The kind of the data, from whether a trial behind it is marked as invented.
impl From<bool> for DataIs {
    fn from(invented: bool) -> Self {
        if invented { Self::Invented } else { Self::Recorded }
    }
}

/// What surrounds a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Frame {
    pub(crate) title: String,
    pub(crate) section: Section,
    pub(crate) data: DataIs,
    pub(crate) style: &'static str,
    pub(crate) script: &'static str,
}

impl Frame {
    /// A page of a title.
    pub(crate) fn new(title: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            section: Section::Elsewhere,
            data: DataIs::Recorded,
            style: assets::style(),
            script: assets::script(),
        }
    }

    /// In a section.
    pub(crate) fn of(mut self, section: Section) -> Self {
        self.section = section;
        self
    }

    /// Of data of a kind.
    pub(crate) fn showing(mut self, data: DataIs) -> Self {
        self.data = data;
        self
    }

    /// The entries of the navigation: section, address, words.
    pub(crate) fn navigation(&self) -> [(Section, &'static str, &'static str); 8] {
        [
            (Section::Trials, "/", "Trials"),
            (Section::Machines, "/machines", "Machines"),
            (Section::Blends, "/blends", "Blends"),
            (Section::Methods, "/methods", "Methods"),
            (Section::Rigs, "/rigs", "Rigs"),
            (Section::Import, "/import", "Import"),
            (Section::Calculate, "/calculate", "Calculate"),
            (Section::About, "/about", "How it is computed"),
        ]
    }

    /// The token that every form of the page carries.
    pub(crate) fn token(&self) -> &'static str {
        token()
    }

    pub(crate) fn is_invented(&self) -> bool {
        self.data == DataIs::Invented
    }
}
