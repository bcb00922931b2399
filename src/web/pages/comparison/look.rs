//! How the comparison is looked at: in which order of tests, on a wall, with which candidate lit. It changes no number.

use crate::app::shown;
use crate::records::BlendCode;
use crate::web::error::FieldFault;

/// The order of the tests.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Order {
    /// The greatest weight first.
    #[default]
    Weight,
    /// By stage of evidence: what is run on real machines first.
    Stage,
    /// Under the machine contact that each resembles most.
    Contact,
}

impl Order {
    const ALL: [Self; 3] = [Self::Weight, Self::Stage, Self::Contact];

    /// Its word in the address.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Weight => "weight",
            Self::Stage => "stage",
            Self::Contact => "contact",
        }
    }

    /// By what the tests are sorted.
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::Weight => "by weight",
            Self::Stage => "by stage of evidence",
            Self::Contact => "by machine contact",
        }
    }
}

/// For whom the page is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum View {
    /// Somebody at a app.
    #[default]
    App,
    /// A room that looks at a wall.
    Projected,
}

/// How the comparison is looked at.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Look {
    pub(crate) order: Order,
    pub(crate) view: View,
    pub(crate) lit: Option<BlendCode>,
}

/// A link to another order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct OrderLink {
    pub(crate) label: &'static str,
    pub(crate) href: String,
    pub(crate) is_current: bool,
}

impl Look {
    /// From the fields of a query string, or every field that cannot be used; others are passed over.
    pub(crate) fn read(pairs: &[(String, String)]) -> Result<Self, Vec<FieldFault>> {
        let mut look = Self::default();
        let mut faults = Vec::new();
        for (field, text) in pairs {
            let text = text.trim();
            let fault = |allowed: &str| {
                FieldFault::new(field, format!("'{}' is not known; write {allowed}", shown(text)))
            };
            match (field.as_str(), text) {
                (_, "") => {}
                ("order", word) => match Order::ALL.into_iter().find(|order| order.word() == word) {
                    Some(order) => look.order = order,
                    None => faults.push(fault("one of weight, stage, contact")),
                },
                ("view", "projected") => look.view = View::Projected,
                ("view", _) => faults.push(fault("projected")),
                ("lit", code) => look.lit = BlendCode::new(code),
                _ => {}
            }
        }
        if faults.is_empty() { Ok(look) } else { Err(faults) }
    }

    /// Its fields, without what is usual.
    pub(crate) fn fields(&self) -> Vec<(String, String)> {
        let mut pairs = Vec::new();
        let mut field = |name: &str, value: &str| pairs.push((name.to_string(), value.to_string()));
        if self.order != Order::Weight {
            field("order", self.order.word());
        }
        if self.view == View::Projected {
            field("view", "projected");
        }
        if let Some(code) = &self.lit {
            field("lit", code.as_str());
        }
        pairs
    }

    /// The same in another order.
    pub(crate) fn ordered(&self, order: Order) -> Self {
        Self {
            order,
            ..self.clone()
        }
    }

    /// The same for somebody else.
    pub(crate) fn seen(&self, view: View) -> Self {
        Self { view, ..self.clone() }
    }

    /// The same with another candidate lit, or none.
    pub(crate) fn lighting(&self, lit: Option<BlendCode>) -> Self {
        Self { lit, ..self.clone() }
    }

    /// A link to each order.
    pub(crate) fn orders(&self, address: impl Fn(&Self) -> String) -> Vec<OrderLink> {
        let link = |order: Order| OrderLink {
            label: order.words(),
            href: address(&self.ordered(order)),
            is_current: order == self.order,
        };
        Order::ALL.map(link).to_vec()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pairs(list: &[(&str, &str)]) -> Vec<(String, String)> {
        list.iter()
            .map(|(a, b)| ((*a).to_string(), (*b).to_string()))
            .collect()
    }

    #[test]
    fn a_look_reads_back_from_its_own_fields() {
        let asked = pairs(&[
            ("order", "stage"),
            ("view", "projected"),
            ("lit", "K-01"),
            ("without", "x"),
        ]);
        let look = Look::read(&asked).unwrap();
        assert_eq!((look.order, look.view), (Order::Stage, View::Projected));
        assert_eq!(Look::read(&look.fields()).unwrap(), look);
        assert!(Look::default().fields().is_empty());
    }

    #[test]
    fn a_word_that_is_not_known_is_named_by_its_field() {
        for field in ["order", "view"] {
            let faults = Look::read(&pairs(&[(field, "sideways")])).unwrap_err();
            assert_eq!((faults.len(), faults[0].field.as_str()), (1, field));
        }
        assert_eq!(Look::read(&pairs(&[("order", "")])).unwrap(), Look::default());
    }
}
