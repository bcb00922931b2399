//! The form of a calculator: what was typed, what is wrong with it, and an example of each field.

use crate::app::shown;
use crate::calculate::{Answered, Refusal, read_number};
use crate::web::question::encoded;

/// One field of a calculator.
pub(crate) struct FieldSpec {
    /// Its name in the address, with its unit.
    pub(crate) name: &'static str,
    /// An example.
    pub(crate) example: &'static str,
    /// Its place in the question, as the JSON names it.
    pub(crate) key: &'static str,
    /// The question's unit over the field's.
    pub(crate) factor: f64,
}

/// A field that holds one number.
pub(crate) const fn number(
    name: &'static str,
    example: &'static str,
    key: &'static str,
    factor: f64,
) -> FieldSpec {
    FieldSpec {
        name,
        example,
        key,
        factor,
    }
}

/// A field that holds lines of text.
pub(crate) const fn text(name: &'static str, example: &'static str) -> FieldSpec {
    number(name, example, name, 1.0)
}

/// A field as it is shown.
pub(crate) struct Field {
    pub(crate) spec: &'static FieldSpec,
    pub(crate) typed: String,
    pub(crate) fault: String,
}

/// All fields of a calculator.
pub(crate) struct Form {
    /// Where it is sent.
    pub(crate) action: &'static str,
    /// Its fields in order.
    pub(crate) fields: Vec<Field>,
    /// What is wrong and belongs to no field.
    pub(crate) problem: String,
}

/// Most faults that are written beside one field.
const MOST_FAULTS: usize = 5;

impl Form {
    /// What an address says; a name that no field has, or that comes twice, is a problem.
    pub(crate) fn read(
        action: &'static str,
        specs: &'static [FieldSpec],
        pairs: &[(String, String)],
    ) -> Self {
        let mut form = Self {
            action,
            fields: specs
                .iter()
                .map(|spec| Field {
                    spec,
                    typed: String::new(),
                    fault: String::new(),
                })
                .collect(),
            problem: String::new(),
        };
        for (place, (name, text)) in pairs.iter().enumerate() {
            let comes_twice = pairs[..place].iter().any(|(before, _)| before == name);
            match form.fields.iter_mut().find(|field| field.spec.name == name) {
                Some(field) if comes_twice => {
                    field.fault = "is in the address twice; give it once".to_string()
                }
                Some(field) => field.typed = text.trim().to_string(),
                None => {
                    form.problem =
                        format!("'{}' in the address is no field of this calculator.", shown(name));
                }
            }
        }
        form
    }

    /// Whether anything was asked.
    pub(crate) fn is_asked(&self) -> bool {
        self.is_refused() || self.fields.iter().any(|field| !field.typed.is_empty())
    }

    /// Whether something is wrong.
    pub(crate) fn is_refused(&self) -> bool {
        !self.problem.is_empty() || self.fields.iter().any(|field| !field.fault.is_empty())
    }

    /// The answer to what was typed; `None` where nothing was, or where it is refused, and then the form says why.
    pub(crate) fn answer<T>(&mut self, ask: impl FnOnce(&mut Self) -> Answered<T>) -> Option<T> {
        if !self.is_asked() || self.is_refused() {
            return None;
        }
        let answered = ask(self);
        if self.is_refused() {
            return None;
        }
        answered.map_err(|refusals| self.refuse(&refusals)).ok()
    }

    /// A field that the calculator has.
    pub(crate) fn field(&self, name: &str) -> &Field {
        let found = self.fields.iter().find(|field| field.spec.name == name);
        found.expect("a page asks for fields that its calculator has")
    }

    fn field_mut(&mut self, name: &str) -> &mut Field {
        let found = self.fields.iter_mut().find(|field| field.spec.name == name);
        found.expect("a page asks for fields that its calculator has")
    }

    /// A number in the question's unit; `None` where the field is empty.
    pub(crate) fn optional(&mut self, name: &str) -> Option<f64> {
        let field = self.field_mut(name);
        if field.typed.is_empty() {
            return None;
        }
        let read = read_number(&field.typed).map(|number| number * field.spec.factor);
        read.map_err(|fault| field.fault = fault.to_string()).ok()
    }

    /// A number that must be there; not a number where it is missing, and then the form says so.
    pub(crate) fn needed(&mut self, name: &str) -> f64 {
        if self.field(name).typed.is_empty() {
            self.fault(name, "is needed");
        }
        self.optional(name).unwrap_or(f64::NAN)
    }

    /// Writes a fault beside a field.
    pub(crate) fn fault(&mut self, name: &str, problem: impl Into<String>) {
        self.field_mut(name).fault = problem.into();
    }

    /// Writes refusals beside the fields that they belong to.
    fn refuse(&mut self, refusals: &[Refusal]) {
        for refusal in refusals {
            let (place, problem) = self.placed(refusal);
            let target = match place {
                Some(at) => &mut self.fields[at].fault,
                None => &mut self.problem,
            };
            if target.matches("; ").count() + 1 < MOST_FAULTS {
                let sign = if target.is_empty() { "" } else { "; " };
                target.push_str(&format!("{sign}{problem}"));
            }
        }
    }

    /// The field of a refusal, and its words there: a place in a list is named by its row.
    fn placed(&self, refusal: &Refusal) -> (Option<usize>, String) {
        let exact = |field: &Field| field.spec.key == refusal.field;
        if let Some(at) = self.fields.iter().position(exact) {
            return (Some(at), refusal.problem.clone());
        }
        let row_in = |field: &Field| -> Option<usize> {
            let rest = refusal.field.strip_prefix(field.spec.key)?.strip_prefix('[')?;
            rest.split(']').next()?.parse().ok()
        };
        for (at, field) in self.fields.iter().enumerate() {
            if let Some(row) = row_in(field) {
                return (Some(at), format!("row {}: {}", row + 1, refusal.problem));
            }
        }
        (None, format!("{}: {}", refusal.field, refusal.problem))
    }

    /// The address of the example that the empty fields show.
    pub(crate) fn example_href(&self) -> String {
        let pair = |field: &Field| format!("{}={}", field.spec.name, encoded(field.spec.example));
        let given = self.fields.iter().filter(|field| !field.spec.example.is_empty());
        format!(
            "{}?{}",
            self.action,
            given.map(pair).collect::<Vec<_>>().join("&")
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FIELDS: [FieldSpec; 2] = [
        number("length_mm", "12", "length_m", 1e-3),
        text("times", "1\n2+"),
    ];

    fn form(pairs: &[(&str, &str)]) -> Form {
        let pairs: Vec<_> = pairs
            .iter()
            .map(|(a, b)| (a.to_string(), b.to_string()))
            .collect();
        Form::read("/calculate/x", &FIELDS, &pairs)
    }

    fn refused(field: &str) -> Answered<f64> {
        Err(vec![Refusal {
            field: field.to_string(),
            problem: "is wrong".to_string(),
        }])
    }

    #[test]
    fn an_empty_form_asks_nothing_and_shows_its_example() {
        let mut empty = form(&[("length_mm", " "), ("times", "")]);
        assert!(empty.answer(|form| Ok(form.needed("length_mm"))).is_none() && !empty.is_refused());
        assert_eq!(empty.example_href(), "/calculate/x?length_mm=12&times=1%0A2%2B");
    }

    #[test]
    fn a_number_is_taken_to_the_questions_unit_and_a_missing_one_named() {
        let mut asked = form(&[("length_mm", "12,5")]);
        let length = asked.answer(|form| Ok(form.needed("length_mm"))).unwrap();
        assert!((length - 12.5e-3).abs() < 1e-15);
        let mut missing = form(&[("times", "1")]);
        assert!(missing.answer(|form| Ok(form.needed("length_mm"))).is_none());
        assert_eq!(missing.fields[0].fault, "is needed");
    }

    #[test]
    fn a_refusal_stands_beside_its_field_with_its_row() {
        let mut asked = form(&[("length_mm", "1")]);
        for _ in 0..2 {
            asked.answer(|_| refused("times[2]"));
        }
        assert_eq!(asked.fields[1].fault, "row 3: is wrong");
        let mut other = form(&[("length_mm", "1")]);
        other.answer(|_| refused("length_m"));
        assert_eq!(other.fields[0].fault, "is wrong");
        let mut nowhere = form(&[("length_mm", "1")]);
        nowhere.answer(|_| refused("elsewhere"));
        assert_eq!(nowhere.problem, "elsewhere: is wrong");
    }

    #[test]
    fn names_that_are_unknown_or_come_twice_are_refused() {
        assert!(form(&[("lenght_mm", "1")]).problem.contains("lenght_mm"));
        assert!(form(&[("length_mm", "1"), ("length_mm", "2")]).is_refused());
    }
}
