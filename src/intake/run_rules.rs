//! What holds for a run wherever it comes from: it was run on no day to come, on a rig that runs its method.

use crate::catalogue::{Method, MethodId, Origin};
use crate::records::Rig;
use jiff::civil::Date;

/// Days that a date may lie ahead: the clock of another place shows tomorrow already.
const GRACE_DAYS: i64 = 1;

/// What is wrong with a day that was not there yet on another one.
pub(crate) fn future(day: Date, today: Date) -> Option<String> {
    let latest = today.checked_add(jiff::Span::new().days(GRACE_DAYS)).ok()?;
    (day > latest).then(|| format!("lies in the future: today is {today}"))
}

/// What is wrong with a rig that does not run a method. A variant of a laboratory's own runs where a method of its
/// apparatus does; a rig that names no method may run any. `said` is what the reader calls a method: the id that stands in
/// the folder, or the name.
pub(crate) fn foreign_rig<'m>(
    rig: &Rig,
    method: &Method,
    known: impl Fn(&MethodId) -> Option<&'m Method>,
    said: fn(&Method) -> String,
) -> Option<String> {
    let is_its = |id: &MethodId| {
        let of_apparatus = |other: &Method| method.origin == Origin::Own && other.family() == method.family();
        *id == method.id || known(id).is_some_and(of_apparatus)
    };
    let runs = rig.methods.is_empty() || rig.methods.iter().any(is_its);
    let other = |id: &MethodId| known(id).map_or_else(|| id.to_string(), said);
    let others = || rig.methods.iter().map(other).collect::<Vec<_>>().join("; ");
    (!runs).then(|| format!("does not run {}; it runs {}", said(method), others()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::{built_in, built_in_method};
    use crate::records::RigId;
    use jiff::civil::date;

    #[test]
    fn a_date_may_lie_one_day_ahead() {
        let today = date(2026, 11, 30);
        for (day, is_wrong) in [
            (date(2026, 11, 30), false),
            (date(2026, 12, 1), false),
            (date(2026, 12, 2), true),
        ] {
            assert_eq!(future(day, today).is_some(), is_wrong, "{day}");
        }
    }

    #[test]
    fn a_rig_runs_what_it_lists_and_a_laboratorys_variants_of_that() {
        let listing = |methods: &[&str]| Rig {
            id: RigId::new("FB-1").unwrap(),
            name: String::new(),
            lab: String::new(),
            methods: methods.iter().filter_map(|id| MethodId::new(id)).collect(),
            reference_blend: None,
            base_period: None,
        };
        let known = |id: &MethodId| built_in_method(id.as_str());
        let method = |id: &str| built_in().iter().find(|method| method.id.as_str() == id).unwrap();
        let wear = listing(&["fb_wear_oil_B"]);
        let id = |method: &Method| method.id.to_string();
        let foreign_rig = |rig: &Rig, method: &Method| foreign_rig(rig, method, known, id);
        assert_eq!(foreign_rig(&wear, method("fb_wear_oil_B")), None);
        let words = foreign_rig(&wear, method("fb_wear_oil_A")).unwrap();
        assert_eq!(words, "does not run fb_wear_oil_A; it runs fb_wear_oil_B");
        let words = super::foreign_rig(&wear, method("gear_A8"), known, Method::name).unwrap();
        assert!(
            words.ends_with("it runs Four-ball wear, oil, 40 kgf (ASTM D4172, condition B)"),
            "{words}"
        );
        assert!(!words.contains('_'), "{words}");
        assert_eq!(foreign_rig(&listing(&[]), method("gear_A8")), None);
        let own = Method {
            id: MethodId::new("own_wear").unwrap(),
            origin: Origin::Own,
            ..method("fb_wear_oil_B").clone()
        };
        assert_eq!(foreign_rig(&wear, &own), None);
        assert!(foreign_rig(&listing(&["gear_A8"]), &own).is_some());
    }
}
