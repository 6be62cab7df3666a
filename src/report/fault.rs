//! What a diagnosis says, in words that text and documents share.

mod beside;
mod figures;
mod unexplained;

pub use beside::{beside, in_short};
use figures::range;
pub(super) use figures::{ma, ohm, uf, v};

use crate::{
    fault::{
        Ask, Bridge, Condition, Diagnosis, Explanation, GoodPart, Left, NoBridge, Section, Service,
        Standing,
        ask::{BLOCK_DC, FROM_NEGATIVE, OWN_NEGATIVE},
        cold::{self, Cold},
    },
    quantity::{Capacitance, Voltage, in_amperes, in_microfarads, in_ohms, significant},
    value::Value,
};

/// How a reading is taken without being fooled.
pub const READING: [&str; 3] = [
    "set warm; black probe on that section's own negative, which is not always the chassis",
    "AC range; where it does not block DC, put 0.1 µF 630 V in series with the red probe",
    "an average-responding meter is right on a sine only: say meter = \"average 2 %\", and the \
     wave is reckoned with",
];

/// How a good part is bridged across a suspect.
pub const BRIDGING: &str = "off, unplug, discharge to below 5 V; clip it on, + to the lug, - to that \
                            section's own negative; power on, hands off; read; off, discharge \
                            both, unclip; never across a doubler's series section";

/// What an old part that measures well leaves open.
pub const OLD: &str = "an old section that measures well may still fail: reform it through 30 kΩ or \
                       more at a few mA, then read its leakage after 5 min at rated volts";

/// A cold reading that is below its limit, and what that means.
#[must_use]
pub fn short(of: &Cold) -> String {
    let (name, read, limit) = (&of.name, of.read(), of.limit.ohms.print());
    match &of.standing {
        cold::Standing::Through(other) => {
            format!("section {name} reads {read} cold, through to the short at {other}")
        }
        _ => format!(
            "section {name} reads {read} cold, below {limit}: a short. Do not power the set before it is found"
        ),
    }
}

/// The cold readings that are no short, in one line; `None` where there are none.
#[must_use]
pub fn no_shorts(found: &[Cold]) -> Option<String> {
    let sound: Vec<String> = found
        .iter()
        .filter(|of| !of.is_low())
        .map(|of| format!("{} {} (limit {})", of.name, of.read(), of.limit.ohms.print()))
        .collect();
    (!sound.is_empty()).then(|| format!("no short at {}", sound.join(", ")))
}

/// The part for bridging: `22 µF 450 V`.
#[must_use]
pub fn part(part: &GoodPart) -> String {
    format!("{} {}", uf(part.capacitance), v(part.rated))
}

/// What is left of a section.
#[must_use]
pub fn left(left: &Left, stamped: Capacitance) -> String {
    let micro = |c| significant(in_microfarads(c), 3);
    let capacitance = range(&left.capacitance, uf, micro).unwrap_or_else(|| "any part".into());
    let esr = &left.esr;
    let esr = if in_ohms(esr.low) < in_ohms(esr.high) {
        let found = range(esr, ohm, |r| significant(in_ohms(r), 2));
        format!(", esr {}", found.unwrap_or_else(|| "not known".into()))
    } else {
        String::new()
    };
    format!("{capacitance} of {}{esr}", uf(stamped))
}

/// What the readings say as a whole: what all explanations share, sections that go
/// for another reason than their capacitance, then where explanations differ. Where
/// nothing explains the readings it says so, and what to do next.
#[must_use]
pub fn whole(found: &Diagnosis) -> String {
    let goes = found.sections.iter().filter_map(goes);
    if found.unexplained {
        let says = std::iter::once(unexplained::says(found)).chain(goes);
        return says.collect::<Vec<_>>().join("; ");
    }
    let goes: Vec<String> = goes.collect();
    match found.explanations.as_slice() {
        [] => goes.join("; "),
        [only] => of_one(found, only, goes),
        several => of_several(found, several, goes),
    }
}

/// Why a section goes whose capacitance is not the reason.
fn goes(of: &Section) -> Option<String> {
    let is_told = of.standing == Standing::Is(Condition::Failed);
    if of.service != Service::Goes || is_told {
        return None;
    }
    let leaks = of.leakage.between.filter(|_| of.leakage.is_over());
    Some(match leaks {
        Some((low, _)) => format!("{} leaks {} or more", of.name, ma(low)),
        None => format!("{} reads as a short cold", of.name),
    })
}

fn of_one(found: &Diagnosis, only: &Explanation, goes: Vec<String>) -> String {
    let says = match hedged(only, found, true) {
        _ if is_nothing(only) && !goes.is_empty() => None,
        says if found.asks.is_empty() => Some(says),
        says => Some(format!("not decided: {says}")),
    };
    says.into_iter().chain(goes).collect::<Vec<_>>().join("; ")
}

fn of_several(found: &Diagnosis, several: &[Explanation], goes: Vec<String>) -> String {
    // What stands in every explanation, or what does not.
    let part = |of: &Explanation, stands: bool| {
        let pairs = of.sections.iter().zip(&found.sections);
        let keep = pairs.map(|(condition, section)| {
            let same = matches!(section.standing, Standing::Is(_));
            if same == stands { *condition } else { Condition::Sound }
        });
        Explanation { sections: keep.collect(), ..of.clone() }
    };
    let common = Explanation { dead_plate: false, stray_hum: false, ..part(&several[0], true) };
    let is_common = common.sections.iter().any(|c| *c != Condition::Sound);
    let common = is_common.then(|| hedged(&common, found, true));
    let certain: Vec<String> = common.into_iter().chain(goes).collect();
    let differ = several.iter().take(3).map(|of| part(of, false));
    let differ = differ.map(|of| {
        if is_nothing(&of) && !certain.is_empty() {
            "nothing more is wrong".to_owned()
        } else {
            explanation(&of, found)
        }
    });
    let differ = differ.collect::<Vec<_>>().join(", or ");
    if certain.is_empty() {
        format!("not told apart: {differ}")
    } else {
        format!("{}. Not told apart: {differ}", certain.join("; "))
    }
}

/// Whether nothing is wrong by an explanation.
fn is_nothing(of: &Explanation) -> bool {
    !of.dead_plate && !of.stray_hum && of.sections.iter().all(|c| *c == Condition::Sound)
}

const NONE: &str = "no section has failed";
const NONE_READ: &str = "no section that was read has failed";
const PLATE: &str = "plate of the rectifier, or half its winding,";

/// That nothing is wrong, of the sections that were judged.
fn none(found: &Diagnosis) -> String {
    let open =
        |section: &&Section| matches!(section.standing, Standing::Unread | Standing::Undecided);
    let (open, judged): (Vec<&Section>, Vec<&Section>) = found.sections.iter().partition(open);
    let names = |of: &[&Section]| {
        of.iter().map(|section| section.name.as_str()).collect::<Vec<_>>().join(", ")
    };
    match (open.is_empty(), judged.is_empty()) {
        (true, _) => NONE.into(),
        (false, true) if found.asks.is_empty() => {
            "no section can be judged by what was read".into()
        }
        (false, true) => "no section is judged before that is read".into(),
        _ => {
            format!("nothing read speaks against {}; not judged: {}", names(&judged), names(&open))
        }
    }
}

/// What one explanation says, in one sentence without a full stop.
#[must_use]
pub fn explanation(of: &Explanation, found: &Diagnosis) -> String {
    hedged(of, found, false)
}

/// An explanation that is one of several is read as such; one that `stands` alone
/// claims no more than the section's own row does.
fn hedged(of: &Explanation, whole: &Diagnosis, stands: bool) -> String {
    let mut says = Vec::new();
    for ((condition, found), section) in of.sections.iter().zip(&of.left).zip(&whole.sections) {
        let stamped = section.station.stamped.capacitance;
        let how = found.as_ref().map(|found| left(found, stamped)).unwrap_or_default();
        match condition {
            Condition::Sound => {}
            Condition::Failed if stands && section.service != Service::Goes => {
                says.push(format!("{} may have failed: {how}", section.name));
            }
            Condition::Failed => says.push(format!("{} has failed: {how}", section.name)),
            Condition::More => says.push(format!(
                "{} has more than stamped, {how}: a part is still across it",
                section.name
            )),
        }
    }
    if of.dead_plate {
        let half = if whole.bridge { "diode pair of the bridge" } else { PLATE };
        says.push(format!("one {half} passes nothing"));
    }
    if of.stray_hum {
        says.push("the hum is no ripple and says nothing against a section".into());
    }
    if says.is_empty() {
        let unread = whole.sections.iter().any(|s| s.standing == Standing::Unread);
        says.push(match (stands, unread) {
            (true, _) => none(whole),
            (false, true) => NONE_READ.into(),
            (false, false) => NONE.into(),
        });
    }
    says.join("; ")
}

/// The state of a section and why.
#[must_use]
pub fn section(of: &Section) -> String {
    let stamped = of.station.stamped.capacitance;
    let state = match (of.standing, &of.left, of.acts_as) {
        (Standing::Is(Condition::Sound), _, Some(acts)) => {
            format!("acts as {} of {}", uf(acts), uf(stamped))
        }
        (Standing::Is(Condition::Sound), _, None) => "nothing read speaks against it".into(),
        (Standing::Undecided, Some(found), _) => {
            format!("can't tell: sound, or {}", left(found, stamped))
        }
        (Standing::Undecided, None, _) => "not judged yet: do first what the top says".into(),
        (Standing::Unread, ..) if matches!(of.station.place, crate::supply::Place::Cell(_)) => {
            "beside the dry one, what is left of it hardly shows: test it by itself".into()
        }
        (Standing::Unread, ..) => "no reading of ripple at its lug fine enough to judge it".into(),
        (_, Some(found), _) => left(found, stamped),
        (_, None, _) => String::new(),
    };
    let short = if of.short { "reads as a short cold; " } else { "" };
    format!("{short}{state}{}", leakage(of))
}

/// What is known of a section's leakage, behind a semicolon.
fn leakage(of: &Section) -> String {
    let Some(limit) = of.leakage.limit else { return String::new() };
    match of.leakage.between {
        Some((low, _)) if of.leakage.is_over() => {
            format!("; leaks {} or more by the drop, {} is its limit", ma(low), ma(limit))
        }
        Some((_, high)) if in_amperes(high) <= in_amperes(limit) => {
            format!("; leaks {} at most, {} is its limit", ma(high), ma(limit))
        }
        _ if of.standing == Standing::Is(Condition::Failed) => String::new(),
        _ => format!("; leakage not measured, limit {}", ma(limit)),
    }
}

/// Which reading tells a doubler's two capacitors apart.
#[must_use]
pub fn cells([upper, lower]: &[String; 2]) -> String {
    format!(
        "DC across each: red probe on its own positive, black on its own negative, neither of \
         them the chassis; the failed one has less; write dc = {{ {upper} = \"…\", {lower} = \
         \"…\" }}"
    )
}

/// What must be read before any section is judged; `bridge` says whether the rectifier
/// is one.
#[must_use]
pub fn ask(of: Ask, bridge: bool) -> &'static str {
    match of {
        Ask::Negative => FROM_NEGATIVE,
        Ask::ZeroDc => {
            "no DC though it hums: the rectifier gives nothing, or the meter's lead, range or \
             negative is wrong: try it on a known DC voltage, read the first lug again"
        }
        Ask::ShowsDc => BLOCK_DC,
        Ask::OwnNegative => OWN_NEGATIVE,
        Ask::Line => {
            "the line: read it while the lugs are read (`line`); all DC is low by about the same \
             share"
        }
        Ask::Frequency if bridge => {
            "read the hum's frequency: at the line's it is one dead diode pair of the bridge, at \
             twice that the sections; write hum_frequency"
        }
        Ask::Dc if bridge => {
            "read DC at the first lug: low, it is one dead diode pair of the bridge; as it should \
             be, the hum is no ripple"
        }
        Ask::Frequency => {
            "read the hum's frequency: at the line's it is one dead plate or half winding, at \
             twice that the sections; write hum_frequency"
        }
        Ask::FrequencyAgain => {
            "read the hum's frequency again, by ear against a tone or with the meter: at the \
             line's it is no ripple, at twice that a section"
        }
        Ask::Dc => {
            "read DC at the first lug: low, it is one dead plate or half winding; as it should \
             be, the hum is no ripple"
        }
    }
}

/// What a bridge would show, or why it must not be done.
#[must_use]
pub fn bridge(of: &Bridge, found: &Diagnosis) -> String {
    let name = found.sections.get(of.section).map_or("", |section| section.name.as_str());
    let across = format!("{} across {name}", part(&of.part));
    match &of.shows {
        Ok(nodes) => {
            let node = |((hum, dc), lug): (&(Voltage, Voltage), &crate::fault::Lug)| {
                format!("{} {} AC, {} DC", lug.name, v(*hum), v(*dc))
            };
            let shows: Vec<String> = nodes.iter().zip(&found.lugs).map(node).collect();
            format!("{across} should show {}", shows.join("; "))
        }
        Err(NoBridge::Doubler) => format!(
            "never across {name}: a doubler's own capacitor has the line or B+ on its negative"
        ),
        Err(NoBridge::Rating(peak)) => {
            format!("not {across}: {} before tubes draw; take a part rated at least that", v(*peak))
        }
        Err(NoBridge::Unsolved) => format!("{across}: not worked out"),
    }
}
