//! Currents of the bodies of one section, and what they do to their life.

use super::{Figures, four};
use crate::{
    derating::{frequency, heating::core_rise, temperature},
    part::Part,
    quantity::{
        amperes, celsius, hertz_of, in_amperes, in_celsius, in_hours, microfarads, ohms, volts,
    },
    rules::{
        Candidate, Finding, Place, Rule,
        context::Body,
        supply::{SupplyCase, case::ripple_hertz, ripple_current},
    },
    set::Connection,
    supply::Place as Spot,
};

pub(super) fn worked(
    of: &Figures,
    place: &Place,
    new: &Candidate,
    finding: &Finding,
) -> Option<String> {
    match finding.rule {
        Rule::RippleCurrent => ripple(of, place, new),
        Rule::Life => life(of, place, new, finding.value?),
        Rule::Leakage => Some(leakage(new, finding.value?)),
        _ => None,
    }
}

/// A body of a section with the share of the section's current that it takes.
struct Loaded<'a> {
    body: &'a Body,
    share: f64,
    total: f64,
}

impl Loaded<'_> {
    fn ampere(&self) -> f64 {
        self.share * self.total
    }

    fn says(&self, connection: Connection) -> String {
        match connection {
            Connection::Parallel => format!(
                "{} A × {} = {} A, its share by impedance",
                four(self.total),
                four(self.share),
                four(self.ampere())
            ),
            _ => format!("{} A, the whole of the section's", four(self.ampere())),
        }
    }
}

fn loaded<'c>(of: &Figures, spot: Spot, new: &'c Candidate) -> Option<Vec<Loaded<'c>>> {
    let shares = ripple_current::shares(of.case.supply.as_ref()?, spot, new);
    let total = of.set.supply.as_ref()?.most(|solved| ripple_current::current(solved, spot));
    let each = new.bodies.iter().zip(shares);
    Some(each.map(|(body, share)| Loaded { body, share, total }).collect())
}

/// The current of the body that decides, and its rating where it stands.
fn ripple(of: &Figures, place: &Place, new: &Candidate) -> Option<String> {
    let spot = place.supply?.spot?;
    let (deciding, ruling) = ripple_current::ruling(&of.trial()?, place, new)?;
    let all = loaded(of, spot, new)?;
    let load = |one: &&Loaded| (one.ampere() - ruling.value).abs();
    let alike = all.iter().filter(|one| one.body.leaf == deciding.leaf);
    let body = alike.min_by(|a, b| load(a).total_cmp(&load(b)))?;
    let takes = takes(of.case.supply.as_ref()?, spot, &deciding, ruling.high?)?;
    Some(format!("{}; {takes}", body.says(new.connection)))
}

fn takes(case: &SupplyCase, spot: Spot, body: &Body, allowed: f64) -> Option<String> {
    let hertz = ripple_hertz(case, spot);
    let by_hertz = frequency::multiplier(case.base(), volts(body.rated_v), hertz_of(hertz))?;
    let (by_heat, at) = match (body.top_c, case.ambient) {
        (Some(top), Some(ambient)) => (
            temperature::multiplier(celsius(top), ambient),
            format!("{} °C of {top} °C", four(in_celsius(ambient))),
        ),
        _ => (1.0, "its top temperature".into()),
    };
    Some(format!(
        "takes {} A × {} × {} = {} A, by {} Hz and {at}",
        four(body.ripple_a?),
        four(by_hertz),
        four(by_heat),
        four(allowed),
        four(hertz)
    ))
}

/// The ten-degree rule of the shortest-lived body.
fn life(of: &Figures, place: &Place, new: &Candidate, hours: f64) -> Option<String> {
    let case = of.case.supply.as_ref()?;
    let ambient = in_celsius(case.ambient?);
    let all = loaded(of, place.supply?.spot?, new)?;
    let each = all.iter().filter_map(|one| {
        let part = of.parts.get(one.body.leaf.part)?;
        let (rated, top) = (in_hours(part.life?), in_celsius(part.max_temperature?));
        let rise = rise(case, one, part);
        let kelvin = rise.unwrap_or(0.0);
        let life = rated * ((top - ambient) / 10.0 - kelvin / 5.0).exp2();
        Some((life, rated, top, rise))
    });
    let (_, rated, top, rise) =
        each.min_by(|a, b| (a.0 - hours).abs().total_cmp(&(b.0 - hours).abs()))?;
    let why = match rise {
        Some(kelvin) => format!("ripple heating its core by {} K", four(kelvin)),
        None => "ripple heating not known".to_owned(),
    };
    Some(format!(
        "{} h × 2^(({} - {}) / 10) × 2^(-{} / 5) = {} h, {why}",
        four(rated),
        four(top),
        four(ambient),
        four(rise.unwrap_or(0.0)),
        four(hours)
    ))
}

fn rise(case: &SupplyCase, one: &Loaded, part: &Part) -> Option<f64> {
    let resistance = ohms(case.esr_ohm(one.body)?);
    Some(core_rise(amperes(one.ampere()), resistance, part.diameter?, part.length?).0)
}

/// Side by side leakages add, end to end the leakier one's flows.
fn leakage(new: &Candidate, ampere: f64) -> String {
    let value = four(1e6 * ampere);
    let one = |(uf, v): (&f64, &f64)| format!("0.01 × {} µF × {} V + 3", four(*uf), four(*v));
    let each = || new.each_uf.iter().zip(&new.each_v);
    match new.connection {
        Connection::Series => {
            let leaks = |(uf, v): (&f64, &f64)| {
                in_amperes(crate::derating::leakage::modern(microfarads(*uf), volts(*v)))
            };
            let worst = each().max_by(|a, b| leaks(*a).total_cmp(&leaks(*b)));
            let worst = worst.map(one).unwrap_or_default();
            format!("{worst} = {value} µA, that of the leakier one")
        }
        _ => format!("{} = {value} µA", each().map(one).collect::<Vec<_>>().join(" + ")),
    }
}
