//! Builds trials for tests: short, in words, with invented data.
#![allow(
    dead_code,
    unreachable_pub,
    clippy::unwrap_used,
    reason = "each test binary uses its own part of the builder, and what cannot be built is a failed test"
)]

pub mod explained;
pub mod judged;
pub mod trials;

use likewear::facade::catalogue::{Method, MethodId, Mode, Use, Written, built_in};
use likewear::facade::records::{
    Asks, Blend, BlendCode, BlendKind, Confidence, Level, Machine, MachineContact, MachineSlug, OwnMethod,
    OwnQuantity, Preset, Purpose, ResultSource, ResultStatus, Rig, RigId, Role, RunResult, TestKey, Trial,
    TrialBlend, TrialRecords, TrialSlug, TrialStatus, TrialTest, method_of,
};

/// A slow drive with a rolling contact, as intervals.
pub(crate) const SLOW_ROLLERS: &str = r#"{"shape":"line","ellipticity":[50,100],"max_pressure_pa":[0.9e9,1.9e9],
    "sliding_m_s":[0,0.01],"slide_roll":[0,0.15],"motion":"one way","film_ratio":[0.02,0.6],
    "materials":"hard steel/hard steel","time_share":[0.01,0.05],"temperature_c":[40,85],
    "contact_temperature_c":[40,90],"supply":"circulated"}"#;

/// A fast gear mesh.
pub(crate) const FAST_MESH: &str = r#"{"shape":"line","ellipticity":[50,100],"max_pressure_pa":[0.9e9,1.9e9],
    "sliding_m_s":[0.5,2.5],"slide_roll":[0.2,0.9],"motion":"one way","film_ratio":[0.4,1.5],
    "materials":"hard steel/hard steel","time_share":[0.004,0.02],"temperature_c":[60,90],
    "contact_temperature_c":[90,300],"supply":"splash"}"#;

/// A bronze bush on a steel pin, oscillating slowly.
pub(crate) const BRONZE_BUSH: &str = r#"{"shape":"conformal","max_pressure_pa":[15e6,80e6],"mean_pressure_pa":[10e6,60e6],
    "sliding_m_s":[0,0.02],"slide_roll":[2,2],"motion":"reversing","film_ratio":[0.05,0.3],
    "materials":"hard steel/bronze","time_share":[0.3,1],"temperature_c":[5,30],
    "contact_temperature_c":[5,40],"supply":"thin dab"}"#;

/// A trial in the making.
#[derive(Clone)]
pub(crate) struct TrialBuilder {
    records: TrialRecords,
    next_id: i64,
}

/// A trial on a machine with one contact, whose main and secondary modes are given.
pub(crate) fn trial_on(contact_json: &str, main: &[&str], secondary: &[&str]) -> TrialBuilder {
    let slug = TrialSlug::new("a-trial").unwrap();
    let machine = MachineSlug::new("a-machine").unwrap();
    let trial = Trial {
        slug,
        title: "A trial".into(),
        question: "Which blend?".into(),
        machine: machine.clone(),
        status: TrialStatus::Running,
        opened_on: None,
        closed_on: None,
        machine_confidence: Confidence::Medium,
        invented: true,
        blends: Vec::new(),
        tests: Vec::new(),
        machine_version: 1,
        short: String::new(),
        asks: None,
        against: None,
        margin: None,
        adoptions: Vec::new(),
    };
    let machine = Machine {
        slug: machine,
        name: "A machine".into(),
        kind: "drive".into(),
        note: String::new(),
        caution: String::new(),
        contacts: vec![contact("contact", contact_json, 1.0, main, secondary)],
        version: 1,
        change: String::new(),
        entered_at: String::new(),
    };
    let records = TrialRecords {
        trial,
        machine,
        newest_machine_version: 1,
        blends: Vec::new(),
        methods: built_in().to_vec(),
        rigs: Vec::new(),
        results: Vec::new(),
        decisions: Vec::new(),
        term_scales: Vec::new(),
    };
    TrialBuilder { records, next_id: 1 }
}

/// A machine contact.
pub(crate) fn contact(
    name: &str,
    json: &str,
    share: f64,
    main: &[&str],
    secondary: &[&str],
) -> MachineContact {
    let modes = |words: &[&str]| words.iter().map(|word| Mode::from_word(word).unwrap()).collect();
    MachineContact {
        name: name.into(),
        preset: Preset::parse("stated", json).unwrap(),
        parameters_json: json.into(),
        share,
        main_modes: modes(main),
        secondary_modes: modes(secondary),
        minor_modes: Vec::new(),
    }
}

pub(crate) fn code(text: &str) -> BlendCode {
    BlendCode::new(text).unwrap()
}

fn written(text: &str) -> Written {
    let number = |text: &str| text.trim().parse::<f64>();
    match (text.strip_prefix('>'), text.strip_prefix('<'), number(text)) {
        (Some(rest), _, _) => Written::Above(number(rest).unwrap()),
        (_, Some(rest), _) => Written::Below(number(rest).unwrap()),
        (_, _, Ok(value)) => Written::Number(value),
        _ => Written::Word(text.to_string()),
    }
}

impl TrialBuilder {
    pub(crate) fn another_contact(mut self, name: &str, json: &str, share: f64, main: &[&str]) -> Self {
        for contact in &mut self.records.machine.contacts {
            contact.share *= 1.0 - share;
        }
        self.records
            .machine
            .contacts
            .push(contact(name, json, share, main, &[]));
        self
    }

    fn blend(mut self, name: &str, role: Role, level: Option<Level>) -> Self {
        self.records.trial.blends.push(TrialBlend {
            blend: code(name),
            role,
            level,
        });
        self.records.blends.push(Blend {
            code: code(name),
            name: name.to_string(),
            kind: BlendKind::Oil,
            made_on: None,
            parent: None,
            change: String::new(),
            kv40_mm2_s: Some(220.0),
            kv100_mm2_s: Some(19.0),
            density15_kg_m3: Some(880.0),
            base_oil_kv40_mm2_s: None,
            base_oil_kv100_mm2_s: None,
            nlgi: String::new(),
            note: String::new(),
            composition: Vec::new(),
        });
        self
    }

    pub(crate) fn candidate(self, name: &str) -> Self {
        self.blend(name, Role::Candidate, None)
    }

    pub(crate) fn good(self, name: &str) -> Self {
        self.blend(name, Role::Reference, Some(Level::KnownGood))
    }

    pub(crate) fn poor(self, name: &str) -> Self {
        self.blend(name, Role::Reference, Some(Level::KnownPoor))
    }

    pub(crate) fn middle(self, name: &str) -> Self {
        self.blend(name, Role::Reference, Some(Level::KnownMiddle))
    }

    pub(crate) fn control(self, name: &str) -> Self {
        self.blend(name, Role::Control, None)
    }

    pub(crate) fn weigh(self, key: &str) -> Self {
        self.test(key, Use::Weigh, "")
    }

    pub(crate) fn gate(self, key: &str, limit: &str) -> Self {
        self.test(key, Use::Gate, limit)
    }

    pub(crate) fn test(mut self, key: &str, used_to: Use, limit: &str) -> Self {
        self.records.trial.tests.push(TrialTest {
            key: TestKey::parse(key).unwrap(),
            used_to,
            limit: limit.into(),
            known_good: None,
            known_poor: None,
            cost: None,
            days: None,
            reason: String::new(),
        });
        self
    }

    /// An own bench with the machine's first contact, of which `wear` (mm, lower is better, r 0.1 mm) scores a mode.
    pub(crate) fn own_bench(self, id: &str, mode: &str) -> Self {
        let json = self.records.machine.contacts[0].parameters_json.clone();
        self.own_bench_with(id, mode, &json, "wear")
    }

    /// An own bench with a contact of its own; its quantity in mm is called as given.
    pub(crate) fn own_bench_with(self, id: &str, mode: &str, json: &str, quantity: &str) -> Self {
        let row = OwnQuantity {
            quantity: quantity.into(),
            label: "Wear".into(),
            unit: "mm".into(),
            better: "lower".into(),
            scale: "identity".into(),
            plain_number_is: "exact".into(),
            modes: format!("{mode}=1"),
            repeatability: Some(0.1),
            reproducibility: Some(0.2),
            precision_kind: "constant".into(),
            mark: "invented".into(),
            ..OwnQuantity::default()
        };
        self.bench_in(id, json, row).weigh(&format!("{id}/{quantity}"))
    }

    /// An own bench with the machine's first contact and a quantity as given, not yet in the trial.
    pub(crate) fn bench_of(self, id: &str, row: OwnQuantity) -> Self {
        let json = self.records.machine.contacts[0].parameters_json.clone();
        self.bench_in(id, &json, row)
    }

    fn bench_in(mut self, id: &str, json: &str, row: OwnQuantity) -> Self {
        let rows = OwnMethod {
            id: MethodId::new(id).unwrap(),
            title: format!("Own bench {id}"),
            standard: "in-house".into(),
            based_on: String::new(),
            lubricant: "oil".into(),
            category: "II".into(),
            conditions_json: String::new(),
            apparatus: String::new(),
            safety: String::new(),
            contacts_json: format!("[{json}]"),
            cost: None,
            days: None,
            caution: "none".into(),
            note: String::new(),
            quantities: vec![row],
        };
        self.records.methods.push(method_of(&rows).unwrap());
        self
    }

    /// Runs of one blend on one rig in one campaign.
    pub(crate) fn runs(self, blend: &str, key: &str, values: &[&str]) -> Self {
        let method = key.split('/').next().unwrap().to_string();
        self.runs_on(blend, key, values, &format!("rig-{method}"), "first")
    }

    pub(crate) fn runs_on(
        mut self,
        blend: &str,
        key: &str,
        values: &[&str],
        rig: &str,
        campaign: &str,
    ) -> Self {
        for value in values {
            let replicate = self.records.results.len() as u32 + 1;
            let result = self.result(blend, key, value, rig, campaign, replicate);
            self.records.results.push(result);
            self.next_id += 1;
        }
        let id = RigId::new(rig).unwrap();
        if !self.records.rigs.iter().any(|known| known.id == id) {
            let rig = Rig {
                id,
                name: rig.into(),
                lab: "A".into(),
                methods: Vec::new(),
                reference_blend: None,
                base_period: None,
            };
            self.records.rigs.push(rig);
        }
        self
    }

    fn result(
        &self,
        blend: &str,
        key: &str,
        value: &str,
        rig: &str,
        campaign: &str,
        replicate: u32,
    ) -> RunResult {
        let key = TestKey::parse(key).unwrap();
        let (_, quantity) = self
            .records
            .test(&key)
            .unwrap_or_else(|| panic!("{key} is not known"));
        let reading = quantity.read(&written(value)).unwrap();
        RunResult {
            id: Some(self.next_id),
            trial: self.records.trial.slug.clone(),
            blend: code(blend),
            value: reading.value,
            off_ladder: reading.off_ladder,
            value_as_written: value.into(),
            unit_as_written: quantity.unit.to_string(),
            key,
            rig: RigId::new(rig),
            date: None,
            replicate,
            campaign: campaign.into(),
            conditions: String::new(),
            purpose: Purpose::Test,
            status: ResultStatus::Valid,
            reason: String::new(),
            source: ResultSource::Measured,
            note: String::new(),
            last_passed: String::new(),
            accepted: Vec::new(),
            supersedes: None,
            entered_at: String::new(),
            voided_at: String::new(),
            origin: "test".into(),
        }
    }

    /// Changes every result so far.
    pub(crate) fn each_result(mut self, change: impl Fn(&mut RunResult)) -> Self {
        self.records.results.iter_mut().for_each(change);
        self
    }

    /// Asks whether the candidates are no worse than a blend.
    pub(crate) fn no_worse_than(mut self, blend: &str, margin: Option<f64>) -> Self {
        self.records.trial.asks = Some(Asks::NoWorse);
        self.records.trial.against = Some(code(blend));
        self.records.trial.margin = margin;
        self
    }

    pub(crate) fn confidence(mut self, confidence: Confidence) -> Self {
        self.records.trial.machine_confidence = confidence;
        self
    }

    pub(crate) fn methods(&self) -> &[Method] {
        &self.records.methods
    }

    pub(crate) fn build(self) -> TrialRecords {
        self.records
    }
}
