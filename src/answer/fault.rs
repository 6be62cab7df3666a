//! The answer of `recan fault`: which section failed, or what else it is.

use serde::Serialize;

use super::{
    causes::{self, CauseDoc, SettleDoc},
    plain::figure,
    six,
};
use crate::{
    chassis::{Chassis, Estimate, Origin},
    diagnose::{
        Diagnosis, Fault, Names, NothingToSay, SectionDiagnosis, SectionState, Service,
        cold::{Cold, ColdState},
    },
    job::{Job, MeterKind},
    quantity::{in_microfarads, in_ohms},
};

/// `recan.fault/1`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FaultDoc {
    /// `recan.fault/1`.
    pub schema: &'static str,
    /// The answer in one sentence.
    pub says: String,
    /// Why nothing can be said of hum and DC, or null.
    pub unsaid: Option<String>,
    /// Every capacitor of the supply; where that is not known every section of the cans.
    pub sections: Vec<FaultSectionDoc>,
    /// What explains the readings, the likeliest first.
    pub causes: Vec<CauseDoc>,
    /// What to read or try next.
    pub settle: Vec<SettleDoc>,
    /// Every lug that can be read, beside what a good can would leave.
    pub lugs: Vec<LugDoc>,
    /// Lugs read cold.
    pub cold: Vec<ColdLugDoc>,
    /// AC volts of the line that was reckoned with, or null.
    pub line_v: Option<f64>,
    /// What was taken because nobody told.
    pub assumed: Vec<String>,
    /// Cautions for the work.
    pub cautions: Vec<String>,
    /// What only people read.
    #[serde(skip)]
    pub words: FaultWords,
}

/// What only people read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FaultWords {
    /// The one line of danger.
    pub danger: String,
    /// Whether the answer names a cause, or says that all are sound.
    pub answers: bool,
    /// Remarks on how it was found, for `--explain`.
    pub method: Vec<String>,
}

/// A figure with its range of 95 %.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RangeDoc {
    /// The likeliest.
    pub best: f64,
    /// The least.
    pub low: f64,
    /// The most.
    pub high: f64,
}

/// Least and most.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct EndsDoc {
    /// The least.
    pub low: f64,
    /// The most.
    pub high: f64,
}

/// One section.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FaultSectionDoc {
    /// What it is called.
    pub name: String,
    /// `failed`, `suspect`, `sound` or `unread`.
    pub state: &'static str,
    /// `replace`, `prove first`, `may stay`, `read leakage` or null.
    pub service: Option<&'static str>,
    /// What it acts as.
    pub capacitance_uf: Option<RangeDoc>,
    /// Its esr, where it is not taken as a sound one's.
    pub esr_ohm: Option<RangeDoc>,
    /// Its leakage, A.
    pub leakage_a: Option<EndsDoc>,
    /// In a few words.
    #[serde(skip)]
    pub says: String,
    /// What it acts like beside what is stamped, where that is known.
    #[serde(skip)]
    pub acts_like: Option<String>,
}

/// One lug.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LugDoc {
    /// The section there, else the node.
    pub name: String,
    /// AC volts read.
    pub hum_v: Option<f64>,
    /// AC volts that this meter shows with a good can.
    pub hum_good_v: f64,
    /// DC volts read.
    pub dc_v: Option<f64>,
    /// DC volts with a good can.
    pub dc_good_v: f64,
}

/// A lug read cold.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ColdLugDoc {
    /// The section there, else the node.
    pub name: String,
    /// Ohms; null over the meter's range.
    pub ohm: Option<f64>,
    /// Below which it is a short, Ω.
    pub limit_ohm: f64,
    /// `sound`, `short` or `through`.
    pub state: &'static str,
    /// In words.
    pub says: String,
}

/// A cause less likely than this is no answer.
const PLAIN: f64 = 0.35;

/// The old can, measured well.
pub const OLD: &str = "an old section that measures well may still fail: reform it through 30 kΩ \
                       or replace it";

/// The answer of a diagnosis.
#[must_use]
pub fn fault(
    job: &Job,
    chassis: &Chassis,
    found: &Diagnosis,
    (cautions, danger): (Vec<String>, String),
) -> FaultDoc {
    let names = Names::of(job);
    let told = chassis.loads().draws().iter().all(|draw| draw.origin == Origin::Told);
    // A lug outside the supply that is a short, such as a bypass, is one beside the rest.
    let low = found.cold.iter().filter(|of| of.is_low());
    let fitted = found.causes.iter().map(|of| causes::cause(job, of, told));
    let causes: Vec<CauseDoc> = low.map(short).chain(fitted).collect();
    let lugs = found.lugs.iter();
    let plain = found.all_sound() || is_plain(found, &causes);
    let answers = plain && !found.unexplained && found.misread.is_empty()
        || found.cold.iter().any(Cold::is_low);
    FaultDoc {
        schema: "recan.fault/1",
        says: headline(found, &causes),
        unsaid: None,
        sections: found.sections.iter().map(|of| section(names, of)).collect(),
        settle: found.settle.iter().map(|of| causes::settle(job, of)).collect(),
        lugs: lugs
            .map(|lug| LugDoc {
                name: names.lug(lug.node),
                hum_v: lug.hum,
                hum_good_v: six(lug.hum_good),
                dc_v: lug.dc,
                dc_good_v: six(lug.dc_good),
            })
            .collect(),
        cold: found.cold.iter().map(cold).collect(),
        line_v: Some(six(found.line)),
        assumed: assumed(job, chassis),
        cautions,
        words: FaultWords { danger, answers, method: method(found, told) },
        causes,
    }
}

/// The answer where the supply is not known, or nothing of use was read: what cold lugs
/// say, and what to tell next.
#[must_use]
pub fn little_known(
    job: &Job,
    (why, next): (String, Vec<String>),
    found: &[Cold],
    (cautions, danger): (Vec<String>, String),
) -> FaultDoc {
    let mut low: Vec<&Cold> = found.iter().filter(|of| of.is_low()).collect();
    // A lug that reads through to another's short comes after it.
    low.sort_by_key(|of| of.standing != ColdState::Short);
    let says = match low.first() {
        Some(of) => format!("{} is shorted, or what hangs on its lug: {} cold", of.name, of.read()),
        None if found.is_empty() => "can't tell yet".into(),
        None => "no short; more can't be told yet".into(),
    };
    let sections = job.cans.iter().enumerate().flat_map(|(can, of)| {
        (0..of.reading.can.sections().len())
            .map(move |section| crate::job::SectionOf { can, section })
    });
    let section = |of: crate::job::SectionOf| {
        let name = Names::of(job).section(of);
        let lug = crate::job::Lug::Section(of);
        let short = low.iter().any(|cold| cold.lug == lug && cold.standing == ColdState::Short);
        FaultSectionDoc {
            name,
            state: if short { "failed" } else { "unread" },
            service: short.then_some("replace"),
            capacitance_uf: None,
            esr_ohm: None,
            leakage_a: None,
            says: if short { "shorted: replace it".into() } else { "not read".into() },
            acts_like: None,
        }
    };
    let shorts = low.iter().filter(|of| of.standing == ColdState::Short).map(|of| short(of));
    let settle = next.into_iter().map(|says| SettleDoc {
        action: "read",
        place: String::new(),
        outcomes: Vec::new(),
        says,
    });
    let lift = low.first().map(|of| lift(of));
    FaultDoc {
        schema: "recan.fault/1",
        says,
        unsaid: Some(why),
        sections: sections.map(section).collect(),
        causes: shorts.collect(),
        settle: lift.into_iter().chain(settle).collect(),
        lugs: Vec::new(),
        cold: found.iter().map(cold).collect(),
        line_v: None,
        assumed: Vec::new(),
        cautions,
        words: FaultWords { danger, answers: !low.is_empty(), method: Vec::new() },
    }
}

/// Why a diagnosis says nothing, and what to read.
#[must_use]
pub fn nothing_to_say(why: &NothingToSay) -> (String, Vec<String>) {
    match why {
        NothingToSay::NoReadings => (
            "no AC or DC volts were read at the lugs".into(),
            vec![
                "AC volts from each lug to that section's own negative, set on and warm, through \
                 0.1 µF 630 V in the meter's lead; then DC there (measured.hum, measured.dc)"
                    .into(),
            ],
        ),
        NothingToSay::NoUse(why) => (
            format!("the readings are not of the can as it was: {}", causes::no_use(*why)),
            vec![format!("AC and DC volts at the lugs {}", causes::mend_reading(*why))],
        ),
        NothingToSay::NoCapacitor => (
            "no capacitor of the supply is told".into(),
            vec!["which section stands at which node (node.B1.section)".into()],
        ),
        NothingToSay::NoSolution => (
            "no values of the parts give a supply that settles".into(),
            vec!["the loads and resistors again: one is far from the others".into()],
        ),
    }
}

fn short(of: &Cold) -> CauseDoc {
    CauseDoc {
        kind: "section",
        fault: Some("shorted"),
        place: Some(of.name.clone()),
        says: of.says(),
        weight: 1.0,
        brief: format!("{} is shorted", of.name),
    }
}

fn lift(of: &Cold) -> SettleDoc {
    SettleDoc {
        action: "lift",
        place: of.name.clone(),
        says: format!(
            "unplugged and below 5 V: lift the leads from the lug of {} and read it alone",
            of.name
        ),
        outcomes: vec![
            super::causes::OutcomeDoc {
                says: "still low".into(),
                cause: format!("{} shorted", of.name),
            },
            super::causes::OutcomeDoc {
                says: "climbs".into(),
                cause: "what hangs on the lug, a shorted silicon rectifier among it".into(),
            },
        ],
    }
}

/// The answer in a sentence: what is sure joined by "and", what may be by "or".
fn headline(found: &Diagnosis, causes: &[CauseDoc]) -> String {
    const SURE: f64 = 0.9;
    const LIKELY: f64 = 0.15;
    if let Some(of) = found.misread.first() {
        return format!("can't tell: {}", causes::again(of));
    }
    if found.unexplained {
        let most = causes.first().map(|of| format!("; nearest comes {}", of.brief));
        return format!("can't tell: nothing explains all readings{}", most.unwrap_or_default());
    }
    let sure: Vec<&str> =
        causes.iter().filter(|of| of.weight >= SURE).map(|of| of.brief.as_str()).collect();
    let may: Vec<&str> = causes
        .iter()
        .filter(|of| of.weight < SURE && of.weight >= LIKELY)
        .map(|of| of.brief.as_str())
        .take(3)
        .collect();
    if found.nothing_wrong > 0.5 || sure.is_empty() && may.is_empty() {
        let unread = found.are(SectionState::Unread).count();
        let doubt = found.are(SectionState::Suspect).count();
        return match (unread, doubt) {
            (0, 0) => "none: all sections are sound by hum and DC".into(),
            (_, 0) => "none of those read: they are sound by hum and DC".into(),
            _ => match causes.first() {
                Some(of) => format!("none for sure; perhaps {}", of.brief),
                None => "none for sure: the readings don't decide".into(),
            },
        };
    }
    match (sure.as_slice(), may.as_slice()) {
        (sure, []) => sure.join(", and "),
        ([], _) if !is_plain(found, causes) => {
            format!("none for sure; perhaps {}", may.join(", or "))
        }
        ([], [one]) => format!("likely {one}"),
        ([], may) => format!("either {}", may.join(", or ")),
        (sure, may) => format!("{}, and perhaps {}", sure.join(", and "), may.join(", or ")),
    }
}

fn section(names: Names, of: &SectionDiagnosis) -> FaultSectionDoc {
    let range =
        |of: Estimate<f64>| RangeDoc { best: six(of.best), low: six(of.low), high: six(of.high) };
    let stamped = in_microfarads(of.station.stamped.capacitance);
    let acts_like = of.capacitance.map(|found| {
        if found.best >= 0.9 * stamped && of.state == SectionState::Sound {
            "as stamped".into()
        } else {
            format!(
                "{} of {}",
                figure(found.best, "µF").trim_end_matches(" µF"),
                figure(stamped, "µF")
            )
        }
    });
    FaultSectionDoc {
        name: names.station(&of.station),
        state: state(of.state),
        service: of.service.map(service),
        capacitance_uf: of.capacitance.map(range),
        esr_ohm: of.esr.map(range),
        leakage_a: of
            .leakage
            .map(|(low, high)| EndsDoc { low: six(1e-3 * low), high: six(1e-3 * high) }),
        says: so(of),
        acts_like,
    }
}

/// Whether the likeliest cause is likely, and likelier than that nothing is wrong.
fn is_plain(found: &Diagnosis, causes: &[CauseDoc]) -> bool {
    causes.first().is_some_and(|of| of.weight >= PLAIN && of.weight > found.nothing_wrong)
}

/// What follows for a section, in a few words.
fn so(of: &SectionDiagnosis) -> String {
    let leak = of.leakage.filter(|_| matches!(of.fault, Some(Fault::Leaking(..))));
    let leaks = leak.map(|(low, _)| format!("leaks {} or more: ", figure(1e-3 * low, "A")));
    let leaks = leaks.unwrap_or_default();
    match (of.state, of.service) {
        (SectionState::Failed, _) => format!("{leaks}replace it"),
        (SectionState::Suspect, _) => format!("{leaks}prove it first"),
        (SectionState::Sound, Some(Service::MayStay)) => "may stay".into(),
        (SectionState::Sound, _) => "sound so far".into(),
        (SectionState::Unread, _) => "can't be told".into(),
    }
}

fn state(of: SectionState) -> &'static str {
    match of {
        SectionState::Failed => "failed",
        SectionState::Suspect => "suspect",
        SectionState::Sound => "sound",
        SectionState::Unread => "unread",
    }
}

fn service(of: Service) -> &'static str {
    match of {
        Service::Replace => "replace",
        Service::ProveFirst => "prove first",
        Service::MayStay => "may stay",
        Service::ReadLeakage => "read leakage",
    }
}

/// A lug read cold, as a document.
#[must_use]
pub fn cold(of: &Cold) -> ColdLugDoc {
    let says = if of.is_low() {
        of.says()
    } else {
        format!("{} reads {} cold; {}", of.name, of.read(), of.limit.says)
    };
    ColdLugDoc {
        name: of.name.clone(),
        ohm: of.ohms.map(|ohms| six(in_ohms(ohms))),
        limit_ohm: six(in_ohms(of.limit.ohms)),
        state: match of.standing {
            ColdState::Sound => "sound",
            ColdState::Short => "short",
            ColdState::Through(_) => "through",
        },
        says,
    }
}

fn assumed(job: &Job, chassis: &Chassis) -> Vec<String> {
    let mut assumed: Vec<String> = chassis.assumed().to_vec();
    let Some(readings) = &job.measured else { return assumed };
    if readings.can.is_none() {
        assumed.push(
            "how the can stood while it was read not told: taken as the faulty can it is".into(),
        );
    }
    if readings.meter.kind.is_none() && !readings.hum.is_empty() {
        assumed.push(
            "meter taken as true-rms; say measured.meter = \"average 2 %\" where it is not".into(),
        );
    }
    if readings.meter.error.is_none() {
        assumed.push(format!(
            "meter's error not told: taken as {:.0} % on AC, {:.0} % on DC",
            100.0 * crate::chassis::table::METER_AC,
            100.0 * crate::chassis::table::METER
        ));
    }
    if readings.hum_frequency.is_none() && !readings.hum.is_empty() {
        assumed.push("frequency of the hum not told".into());
    }
    assumed
}

fn method(found: &Diagnosis, told: bool) -> Vec<String> {
    let kind = match found.meter.kind {
        Some(MeterKind::Average) => "average-responding",
        _ => "true-rms",
    };
    let loads = if told { "loads as told, good to 10 %" } else { "loads found with the rest" };
    vec![
        format!(
            "{kind} meter good to {} on AC, line {}, {loads}; {} supplies solved",
            figure(100.0 * found.meter.ac_error(), "%"),
            figure(found.line, "V"),
            found.solves
        ),
        "every fault a set may have is fitted to all readings at once, alone and with others, by \
         least squares in standard errors; what is left over and how rare a fault is rank it"
            .into(),
        "a section is condemned where every explanation without a fault of its own is 6 worse \
         (misfit, chi squared), and cleared where none with 40 % of it gone is near; ranges hold \
         what stays within 3.84 (95 %)"
            .into(),
        "leakage: limit of its era k C + 0.3 mA, k = 0.01 to 100 V, 0.02 to 250 V, 0.025 to 350 \
         V, 0.04 above, C in µF (JAN-C-62 and makers' manuals, as handed down)"
            .into(),
        OLD.into(),
    ]
}
