//! Closed lists of words in the records, each with its own type.

use crate::catalogue::{Mode, Use};
use crate::contact::term::Term;
use crate::contact::terms::{Materials, Motion, Supply};

/// A word of a closed list.
pub trait Word: Copy + 'static {
    /// The whole list.
    const LIST: &'static [Self];

    /// The word for it.
    fn word(self) -> &'static str;

    /// The one a word names.
    fn from_word(word: &str) -> Option<Self> {
        let mut list = Self::LIST.iter().copied();
        list.find(|item| Self::word(*item) == word.trim())
    }

    /// The allowed words, for a message.
    fn allowed() -> String {
        let words: Vec<&str> = Self::LIST.iter().map(|item| Self::word(*item)).collect();
        words.join(", ")
    }
}

impl Word for Mode {
    const LIST: &'static [Self] = Self::ALL;

    fn word(self) -> &'static str {
        self.word()
    }
}

impl Word for Term {
    const LIST: &'static [Self] = &Self::ALL;

    fn word(self) -> &'static str {
        self.word()
    }
}

impl Word for Use {
    const LIST: &'static [Self] = &[Self::Weigh, Self::Gate, Self::Show];

    fn word(self) -> &'static str {
        self.word()
    }
}

macro_rules! words {
    ($($(#[$doc:meta])* $name:ident { $($(#[$item_doc:meta])* $item:ident = $word:literal),* $(,)? })*) => {
        $(
            $(#[$doc])*
            #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
            #[allow(clippy::enum_variant_names, reason = "known good, known middle and known poor are words of the trade")]
            pub enum $name { $($(#[$item_doc])* $item),* }

            impl $name {
                /// All of them.
                pub const ALL: &'static [$name] = &[$(Self::$item),*];

                /// The word for it.
                pub fn word(self) -> &'static str {
                    match self { $(Self::$item => $word),* }
                }
            }

            impl Word for $name {
                const LIST: &'static [Self] = Self::ALL;

                fn word(self) -> &'static str {
                    self.word()
                }
            }
        )*
    };
}

words! {
    /// What a blend is.
    BlendKind {
        /// A liquid lubricant.
        Oil = "oil",
        /// A grease.
        Grease = "grease",
        /// Anything else, a control fluid for instance.
        Other = "other",
    }
    /// A blend's part in a trial.
    Role {
        /// Under judgement.
        Candidate = "candidate",
        /// Of known behaviour.
        Reference = "reference",
        /// A fluid nobody would choose.
        Control = "control",
    }
    /// What is known of a reference oil.
    Level {
        /// Good in the field.
        KnownGood = "known-good",
        /// In between.
        KnownMiddle = "known-middle",
        /// Poor in the field.
        KnownPoor = "known-poor",
    }
    /// Where a trial stands.
    TrialStatus {
        /// Nothing run yet.
        Planned = "planned",
        /// Tests are being run.
        Running = "running",
        /// A decision is recorded.
        Decided = "decided",
        /// Ended.
        Closed = "closed",
    }
    /// What a meeting decided.
    DecisionKind {
        /// To make more of a blend.
        ScaleUp = "scale up",
        /// To keep a blend in reserve.
        Hold = "hold",
        /// To stop work on a blend.
        Drop = "drop",
        /// To change the formulation and test again.
        Iterate = "iterate",
        /// Nothing.
        NoChoiceYet = "no choice yet",
    }
    /// What a trial asks.
    Asks {
        /// Which blend to choose.
        Choose = "choose",
        /// Whether each candidate is no worse than one blend.
        NoWorse = "no-worse",
    }
    /// How well the machine's contact is known.
    Confidence {
        /// Estimated.
        Low = "low",
        /// Partly computed or measured.
        Medium = "medium",
        /// Computed from drawings and measured duty.
        High = "high",
    }
    /// Why a run was made.
    Purpose {
        /// To test a blend.
        Test = "test",
        /// To see where the rig stands.
        ReferenceCheck = "reference check",
        /// A test that had to be stopped for cause.
        Stopped = "stopped",
    }
    /// Whether a result counts.
    ResultStatus {
        /// It counts.
        Valid = "valid",
        /// It counts, with a doubt that is stated.
        Suspect = "suspect",
        /// It does not count, for a stated reason.
        Void = "void",
    }
    /// Where a number comes from.
    ResultSource {
        /// Measured in a laboratory of this archive.
        Measured = "measured",
        /// A typical value from a data sheet: shown, never weighed.
        DataSheet = "data sheet",
    }
    /// What somebody said yes to, asked a second time.
    AcceptedAs {
        /// The value is right although it is not usual.
        Unusual = "unusual",
        /// It is another run than the one that it equals but for a missing rig, date or number.
        SameRun = "same-run",
    }
    /// How bad an observed failure was.
    OutcomeSeverity {
        /// Nothing.
        None = "none",
        /// Slight damage.
        Slight = "slight",
        /// Failure.
        Failure = "failure",
    }
}

impl DecisionKind {
    /// Whether a decision of this kind says nothing without a blend.
    pub fn needs_blend(self) -> bool {
        matches!(self, Self::ScaleUp | Self::Hold | Self::Drop)
    }

    /// Whether a decision of this kind can be about a blend.
    pub fn takes_blend(self) -> bool {
        self != Self::NoChoiceYet
    }
}

/// The closed lists that surround a contact: motions, pairs of materials, supplies.
pub fn words_of_surroundings() -> [&'static [&'static str]; 3] {
    [Motion::WORDS, Materials::WORDS, Supply::WORDS]
}
