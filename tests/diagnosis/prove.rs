//! `prove` on 200 good repairs and 200 useless ones, simulated.

use recan::{
    chassis::Chassis,
    diagnose::{Agreement, GoodPart, Parts, ProofOutcome, prove},
};

use crate::cases;

#[test]
fn repairs() {
    let cases = cases::of("repairs", cases::every(7));
    let outcomes = cases::each(&cases, |case| {
        let chassis = Chassis::of(&case.job).unwrap_or_else(|e| panic!("{}: {e:?}", case.id));
        let parts = Parts::stamped(&case.job, &chassis).replaced(0.2);
        let proof = prove(&case.job, &chassis, &parts, GoodPart::default());
        proof.unwrap_or_else(|| panic!("{}: unsolved", case.id))
    });
    let (mut good, mut agreed, mut useless, mut fooled) = (0, 0, 0, 0);
    let mut tally = std::collections::BTreeMap::new();
    for (case, proof) in cases.iter().zip(&outcomes) {
        let agree = proof.outcome == ProofOutcome::Judged(Agreement::Agree);
        *tally.entry((case.kind.clone(), format!("{:?}", proof.outcome))).or_insert(0) += 1;
        let is_good = case.kind == "good";
        if is_good {
            good += 1;
            agreed += usize::from(agree);
        } else {
            useless += 1;
            fooled += usize::from(agree);
        }
        if std::env::var("RECAN_SHOW").is_ok() && agree != is_good {
            println!(
                "{} {} {:?} {:?} mended {:?} rows {:?} causes {:?}",
                case.id,
                case.kind,
                case.cause,
                proof.outcome,
                proof.mended,
                proof
                    .rows
                    .iter()
                    .filter(|r| r.verdict.is_some())
                    .map(|r| (
                        r.expected.what,
                        r.before.map(|b| (b * 1000.0).round() / 1000.0),
                        r.expected.read,
                        r.expected.off.map(|o| (o * 10.0).round() / 10.0)
                    ))
                    .collect::<Vec<_>>(),
                proof
                    .causes
                    .iter()
                    .map(|c| (c.fault, (c.weight * 100.0).round()))
                    .collect::<Vec<_>>()
            );
        }
    }
    println!("good {agreed} of {good} agree; useless {fooled} of {useless} agree; {tally:#?}");
    assert_eq!(fooled, 0, "useless repairs that agree");
    assert!(100 * agreed >= 93 * good, "{agreed} of {good}");
}
