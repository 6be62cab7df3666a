//! Where an answer is read: how wide, and what characters it can show.

use std::io::IsTerminal;

use recan::render::Screen;

/// The screen that stdout goes to.
pub(super) fn screen() -> Screen {
    let is_terminal = std::io::stdout().is_terminal();
    let width = is_terminal.then(|| console::Term::stdout().size_checked()).flatten();
    let width = width.map_or(Screen::PIPE, |(_, columns)| columns.into());
    Screen::new(width, is_ascii(is_terminal, |name| std::env::var(name).ok()))
}

/// Whether the locale can show nothing but ASCII: the first that is told of the three
/// that decide (POSIX). Where none is, a terminal gets ASCII, and a pipe, which is more
/// often read by a program, UTF-8.
fn is_ascii(is_terminal: bool, variable: impl Fn(&str) -> Option<String>) -> bool {
    let told = ["LC_ALL", "LC_CTYPE", "LANG"].into_iter().filter_map(variable);
    let told = told.into_iter().find(|value| !value.is_empty());
    let is_utf8 = |locale: &String| {
        let locale = locale.to_ascii_lowercase();
        locale.contains("utf-8") || locale.contains("utf8")
    };
    // Windows has no such variables, and shows UTF-8.
    told.map_or(is_terminal && cfg!(unix), |locale| !is_utf8(&locale))
}

#[cfg(test)]
mod tests {
    use super::is_ascii;

    #[test]
    fn the_first_told_decides() {
        let of = |told: &[(&str, &str)], is_terminal| {
            is_ascii(is_terminal, |name| {
                told.iter().find(|(of, _)| *of == name).map(|(_, value)| (*value).to_owned())
            })
        };
        assert!(of(&[("LANG", "C")], false));
        assert!(!of(&[("LANG", "en_US.UTF-8")], true));
        assert!(!of(&[("LC_ALL", ""), ("LANG", "C.utf8")], true));
        assert!(of(&[("LC_ALL", "POSIX"), ("LANG", "C.utf8")], true));
        assert!(!of(&[], false));
    }
}
