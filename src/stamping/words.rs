//! The vocabulary of stampings: units, marks, colours, wiring and noise words.

use crate::can::{Colour, Mark};

/// What a word of a stamping stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Word {
    /// A capacitance unit.
    Farads(FaradUnit),
    /// `V` and its compounds.
    Volts,
    /// `WV`, `WVDC`: volts, and working volts at that.
    WorkingVolts,
    /// `SV`, `PV`: surge volts.
    SurgeVolts,
    /// `VAC`, `V~`.
    AcVolts,
    /// `DC`.
    Dc,
    /// `AC`.
    Ac,
    /// `WKG`, `WORKING`.
    Working,
    /// `SURGE`, `PEAK`.
    Surge,
    /// `TEST`: a factory test voltage, no rating.
    Test,
    /// A section mark.
    Mark(Mark),
    /// `HALF`, when `ROUND` or `MOON` follows.
    Half,
    /// `ROUND`, `MOON`, `CIRCLE`.
    Round,
    /// A colour.
    Colour(Colour),
    /// `COMMON`.
    Common,
    /// `NEGATIVE`, `MINUS`.
    Negative,
    /// `POSITIVE`, `PLUS`.
    Positive,
    /// `CAN`, `CASE`.
    Can,
    /// `CHASSIS`, `GROUND`.
    Chassis,
    /// `SEPARATE`, `INDIVIDUAL`.
    Separate,
    /// `INSULATED`, `INSULATE`, `ISOLATED`.
    Insulated,
    /// `NOT`, `DO NOT`.
    Not,
    /// `MOUNT`, `FROM`, `TO`, `LEAD`: words inside wiring phrases.
    Wiring,
    /// `TWO`, `THREE`, `FOUR`.
    Count(u8),
    /// `AND`.
    And,
    /// `AT`.
    At,
    /// `X`, `×`.
    Times,
    /// `TO` between figures.
    To,
    /// Text up to the next value with a unit is no value; the reason.
    Line(&'static str),
    /// Names a figure that is no value (`RIPPLE`, `TEMP.`); what it is.
    Heading(&'static str),
    /// A month's name.
    Month,
    /// `C`, `CELSIUS`, `DEG`: heat when it follows a number.
    Degrees,
    /// `MA`, `AMPS`.
    Current,
    /// `HZ`, `CPS`.
    Hertz,
    /// `IN`, `MM`.
    Length,
    /// `OHM`.
    Ohms,
    /// `PERCENT`.
    Percent,
    /// `MARK`, `SYMBOL`: plain where `NO` stands before it.
    MarkNoun,
    /// `SECTION`: a number before it counts sections, one behind it names one.
    Section,
    /// `MOTOR`: not a filter can.
    Motor,
    /// `NON POLAR`, `BIPOLAR`: a part without polarity.
    NonPolar,
    /// `POLARIZED`, `POLARITY`; denied by a `NON` before it.
    Polar,
    /// `DUAL`, `TRIPLE`: says how many sections.
    Manifold(u8),
    /// A known word without a figure (`CAPACITOR`, `DRY`).
    Noise,
}

/// How a capacitance unit was spelt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum FaradUnit {
    /// `UF`, `MFD`, `µF`.
    Micro,
    /// `MF`: microfarad in period usage, never millifarad.
    OldMicro,
    /// `M` alone.
    LoneM,
    /// `PF`, `MMF`, `µµF`.
    Pico,
    /// `NF`.
    Nano,
    /// `F`.
    Whole,
}

/// Longest spelling in the tables, in bytes; longer words are unknown.
const LONGEST: usize = 20;

/// What `word` stands for; any case, abbreviation dots ignored.
pub(super) fn meaning(word: &str) -> Option<Word> {
    let mut buffer = [0_u8; LONGEST];
    let folded = fold(word, &mut buffer)?;
    unit(folded)
        .or_else(|| mark(folded))
        .or_else(|| colour(folded).map(Word::Colour))
        .or_else(|| wiring(folded))
        .or_else(|| quantity(folded))
        .or_else(|| text(folded))
}

/// Upper case, without dots, both mu characters as `U`; `None` where it does not fit.
fn fold<'b>(word: &str, buffer: &'b mut [u8; LONGEST]) -> Option<&'b str> {
    let mut used = 0;
    for c in word.chars() {
        let c = match c {
            '.' | '\'' => continue,
            'µ' | 'μ' | 'Μ' => 'U',
            'ä' | 'Ä' => 'Ä',
            'ü' | 'Ü' => 'Ü',
            'ö' | 'Ö' => 'Ö',
            'ß' => 'ß',
            'é' | 'É' | 'è' | 'È' => 'E',
            'ó' | 'Ó' => 'O',
            '\u{2126}' => 'Ω',
            c => c.to_ascii_uppercase(),
        };
        let end = used + c.len_utf8();
        c.encode_utf8(buffer.get_mut(used..end)?);
        used = end;
    }
    std::str::from_utf8(buffer.get(..used)?).ok()
}

fn unit(word: &str) -> Option<Word> {
    use FaradUnit as F;
    Some(match word {
        "UF" | "MFD" | "MFDS" | "UFD" | "UFDS" | "UFS" | "U" | "MICROFARAD" | "MICROFARADS"
        | "MIKROFARAD" | "MICROFARADIOS" | "MICROF" | "MICROFD" | "MFARAD" | "MFARADS"
        | "MICRO" | "MICROS" | "MFRD" | "MCF" | "MCFD" | "MICROFDS" | "MKF" | "MKFD" | "MFAD" => {
            Word::Farads(F::Micro)
        }
        "MF" | "MFS" => Word::Farads(F::OldMicro),
        "M" => Word::Farads(F::LoneM),
        "PF" | "PFD" | "PFDS" | "MMF" | "MMFD" | "MMFDS" | "UUF" | "UUFD" | "MUF" | "UMF"
        | "PICOFARAD" | "PICOFARADS" | "MICROMICROFARAD" | "MICROMICROFARADS" | "P" => {
            Word::Farads(F::Pico)
        }
        "NF" | "NANOFARAD" | "NANOFARADS" => Word::Farads(F::Nano),
        "F" | "FARAD" | "FARADS" | "FD" => Word::Farads(F::Whole),
        "V" | "VOLT" | "VOLTS" | "VTS" | "VLT" | "VLTS" | "VDC" | "VCC" | "DCV" | "VOLTSDC"
        | "VOLTDC" | "VOLTAGE" | "VD" | "VS" | "VOLTIOS" | "SPANNUNG" => Word::Volts,
        "WV" | "WVDC" | "DCWV" | "VDCW" | "VW" | "WVD" | "DCVW" | "VWDC" | "VWKG" | "VDCWKG"
        | "WVCD" | "WVOLTS" | "DCW" | "WDC" | "WVDCV" | "VDCWV" | "VWG" | "WDCV" => {
            Word::WorkingVolts
        }
        "SV" | "PV" | "VP" | "SVDC" | "PVDC" | "PKV" | "VPK" | "VSURGE" | "VPEAK" | "VDCS" => {
            Word::SurgeVolts
        }
        "VAC" | "ACV" | "WVAC" | "VOLTSAC" | "VACW" | "VOLTAC" => Word::AcVolts,
        "DC" | "CC" => Word::Dc,
        "AC" => Word::Ac,
        "WKG" | "WORKING" | "WORK" | "WRKG" | "WKNG" | "WRK" | "W" | "SERVICE" | "OPERATING"
        | "CONTINUOUS" | "CONT" | "BETRIEB" | "BETRIEBSSPANNUNG" | "RATED" | "NENNSPANNUNG" => {
            Word::Working
        }
        "SURGE" | "PEAK" | "PK" | "SRG" | "SURG" | "SPITZE" | "SPITZENSPANNUNG" | "POINTE"
        | "SURGES" | "CRETE" | "PEAKS" => Word::Surge,
        "TEST" | "TESTED" | "ESSAI" | "PRÜFSPANNUNG" => Word::Test,
        _ => return None,
    })
}

fn mark(word: &str) -> Option<Word> {
    Some(match word {
        "HALF" | "DEMI" | "SEMI" => Word::Half,
        "ROUND" | "CIRCLE" | "ROND" => Word::Round,
        "HALFROUND" | "HALFMOON" | "SEMICIRCLE" | "HALFCIRCLE" | "SEMIROUND" | "HALBRUND"
        | "CRESCENT" | "MOON" | "LUNE" | "HALBKREIS" | "DEMILUNE" | "HR" | "HM" => {
            Word::Mark(Mark::HalfRound)
        }
        "SQUARE" | "SQ" | "BOX" | "SQR" | "QUADRAT" | "CARRE" => Word::Mark(Mark::Square),
        "TRIANGLE" | "TRI" | "DELTA" | "TRIANG" | "TRNGL" | "DREIECK" => Word::Mark(Mark::Triangle),
        "MARK" | "SYMBOL" | "MARKING" | "MARKS" | "CUTOUT" => Word::MarkNoun,
        "PLAIN" | "NONE" | "NOMARK" | "BLANK" | "UNMARKED" | "DASH" => Word::Mark(Mark::Plain),
        _ => return None,
    })
}

fn colour(word: &str) -> Option<Colour> {
    use Colour as C;
    Some(match word {
        "RED" | "ROT" | "ROUGE" | "ROJO" | "ROSSO" | "RD" | "ROOD" => C::Red,
        "YELLOW" | "YEL" | "GELB" | "JAUNE" | "AMARILLO" | "GIALLO" | "YLW" | "GEEL" => C::Yellow,
        "BLUE" | "BLU" | "BLAU" | "BLEU" | "AZUL" | "BL" | "BLAUW" => C::Blue,
        "GREEN" | "GRN" | "GRÜN" | "GRUEN" | "GRUN" | "VERT" | "VERDE" | "GN" | "GROEN" => {
            C::Green
        }
        "BROWN" | "BRN" | "BRAUN" | "MARRON" | "BRUN" | "MARRONE" | "BRWN" | "BRUIN" => C::Brown,
        "BLACK" | "BLK" | "SCHWARZ" | "NOIR" | "NEGRO" | "NERO" | "BK" | "ZWART" => C::Black,
        "WHITE" | "WHT" | "WEISS" | "WEIß" | "BLANC" | "BLANCO" | "BIANCO" | "WIT" => C::White,
        "ORANGE" | "ORG" | "ORN" | "NARANJA" => C::Orange,
        "GREY" | "GRAY" | "GRAU" | "GRIS" | "GRY" => C::Grey,
        "VIOLET" | "PURPLE" | "VIOLETT" | "VIO" | "LILA" => C::Violet,
        "PINK" | "ROSA" | "ROSE" => C::Pink,
        _ => return None,
    })
}

fn wiring(word: &str) -> Option<Word> {
    Some(match word {
        "COMMON" | "COM" | "COMM" | "GEMEINSAM" | "GEMEINSAMER" | "COMMUN" | "COMUN" | "SHARED" => {
            Word::Common
        }
        "NEG" | "NEGATIVE" | "NEGATIVES" | "NEGS" | "MINUS" | "NEGATIF" | "NEGATIV"
        | "NEGATIVO" | "MOINS" => Word::Negative,
        "POS" | "POSITIVE" | "POSITIVES" | "PLUS" | "POSITIF" | "POSITIV" => Word::Positive,
        "CAN" | "CASE" | "BECHER" | "GEHÄUSE" | "GEHAEUSE" | "BOITIER" | "SHELL" | "CONTAINER"
        | "HOUSING" => Word::Can,
        "CHASSIS" | "GROUND" | "GND" | "EARTH" | "GROUNDED" | "EARTHED" | "MASSE" | "FRAME" => {
            Word::Chassis
        }
        "SEPARATE" | "SEP" | "SEPARATED" | "INDIVIDUAL" | "GETRENNT" | "SEPARE" | "INDEPENDENT"
        | "SEPARATELY" | "SPLIT" => Word::Separate,
        "INSULATED" | "INSULATE" | "INS" | "INSUL" | "ISOLATED" | "ISOLATE" | "ISOLIERT"
        | "ISOLE" | "INSULATING" | "INSULATION" | "UNGROUNDED" | "INSULATOR" => Word::Insulated,
        "NOT" | "NO" => Word::Not,
        "MOUNT" | "MOUNTING" | "FROM" | "LEAD" | "LEADS" | "LUG" | "LUGS" | "TAB" | "TABS"
        | "WIRE" | "WIRES" | "DOT" | "SPOT" | "PAINT" | "PAINTED" | "IS" | "ARE" | "THE"
        | "ALL" | "OF" | "CONNECTED" | "TERMINAL" | "TERMINALS" | "MUST" | "BE" | "DO"
        | "PUNKT" | "POINT" | "LEG" | "AN" | "FOR" | "BAND" | "SLEEVE" | "BOTH" | "CONNECT"
        | "WITH" | "TERM" | "TAG" | "TAGS" | "IST" | "SIDE" | "ON" | "INTERNALLY" => Word::Wiring,
        "TO" | "BIS" => Word::To,
        "TWO" | "ZWEI" | "DEUX" => Word::Count(2),
        "THREE" | "DREI" | "TROIS" => Word::Count(3),
        "FOUR" | "VIER" | "QUATRE" => Word::Count(4),
        "AND" | "UND" | "ET" => Word::And,
        "AT" => Word::At,
        "X" | "×" => Word::Times,
        _ => return None,
    })
}

fn quantity(word: &str) -> Option<Word> {
    Some(match word {
        "C" | "CELSIUS" | "DEG" | "DEGREES" | "CENTIGRADE" | "DEGC" | "CENT" | "DEGS"
        | "DEGREE" => Word::Degrees,
        "MA" | "AMP" | "AMPS" | "AMPERE" | "AMPERES" | "MILLIAMPS" | "MILLIAMPERES" | "MAMP"
        | "MAMPS" | "MILS" | "MAEFF" | "MARMS" | "ARMS" => Word::Current,
        "HZ" | "CPS" | "CYCLES" | "CYCLE" | "CY" | "CYC" | "PPS" | "KHZ" => Word::Hertz,
        "IN" | "INCH" | "INCHES" | "MM" | "CM" => Word::Length,
        "OHM" | "OHMS" | "Ω" => Word::Ohms,
        "PERCENT" | "PCT" | "PC" => Word::Percent,
        "JAN" | "JANUARY" | "FEB" | "FEBRUARY" | "MAR" | "MARCH" | "APR" | "APRIL" | "MAY"
        | "JUN" | "JUNE" | "JUL" | "JULY" | "AUG" | "AUGUST" | "SEP" | "SEPT" | "SEPTEMBER"
        | "OCT" | "OCTOBER" | "NOV" | "NOVEMBER" | "DEC" | "DECEMBER" | "MAI" | "JUNI" | "JULI"
        | "OKT" | "DEZ" | "JANUAR" | "FEBRUAR" | "MÄRZ" | "OKTOBER" | "DEZEMBER" | "JANV"
        | "FEV" | "AVR" | "JUIN" | "JUIL" | "AOUT" => Word::Month,
        _ => return None,
    })
}

fn text(word: &str) -> Option<Word> {
    Some(match word {
        "CAT" | "CATALOG" | "CATALOGUE" | "KAT" => Word::Line("catalogue line"),
        "PAT" | "PATS" | "PATENT" | "PATENTS" | "PATENTED" | "BREVET" | "BREVETE" | "PATD"
        | "DRP" | "DRGM" | "PATENTE" => Word::Line("patent line"),
        "TYPE" | "TYP" | "MODEL" | "PART" | "PN" | "SN" | "SERIAL" | "SER" | "LOT" | "STOCK"
        | "REF" | "SPEC" | "STYLE" | "FORM" | "NUMBER" | "NR" | "NUM" | "NUMERO" | "DRG"
        | "DWG" | "FIG" | "SERIES" | "ITEM" | "JOB" | "ORDER" => Word::Line("type or part number"),
        "CODE" | "DATE" | "DATED" | "WEEK" | "WK" | "WOCHE" | "YEAR" | "MFGD" | "DATUM" => {
            Word::Line("date code")
        }
        "MADE" | "MFG" | "MANUFACTURED" | "MFR" | "MFRD" | "FABRIQUE" | "HERGESTELLT" | "INC"
        | "LTD" | "CORP" | "CO" | "COMPANY" | "LICENSED" | "LICENCE" | "LIC" | "USA" | "US"
        | "MANUFACTURER" | "COPYRIGHT" | "REG" | "REGISTERED" | "TRADE" | "TRADEMARK" => {
            Word::Line("maker's line")
        }
        "RMA" | "EIA" | "UL" | "DIN" | "VDE" | "BS" | "NSF" | "IEC" | "MIL" => {
            Word::Line("standard or maker code")
        }
        "TOL" | "TOLERANCE" => Word::Heading("tolerance"),
        "TEMP" | "TEMPERATURE" | "TEMPS" | "AMBIENT" => Word::Heading("temperature"),
        "RIPPLE" | "LEAKAGE" | "CURRENT" => Word::Heading("current"),
        "WEIGHT" | "SIZE" | "LIFE" | "HOURS" | "HRS" => Word::Heading("not a value"),
        "SECTION" | "SECTIONS" | "SECT" | "SECTS" | "SECS" | "SEC" | "UNITS" | "UNIT" | "FACH" => {
            Word::Section
        }
        "BIPOLAR" | "BIPOLARIZED" | "BIPOLARISED" | "NONPOLAR" | "NONPOLARIZED"
        | "NONPOLARISED" | "UNPOLARIZED" | "UNPOLARISED" | "NP" | "BP" | "BIPOLAIRE"
        | "UNGEPOLT" | "UNPOLAR" | "REVERSIBLE" => Word::NonPolar,
        "POLAR" | "POLARIZED" | "POLARISED" | "POLARITY" | "POLARIZATION" => Word::Polar,
        "MOTOR" | "STARTING" => Word::Motor,
        "DUAL" | "DOUBLE" | "TWIN" => Word::Manifold(2),
        "TRIPLE" => Word::Manifold(3),
        "QUAD" | "QUADRUPLE" => Word::Manifold(4),
        "MAX" | "MAXIMUM" | "MIN" | "MINIMUM" | "RMS" | "UPTO" | "RANGE" | "CAP" | "CAPACITOR"
        | "CAPACITORS" | "CAPACITY" | "CAPACITANCE" | "COND" | "CONDENSER" | "CONDENSERS"
        | "ELECTROLYTIC" | "ELECT" | "ELEC" | "ELECTROLYTICS" | "ELKO" | "DRY" | "WET"
        | "TWIST" | "LOCK" | "PRONG" | "TUBULAR" | "FILTER" | "ETCHED" | "FOIL" | "TYPED"
        | "HERMETIC" | "SEALED" | "THIS" | "RADIO" | "TV" | "TELEVISION" | "REPLACEMENT"
        | "UNIVERSAL" | "HEAVY" | "DUTY" | "GUARANTEED" | "KONDENSATOR" | "CONDENSATEUR"
        | "ALUMINUM" | "ALUMINIUM" | "METAL" | "HIGH" | "VALUE" | "VALUES" | "APPROX" | "ABOUT"
        | "EACH" | "EA" | "PER" | "JE" => Word::Noise,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(word: &str, expected: Option<Word>) {
        assert_eq!(meaning(word), expected, "{word}");
    }

    #[test]
    fn folds_case_dots_and_mu() {
        for word in ["MFD", "Mfd.", "m.f.d.", "µF", "μF", "uf"] {
            check(word, Some(Word::Farads(FaradUnit::Micro)));
        }
        check("mF", Some(Word::Farads(FaradUnit::OldMicro)));
        check("µµF", Some(Word::Farads(FaradUnit::Pico)));
        check("V.D.C.", Some(Word::Volts));
        check("grün", Some(Word::Colour(Colour::Green)));
        check("a-very-long-word-of-no-meaning", None);
    }
}
