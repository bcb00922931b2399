//! Names that records carry, and how each stands in one cell.

use crate::catalogue::{MethodId, names};
use crate::records::table::{Cell, Column, Field, Kind, Source, Stands};
use serde::{Serialize, Serializer};
use std::fmt;

macro_rules! fields {
    ($($name:ident: $kind:ident;)*) => {
        $(impl Field for $name {
            const KIND: Kind = Kind::$kind;

            fn to_cell(&self) -> Cell {
                Cell::Text(self.to_string())
            }

            fn of_cell(cell: Cell) -> Option<Self> {
                match cell {
                    Cell::Text(name) => Self::new(&name),
                    _ => None,
                }
            }
        })*
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

fields! {
    BlendCode: Name;
    ComponentName: Name;
    MachineSlug: Name;
    MethodId: Method;
    RigId: Name;
    TrialSlug: Name;
}

/// One quantity of one method, written `method/quantity`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct TestKey {
    /// Method id.
    pub method: MethodId,
    /// Quantity id.
    pub quantity: String,
}

impl TestKey {
    /// The key of a method and a quantity.
    pub fn new(method: &MethodId, quantity: &str) -> Self {
        Self {
            method: method.clone(),
            quantity: quantity.to_string(),
        }
    }

    /// The key of `method/quantity`.
    pub fn parse(text: &str) -> Option<Self> {
        let (method, quantity) = text.trim().split_once('/')?;
        let method = MethodId::new(method)?;
        (!quantity.is_empty()).then(|| Self::new(&method, quantity))
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
