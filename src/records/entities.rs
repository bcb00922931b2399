//! The records of an archive, each with the columns of its table.

use crate::catalogue::{MethodId, Mode, Use};
use crate::records::table::{Cell, Column, Columns, Range, Record, Source, column, records};
use crate::records::{
    Adoption, Asks, BasePeriod, BlendCode, BlendKind, ComponentName, Confidence, DecisionKind, Level,
    MachineSlug, OutcomeSeverity, RigId, Role, TestKey, TrialSlug, TrialStatus,
};
use jiff::civil::Date;

records! {
    /// A component that blends are made of.
    Component in "components.csv", table "components", key ["component"] {
        /// Its name.
        name: ComponentName = column("component"),
        /// Its class: base stock group IV, antiwear, antioxidant.
        class: String = column("class"),
        /// A note.
        note: String = column("note"),
    }

    /// One batch of one formulation.
    Blend in "blends.csv", table "blends", key ["blend"] {
        /// Its code.
        code: BlendCode = column("blend"),
        /// A name in words.
        name: String = column("name"),
        /// Oil, grease or other.
        kind: BlendKind = column("kind"),
        /// When it was made.
        made_on: Option<Date> = column("made_on"),
        /// The blend it was changed from.
        parent: Option<BlendCode> = column("parent").defined_in(Blend::FILE),
        /// What was changed.
        change: String = column("change").stored_as("change_note"),
        /// Kinematic viscosity at 40 °C, mm2/s.
        kv40_mm2_s: Option<f64> = column("kv40_mm2_s").within(Range::Above0),
        /// Kinematic viscosity at 100 °C, mm2/s.
        kv100_mm2_s: Option<f64> = column("kv100_mm2_s").within(Range::Above0),
        /// Density at 15 °C, kg/m3.
        density15_kg_m3: Option<f64> = column("density15_kg_m3").within(Range::Above0),
        /// Kinematic viscosity at 40 °C of a grease's base oil, mm2/s.
        base_oil_kv40_mm2_s: Option<f64> = column("base_oil_kv40_mm2_s").within(Range::Above0),
        /// Kinematic viscosity at 100 °C of a grease's base oil, mm2/s.
        base_oil_kv100_mm2_s: Option<f64> = column("base_oil_kv100_mm2_s").optional().within(Range::Above0),
        /// Consistency number of a grease.
        nlgi: String = column("nlgi"),
        /// A note.
        note: String = column("note"),
    } + {
        /// Components with weight per cent.
        composition: Vec<(ComponentName, f64)>,
    }

    /// To which blend a part belongs.
    #[derive(Eq, PartialOrd, Ord)]
    OfBlend {
        /// The blend.
        blend: BlendCode = column("blend").defined_in(Blend::FILE),
    }

    /// One physical machine in one laboratory that runs methods.
    Rig in "rigs.csv", table "rigs", key ["rig"] {
        /// Its id.
        id: RigId = column("rig"),
        /// Its name.
        name: String = column("name"),
        /// Its laboratory.
        lab: String = column("lab"),
        /// The methods it runs.
        methods: Vec<MethodId> = column("methods").only_in_folder(),
        /// The reference oil that checks it.
        reference_blend: Option<BlendCode> = column("reference_blend").defined_in(Blend::FILE),
        /// The days in which its owner knows it to be in order.
        base_period: Option<BasePeriod> = [column("base_from").optional(), column("base_to").optional()],
    }

    /// A laboratory's own method, as written in its archive.
    OwnMethod in "methods.csv", table "methods", key ["method"] {
        /// Its id.
        id: MethodId = column("method"),
        /// Title.
        title: String = column("title"),
        /// Standard, or in-house.
        standard: String = column("standard"),
        /// The built-in method it was copied from, or empty.
        based_on: String = column("based_on").trimmed(),
        /// Lubricant word.
        lubricant: String = column("lubricant").trimmed(),
        /// Category word.
        category: String = column("category").trimmed(),
        /// Contacts as JSON, as they came.
        contacts_json: String = column("contacts"),
        /// Cost of a result.
        cost: Option<f64> = column("cost").within(Range::From0),
        /// Days of a result.
        days: Option<f64> = column("days").within(Range::From0),
        /// Caution.
        caution: String = column("caution"),
        /// Note.
        note: String = column("note"),
        /// Its conditions as a JSON list of names and values, as they came; empty: those of the method it was copied
        /// from.
        conditions_json: String = column("conditions").optional(),
        /// What it is run on and for what; empty: that of the method it was copied from.
        apparatus: String = column("apparatus").optional().trimmed(),
        /// Rig safety; empty: that of the method it was copied from.
        safety: String = column("safety").optional(),
    } + {
        /// Its quantities, as written.
        quantities: Vec<OwnQuantity>,
    }

    /// To which own method a quantity belongs.
    #[derive(Eq, PartialOrd, Ord)]
    OfMethod {
        /// The method.
        method: MethodId = column("method"),
    }

    /// A quantity of a laboratory's own method, as written in its archive.
    #[derive(Default)]
    OwnQuantity of OfMethod in "method_quantities.csv", table "method_quantities", key ["method", "quantity"] {
        /// Id.
        quantity: String = column("quantity").trimmed(),
        /// Label.
        label: String = column("label"),
        /// Unit word.
        unit: String = column("unit").trimmed(),
        /// `higher` or `lower`.
        better: String = column("better").trimmed(),
        /// `identity`, `ln`, `ladder`, `stage` or `class`.
        scale: String = column("scale").trimmed(),
        /// Steps or classes, `;` between.
        steps: String = column("steps"),
        /// Cap.
        cap: Option<f64> = column("cap"),
        /// `exact`, `failure` or `pass`.
        plain_number_is: String = column("plain_number_is").trimmed(),
        /// `mode=strength;…`.
        modes: String = column("modes"),
        /// r.
        repeatability: Option<f64> = column("r").stored_as("repeatability").within(Range::Above0),
        /// R.
        reproducibility: Option<f64> = column("R").stored_as("reproducibility").within(Range::Above0),
        /// `constant`, `percent` or `steps`.
        precision_kind: String = column("precision_kind").trimmed(),
        /// Level of a constant precision.
        level: Option<f64> = column("level").within(Range::Above0),
        /// Where the values come from.
        mark: String = column("mark"),
        /// Names of the contacts it comes from, `;` between; empty: those of the method it was copied from, or all.
        contacts: String = column("contacts").optional(),
        /// Numbers that can be results at all, `lo;hi`; empty: those of the method it was copied from, or its steps.
        possible: String = column("possible").optional().trimmed(),
        /// Numbers that results usually are, `lo;hi`; empty: those of the method it was copied from.
        usual: String = column("usual").optional().trimmed(),
    }

    /// One comparison.
    Trial in "trials.csv", table "trials", key ["trial"] {
        /// Its slug.
        slug: TrialSlug = column("trial"),
        /// Title.
        title: String = column("title"),
        /// The question it answers.
        question: String = column("question"),
        /// The target machine.
        machine: MachineSlug = column("machine").defined_in("machines.csv"),
        /// Where it stands.
        status: TrialStatus = column("status"),
        /// Opened.
        opened_on: Option<Date> = column("opened_on"),
        /// Closed.
        closed_on: Option<Date> = column("closed_on"),
        /// How well the machine is known.
        machine_confidence: Confidence = column("machine_confidence"),
        /// Whether the data is invented; every page that shows it says so.
        invented: bool = column("invented"),
        /// The version of the machine with which it is judged.
        machine_version: u32 = column("machine_version").optional(),
        /// The question in at most 60 characters, or empty.
        short: String = column("short").optional().trimmed(),
        /// What it asks; `None`: which blend to choose.
        asks: Option<Asks> = column("asks").optional(),
        /// The blend that candidates are held against, where it asks whether they are no worse.
        against: Option<BlendCode> = column("against").optional().defined_in(Blend::FILE),
        /// By how many critical differences of single runs one may then be worse; `None`: by one.
        margin: Option<f64> = column("margin").optional().within(Range::Above0),
    } + {
        /// The blends in it.
        blends: Vec<TrialBlend>,
        /// The tests in it.
        tests: Vec<TrialTest>,
        /// How it came to that version, the first adoption first; empty where it never had another.
        adoptions: Vec<Adoption>,
    }

    /// To which trial a part belongs.
    #[derive(Eq, PartialOrd, Ord)]
    OfTrial {
        /// The trial.
        trial: TrialSlug = column("trial").defined_in(Trial::FILE),
    }

    /// A blend's part in a trial.
    TrialBlend of OfTrial in "trial_blends.csv", table "trial_blends", key ["trial", "blend"] {
        /// The blend.
        blend: BlendCode = column("blend").defined_in(Blend::FILE),
        /// Its role.
        role: Role = column("role"),
        /// Its level, for a reference oil.
        level: Option<Level> = column("level"),
    }

    /// A test of a trial.
    TrialTest of OfTrial in "trial_methods.csv", table "trial_methods", key ["trial", "method", "quantity"] {
        /// Method and quantity.
        key: TestKey = [column("method"), column("quantity").trimmed()],
        /// What is done with it.
        used_to: Use = column("use").stored_as("used_to"),
        /// The limit of a gate, `<= 1b`; empty otherwise.
        limit: String = column("limit").stored_as("gate_limit"),
        /// The known-good reference of this quantity, where it differs from the trial's.
        known_good: Option<BlendCode> = column("known_good").defined_in(Blend::FILE),
        /// The known-poor reference of this quantity, where it differs from the trial's.
        known_poor: Option<BlendCode> = column("known_poor").defined_in(Blend::FILE),
        /// Cost of a result, where it differs from the method's.
        cost: Option<f64> = column("cost").within(Range::From0),
        /// Days of a result, where they differ from the method's.
        days: Option<f64> = column("days").within(Range::From0),
        /// Why it is in the trial.
        reason: String = column("reason"),
    }

    /// What a meeting decided.
    Decision in "decisions.csv", table "decisions", key ["trial", "date", "chosen", "snapshot"] {
        /// Trial.
        trial: TrialSlug = column("trial").defined_in(Trial::FILE),
        /// Date.
        date: Option<Date> = column("date").stored_as("decided_on"),
        /// The code of the blend that it is about, or `none`.
        chosen: String = column("chosen").trimmed(),
        /// Why.
        reason: String = column("reason"),
        /// Who disagreed, and why.
        dissent: String = column("dissent"),
        /// Cautions acknowledged, as JSON or words.
        acknowledged: String = column("acknowledged"),
        /// The frozen standing as JSON, empty when none was frozen.
        snapshot: String = column("snapshot"),
        /// What was decided; `None` in records from before there were kinds.
        kind: Option<DecisionKind> = column("kind").optional(),
        /// Who signed, by name or role.
        signed_by: String = column("signed_by").optional().trimmed(),
        /// When it is looked at again.
        review_on: Option<Date> = column("review_on").optional(),
        /// What is done next.
        next: String = column("next").optional().stored_as("next_action"),
    }

    /// What a machine did later.
    Outcome in "outcomes.csv", table "outcomes", key ["blend", "machine", "date", "mode"] {
        /// Blend.
        blend: BlendCode = column("blend").defined_in(Blend::FILE),
        /// Machine.
        machine: MachineSlug = column("machine").defined_in("machines.csv"),
        /// Date.
        date: Option<Date> = column("date").stored_as("observed_on"),
        /// Running hours.
        hours: Option<f64> = column("hours").within(Range::From0),
        /// Failure mode seen.
        mode: Option<Mode> = column("mode"),
        /// How bad.
        severity: OutcomeSeverity = column("severity"),
        /// Who says so.
        source: String = column("source"),
        /// Note.
        note: String = column("note"),
    }
}

/// A record to which rows of other tables belong.
pub trait Parent {
    /// What names it in those rows.
    type Name: Columns + Clone + Ord;

    /// Its name there.
    fn name_in_parts(&self) -> Self::Name;
}

impl Parent for Blend {
    type Name = OfBlend;

    fn name_in_parts(&self) -> OfBlend {
        let blend = self.code.clone();
        OfBlend { blend }
    }
}

impl Parent for OwnMethod {
    type Name = OfMethod;

    fn name_in_parts(&self) -> OfMethod {
        let method = self.id.clone();
        OfMethod { method }
    }
}

impl Parent for Trial {
    type Name = OfTrial;

    fn name_in_parts(&self) -> OfTrial {
        let trial = self.slug.clone();
        OfTrial { trial }
    }
}

/// A component's share of a blend, wt%.
impl Columns for (ComponentName, f64) {
    fn push_columns(columns: &mut Vec<Column>) {
        columns.extend(PORTION_COLUMNS);
    }

    fn push_cells(&self, cells: &mut Vec<Cell>) {
        cells.extend([Cell::Text(self.0.to_string()), Cell::Real(self.1)]);
    }

    fn read(source: &mut impl Source) -> Option<Self> {
        let component = source.field(&PORTION_COLUMNS[0]);
        let wt_pct = source.field(&PORTION_COLUMNS[1]);
        Some((component?, wt_pct?))
    }
}

const PORTION_COLUMNS: [Column; 2] = [
    column("component").defined_in(Component::FILE),
    column("wt_pct").within(Range::From0To100),
];

impl Record for (ComponentName, f64) {
    type Owner = OfBlend;
    const FILE: &'static str = "composition.csv";
    const TABLE: &'static str = "blend_components";
    const KEY: &'static [&'static str] = &["blend", "component"];
}

/// What a trial asks, with all that belongs to the question.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Asked<'t> {
    /// Which blend to choose.
    Choose,
    /// Whether each candidate is no worse than one blend.
    NoWorse {
        /// That blend.
        against: &'t BlendCode,
        /// By how many critical differences of single runs one may be worse.
        margin: f64,
    },
}

/// The margin of a trial that names none, in critical differences (ours).
const USUAL_MARGIN: f64 = 1.0;

impl Trial {
    /// What it asks.
    pub fn asked(&self) -> Asked<'_> {
        match (self.asks, &self.against) {
            (Some(Asks::NoWorse), Some(against)) => Asked::NoWorse {
                against,
                margin: self.margin.unwrap_or(USUAL_MARGIN),
            },
            _ => Asked::Choose,
        }
    }

    /// The version of the machine with which it was opened.
    pub fn first_machine_version(&self) -> u32 {
        self.adoptions
            .first()
            .map_or(self.machine_version, |adoption| adoption.from_version)
    }
}

impl Decision {
    /// What `chosen` says where it is about no blend.
    pub const NONE: &'static str = "none";

    /// Whether it was signed on a standing that was frozen with it.
    pub fn is_signed(&self) -> bool {
        !self.snapshot.is_empty()
    }

    /// The code of the blend that it is about; `None` where it is about none.
    pub fn blend(&self) -> Option<&str> {
        (self.chosen != Self::NONE).then_some(self.chosen.as_str())
    }

    /// What was decided. Before there were kinds, to name a blend was to choose it.
    pub fn decided(&self) -> DecisionKind {
        self.kind.unwrap_or(match self.blend() {
            Some(_) => DecisionKind::ScaleUp,
            None => DecisionKind::NoChoiceYet,
        })
    }

    /// The code of the blend that was chosen to be scaled up; `None` where none was.
    pub fn chosen_blend(&self) -> Option<&str> {
        self.blend().filter(|_| self.decided() == DecisionKind::ScaleUp)
    }
}

/// What one run of a method costs and how long it takes in a trial; `None`: as the method has it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct RunCosts {
    /// Cost, in the laboratory's currency.
    pub cost: Option<f64>,
    /// Days.
    pub days: Option<f64>,
}
