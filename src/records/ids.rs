//! Names that records carry. Each is a text of its own type, so that a blend is never looked up as a rig.

use crate::records::table::{Cell, Column, Field, Kind, Source, Stands};
use serde::{Serialize, Serializer};
use std::fmt;

macro_rules! names {
    ($($(#[$doc:meta])* $name:ident;)*) => {
        $(
            $(#[$doc])*
            #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
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

            impl fmt::Display for $name {
                fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                    f.write_str(&self.0)
                }
            }

            impl Field for $name {
                const KIND: Kind = Kind::Name;

                fn to_cell(&self) -> Cell {
                    Cell::Text(self.0.clone())
                }

                fn of_cell(cell: Cell) -> Option<Self> {
                    match cell {
                        Cell::Text(name) => Self::new(&name),
                        _ => None,
                    }
                }
            }
        )*
    };
}

names! {
    /// A blend's code.
    BlendCode;
    /// A component's name.
    ComponentName;
    /// A machine's slug.
    MachineSlug;
    /// A rig's id.
    RigId;
    /// A trial's slug.
    TrialSlug;
}

/// One quantity of one method, written `method/quantity`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct TestKey {
    /// Method id.
    pub method: String,
    /// Quantity id.
    pub quantity: String,
}

impl TestKey {
    /// The key of a method and a quantity.
    pub fn new(method: &str, quantity: &str) -> Self {
        Self {
            method: method.to_string(),
            quantity: quantity.to_string(),
        }
    }

    /// The key of `method/quantity`.
    pub fn parse(text: &str) -> Option<Self> {
        let (method, quantity) = text.trim().split_once('/')?;
        (!method.is_empty() && !quantity.is_empty()).then(|| Self::new(method, quantity))
    }
}

impl fmt::Display for TestKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.method, self.quantity)
    }
}

impl Serialize for TestKey {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl Stands<[Column; 2]> for TestKey {
    fn push_columns(under: &[Column; 2], columns: &mut Vec<Column>) {
        columns.extend(under);
    }

    fn push_cells(&self, _: &[Column; 2], cells: &mut Vec<Cell>) {
        cells.extend([self.method.to_cell(), self.quantity.to_cell()]);
    }

    fn read([method, quantity]: &[Column; 2], source: &mut impl Source) -> Option<Self> {
        let (method, quantity) = (source.field(method), source.field(quantity));
        Some(Self {
            method: method?,
            quantity: quantity?,
        })
    }
}
