//! How values stand in one cell.

use crate::catalogue::{MethodId, Mode};
use crate::records::table::{Cell, Field, Kind, items};
use crate::records::{AcceptedAs, Word};

impl<T: Word> Field for T {
    const KIND: Kind = Kind::Word(T::allowed);

    fn to_cell(&self) -> Cell {
        Cell::Text(self.word().to_string())
    }

    fn of_cell(cell: Cell) -> Option<Self> {
        match cell {
            Cell::Text(word) => T::from_word(&word),
            _ => None,
        }
    }
}

impl<T: Field> Field for Option<T> {
    const KIND: Kind = T::KIND;
    const MAY_BE_EMPTY: bool = true;

    fn to_cell(&self) -> Cell {
        self.as_ref().map_or(Cell::Empty, T::to_cell)
    }

    fn of_cell(cell: Cell) -> Option<Self> {
        match cell {
            Cell::Empty => Some(None),
            cell => T::of_cell(cell).map(Some),
        }
    }
}

impl Field for String {
    const KIND: Kind = Kind::Text;
    const MAY_BE_EMPTY: bool = true;

    fn to_cell(&self) -> Cell {
        Cell::Text(self.clone())
    }

    fn of_cell(cell: Cell) -> Option<Self> {
        match cell {
            Cell::Empty => Some(String::new()),
            Cell::Text(text) => Some(text),
            _ => None,
        }
    }
}

impl Field for Vec<MethodId> {
    const KIND: Kind = Kind::Method;
    const MAY_BE_EMPTY: bool = true;

    fn to_cell(&self) -> Cell {
        let ids: Vec<&str> = self.iter().map(MethodId::as_str).collect();
        Cell::Text(ids.join("; "))
    }

    fn of_cell(cell: Cell) -> Option<Self> {
        let text = String::of_cell(cell)?;
        items(&text).map(MethodId::new).collect()
    }
}

impl Field for Vec<Mode> {
    const KIND: Kind = Kind::Modes;
    const MAY_BE_EMPTY: bool = true;

    fn to_cell(&self) -> Cell {
        let words: Vec<&str> = self.iter().map(|mode| mode.word()).collect();
        Cell::Text(words.join("; "))
    }

    fn of_cell(cell: Cell) -> Option<Self> {
        let text = String::of_cell(cell)?;
        items(&text).map(Mode::from_word).collect()
    }
}

impl Field for Vec<AcceptedAs> {
    const KIND: Kind = Kind::Words(AcceptedAs::allowed);
    const MAY_BE_EMPTY: bool = true;

    fn to_cell(&self) -> Cell {
        let words: Vec<&str> = self.iter().map(|one| one.word()).collect();
        Cell::Text(words.join("; "))
    }

    fn of_cell(cell: Cell) -> Option<Self> {
        let text = String::of_cell(cell)?;
        items(&text).map(AcceptedAs::from_word).collect()
    }
}

impl Field for f64 {
    const KIND: Kind = Kind::Number;

    fn to_cell(&self) -> Cell {
        Cell::Real(*self)
    }

    fn of_cell(cell: Cell) -> Option<Self> {
        match cell {
            Cell::Real(number) => Some(number),
            _ => None,
        }
    }
}

impl Field for u32 {
    const KIND: Kind = Kind::Count;

    fn to_cell(&self) -> Cell {
        Cell::Whole(i64::from(*self))
    }

    fn of_cell(cell: Cell) -> Option<Self> {
        match cell {
            Cell::Whole(number) => u32::try_from(number).ok().filter(|number| *number >= 1),
            _ => None,
        }
    }
}

impl Field for i64 {
    const KIND: Kind = Kind::Id;

    fn to_cell(&self) -> Cell {
        Cell::Whole(*self)
    }

    fn of_cell(cell: Cell) -> Option<Self> {
        match cell {
            Cell::Whole(number) => Some(number),
            _ => None,
        }
    }
}

impl Field for bool {
    const KIND: Kind = Kind::Word(|| "yes, no".to_string());

    fn to_cell(&self) -> Cell {
        Cell::Flag(*self)
    }

    fn of_cell(cell: Cell) -> Option<Self> {
        match cell {
            Cell::Flag(is_so) => Some(is_so),
            Cell::Whole(number) => Some(number != 0),
            Cell::Text(word) if word == "yes" => Some(true),
            Cell::Text(word) if word == "no" => Some(false),
            _ => None,
        }
    }
}

impl Field for jiff::civil::Date {
    const KIND: Kind = Kind::Date;

    fn to_cell(&self) -> Cell {
        Cell::Text(self.to_string())
    }

    fn of_cell(cell: Cell) -> Option<Self> {
        match cell {
            Cell::Text(date) => date.parse().ok(),
            _ => None,
        }
    }
}
