//! Data flows one way: each module knows only those below it.

#![expect(clippy::unwrap_used, clippy::panic, reason = "a test stops where it must")]

use std::{
    fs,
    path::{Path, PathBuf},
};

/// Every module of the library, lowest first. A module may import itself and
/// those before it.
const FLOORS: &[&str] = &[
    "quantity",
    "nearest",
    "value",
    "series",
    "can",
    "part",
    "set",
    "stamping",
    "stock",
    "rectifiers",
    "facts",
    "derating",
    "job",
    "fit",
    "supply",
    "chassis",
    "bank",
    "powered",
    "diagnose",
    "spread",
    "rules",
    "judge",
    "study",
    "remedy",
    "search",
    "cover",
    "next",
    "safety",
    "answer",
    "record",
    "interview",
    "render",
    "report",
    "folder",
];

/// Words that touch files, clock, terminal or environment; only `folder` may.
const OUTSIDE: [&str; 9] = [
    "std::fs",
    "std::env",
    "std::io",
    "std::time",
    "std::process",
    "jiff::",
    "println!",
    "eprintln!",
    "print!(",
];

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.push(path);
        }
    }
}

/// The library's files with the module each belongs to, tests cut off.
fn library() -> Vec<(String, PathBuf, String)> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&src, &mut files);
    let texts: Vec<String> = files.iter().map(|path| fs::read_to_string(path).unwrap()).collect();
    let for_tests: Vec<&str> = texts.iter().flat_map(|text| test_modules(text)).collect();
    let mut library = Vec::new();
    for (path, text) in files.iter().zip(&texts) {
        let inside = path.strip_prefix(&src).unwrap();
        let first = inside.components().next().unwrap().as_os_str().to_str().unwrap();
        let module = first.trim_end_matches(".rs").to_owned();
        let stem = path.file_stem().unwrap().to_str().unwrap();
        if ["lib", "main", "cli"].contains(&module.as_str()) || for_tests.contains(&stem) {
            continue;
        }
        let code = text.split("#[cfg(test)]\nmod tests").next().unwrap_or(text);
        let code: Vec<&str> = code.lines().filter(|l| !l.trim_start().starts_with("//")).collect();
        library.push((module, inside.to_owned(), code.join("\n")));
    }
    library
}

/// Files that exist for tests only: `#[cfg(test)] mod name;`.
fn test_modules(text: &str) -> Vec<&str> {
    let declared = text.split("#[cfg(test)]\nmod ").skip(1);
    declared.filter_map(|rest| rest.lines().next()?.strip_suffix(';')).collect()
}

fn floor(module: &str) -> usize {
    let found = FLOORS.iter().position(|f| *f == module);
    found.unwrap_or_else(|| panic!("module {module} stands on no floor: add it to FLOORS"))
}

/// Module names that follow `crate::`, and those in a `use crate::{…}` list.
fn imports(code: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        if let Some(list) = rest.strip_prefix('{') {
            let (mut depth, mut word) = (1, String::new());
            for c in list.chars() {
                match c {
                    '{' => depth += 1,
                    '}' => depth -= 1,
                    ':' | ',' if depth == 1 && !word.is_empty() => found.push(word.clone()),
                    _ => {}
                }
                match c {
                    ',' | '{' | '}' if depth <= 1 => word.clear(),
                    ':' => word.clear(),
                    c if depth == 1 && (c.is_alphanumeric() || c == '_') => word.push(c),
                    _ => {}
                }
                if depth == 0 {
                    break;
                }
            }
        } else {
            let name: String =
                rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            found.push(name);
        }
    }
    found.retain(|name| FLOORS.contains(&name.as_str()));
    found
}

#[test]
fn each_module_knows_only_those_below_it() {
    let library = library();
    assert!(library.len() > 20, "only {} files found", library.len());
    let mut seen = 0;
    for (module, path, code) in &library {
        for import in imports(code) {
            seen += 1;
            assert!(
                floor(&import) <= floor(module),
                "{} imports {import}, which stands above {module}",
                path.display()
            );
        }
    }
    assert!(seen > 50, "only {seen} imports found: the reading of imports is broken");
}

#[test]
fn nothing_below_the_folder_touches_the_outside() {
    for (module, path, code) in library() {
        for word in OUTSIDE.iter().filter(|_| module != "folder") {
            assert!(!code.contains(word), "{} has {word}", path.display());
        }
    }
}

#[test]
fn imports_are_read_in_every_form() {
    let code = "use crate::can::Can;\nuse crate::{\n  part::{Part, Style},\n  set,\n};\nlet x = crate::series::f();";
    assert_eq!(imports(code), ["can", "part", "set", "series"]);
}
