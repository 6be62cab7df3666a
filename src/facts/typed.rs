//! Facts as typed on the command line: `half-round=reservoir`, `2=308V`.

use std::ops::Range;

use miette::{Diagnostic, LabeledSpan, NamedSource, SourceCode};

use super::{Circuit, Facts, InputCapacitor, RectifierFacts, Role, SectionFacts};
use crate::{
    can::Can,
    nearest::nearest,
    quantity::{Current, Frequency, Resistance, Voltage},
    rectifiers::{self, Cathode, LimitKind, Rectifier},
    value::{Value, ValueError},
};

/// Facts still in words.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Typed {
    /// A registered type, `silicon` or `selenium`.
    pub rectifier: Option<String>,
    /// How it is connected, in the words of [`Circuit::name`].
    pub circuit: Option<String>,
    /// Direct current out of the reservoir.
    pub load: Option<String>,
    /// Line frequency.
    pub frequency: Option<String>,
    /// `SECTION=ROLE`.
    pub roles: Vec<String>,
    /// `SECTION=VOLTS`.
    pub volts: Vec<String>,
    /// `SECTION=OHMS`.
    pub resistors: Vec<String>,
}

/// What is wrong with a typed fact, and where.
#[derive(Debug, Clone, thiserror::Error)]
#[error("{}", .0.message)]
pub struct FactError(Box<Wrong>);

#[derive(Debug, Clone)]
struct Wrong {
    message: String,
    help: String,
    span: Range<usize>,
    input: NamedSource<String>,
}

impl FactError {
    /// An error about the characters `span` of `text`, typed after `option`.
    #[must_use]
    pub fn new(
        option: &str,
        text: &str,
        span: Range<usize>,
        message: String,
        help: String,
    ) -> Self {
        let input = NamedSource::new(option, text.to_owned());
        Self(Box::new(Wrong { message, help, span, input }))
    }

    fn of_value(option: &str, text: &str, offset: usize, error: &ValueError) -> Self {
        let span = error.span();
        let span = span.start + offset..span.end + offset;
        Self::new(option, text, span, error.to_string(), error.advice().to_owned())
    }
}

impl Diagnostic for FactError {
    fn help<'a>(&'a self) -> Option<Box<dyn std::fmt::Display + 'a>> {
        Some(Box::new(&self.0.help))
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(std::iter::once(LabeledSpan::underline(self.0.span.clone()))))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.0.input)
    }
}

impl Typed {
    /// The facts about `can`.
    ///
    /// # Errors
    /// A section that the can does not have, a fact given twice, a word or a
    /// value that can't be read, a rectifier that is not in the table.
    pub fn read(&self, can: &Can) -> Result<Facts, FactError> {
        let mut facts = Facts::unknown(can.sections().len());
        facts.rectifier = self.rectifier()?;
        let one = |option, text: &Option<String>| text.as_deref().map(|t| (option, t.to_owned()));
        if let Some((option, text)) = one("--load", &self.load) {
            facts.load = Some(value::<Current>(option, &text, 0)?);
        }
        if let Some((option, text)) = one("--frequency", &self.frequency) {
            facts.frequency = Some(frequency(option, &text)?);
        }
        let set = |facts: &mut Facts, option, texts: &[String], put: Put| {
            texts.iter().try_for_each(|text| assign(can, facts, option, text, put))
        };
        set(&mut facts, "--role", &self.roles, put_role)?;
        self.one_reservoir(&facts)?;
        set(&mut facts, "--volts", &self.volts, put_volts)?;
        set(&mut facts, "--resistor", &self.resistors, put_resistor)?;
        Ok(facts)
    }

    /// One rectifier has one first capacitor; only a doubler has two.
    fn one_reservoir(&self, facts: &Facts) -> Result<(), FactError> {
        let told = facts.sections.iter().filter(|s| s.role == Some(Role::Reservoir)).count();
        let circuit = facts.rectifier.as_ref().and_then(|r| r.circuit);
        let doubler = matches!(circuit, Some(Circuit::FullWaveDoubler | Circuit::HalfWaveDoubler));
        let Some(last) = self.roles.last().filter(|_| told > 1 && !doubler) else { return Ok(()) };
        let message = format!("{told} sections are told to be the reservoir");
        let help =
            "name the one at the rectifier; in a doubler add --circuit full-wave-doubler".into();
        Err(FactError::new("--role", last, 0..last.len(), message, help))
    }

    fn rectifier(&self) -> Result<Option<RectifierFacts>, FactError> {
        let circuit = self.circuit.as_deref().map(circuit).transpose()?;
        let Some(text) = self.rectifier.as_deref() else {
            return match (circuit, self.circuit.as_deref()) {
                (Some(_), Some(text)) => Err(FactError::new(
                    "--circuit",
                    text,
                    0..text.len(),
                    "a circuit without its rectifier".into(),
                    "name the type as well: --rectifier 5Y3-GT, or --rectifier silicon".into(),
                )),
                _ => Ok(None),
            };
        };
        let found = rectifiers::find(text).map_err(|unknown| {
            let help = if unknown.nearest.is_empty() {
                "give a registered type such as 5Y3-GT or EZ80, or silicon or selenium".to_owned()
            } else {
                format!("did you mean {}?", unknown.nearest.join(" or "))
            };
            let message = format!("rectifier {text} is not in the table");
            FactError::new("--rectifier", text, 0..text.len(), message, help)
        })?;
        let mut facts = RectifierFacts::from(found);
        facts.circuit = circuit.or(facts.circuit);
        Ok(Some(facts))
    }
}

impl From<&Rectifier> for RectifierFacts {
    fn from(found: &Rectifier) -> Self {
        let limit = found.capacitor_limit().map(|(limit, _)| InputCapacitor {
            limit: limit.most,
            hard: limit.kind == LimitKind::Hard,
        });
        let solid_state = found.cathode == Cathode::SolidState;
        let circuit = match found.circuit {
            rectifiers::Plates::FullWave => Some(Circuit::FullWave),
            // Diodes and stacks come in every circuit; one tube with one plate in one.
            rectifiers::Plates::HalfWave if !solid_state => Some(Circuit::HalfWave),
            _ => None,
        };
        Self {
            name: found.name.clone(),
            solid_state,
            cathode: Some(found.cathode),
            input_capacitor: if solid_state { None } else { limit },
            circuit,
        }
    }
}

/// Puts the value after the `=` where it belongs; gets the option, the whole
/// text and where the value starts.
type Put = fn(&mut SectionFacts, &str, &str, usize) -> Result<bool, FactError>;

fn assign(
    can: &Can,
    facts: &mut Facts,
    option: &str,
    text: &str,
    put: Put,
) -> Result<(), FactError> {
    let (section, start) = section(can, option, text)?;
    if put(&mut facts.sections[section], option, text, start)? {
        return Ok(());
    }
    let message = format!("section {} is given twice", can.name(section));
    Err(FactError::new(option, text, 0..start - 1, message, "give each section once".into()))
}

/// The section before the `=`, and where the rest starts.
///
/// # Errors
/// No `=`, or a name that no section of `can` has.
pub fn section(can: &Can, option: &str, text: &str) -> Result<(usize, usize), FactError> {
    let names = can.names().join(", ");
    let Some((name, _)) = text.split_once('=') else {
        let help = format!("write SECTION=VALUE, the section one of {names}");
        let span = 0..text.len();
        return Err(FactError::new(
            option,
            text,
            span,
            "no = between section and value".into(),
            help,
        ));
    };
    let section = can.find(name).ok_or_else(|| {
        let message = format!("no section is called {}", name.trim());
        let help = format!("the sections are {names}");
        FactError::new(option, text, 0..name.len(), message, help)
    })?;
    Ok((section, name.len() + 1))
}

fn put_role(
    facts: &mut SectionFacts,
    option: &str,
    text: &str,
    start: usize,
) -> Result<bool, FactError> {
    let word = text[start..].trim().to_lowercase();
    let role = match word.as_str() {
        "reservoir" => Role::Reservoir,
        "smoothing" => Role::Smoothing,
        "decoupling" => Role::Decoupling,
        "bypass" | "cathode bypass" | "cathode-bypass" => Role::Bypass,
        _ => {
            let message = format!("{word} is no role");
            let roles = ["reservoir", "smoothing", "decoupling", "bypass"];
            let help = meant(&word, &roles)
                .unwrap_or_else(|| format!("the roles are {}", roles.join(", ")));
            return Err(FactError::new(option, text, start..text.len(), message, help));
        }
    };
    Ok(facts.role.replace(role).is_none())
}

fn put_volts(
    facts: &mut SectionFacts,
    option: &str,
    text: &str,
    start: usize,
) -> Result<bool, FactError> {
    Ok(facts.volts.replace(value::<Voltage>(option, text, start)?).is_none())
}

fn put_resistor(
    facts: &mut SectionFacts,
    option: &str,
    text: &str,
    start: usize,
) -> Result<bool, FactError> {
    Ok(facts.resistor.replace(value::<Resistance>(option, text, start)?).is_none())
}

fn meant(word: &str, known: &[&str]) -> Option<String> {
    nearest(word, known).map(|near| format!("did you mean {near}?"))
}

fn value<V: Value>(option: &str, text: &str, start: usize) -> Result<V, FactError> {
    V::read(&text[start..]).map_err(|e| FactError::of_value(option, text, start, &e))
}

/// Line frequencies in use are 25 to 60 Hz; aircraft 400 Hz is let in.
fn frequency(option: &str, text: &str) -> Result<Frequency, FactError> {
    let frequency = value::<Frequency>(option, text, 0)?;
    if (16.0..=400.0).contains(&crate::quantity::in_hertz(frequency)) {
        return Ok(frequency);
    }
    let message = format!("{} is no line frequency", frequency.print());
    Err(FactError::new(option, text, 0..text.len(), message, "give 50 Hz or 60 Hz".into()))
}

fn circuit(text: &str) -> Result<Circuit, FactError> {
    let word = text.trim().to_lowercase();
    Circuit::ALL.into_iter().find(|c| c.name() == word).ok_or_else(|| {
        let names = Circuit::ALL.map(Circuit::name);
        let message = format!("{word} is no rectifier circuit");
        let help = meant(&word, &names)
            .unwrap_or_else(|| format!("the circuits are {}", names.join(", ")));
        FactError::new("--circuit", text, 0..text.len(), message, help)
    })
}
