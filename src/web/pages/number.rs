//! `/number`: a number from a data sheet, from anywhere; it leads to the test of a trial that the number is held against.
//! Several numbers are answered here, a line each.

mod lines;

use crate::app::{App, shown};
use crate::catalogue::{Method, Use};
use crate::explain::MOST_LINES;
use crate::records::{Role, TestKey, Trial, TrialSlug, TrialStatus};
use crate::standing::WhatIf;
use crate::web::error::{HttpError, html_as};
use crate::web::frame::{Frame, Section};
use crate::web::pages::explanation;
use crate::web::pages::number::lines::Answered;
use crate::web::question::{Pairs, encoded};
use askama::Template;
use axum::Router;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use std::sync::Arc;

pub(crate) fn router() -> Router<Arc<App>> {
    Router::new().route("/number", get(ask_for_number))
}

/// Something to choose: what the form sends, and its words.
struct Choice {
    value: String,
    words: String,
}

/// What can be chosen of one trial.
struct Group {
    slug: TrialSlug,
    name: String,
    tests: Vec<Choice>,
    blends: Vec<String>,
}

/// What was typed, and what is wrong with it; a fault is empty where nothing is.
#[derive(Default)]
struct Asked {
    value: String,
    test: String,
    blend: String,
    trial: String,
    lines: String,
    value_fault: String,
    test_fault: String,
    blend_fault: String,
    trial_fault: String,
    lines_fault: String,
}

impl Asked {
    fn is_refused(&self) -> bool {
        let faults = [
            &self.value_fault,
            &self.test_fault,
            &self.blend_fault,
            &self.trial_fault,
            &self.lines_fault,
        ];
        faults.into_iter().any(|fault| !fault.is_empty())
    }
}

#[derive(Template)]
#[template(path = "number/page.html")]
struct NumberPage {
    frame: Frame,
    groups: Vec<Group>,
    asked: Asked,
    /// The several numbers that were answered; `None` where none were asked for.
    answered: Option<Answered>,
}

impl NumberPage {
    /// Whether a test of a trial is the one that was asked for.
    fn is_asked(&self, group: &Group, test: &Choice) -> bool {
        self.asked.test == format!("{}/{}", group.slug, test.value)
    }

    /// Whether a blend is the one that was asked for, in the trial that was asked for or the first that has it.
    fn is_against(&self, group: &Group, blend: &str) -> bool {
        let in_trial =
            |group: &&Group| self.asked.trial.is_empty() || group.slug.as_str() == self.asked.trial;
        let has_it = |group: &&Group| group.blends.iter().any(|own| own == blend);
        let first = self.groups.iter().find(|group| in_trial(group) && has_it(group));
        self.asked.blend == blend && first.is_some_and(|first| first.slug == group.slug)
    }
}

async fn ask_for_number(State(app): State<Arc<App>>, pairs: Pairs) -> Result<Response, HttpError> {
    let mut trials = app.trials_with_their_tests().await?;
    trials.sort_by_key(|trial| !matches!(trial.status, TrialStatus::Planned | TrialStatus::Running));
    let methods = app.methods().await?;
    let mut groups: Vec<Group> = trials.iter().filter_map(|trial| group(trial, &methods)).collect();
    let field = |name: &str| pairs.field(name).unwrap_or_default().to_string();
    let mut asked = Asked {
        value: field("value"),
        test: field("test"),
        blend: field("blend"),
        trial: field("trial"),
        lines: field("lines"),
        ..Asked::default()
    };
    let typed = lines::typed(&pairs, &asked.lines);
    let is_sent = ["value", "test", "lines", "theirs"]
        .iter()
        .any(|name| pairs.field(name).is_some());
    let mut answered = None;
    if !typed.is_empty() && asked.value.is_empty() {
        answered = several(&app, &groups, &methods, &mut asked, &typed).await?;
    } else if is_sent && let Some((trial, key)) = one(&groups, &mut asked) {
        let blend = match asked.blend.as_str() {
            "" => first_of(&app, &trial).await?,
            chosen => chosen.to_string(),
        };
        let place = format!(
            "{}&blend={}&value={}",
            explanation::address(&trial, &key),
            encoded(&blend),
            encoded(&asked.value)
        );
        return Ok(Redirect::to(&place).into_response());
    } else if !asked.trial.is_empty() && !groups.iter().any(|group| group.slug.as_str() == asked.trial) {
        asked.trial_fault = no_trial(&asked.trial);
    }
    // From a trial only its own tests and blends are offered.
    if !is_sent && groups.iter().any(|group| group.slug.as_str() == asked.trial) {
        groups.retain(|group| group.slug.as_str() == asked.trial);
    }
    let status = if asked.is_refused() || answered.as_ref().is_some_and(Answered::is_refused) {
        StatusCode::UNPROCESSABLE_ENTITY
    } else {
        StatusCode::OK
    };
    let page = NumberPage {
        frame: Frame::new("A number from a data sheet")
            .of(Section::Trials)
            .showing(trials.iter().any(|trial| trial.invented).into()),
        groups,
        asked,
        answered,
    };
    html_as(status, &page)
}

fn no_trial(slug: &str) -> String {
    format!(
        "'{}' is no trial with a test; choose one of the list",
        shown(slug)
    )
}

/// Who comes first in a trial, or its first candidate: whose number is usually defended.
async fn first_of(app: &App, trial: &TrialSlug) -> Result<String, HttpError> {
    let comparison = app.compare(trial, &WhatIf::default()).await?;
    let first = comparison.standing.front_runner.clone();
    let first = first.or_else(|| comparison.records.with_role(Role::Candidate).next().cloned());
    Ok(first.map(|blend| blend.to_string()).unwrap_or_default())
}

/// The trial and test that one number is of; `None` where something is missing or does not fit, which is said beside it.
fn one(groups: &[Group], asked: &mut Asked) -> Option<(TrialSlug, TestKey)> {
    if asked.value.is_empty() {
        asked.value_fault = "is empty; write the number as the sheet has it".to_string();
    }
    if asked.test.is_empty() {
        asked.test_fault = "is empty; choose the test that the number is from".to_string();
        return None;
    }
    let (named, test) = match asked.test.split('/').collect::<Vec<_>>().as_slice() {
        [slug, method, quantity] => (Some((*slug).to_string()), format!("{method}/{quantity}")),
        _ => (None, asked.test.clone()),
    };
    // The machine that was chosen counts before the trial in whose list the test was found.
    let wanted = match asked.trial.as_str() {
        "" => named.clone(),
        chosen => Some(chosen.to_string()),
    };
    let runs = |group: &&Group| group.tests.iter().any(|held| held.value == test);
    if !groups.iter().any(|group| runs(&group)) {
        asked.test_fault = format!(
            "'{}' is no test of a trial; choose one of the list",
            shown(&asked.test)
        );
        return None;
    }
    let in_trial = |group: &&Group| wanted.as_ref().is_none_or(|slug| group.slug.as_str() == slug);
    let has_blend = |group: &&Group| asked.blend.is_empty() || group.blends.contains(&asked.blend);
    let names = |kept: &dyn Fn(&&Group) -> bool| {
        let names: Vec<String> = groups
            .iter()
            .filter(kept)
            .map(|group| format!("'{}'", group.name))
            .collect();
        names.join(", ")
    };
    if !groups.iter().any(|group| in_trial(&group)) {
        let fault = no_trial(wanted.as_deref().unwrap_or_default());
        if asked.trial.is_empty() {
            asked.test_fault = fault;
        } else {
            asked.trial_fault = fault;
        }
        return None;
    }
    if !groups.iter().any(|group| in_trial(&group) && runs(&group)) {
        asked.test_fault = format!("was not run for this machine; it was in {}", names(&runs));
        return None;
    }
    let Some(found) = groups
        .iter()
        .find(|group| in_trial(group) && runs(group) && has_blend(group))
    else {
        let where_it_is = names(&has_blend);
        asked.blend_fault = if where_it_is.is_empty() {
            format!(
                "'{}' is no candidate of a trial; choose one of the list",
                shown(&asked.blend)
            )
        } else {
            format!(
                "'{}' was not compared there; it is in {where_it_is}",
                shown(&asked.blend)
            )
        };
        return None;
    };
    let (method, quantity) = test.split_once('/')?;
    let key = TestKey::new(&crate::catalogue::MethodId::new(method)?, quantity);
    asked.value_fault.is_empty().then(|| (found.slug.clone(), key))
}

/// Several numbers, each judged for itself; `None` where they cannot be begun with, which is said beside the field.
async fn several(
    app: &App,
    groups: &[Group],
    methods: &[Method],
    asked: &mut Asked,
    typed: &[lines::Typed],
) -> Result<Option<Answered>, HttpError> {
    if typed.len() > MOST_LINES {
        asked.lines_fault = format!(
            "has {} numbers; at most {MOST_LINES} are answered at once: leave out {}",
            typed.len(),
            typed.len() - MOST_LINES
        );
        return Ok(None);
    }
    if !asked.trial.is_empty() && !groups.iter().any(|group| group.slug.as_str() == asked.trial) {
        asked.trial_fault = no_trial(&asked.trial);
        return Ok(None);
    }
    let in_trial = |group: &&Group| asked.trial.is_empty() || group.slug.as_str() == asked.trial;
    let has_blend = |group: &&Group| asked.blend.is_empty() || group.blends.contains(&asked.blend);
    let offered: Vec<&Group> = groups
        .iter()
        .filter(|group| in_trial(group) && has_blend(group))
        .collect();
    if offered.is_empty() {
        asked.blend_fault = format!(
            "'{}' was not compared there; choose another machine or blend",
            shown(&asked.blend)
        );
        return Ok(None);
    }
    let mut best: Option<(usize, &Group)> = None;
    for group in offered {
        let records = app.records(&group.slug).await?;
        let read = typed
            .iter()
            .filter(|line| line.placed(&records, methods).is_ok())
            .count();
        if best.is_none_or(|(most, _)| read > most) {
            best = Some((read, group));
        }
    }
    let Some((_, group)) = best else { return Ok(None) };
    let comparison = app.compare(&group.slug, &WhatIf::default()).await?;
    let blend = match asked.blend.as_str() {
        "" => first_of(app, &group.slug).await?,
        chosen => chosen.to_string(),
    };
    asked.blend.clone_from(&blend);
    asked.trial = group.slug.to_string();
    Ok(Some(lines::answered(
        &comparison,
        methods,
        &blend,
        &group.name,
        typed,
    )))
}

/// The tests of a trial that are more than a requirement; `None` where it has none.
fn group(trial: &Trial, methods: &[Method]) -> Option<Group> {
    let tests = trial.tests.iter().filter(|test| test.used_to != Use::Gate);
    let held = tests.filter_map(|test| {
        let method = methods.iter().find(|method| method.id == test.key.method)?;
        let label = &method.quantity(&test.key.quantity)?.label;
        Some(Choice {
            value: test.key.to_string(),
            words: format!("{label}: {}", method.standard),
        })
    });
    let tests: Vec<Choice> = held.collect();
    let name = if trial.short.is_empty() {
        &trial.title
    } else {
        &trial.short
    };
    let candidates = trial.blends.iter().filter(|part| part.role == Role::Candidate);
    (!tests.is_empty()).then(|| Group {
        slug: trial.slug.clone(),
        name: name.clone(),
        tests,
        blends: candidates.map(|part| part.blend.to_string()).collect(),
    })
}
