//! What integration tests and benches may name of the rooms, and nothing else is handed out. It exists under the
//! feature `facade` alone, so that the compiler sees without it what no path of the program reaches.
#![expect(missing_docs, reason = "each item is documented in its room")]

pub mod app {
    pub use crate::app::{
        App, AppError, CellProblem, Conditions, Correction, ImportPreview, ImportRow, ScaleChange, StartWith,
        TrialQuery, Verdict, copy_of, read_copy,
    };
}

pub mod catalogue {
    pub use crate::catalogue::{
        LoadRule, Method, MethodContact, MethodId, Mode, NamedContact, Origin, Quantity, Use, Value, Written,
        built_in, built_in_method, contact_from_json, contact_to_json,
    };
}

pub mod contact {
    pub use crate::contact::ContactError;
    pub mod bearing {
        pub use crate::contact::bearing::reference_viscosity_mm2_s;
    }
    pub mod bodies {
        pub use crate::contact::bodies::{BodyRadii, GeneralContact, TwoBodies};
    }
    pub mod elastic {
        pub use crate::contact::elastic::{
            BRONZE, Elastic, STEEL, STEEL_THERMAL, Thermal, contact_modulus_pa,
        };
    }
    pub mod element {
        pub use crate::contact::element::{
            BallOnDiscStroke, BlockOnRing, Element, FourBall, GearRig, Load, Loading, Surroundings,
            ThrustRoller, TwoDisc,
        };
    }
    pub mod elliptical {
        pub use crate::contact::elliptical::{EllipticalContact, elliptical};
    }
    pub mod film {
        pub use crate::contact::film::regime::{Regime, line_regime_films, point_regime_films};
        pub use crate::contact::film::{
            Inlet, general_film, hard_elliptical_minimum_film_thickness_m, line_minimum_film,
            line_minimum_film_thickness_m, point_minimum_film,
        };
    }
    pub mod flash {
        pub use crate::contact::flash::{line_rise_k, point_rise_k};
    }
    pub mod gear {
        pub use crate::contact::gear::{GearData, GearPair};
    }
    pub mod hertz {
        pub use crate::contact::hertz::{LineContact, PointContact, line, point, reduced_radius_m};
    }
    pub mod journal {
        pub use crate::contact::journal::{JournalBearing, sommerfeld_of_eccentricity};
    }
    pub mod kinematics {
        pub use crate::contact::kinematics::{
            SurfaceSpeeds, bearing_entrainment_m_s, four_ball_contact_circle_m, four_ball_load_per_contact_n,
            four_ball_sliding_m_s, four_ball_standard_hertz_scar_m, greatest_element_load_n, ring_speed_m_s,
            sommerfeld_number, stroke_mean_speed_m_s,
        };
    }
    pub mod note {
        pub use crate::contact::note::Note;
    }
    pub mod preset {
        pub use crate::contact::preset::{FieldKind, FieldNeed, FormField, MachinePreset, PresetFault};
    }
    pub mod scuffing {
        pub use crate::contact::scuffing::{
            flash_scuffing_temperature_c, integral_scuffing_temperature_c, torque_of_stage_nm,
        };
    }
    pub mod subsurface {
        pub use crate::contact::subsurface::{axis_stresses, greatest_shear};
    }
    pub mod terms {
        pub use crate::contact::terms::{ContactTerms, Materials, Motion, ShapeClass, Supply};
    }
}

pub mod explain {
    pub use crate::explain::{
        Ask, AskFault, AskedFor, BearingsOfBlend, Call, Counter, CounterRow, Explanation, FirstWord,
        LadderSide, MOST_LINES, MOST_WORDS, QuotedAnswer, QuotedAsk, QuotedVerdict, RESEMBLES, Verdict,
        WornBlend, explain,
    };
}

pub mod intake {
    pub use crate::intake::{
        Accepted, ArchiveFiles, Fault, KnownNames, LongRefusal, read_folder, read_long, write_folder,
    };
}

pub mod lubricant {
    pub use crate::lubricant::oil::{Oil, wooster_per_pa};
    pub use crate::lubricant::viscosity_index::{reference_viscosities, viscosity_index};
    pub mod viscosity {
        pub use crate::lubricant::viscosity::{ViscosityLine, full_z};
    }
}

pub mod prose {
    pub mod answer {
        pub use crate::prose::answer::{answer, facts};
    }
    pub mod caution_line {
        pub use crate::prose::caution_line::caution_line;
    }
    pub mod gates {
        pub use crate::prose::gates::{gate_reading, gate_results};
    }
    pub mod reasons {
        pub use crate::prose::reasons::{kernel_fault, left_out_id, not_weighed, precision};
    }
    pub mod resemblance {
        pub use crate::prose::resemblance::finding;
    }
    pub mod standing {
        pub use crate::prose::standing::{caution, sentence};
    }
}

pub mod records {
    pub use crate::records::{
        AcceptedAs, Archive, Asks, BasePeriod, Blend, BlendCode, BlendKind, Component, ComponentName,
        Confidence, DutyFactors, GateOutcome, Level, Machine, MachineContact, MachineSlug, OwnMethod,
        OwnQuantity, Preset, Purpose, ResultSource, ResultStatus, Rig, RigId, Role, RunResult, Term,
        TermScale, TestKey, Trial, TrialBlend, TrialRecords, TrialSlug, TrialStatus, TrialTest, method_of,
    };
}

pub mod resemblance {
    pub use crate::resemblance::{
        Beyond, Decided, Remark, Resemblance, Scales, Scores, Term, Voter, compare, contacts, votes,
    };
}

pub mod standing {
    pub use crate::standing::{
        Anchor, Answer, Apart, AskedFault, AskedScale, Assumption, Basis, Calibration, CandidateStanding,
        Caution, CautionKind, Claims, ComparedTest, Comparison, EqualBlends, Equivalence, Finding, FitCache,
        GateStanding, HEAD_ROOM, Leaders, LeaveOut, LeftOut, LeftOutKind, Moved, MovedLine, NextFinding,
        NextRun, NoWorse, NotTold, NotWeighed, PAIRWISE, Planned, RESOLVED, RigChart, RunFlag, RunNext,
        Sensitivity, Severity, Standing, Tenth, TestStanding, Told, Verdict, Watch, WhatIf, Within, Without,
        WithoutScreen, judge, measured_calibration, rig_chart, sensitivity,
    };
    pub mod kernel {
        pub use crate::standing::kernel::{
            Anchors, BlockId, BlockInput, CellData, Checked, FAMILY_CORRELATION, Fitted, KernelError,
            KernelInput, Keyed, KnownFits, Missing, Ranking, Selection, ShortRanking, TestInput, Tipping,
            Weighting, Who, WithoutTests, candidate_streams, effective_number, fit, lead_shares,
        };
    }
}

pub mod stats {
    pub mod cell {
        pub use crate::stats::cell::{Grid, Likelihoods, Posterior, Prior};
    }
    pub mod control {
        pub use crate::stats::control::{
            EWMA_LAMBDA, Limits, MEAN_RANGE_OF_TWO, Rule, Signal, ewma, ewma_half_width, run_rules,
        };
    }
    pub mod deviation {
        pub use crate::stats::deviation::Deviation;
    }
    pub mod draws {
        pub use crate::stats::draws::{Stream, UncertainWeight};
    }
    pub mod dunnett {
        pub use crate::stats::dunnett::{Freedom, ManyToOne};
    }
    pub mod normal {
        pub use crate::stats::normal::{cumulative, log_between, log_cumulative, quantile};
    }
    pub mod observation {
        pub use crate::stats::observation::Observation;
    }
    pub mod precision {
        pub use crate::stats::precision::{
            DIFFERENCE_95, critical_difference, critical_difference_apart, ladder_sd_steps, pooled,
            within_groups,
        };
    }
    pub mod range {
        pub use crate::stats::range::critical_range;
    }
    pub mod severity {
        pub use crate::stats::severity::BlockShift;
    }
    pub mod weibull {
        pub use crate::stats::weibull::{Life, LifeEnd, Lives, WeibullFit};
    }
}

pub mod store {
    pub use crate::store::{Conflict, Store, StoreError, TrialFilter};
}

pub mod units {
    pub use crate::units::{DisplayPreferences, Interval, Unit, position};
}

pub mod web {
    pub use crate::web::router;
}

pub mod wire {
    pub use crate::wire::standing_json;
}
