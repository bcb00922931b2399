//! Machines: their contacts, and which test methods resemble each of them.

use crate::app::judged::apart;
use crate::app::{App, AppError, BlendScuffing};
use crate::lubricant::Oil;
use crate::records::{BlendCode, Level, Machine, MachineSlug, TrialSlug};
use crate::standing::{ContactSurvey, film_oil, survey};
use crate::store::{Part, TrialFilter, TrialHead};

/// Viscosity of the oil that is taken where no trial names one: ISO VG 220 with a viscosity index near 95, as mineral
/// gear oils have (common practice, no source), mm2/s at 40 and 100 °C.
const USUAL_KV_MM2_S: (f64, f64) = (220.0, 19.0);

/// The oil whose film is taken where no trial names one.
pub fn usual_oil() -> Option<Oil> {
    let (kv40, kv100) = USUAL_KV_MM2_S;
    Oil::new(kv40, kv100, None, None).ok()
}

/// The oil whose film is taken in a survey.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FilmOil {
    /// The known-good reference oil of a trial.
    KnownGood {
        /// The blend.
        blend: BlendCode,
        /// The trial.
        trial: TrialSlug,
        /// Its title.
        title: String,
    },
    /// An ISO VG 220 oil, since no trial on this machine has a known-good oil of known viscosity.
    Usual,
}

/// A machine with what its contacts come to.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineView {
    /// The machine, in the version that is shown.
    pub machine: Machine,
    /// All its versions, the first one first.
    pub versions: Vec<Machine>,
    /// The oil of the films.
    pub film_oil: FilmOil,
    /// The same as an oil.
    pub oil: Option<Oil>,
    /// Per contact, in the machine's order.
    pub surveys: Vec<ContactSurvey>,
    /// Titles with standards of methods that have no rubbing contact, hence resemble nothing.
    pub without_contact: Vec<(String, String)>,
    /// What the gear scuffing rig says of the blends of its trials; empty for a machine without gears.
    pub scuffing: Vec<BlendScuffing>,
    /// Trials on this machine, the latest first.
    pub trials: Vec<TrialHead>,
}

impl App {
    /// All machines, in the order in which they were entered, with how many trials each has.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn machines(&self) -> Result<Vec<(Machine, usize)>, AppError> {
        let mut list = Vec::new();
        for machine in self.store().read_machines().await? {
            let (trials, _) = self
                .store()
                .page_of_trials(&of_machine(&machine.slug), Part::default())
                .await?;
            list.push((machine, trials));
        }
        Ok(list)
    }

    /// A machine in its newest version, or in another one; `None` where there is none of that name or number.
    ///
    /// # Errors
    /// `Damaged` where a stored value cannot be read.
    pub async fn machine(
        &self,
        slug: &MachineSlug,
        version: Option<u32>,
    ) -> Result<Option<MachineView>, AppError> {
        let versions = self.machine_versions(slug).await?;
        let shown = match version {
            Some(number) => versions.iter().find(|machine| machine.version == number),
            None => versions.last(),
        };
        let Some(machine) = shown.cloned() else {
            return Ok(None);
        };
        let trials = self.store().list_trials(&of_machine(slug)).await?;
        let (film_oil, oil) = self.oil_of(&trials).await?;
        let scuffing = self.scuffing(&machine, &trials).await?;
        let methods = self.methods().await?;
        let without_contact = methods.iter().filter(|method| !method.has_contact());
        let without_contact = without_contact
            .map(|method| (method.id.to_string(), method.to_string()))
            .collect();
        let (machine, surveys, oil) = apart(move || {
            let surveys = survey(&machine, &methods, oil.as_ref());
            (machine, surveys, oil)
        })
        .await?;
        Ok(Some(MachineView {
            machine,
            versions,
            film_oil,
            oil,
            surveys,
            without_contact,
            scuffing,
            trials,
        }))
    }

    /// The known-good oil of the latest trial that has one of known viscosity.
    pub(crate) async fn oil_of(&self, trials: &[TrialHead]) -> Result<(FilmOil, Option<Oil>), AppError> {
        /// Trials looked at: a machine that hundreds of trials ran on names its oil in the latest of them.
        const LOOKED_AT: usize = 20;
        let blends = if trials.is_empty() {
            Vec::new()
        } else {
            self.store().read_blends().await?
        };
        for head in trials.iter().take(LOOKED_AT) {
            let parts = self.store().read_parts(&head.trial).await?;
            let good = parts.iter().find(|part| part.level == Some(Level::KnownGood));
            let blend = good.and_then(|part| blends.iter().find(|blend| blend.code == part.blend));
            if let Some((blend, oil)) = blend.and_then(|blend| Some((blend, film_oil(blend)?))) {
                let named = FilmOil::KnownGood {
                    blend: blend.code.clone(),
                    trial: head.trial.clone(),
                    title: head.title.clone(),
                };
                return Ok((named, Some(oil)));
            }
        }
        Ok((FilmOil::Usual, usual_oil()))
    }
}

/// The trials on a machine.
pub(crate) fn of_machine(slug: &MachineSlug) -> TrialFilter {
    TrialFilter {
        machine: slug.to_string(),
        ..TrialFilter::default()
    }
}
