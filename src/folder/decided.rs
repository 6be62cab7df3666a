//! Finds the decision records of a job folder.

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use super::{FolderError, read_text, records::RECORDS};

/// Largest record that is read, bytes: some hundred times the usual.
const MOST_BYTES: u64 = 1 << 26;
/// The file of a record that is a folder of its own.
const IN_FOLDER: &str = "record.json";

/// The records of `folder` with their numbers, the last first: files named by
/// number, or folders named so.
///
/// # Errors
/// The folder of the records can't be read; one that is not there holds none.
pub fn records(folder: &Path) -> Result<Vec<(u32, PathBuf)>, FolderError> {
    let records = folder.join(RECORDS);
    let failed = |error| FolderError::of(&records, "read", error);
    let entries = match fs::read_dir(&records) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        other => other.map_err(failed)?,
    };
    let mut found = Vec::new();
    for entry in entries {
        found.extend(record(&entry.map_err(failed)?.path()));
    }
    found.sort_by(|a: &(u32, PathBuf), b| b.cmp(a));
    Ok(found)
}

/// The text of a record.
///
/// # Errors
/// No such file, no permission, too large, or no UTF-8.
pub fn text(record: &Path) -> Result<String, FolderError> {
    read_text(record, MOST_BYTES)?.ok_or_else(|| FolderError::Missing { path: record.into() })
}

/// A name of digits is a record; what else stands there is not.
fn record(path: &Path) -> Option<(u32, PathBuf)> {
    let name = path.file_name()?.to_str()?;
    let inside = path.join(IN_FOLDER);
    let (digits, file) = match name.strip_suffix(".json") {
        Some(digits) => (digits, path.to_owned()),
        None if inside.is_file() => (name, inside),
        None => return None,
    };
    let is_number = !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit());
    is_number.then(|| Some((digits.parse().ok()?, file)))?
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_record_comes_first_in_both_layouts() {
        let folder = tempfile::tempdir().expect("a folder");
        let records_folder = folder.path().join(RECORDS);
        fs::create_dir_all(records_folder.join("0010")).expect("a folder");
        fs::create_dir_all(records_folder.join("0011")).expect("a folder");
        for name in ["0002.json", "0002.md", "x.json", ".json", "0010/record.json", ".recan-1.tmp"]
        {
            fs::write(records_folder.join(name), "{}").expect("a file");
        }
        let found = records(folder.path()).expect("records");
        let numbers: Vec<u32> = found.iter().map(|(number, _)| *number).collect();
        assert_eq!(numbers, [10, 2]);
        assert_eq!(text(&found[0].1).expect("text"), "{}");
    }

    #[test]
    fn a_folder_without_records_has_none() {
        let folder = tempfile::tempdir().expect("a folder");
        assert!(records(folder.path()).expect("no error").is_empty());
    }
}
