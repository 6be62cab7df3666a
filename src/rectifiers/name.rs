//! Finds a rectifier by any name that people write for it.

use super::{Rectifier, all};

/// A type that is not in the table.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error, miette::Diagnostic)]
#[error("found `{found}`, expected a rectifier type of the table")]
#[diagnostic(help("{}", advice(nearest)))]
pub struct UnknownRectifier {
    /// What was asked for, its first 40 characters.
    pub found: String,
    /// Up to three types that may be meant, the nearest first.
    pub nearest: Vec<&'static str>,
}

/// The rectifier of a name; case, hyphens and spaces don't count.
///
/// # Errors
/// The name is in no row. A name that only begins like a type's is not taken
/// for it, since suffixes tell ratings apart (`5U4-G`, `5U4-GB`).
///
/// ```
/// use recan::rectifiers::find;
/// assert_eq!(find("5y3gt")?.name, "5Y3-GT");
/// assert_eq!(find("GZ 34")?.name, find("5AR4")?.name);
/// assert_eq!(find("5U4").unwrap_err().nearest, ["5U4-G", "5U4-GB", "5Z4"]);
/// # Ok::<(), recan::rectifiers::UnknownRectifier>(())
/// ```
pub fn find(name: &str) -> Result<&'static Rectifier, UnknownRectifier> {
    let wanted = plain(name);
    let named = |r: &&Rectifier| !wanted.is_empty() && names(r).any(|n| plain(n) == wanted);
    all().iter().find(named).ok_or_else(|| UnknownRectifier {
        found: name.chars().take(40).collect(),
        nearest: nearest(&wanted),
    })
}

/// Every name of a type: the whole, its halves where it has two, the others.
fn names(rectifier: &Rectifier) -> impl Iterator<Item = &str> {
    let halves = rectifier.name.split('/').filter(|h| h.len() < rectifier.name.len());
    std::iter::once(rectifier.name.as_str())
        .chain(halves)
        .chain(rectifier.aliases.iter().map(String::as_str))
}

fn plain(name: &str) -> String {
    name.chars()
        .filter(|c| c.is_alphanumeric() || *c == '/')
        .map(|c| c.to_ascii_lowercase())
        .collect()
}

/// Types by how far their nearest name is off; one that begins with what was
/// typed counts as one letter off, since suffixes are what people leave out.
fn nearest(wanted: &str) -> Vec<&'static str> {
    let length = wanted.chars().count();
    if !(2..=20).contains(&length) {
        return Vec::new();
    }
    let distance = |name: &str| {
        let name = plain(name);
        let off = strsim::damerau_levenshtein(wanted, &name);
        if name.starts_with(wanted) { off.min(1) } else { off }
    };
    let mut near: Vec<_> = all()
        .iter()
        .filter_map(|r| Some((names(r).map(distance).min()?, r.name.as_str())))
        .filter(|&(off, _)| off <= 2.min(length - 1))
        .collect();
    near.sort_by_key(|&(off, _)| off);
    near.into_iter().take(3).map(|(_, name)| name).collect()
}

fn advice(nearest: &[&str]) -> String {
    match nearest {
        [] => "describe the rectifier in the job file by its law and drop".to_owned(),
        _ => format!("did you mean {}? If not, describe it by law and drop", nearest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(name: &str, expected: &str) {
        assert_eq!(find(name).map(|r| r.name.as_str()), Ok(expected), "{name}");
    }

    #[test]
    fn finds_by_any_spelling() {
        for name in ["5Y3-GT", "5y3gt", "5Y3 GT", "5y3", "u50", " 5Y3-G "] {
            check(name, "5Y3-GT");
        }
        for name in ["GZ34", "5AR4", "gz-34", "5AR4/GZ34", "cv1377"] {
            check(name, "5AR4/GZ34");
        }
        check("25z6gt", "25Z5/25Z6-GT");
        check("1-v", "1V");
        check("80", "80");
        check("1N4007", "silicon");
        check("Selenium", "selenium");
    }

    #[test]
    fn no_two_types_share_a_name() {
        for rectifier in all() {
            for name in names(rectifier) {
                check(name, &rectifier.name);
            }
        }
    }

    #[test]
    fn offers_near_names() {
        let nearest = |name: &str| find(name).expect_err("not in the table").nearest;
        assert_eq!(nearest("5AR5")[0], "5AR4/GZ34");
        // Lower rated than the 5U4-GB, so it must not be taken for it.
        assert!(nearest("5U4-GA").contains(&"5U4-GB"));
        assert!(nearest("").is_empty());
        assert!(nearest("toaster oven").is_empty());
        assert!(nearest(&"5Y3".repeat(10_000)).is_empty());
    }

    #[test]
    fn words_the_error() {
        use miette::Diagnostic;
        let error = find("5Y5-GT").expect_err("not in the table");
        insta::assert_snapshot!(error, @"found `5Y5-GT`, expected a rectifier type of the table");
        insta::assert_snapshot!(error.help().map(|h| h.to_string()).unwrap_or_default(), @"did you mean 5Y3-GT, 5Y4-G, 5V4-G? If not, describe it by law and drop");
    }
}
