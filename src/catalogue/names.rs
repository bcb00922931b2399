//! Names as texts of their own types, so that one is never looked up as another.

use serde::de::Error;
use serde::{Deserialize, Deserializer};

macro_rules! names {
    ($($(#[$doc:meta])* $name:ident;)*) => {
        $(
            $(#[$doc])*
            #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
            pub struct $name(String);

            impl $name {
                /// The name, without surrounding space; `None` when nothing is left, or it is longer than 120 characters.
                pub fn new(text: &str) -> Option<Self> {
                    let text = text.trim();
                    (!text.is_empty() && text.chars().count() <= 120).then(|| Self(text.to_string()))
                }

                /// The name as text.
                pub fn as_str(&self) -> &str {
                    &self.0
                }
            }

            impl std::fmt::Display for $name {
                fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                    f.write_str(&self.0)
                }
            }
        )*
    };
}
pub(crate) use names;

names! {
    /// A method's id.
    MethodId;
}

impl<'de> Deserialize<'de> for MethodId {
    fn deserialize<D: Deserializer<'de>>(file: D) -> Result<Self, D::Error> {
        let text = String::deserialize(file)?;
        Self::new(&text).ok_or_else(|| D::Error::custom(text))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_has_1_to_120_characters_without_the_space_around_it() {
        let text = |id: Option<MethodId>| id.map(|id| id.to_string());
        for (typed, name) in [("", None), (" ", None), (" a ", Some("a"))] {
            assert_eq!(text(MethodId::new(typed)).as_deref(), name, "{typed:?}");
        }
        for (length, is_name) in [(119, true), (120, true), (121, false)] {
            let typed = "µ".repeat(length);
            assert_eq!(MethodId::new(&typed).is_some(), is_name, "{length}");
        }
    }
}
